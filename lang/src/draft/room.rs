//! Teeth without room: which they are, and the lines by which they are left out, get room from a coil and are taken
//! in.
//!
//! The tooth stays out until its space is its width and half a millimetre; the wire aligns the others first; then an
//! open coil pushes its neighbours apart, the front teeth tied together; and a light wire takes it in, in the slots or
//! over the wire that keeps the room. Two that stand beside each other have one coil over both, and are taken in
//! together. (Common practice, no source.)

use super::arch_text::current;
use super::bare_spans::longest_bare_mm;
use super::draft_step::{DraftAct, DraftStep};
use springline_course::ArchLayout;
use springline_model::Case;
use springline_model::case::{ArchCase, ToothState};
use springline_model::step::ActKind;
use springline_model::stock::Coil;
use springline_units::anatomy::crown_width_mm;
use springline_units::quantity::{mm, plain, tenth};
use springline_units::tooth::{Notation, Tooth};

/// A tooth that lacks more is not taken into a wire: as the checker's rule on teeth engaged without space.
const SHORT_MM: f64 = 1.5;

/// What an arch may lack without a word on where it comes from: as the checker's rule on a shortage unexplained.
const UNEXPLAINED_MM: f64 = 2.0;

/// Space is made so much wider than the crown (common practice, no source).
const SPARE_MM: f64 = 0.5;

/// As far as a coil of the trade is pressed together in one go, and the least that is worth it (common practice, no
/// source).
const PRESSED_MM: (f64, f64) = (1.0, 4.0);

/// From so near on a tooth goes into the next wire by its own bracket (common practice, no source).
const NEAR_MM: f64 = 1.0;

/// Most teeth beside each other that one coil makes room for: of more the arch is too short, and that is no matter of
/// wires (common practice, no source).
const MOST_BESIDE: usize = 2;

/// A tooth that lacks room.
#[derive(Debug, Clone)]
struct RoomlessTooth {
    tooth: Tooth,
    short_mm: f64,
    wanted_mm: f64,
    bonded: bool,
}

/// A stretch of wire from tooth to tooth over those that lack room.
#[derive(Debug, Clone)]
struct RoomStretch {
    /// The next teeth in the wire on its right and on its left.
    beside: (Tooth, Tooth),
    teeth: Vec<RoomlessTooth>,
    sleeve: bool,
}

/// The teeth of an arch that lack room, and what the lines about them need.
#[derive(Debug, Clone)]
pub struct DraftRoom {
    stretches: Vec<RoomStretch>,
    notation: Notation,
    bracket: Option<String>,
    ties: Vec<(Tooth, Tooth)>,
    /// They are out of the wire by record.
    left_out_already: bool,
}

/// Why no coil can be drafted beside teeth that lack room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoCoilHere {
    /// One of them has no neighbour in the wire on one side.
    NoNeighbour,
    /// More stand beside each other than one coil makes room for.
    TooManyBeside,
}

/// Teeth whose measured space falls short of their crown by more than may be taken into a wire, and by how much.
pub fn roomless(case: &Case, plan: &ArchCase) -> Vec<(Tooth, f64)> {
    let short = plan.stands.keys().filter_map(|tooth| {
        let space = mm(current(case, plan, *tooth).space?);
        let lacks = width_mm(plan, *tooth) - space - helped_mm(plan, *tooth);
        (lacks > SHORT_MM + 1e-9).then_some((*tooth, lacks))
    });
    short.collect()
}

/// Room that the arch lacks, measured or written, and nothing planned makes; `None` where that is little.
pub fn unexplained_mm(case: &Case, plan: &ArchCase) -> Option<f64> {
    let lacks = |tooth: &Tooth| {
        let space = mm(current(case, plan, *tooth).space?);
        Some((width_mm(plan, *tooth) - space).max(0.0))
    };
    let measured: Vec<f64> = plan.stands.keys().filter_map(lacks).filter(|l| *l > 0.0).collect();
    let demanded = match plan.crowding.filter(|_| measured.is_empty()) {
        Some((length, _)) => mm(length),
        None => measured.iter().sum(),
    };
    let gaps: f64 = plan.gaps.iter().map(|g| mm(g.length)).sum();
    let out: f64 = plan
        .states
        .iter()
        .filter(|(_, (state, _))| is_out(state))
        .map(|(t, _)| width_mm(plan, *t))
        .sum();
    let left = demanded - enamel_mm(plan, |_| true) - out.max(gaps);
    (left > UNEXPLAINED_MM + 1e-9).then_some(left)
}

fn is_out(state: &ToothState) -> bool {
    matches!(state, ToothState::Extract { .. } | ToothState::Extracted { .. })
}

fn width_mm(plan: &ArchCase, tooth: Tooth) -> f64 {
    plan.stands.get(&tooth).and_then(|s| s.width).map_or(crown_width_mm(tooth), mm)
}

