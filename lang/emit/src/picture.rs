//! One arch as it is when the patient leaves: which tooth is in the wire and how, and what hangs on
//! teeth and wire. Cards, drawings and text alternatives all read this, so they cannot differ.

use std::collections::BTreeSet;

use jiff::civil::Date;

use springline_course::{ArchState, ToothStatus};
use springline_model::case::{ArchCase, Bonding, Case, ElasticRun, ElasticsKind, ToothState};
use springline_model::step::{ActKind, Ends, Wing, WireUse};
use springline_model::stock::{Along, Wire};
use springline_units::anatomy::crown_width_mm;
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Tooth};

/// How a tooth stands to the wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// The wire lies in the slot.
    In,
    /// One wing only: the slot's mesial or distal half holds the wire.
    HalfIn(Along),
    /// Held by the light overlay wire; the base wire passes.
    Overlay,
    /// Has its bracket, the wire passes it by.
    Passed,
    /// No bracket (yet).
    NotBonded,
    /// Bonded, but the wire ends before it.
    BeyondWire,
    /// Has lost its bracket.
    BracketOff,
    Absent(Absence),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Absence {
    Missing,
    Extracted,
    /// To be taken out; shown as gone, because the plan counts on it.
    ToExtract,
    Unerupted,
}

impl Hold {
    pub fn is_engaged(self) -> bool {
        matches!(self, Hold::In | Hold::HalfIn(_) | Hold::Overlay)
    }

    /// Under the tooth and in the text alternative; nothing for the ordinary case.
    pub fn words(self) -> Option<&'static str> {
        match self {
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
}

/// What is bonded to a tooth, as far as it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attachment {
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
    pub attachment: Option<Attachment>,
    /// An implant or a tooth grown to the bone.
    pub fixed: bool,
    pub caution: bool,
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
    pub case: &'a ArchCase,
}

/// Width at which a missing tooth is drawn when nobody wrote how much space is left.
const CLOSED_SPACE_MM: f64 = 2.5;

impl<'a> ArchPicture<'a> {
    /// The arch in that state on that day; before the first wire, only what the case says of the
    /// teeth.
    pub fn of(
        arch: &'a ArchCase,
        state: Option<&'a ArchState>,
        on: Option<Date>,
    ) -> ArchPicture<'a> {
        let things: Vec<&ActKind> = arch
            .extras
            .iter()
            .chain(state.map(|s| s.acts.as_slice()).unwrap_or_default())
            .map(|a| &a.kind)
            .collect();
        let overlay = things.iter().find_map(|k| match k {
            ActKind::Piggyback { wire, .. } => Some(&**wire),
            _ => None,
        });
        ArchPicture {
            arch: arch.arch,
            teeth: teeth(arch, state, on),
            wire: state.map(|s| &s.wire),
            overlay,
            ends: state.map(|s| &s.ends),
            things,
            case: arch,
        }
    }

    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothPicture> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    pub fn index_of(&self, tooth: Tooth) -> Option<usize> {
        self.teeth.iter().position(|t| t.tooth == tooth)
    }

    /// Outermost teeth that hold the wire, patient's right then left.
    pub fn wire_run(&self) -> Option<(usize, usize)> {
        self.wire?;
        let first = self.teeth.iter().position(|t| t.hold.is_engaged())?;
        let last = self.teeth.iter().rposition(|t| t.hold.is_engaged())?;
        Some((first, last))
    }

    /// The next tooth towards the midline or away from it that holds the wire.
    pub fn neighbour_in_wire(&self, tooth: Tooth, along: Along) -> Option<&ToothPicture> {
        let i = self.index_of(tooth)?;
        let to_left = towards_left(tooth, along);
        if to_left {
            self.teeth.get(i + 1..)?.iter().find(|t| t.hold.is_engaged())
        } else {
            self.teeth.get(..i)?.iter().rev().find(|t| t.hold.is_engaged())
        }
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

fn teeth(arch: &ArchCase, state: Option<&ArchState>, on: Option<Date>) -> Vec<ToothPicture> {
    let mut out: Vec<ToothPicture> = Vec::new();
    for (tooth, status, bonding) in standing(arch, state) {
        let absent = absence(arch, tooth, on);
        let hold = match (absent, status) {
            (Some(absence), _) => Hold::Absent(absence),
            (None, ToothStatus::Engaged) => Hold::In,
            (None, ToothStatus::HalfEngaged(Wing::Mesial)) => Hold::HalfIn(Along::Mesial),
            (None, ToothStatus::HalfEngaged(Wing::Distal)) => Hold::HalfIn(Along::Distal),
            (None, ToothStatus::HalfEngaged(Wing::Both)) => Hold::In,
            (None, ToothStatus::Piggyback) => Hold::Overlay,
            (None, ToothStatus::Bypassed) => Hold::Passed,
            (None, ToothStatus::NotBonded | ToothStatus::Absent) => Hold::NotBonded,
        };
        out.push(ToothPicture {
            tooth,
            width_mm: width(arch, tooth, absent),
            gap_before_mm: out.last().map_or(0.0, |b| gap(arch, b.tooth, tooth)),
            hold,
            attachment: bonding.map(|b| attachment(arch, b, tooth)),
            fixed: arch.states.get(&tooth).is_some_and(|(s, _)| s.is_fixed()),
            caution: arch.cautions.iter().any(|c| c.tooth == tooth),
        });
    }
    // Molars that nobody mentions are not part of the appliance.
    let matters = |t: &ToothPicture| {
        t.hold != Hold::NotBonded || t.fixed || arch.stands.contains_key(&t.tooth)
    };
    let first = out.iter().position(matters).unwrap_or(0);
    let last = out.iter().rposition(matters).map_or(0, |l| l + 1);
    out.truncate(last);
    out.drain(..first.min(last));
    // Bonded teeth outside the last tooth that holds the wire are not reached by it.
    let first = out.iter().position(|t| t.hold.is_engaged());
    let last = out.iter().rposition(|t| t.hold.is_engaged());
    for (i, tooth) in out.iter_mut().enumerate() {
        let outside = first.is_some_and(|f| i < f) || last.is_some_and(|l| i > l);
        if outside && tooth.hold == Hold::Passed {
            tooth.hold = Hold::BeyondWire;
        }
    }
    out
}

/// Every tooth of the arch with its part in the step, from the patient's right to left.
fn standing<'s>(
    arch: &'s ArchCase,
    state: Option<&'s ArchState>,
) -> Vec<(Tooth, ToothStatus, Option<&'s Bonding>)> {
    match state {
        Some(state) => {
            state.teeth.iter().map(|t| (t.tooth, t.status, t.bonding.as_ref())).collect()
        }
        None => {
            let known: BTreeSet<Tooth> =
                arch.bonded.keys().chain(arch.states.keys()).copied().collect();
            known
                .into_iter()
                .map(|tooth| match arch.bonded.get(&tooth) {
                    Some(bonding) => (tooth, ToothStatus::Bypassed, Some(bonding)),
                    None => (tooth, ToothStatus::NotBonded, None),
                })
                .collect()
        }
    }
}

