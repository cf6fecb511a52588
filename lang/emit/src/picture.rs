//! The state of one arch at the end of a visit: which teeth are engaged and how, and which auxiliaries
//! are in place. Cards, drawings and text alternatives all read it, so that they cannot differ.

use std::borrow::Borrow;
use std::collections::BTreeSet;

use jiff::civil::Date;

use super::plan::{Plan, VisitToday};
pub use springline_course::{Absence, Hold};
use springline_course::{Known, Phase, RemovalReason, StepMoment, ToothPose, expander_life};
use springline_model::case::{ArchCase, Bonding, Case, ElasticRun, ElasticsKind};
use springline_model::expander::Expander;
use springline_model::step::{ActKind, Ends, WireUse};
use springline_model::stock::{Along, Wire};
use springline_units::tooth::{Arch, Tooth};

/// Under the tooth and in the text alternative; nothing for the ordinary case.
pub fn words(hold: Hold) -> Option<&'static str> {
    match hold {
        Hold::In => None,
        Hold::HalfIn(Along::Mesial) => Some("mesial wing only"),
        Hold::HalfIn(Along::Distal) => Some("distal wing only"),
        Hold::Overlay => Some("piggyback only"),
        Hold::Passed => Some("bypassed"),
        Hold::NotBonded => Some("not bonded"),
        Hold::BeyondWire => Some("wire ends before"),
        Hold::BracketOff => Some("bracket off"),
        Hold::Absent(Absence::Missing) => Some("missing"),
        Hold::Absent(Absence::Extracted) => Some("extracted"),
        Hold::Absent(Absence::ToExtract) => Some("to be extracted"),
        Hold::Absent(Absence::Unerupted) => Some("unerupted"),
    }
}

/// What is bonded to a tooth, as far as it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BracketDrawing {
    pub tube: bool,
    pub band: bool,
    pub width_mm: f64,
    pub hook: bool,
    pub inverted: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub struct ToothPicture {
    pub tooth: Tooth,
    /// Crown width; for a tooth that is not there, the space kept or left.
    pub width_mm: f64,
    /// Open space between this tooth and the one drawn before it.
    pub gap_before_mm: f64,
    pub hold: Hold,
    pub attachment: Option<BracketDrawing>,
    /// An implant or a tooth grown to the bone.
    pub fixed: bool,
    pub caution: bool,
    /// Where it stands, against its place in line.
    pub pose: Known<ToothPose>,
}

/// One arch at the end of a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchPicture<'a> {
    pub arch: Arch,
    /// From the patient's right to left.
    pub teeth: Vec<ToothPicture>,
    pub wire: Option<&'a WireUse>,
    pub overlay: Option<&'a Wire>,
    pub ends: Option<&'a Ends>,
    /// Everything on wire and teeth, earlier things first.
    pub things: Vec<&'a ActKind>,
    /// The screw across the palate, while it is cemented.
    pub expander: Option<&'a Expander>,
    pub case: &'a ArchCase,
}

/// The least width at which an absent tooth is drawn, so that a closed space can be seen and labelled.
const LEAST_WIDTH_MM: f64 = 2.5;

impl<'a> ArchPicture<'a> {
    /// The arch in that phase, at that moment.
    pub fn of(arch: &'a ArchCase, phase: &'a Phase, moment: &StepMoment) -> ArchPicture<'a> {
        let state = &phase.state;
        let acts = state.acts.iter().enumerate();
        let on = acts.filter(|(i, _)| !moment.came_off.contains(i)).map(|(_, act)| act);
        let things: Vec<&ActKind> = arch.extras.iter().chain(on).map(|a| &a.kind).collect();
        let overlay = things.iter().find_map(|k| match k {
            ActKind::Piggyback { wire, .. } => Some(&**wire),
            _ => None,
        });
        ArchPicture {
            arch: arch.arch,
            teeth: teeth(arch, phase, moment),
            wire: Some(&state.wire),
            overlay,
            ends: Some(&state.ends),
            things,
            expander: None,
            case: arch,
        }
    }

    /// With the expander, where it is cemented on that day.
    #[must_use]
    pub fn on_day(mut self, case: &Case, day: Option<Date>) -> ArchPicture<'a> {
        let life = expander_life(case, self.case);
        let is_on = day.zip(life).is_some_and(|(day, life)| life.on <= day && day < life.off);
        self.expander = self.case.expander.as_ref().filter(|_| is_on);
        self
    }

    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothPicture> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    /// Outermost teeth that hold the wire, patient's right then left.
    pub fn wire_run(&self) -> Option<(usize, usize)> {
        self.wire?;
        let first = self.teeth.iter().position(|t| t.hold.is_engaged())?;
        let last = self.teeth.iter().rposition(|t| t.hold.is_engaged())?;
        Some((first, last))
    }
}