/// Room that a tooth has from an extraction or a gap within two teeth, and from enamel taken off nearby.
fn helped_mm(plan: &ArchCase, tooth: Tooth) -> f64 {
    let within = |t: Tooth, teeth: usize| t.place().abs_diff(tooth.place()) <= teeth;
    let gaps = plan.gaps.iter().filter(|g| within(g.first, 2) || within(g.second, 2));
    let gaps: f64 = gaps.map(|g| mm(g.length)).sum();
    let out = plan.states.iter().filter(|(t, (s, _))| is_out(s) && within(**t, 2));
    let out: f64 = out.map(|(t, _)| width_mm(plan, *t)).sum();
    gaps.max(out) + enamel_mm(plan, |t| within(t, 3))
}

/// Enamel that the plan takes off at contacts between such teeth.
fn enamel_mm(plan: &ArchCase, near: impl Fn(Tooth) -> bool) -> f64 {
    let acts = plan.steps.iter().flat_map(|s| &s.acts);
    acts.map(|act| match &act.kind {
        ActKind::Reduce { amount, contacts } => {
            mm(*amount) * contacts.iter().filter(|(a, b)| near(*a) && near(*b)).count() as f64
        }
        _ => 0.0,
    })
    .sum()
}

impl DraftRoom {
    pub fn new(
        case: &Case,
        plan: &ArchCase,
        short: &[(Tooth, f64)],
        layout: Option<&ArchLayout>,
        left_out_already: bool,
    ) -> Result<DraftRoom, NoCoilHere> {
        let in_wire = || plan.bonded.keys().filter(|t| short.iter().all(|(s, _)| s != *t)).copied();
        let mut stretches: Vec<RoomStretch> = Vec::new();
        for (tooth, short_mm) in short {
            let right = in_wire().filter(|t| t.place() < tooth.place()).max_by_key(|t| t.place());
            let left = in_wire().filter(|t| t.place() > tooth.place()).min_by_key(|t| t.place());
            let beside = right.zip(left).ok_or(NoCoilHere::NoNeighbour)?;
            let tooth = RoomlessTooth {
                tooth: *tooth,
                short_mm: *short_mm,
                wanted_mm: tenth(width_mm(plan, *tooth) + SPARE_MM),
                bonded: plan.bonded.contains_key(tooth),
            };
            match stretches.iter_mut().find(|s| s.beside == beside) {
                Some(stretch) => stretch.teeth.push(tooth),
                None => {
                    let bare = layout.and_then(|l| l.free_wire_mm(beside.0, beside.1));
                    let sleeve = bare.is_some_and(|mm| mm > longest_bare_mm(case));
                    stretches.push(RoomStretch { beside, teeth: vec![tooth], sleeve });
                }
            }
        }
        if stretches.iter().any(|s| s.teeth.len() > MOST_BESIDE) {
            return Err(NoCoilHere::TooManyBeside);
        }
        let bracket = plan.bonded.values().find(|b| !b.bracket.is_tube);
        let incisors: Vec<Tooth> = in_wire().filter(|t| t.is_incisor()).collect();
        let mut ties: Vec<(Tooth, Tooth)> = Vec::new();
        for tie in stretches.iter().flat_map(|s| tied(s, &incisors)) {
            if !ties.contains(&tie) {
                ties.push(tie);
            }
        }
        Ok(DraftRoom {
            bracket: bracket.map(|b| b.bracket.name.to_string()),
            notation: case.house.notation.value,
            ties,
            left_out_already,
            stretches,
        })
    }

    fn teeth(&self) -> impl Iterator<Item = &RoomlessTooth> {
        self.stretches.iter().flat_map(|s| &s.teeth)
    }

    fn word(&self, tooth: Tooth) -> String {
        tooth.write(self.notation)
    }

    fn words(&self, teeth: impl Iterator<Item = Tooth>) -> String {
        teeth.map(|t| self.word(t)).collect::<Vec<_>>().join(", ")
    }

    fn between(&self, stretch: &RoomStretch) -> String {
        format!("between {} and {}", self.word(stretch.beside.0), self.word(stretch.beside.1))
    }

    /// Teeth that a sequence without these lines never takes into a wire.
    pub fn never_taken_in(&self) -> Vec<String> {
        let out = self.teeth().filter(|t| self.left_out_already || !t.bonded);
        out.map(|t| self.word(t.tooth)).collect()
    }

    /// Lines of a later step in which they stay out.
    pub fn bare(&self) -> Vec<String> {
        let sleeved = self.stretches.iter().filter(|s| s.sleeve);
        sleeved.map(|s| format!("sleeve {}", self.between(s))).collect()
    }