fn absence(arch: &ArchCase, tooth: Tooth, on: Option<Date>) -> Option<Absence> {
    match arch.states.get(&tooth)?.0 {
        ToothState::Missing => Some(Absence::Missing),
        ToothState::Extracted { .. } => Some(Absence::Extracted),
        ToothState::Extract { date, .. } if on.is_some_and(|on| date <= on) => {
            Some(Absence::Extracted)
        }
        ToothState::Extract { .. } => Some(Absence::ToExtract),
        ToothState::Unerupted => Some(Absence::Unerupted),
        ToothState::Implant | ToothState::Ankylosed => None,
    }
}

fn width(arch: &ArchCase, tooth: Tooth, absent: Option<Absence>) -> f64 {
    let stand = arch.stands.get(&tooth).map(|s| s.value);
    if let Some(absence) = absent {
        let across = arch.gaps.iter().find(|g| {
            let (a, b) =
                (g.first.place().min(g.second.place()), g.first.place().max(g.second.place()));
            a < tooth.place() && tooth.place() < b
        });
        let written = across.map(|g| mm(g.length)).or(stand.and_then(|s| s.space).map(mm));
        return match (written, absence) {
            (Some(space), _) => space.max(CLOSED_SPACE_MM),
            (None, Absence::Missing) => CLOSED_SPACE_MM,
            (None, _) => crown_width_mm(tooth),
        };
    }
    stand.and_then(|s| s.width).map_or_else(|| crown_width_mm(tooth), mm)
}

fn gap(arch: &ArchCase, before: Tooth, tooth: Tooth) -> f64 {
    let touches = |g: &&springline_model::case::Gap| {
        (g.first == before && g.second == tooth) || (g.first == tooth && g.second == before)
    };
    arch.gaps.iter().find(touches).map_or(0.0, |g| mm(g.length))
}

fn attachment(arch: &ArchCase, bonding: &Bonding, tooth: Tooth) -> Attachment {
    let bracket = &bonding.bracket;
    Attachment {
        tube: bracket.is_tube,
        band: bracket.on_band,
        width_mm: bracket.width.of(tooth).map_or(3.0, mm),
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
    /// `state_of` says how each arch is left; `worn` which elastics blocks are on.
    pub fn of(
        case: &'a Case,
        on: Option<Date>,
        state_of: impl Fn(Arch) -> Option<&'a ArchState>,
        worn: impl Fn(usize) -> bool,
    ) -> MouthPicture<'a> {
        // An arch that has nothing in it yet is not part of the drawing.
        let picture = |arch: Arch| {
            let state = state_of(arch)?;
            case.arch(arch).map(|a| ArchPicture::of(a, Some(state), on))
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

    /// Takes away what hangs on wire or teeth and is not there any more.
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