/// Whether that side of a tooth faces the patient's left.
pub fn towards_left(tooth: Tooth, along: Along) -> bool {
    use springline_units::tooth::Side;
    match (tooth.side(), along) {
        (Side::Right, Along::Mesial) | (Side::Left, Along::Distal) => true,
        (Side::Right, Along::Distal) | (Side::Left, Along::Mesial) => false,
    }
}

fn teeth(arch: &ArchCase, phase: &Phase, moment: &StepMoment) -> Vec<ToothPicture> {
    let mut out: Vec<ToothPicture> = Vec::new();
    for (here, known) in phase.state.teeth.iter().zip(&moment.teeth) {
        let (tooth, hold) = (here.tooth, known.hold);
        out.push(ToothPicture {
            tooth,
            width_mm: width(phase, tooth),
            gap_before_mm: gap(phase, out.last(), tooth),
            hold,
            attachment: here.bonding.as_ref().map(|b| attachment(arch, phase, b, tooth)),
            fixed: known.fixed,
            caution: arch.cautions.iter().any(|c| c.tooth == tooth),
            pose: known.pose,
        });
    }
    // Molars that are not mentioned are not part of the appliance.
    let matters = |t: &ToothPicture| {
        t.hold != Hold::NotBonded || t.fixed || arch.stands.contains_key(&t.tooth)
    };
    let first = out.iter().position(matters).unwrap_or(0);
    let last = out.iter().rposition(matters).map_or(0, |l| l + 1);
    out.truncate(last);
    out.drain(..first.min(last));
    out
}

/// Of the crown; of an absent tooth the place that it has left.
fn width(phase: &Phase, tooth: Tooth) -> f64 {
    match phase.layout.room_of_absent_mm(tooth) {
        Some(left) => left.max(LEAST_WIDTH_MM),
        None => phase.entry.width_mm(tooth),
    }
}

/// The open gap to the tooth before.
fn gap(phase: &Phase, before: Option<&ToothPicture>, tooth: Tooth) -> f64 {
    before.and_then(|b| phase.entry.gap_mm(b.tooth, tooth)).unwrap_or(0.0)
}

fn attachment(arch: &ArchCase, phase: &Phase, bonding: &Bonding, tooth: Tooth) -> BracketDrawing {
    let bracket = &bonding.bracket;
    BracketDrawing {
        tube: bracket.is_tube,
        band: bracket.on_band,
        width_mm: phase.layout.tooth(tooth).map_or(0.0, |t| t.width_mm),
        hook: bracket.hooks.contains(&tooth) || arch.hooks.contains(&tooth),
        inverted: bonding.inverted,
    }
}

/// An elastic that is to be worn from this visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WornElastic<'a> {
    pub kind: ElasticsKind,
    pub run: &'a ElasticRun,
}

/// Both arches as the patient leaves, and the elastics between them.
#[derive(Debug, Clone, PartialEq)]
pub struct MouthPicture<'a> {
    pub upper: Option<ArchPicture<'a>>,
    pub lower: Option<ArchPicture<'a>>,
    pub elastics: Vec<WornElastic<'a>>,
}