    /// Lines of the first step: the teeth stay out until their space is there.
    pub fn leave_out(&self) -> Vec<String> {
        if self.left_out_already {
            return Vec::new();
        }
        let mut out = Vec::new();
        for stretch in &self.stretches {
            for tooth in &stretch.teeth {
                let unbonded = if tooth.bonded { "" } else { " unbonded" };
                let (name, wanted) = (self.word(tooth.tooth), plain(tooth.wanted_mm));
                out.push(format!("bypass {name}{unbonded} until space {wanted} mm"));
            }
            if stretch.sleeve {
                out.push(format!("sleeve {}", self.between(stretch)));
            }
        }
        out
    }

    /// Lines of a step that `makes` them room or takes them in.
    pub fn lines(&self, step: &DraftStep) -> Vec<String> {
        match &step.act {
            DraftAct::Plain => Vec::new(),
            DraftAct::MakeRoom(coil) => {
                let ties = self.ties.iter();
                let ties = ties
                    .map(|(a, b)| format!("tie {}..{} figure-eight", self.word(*a), self.word(*b)));
                let coils = self.stretches.iter().map(|s| {
                    let (between, pressed) = (self.between(s), plain(pressed_mm(s, coil)));
                    let name = &coil.name;
                    format!("open-coil {between} with {name}, activated {pressed} mm each visit")
                });
                ties.chain(coils).collect()
            }
            DraftAct::TakeIn => self
                .teeth()
                .map(|t| self.brought_in(t).unwrap_or_else(|| self.engaged(t)))
                .collect(),
            DraftAct::Overlay => {
                let kept = |s: &RoomStretch| format!("open-coil {}, passive", self.between(s));
                let mut out: Vec<String> = self.stretches.iter().map(kept).collect();
                out.extend(self.teeth().filter_map(|t| self.brought_in(t)));
                // One light wire goes over all of them: of several pieces in a step only one is computed.
                let within = self.words(self.teeth().map(|t| t.tooth));
                let mut over: Vec<Tooth> =
                    self.stretches.iter().flat_map(|s| [s.beside.0, s.beside.1]).collect();
                over.sort_unstable();
                over.dedup();
                let over = self.words(over.into_iter());
                out.push(format!("piggyback {} in {within}, over {over}", step.wire.name));
                out
            }
        }
    }

    /// Lines of the first wire of which the teeth are in the slots again, after a wire laid over.
    pub fn engage(&self) -> Vec<String> {
        self.teeth().map(|t| self.engaged(t)).collect()
    }

    fn engaged(&self, tooth: &RoomlessTooth) -> String {
        format!("engage {}", self.word(tooth.tooth))
    }

    /// A tooth without a bracket gets one.
    fn brought_in(&self, tooth: &RoomlessTooth) -> Option<String> {
        let bracket = self.bracket.as_ref().filter(|_| !tooth.bonded)?;
        Some(format!("pick-up {} with {bracket}", self.word(tooth.tooth)))
    }

    /// Until when such a step lasts.
    pub fn until(&self, step: &DraftStep) -> Option<String> {
        let each = |of: &dyn Fn(&RoomlessTooth) -> String| {
            self.teeth().map(of).collect::<Vec<_>>().join(" and ")
        };
        match step.act {
            DraftAct::Plain | DraftAct::TakeIn => None,
            DraftAct::MakeRoom(_) => Some(each(&|t| {
                format!("space {} mm at {}", plain(t.wanted_mm), self.word(t.tooth))
            })),
            DraftAct::Overlay => {
                Some(each(&|t| format!("within {} mm at {}", plain(NEAR_MM), self.word(t.tooth))))
            }
        }
    }
}

/// By what is lacking, in half millimetres, no farther than the coil goes.
fn pressed_mm(stretch: &RoomStretch, coil: &Coil) -> f64 {
    let most = coil.stroke.map_or(PRESSED_MM.1, mm).min(PRESSED_MM.1);
    let wanted: f64 = stretch.teeth.iter().map(|t| t.short_mm + SPARE_MM).sum();
    let wanted = (wanted.max(PRESSED_MM.0) * 2.0 - 1e-6).ceil() / 2.0;
    wanted.min(most)
}

/// Front teeth beside the coil that are pushed together: those in the wire on each side that begins with an incisor.
fn tied(stretch: &RoomStretch, incisors: &[Tooth]) -> Vec<(Tooth, Tooth)> {
    let (right, left) = stretch.beside;
    let mut out = Vec::new();
    for next in [right, left] {
        let there = |t: &&Tooth| (t.place() <= right.place()) == (next == right);
        let group: Vec<Tooth> = incisors.iter().filter(there).copied().collect();
        if let (true, Some(first), Some(last)) = (next.is_incisor(), group.first(), group.last())
            && first != last
        {
            out.push((*first, *last));
        }
    }
    out
}