impl<'a> MouthPicture<'a> {
    /// As the patient leaves a visit, with the elastics worn from then on.
    pub fn after(plan: &Plan<'a>, today: &VisitToday<'a>) -> MouthPicture<'a> {
        let here = |arch: Arch| {
            let here = today.arch(arch)?.after()?;
            Some((here.phase, here.moment))
        };
        let mut picture =
            MouthPicture::of(plan.case, here, |i| today.moment.elastics_after.contains(&i));
        let gone = |reason: RemovalReason| reason.is_final() && reason != RemovalReason::Debond;
        let off = today.arches.iter().flat_map(|a| a.off_today());
        let off: Vec<&ActKind> =
            off.filter(|(_, why)| gone(*why)).map(|(act, _)| &act.kind).collect();
        picture.without(|thing| off.contains(&thing));
        picture.on_day(plan.case, Some(today.visit.date))
    }

    /// With expanders that are cemented on that day.
    #[must_use]
    pub fn on_day(mut self, case: &Case, day: Option<Date>) -> MouthPicture<'a> {
        self.upper = self.upper.map(|arch| arch.on_day(case, day));
        self.lower = self.lower.map(|arch| arch.on_day(case, day));
        self
    }

    /// `here` says how each arch is; `worn` which elastics blocks are on.
    pub fn of<M: Borrow<StepMoment>>(
        case: &'a Case,
        here: impl Fn(Arch) -> Option<(&'a Phase, M)>,
        worn: impl Fn(usize) -> bool,
    ) -> MouthPicture<'a> {
        // An arch that has nothing in it yet is not part of the drawing.
        let picture = |arch: Arch| {
            let (phase, moment) = here(arch)?;
            case.arch(arch).map(|a| ArchPicture::of(a, phase, moment.borrow()))
        };
        let elastics = case
            .elastics
            .iter()
            .enumerate()
            .filter(|(i, _)| worn(*i))
            .flat_map(|(_, e)| e.runs.iter().map(|run| WornElastic { kind: e.kind, run }))
            .collect();
        MouthPicture { upper: picture(Arch::Upper), lower: picture(Arch::Lower), elastics }
    }

    /// Teeth that have lost their bracket: the wire holds them no more.
    pub fn without_brackets(&mut self, teeth: impl Iterator<Item = Tooth>) {
        let off: BTreeSet<Tooth> = teeth.collect();
        for arch in self.upper.iter_mut().chain(self.lower.iter_mut()) {
            for tooth in arch.teeth.iter_mut().filter(|t| off.contains(&t.tooth)) {
                if !matches!(tooth.hold, Hold::NotBonded | Hold::Absent(_)) {
                    tooth.hold = Hold::BracketOff;
                    tooth.attachment = None;
                }
            }
        }
    }

    /// After the appliance has come off.
    pub fn without_appliance(&mut self) {
        self.elastics.clear();
        for arch in self.upper.iter_mut().chain(self.lower.iter_mut()) {
            arch.wire = None;
            arch.overlay = None;
            arch.ends = None;
            arch.things.clear();
            arch.expander = None;
            for tooth in &mut arch.teeth {
                tooth.attachment = None;
                if !matches!(tooth.hold, Hold::Absent(_)) {
                    tooth.hold = Hold::NotBonded;
                }
            }
        }
    }

    /// Removes auxiliaries that are no longer in place.
    pub fn without(&mut self, gone: impl Fn(&ActKind) -> bool) {
        for arch in self.upper.iter_mut().chain(self.lower.iter_mut()) {
            arch.things.retain(|thing| !gone(thing));
        }
    }

    /// Teeth with a bite raiser: a step of one arch may put them on the other.
    pub fn raisers(&self) -> BTreeSet<Tooth> {
        self.arches()
            .flat_map(|a| a.things.iter())
            .filter_map(|t| match t {
                ActKind::BiteRaisers { teeth, .. } => Some(teeth.iter().copied()),
                _ => None,
            })
            .flatten()
            .collect()
    }

    pub fn arches(&self) -> impl Iterator<Item = &ArchPicture<'a>> {
        self.upper.iter().chain(self.lower.iter())
    }
}
