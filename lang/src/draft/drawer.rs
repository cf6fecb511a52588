//! The wires that a draft may use, and the order in which the trade lets them follow one another.
//!
//! First a round superelastic wire, where a tooth is out of line no thicker than the practice's limit (0.016 in); never a lighter wire after a
//! heavier one; last a rectangular superelastic one, lighter than the working wire; a full-size one before full-size
//! steel where the practice's own sequence has one. (Common practice, no source.)
//!
//! Where teeth lack room: first the others are aligned; then a coil on a wire that carries it; a light round wire takes
//! the teeth in, in the slots or laid over; from then on the order above begins anew. (Common practice, no source.)
//!
//! What further speaks against a sequence - too little time, too large a step, teeth too far off - the rules of
//! the checker say, and it costs there.

use std::sync::Arc;

use super::draft_step::{DraftAct, DraftStep};
use super::fit::is_full_size;
use super::ranked_wire::{RankedWire, ranked};
use super::room_steps::room_steps;
use springline_course::setup::rigidity;
use springline_model::limits::Limit;
use springline_model::step::WireUse;
use springline_model::stock::Alloy;
use springline_model::{House, Wire};
use springline_units::quantity::mm;

/// Wires of the same shape whose stiffness differs by less are one choice (estimate, no source).
const ALIKE: f64 = 1.05;

/// Most wires of one shape that are tried: a drawer of more is cut, and the draft says so. A bound of the
/// search, not of the trade.
const MOST_OF_A_SHAPE: usize = 8;

/// Most wires before the working wire, and most of one shape: bounds of the search, not of the trade.
const MOST_WIRES: usize = 4;
const MOST_ALIKE: usize = 3;

/// Most round wires before a coil: a bound of the search.
const MOST_BEFORE_COIL: usize = 2;

/// What may be drafted in one arch.
#[derive(Debug, Clone)]
pub struct DraftDrawer {
    /// Round ones first, each shape from the lightest to the heaviest.
    wires: Vec<RankedWire>,
    /// Steps that make room and take in, where that is wanted.
    acts: Vec<RankedWire>,
    wants_room: bool,
    /// Names of wires left out because the drawer has too many.
    pub left_out: Vec<String>,
    /// The wire in the mouth, after which the draft begins.
    before: Option<RankedWire>,
    /// Stiffness of the working wire.
    working: f64,
    /// The largest first round wire, mm, where a tooth is out of line.
    first_round_mm: Option<f64>,
    /// A full-size superelastic wire comes last: the working wire is full-size steel, and the practice's own sequence
    /// levels on such a wire before it.
    full_size_last: bool,
}

/// How far a sequence has come where teeth lack room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum RoomStage {
    Aligning,
    Opened,
    TakenIn,
}

impl DraftDrawer {
    /// `room_mm` is the height of the narrowest slot of the arch; `usual` the wires of the sequence, of which none
    /// gives way to another that is alike.
    pub fn new(
        house: &House,
        usual: &[Arc<Wire>],
        room_mm: f64,
        working: &WireUse,
        before: Option<&Arc<Wire>>,
        out_of_line: bool,
        wants_room: bool,
    ) -> DraftDrawer {
        let is_usual = |w: &Arc<Wire>| usual.iter().any(|u| u.name == w.name);
        let fits = |w: &&Arc<Wire>| {
            w.alloy.is_niti() && w.soft_in_mouth().is_none() && mm(w.section.height()) <= room_mm
        };
        let stiff = matches!(working.wire.alloy, Alloy::Steel | Alloy::CobaltChromium);
        let onto_full_steel = stiff && is_full_size(&working.wire);
        let working = rigidity(working);
        let acts = match wants_room {
            true => room_steps(house, working, room_mm),
            false => Vec::new(),
        };
        let mut all: Vec<RankedWire> = house
            .wires
            .values()
            .filter(fits)
            .map(ranked)
            .filter(|w| w.rigidity > 0.0 && w.rigidity < working)
            .collect();
        // Equal stiffness: the practice's own wire, then the order of the drawer, never that of names.
        all.sort_by(|a, b| {
            let shape = |w: &RankedWire| !w.step.is_round();
            let place = |w: &RankedWire| (w.step.wire.place.file, w.step.wire.place.span.start);
            shape(a)
                .cmp(&shape(b))
                .then(a.rigidity.total_cmp(&b.rigidity))
                .then_with(|| is_usual(&b.step.wire).cmp(&is_usual(&a.step.wire)))
                .then_with(|| place(a).cmp(&place(b)))
        });
        let mut wires: Vec<RankedWire> = Vec::new();
        for wire in all {
            let twin = wires.iter().position(|w| {
                w.step.is_round() == wire.step.is_round()
                    && w.step.wire.alloy == wire.step.wire.alloy
                    && wire.rigidity < w.rigidity * ALIKE
            });
            match twin {
                Some(at) if is_usual(&wire.step.wire) && !is_usual(&wires[at].step.wire) => {
                    wires[at] = wire;
                }
                Some(_) if !is_usual(&wire.step.wire) => {}
                _ => wires.push(wire),
            }
        }
        let mut left_out = Vec::new();
        for round in [true, false] {
            let of_shape = |w: &RankedWire| w.step.is_round() == round;
            while wires.iter().filter(|w| of_shape(w)).count() > MOST_OF_A_SHAPE {
                let last = wires.iter().rposition(|w| of_shape(w) && !is_usual(&w.step.wire));
                let Some(at) = last else { break };
                left_out.push(wires.remove(at).step.wire.name.to_string());
            }
        }
        let before = before.map(ranked);
        let first_round_mm = house.limits.warn(Limit::FirstRound) * 25.4 + 1e-6;
        let full_size = |w: &RankedWire| is_full_size(&w.step.wire);
        let full_size_last = onto_full_steel
            && wires.iter().any(full_size)
            && usual.iter().any(|w| w.alloy.is_niti() && is_full_size(w));
        DraftDrawer {
            wires,
            acts,
            wants_room,
            left_out,
            before,
            working,
            first_round_mm: out_of_line.then_some(first_round_mm),
            full_size_last,
        }
    }

    /// A 0.014 in superelastic round wire is among them.
    pub fn has_fourteen(&self) -> bool {
        let size = |w: &RankedWire| mm(w.step.wire.section.height());
        self.wires.iter().any(|w| w.step.is_round() && (size(w) / 25.4 - 0.014).abs() < 0.0005)
    }

    /// A coil, a wire that carries it and one that takes teeth in are there.
    pub fn makes_room(&self) -> bool {
        self.acts.iter().any(|a| matches!(a.step.act, DraftAct::MakeRoom(_)))
            && self.acts.iter().any(|a| a.step.takes_in())
    }

    /// How many superelastic wires of each shape there are: round, rectangular.
    pub fn shapes(&self) -> (usize, usize) {
        let round = self.wires.iter().filter(|w| w.step.is_round()).count();
        (round, self.wires.len() - round)
    }

    /// Wires of plain steps.
    pub fn wires(&self) -> impl Iterator<Item = &DraftStep> {
        self.wires.iter().map(|w| &w.step)
    }

    /// Steps that make room and take in.
    pub fn acts(&self) -> impl Iterator<Item = &DraftStep> {
        self.acts.iter().map(|w| &w.step)
    }

    /// Every step there may be, as [`Self::places`] counts them.
    pub fn all(&self) -> impl Iterator<Item = &DraftStep> {
        self.wires().chain(self.acts())
    }

    fn stage(&self, so_far: &[DraftStep]) -> RoomStage {
        let opened = so_far.iter().any(|s| matches!(s.act, DraftAct::MakeRoom(_)));
        match (so_far.iter().any(DraftStep::takes_in), opened) {
            (true, _) => RoomStage::TakenIn,
            (false, true) => RoomStage::Opened,
            (false, false) => RoomStage::Aligning,
        }
    }

    /// The steps that may follow, in the order of the drawer.
    pub fn next(&self, so_far: &[DraftStep]) -> Vec<DraftStep> {
        if !self.wants_room {
            return self.next_plain(so_far, self.before.clone());
        }
        let last = so_far.last().map(ranked_step).or_else(|| self.before.clone());
        match self.stage(so_far) {
            RoomStage::Aligning => {
                let mut out = match so_far.len() < MOST_BEFORE_COIL {
                    true => self.next_plain(so_far, self.before.clone()),
                    false => Vec::new(),
                };
                out.retain(DraftStep::is_round);
                // Something is aligned before a coil pushes; and no lighter wire follows a heavier one.
                let carries = |a: &&RankedWire| {
                    matches!(a.step.act, DraftAct::MakeRoom(_))
                        && last.as_ref().is_some_and(|l| a.rigidity >= l.rigidity)
                };
                out.extend(self.acts.iter().filter(carries).map(|a| a.step.clone()));
                out
            }
            RoomStage::Opened => {
                let base = last.map_or(0.0, |l| l.rigidity);
                let may = |a: &&RankedWire| match a.step.act {
                    DraftAct::TakeIn => true,
                    DraftAct::Overlay => a.rigidity < base,
                    _ => false,
                };
                self.acts.iter().filter(may).map(|a| a.step.clone()).collect()
            }
            RoomStage::TakenIn => {
                let at = so_far.iter().position(DraftStep::takes_in).unwrap_or(0);
                let taken_in = so_far.get(at).map(ranked_step);
                self.next_plain(&so_far[(at + 1).min(so_far.len())..], taken_in)
            }
        }
    }

    /// The least number of steps that this sequence still needs before a working wire.
    pub fn missing(&self, so_far: &[DraftStep]) -> usize {
        let flat = usize::from(so_far.last().is_none_or(|s| !self.comes_last(s)));
        if self.is_whole(so_far) {
            return 0;
        }
        match (self.wants_room, self.stage(so_far)) {
            (false, _) => flat,
            (true, RoomStage::Aligning) => {
                usize::from(so_far.is_empty() && self.before.is_none()) + 3
            }
            (true, RoomStage::Opened) => 2,
            (true, RoomStage::TakenIn) => flat,
        }
    }

    /// The plain steps that may follow these, of which the first follows `before`.
    fn next_plain(&self, so_far: &[DraftStep], before: Option<RankedWire>) -> Vec<DraftStep> {
        let of_shape = |round: bool| so_far.iter().filter(|s| s.is_round() == round).count();
        if so_far.len() >= MOST_WIRES {
            return Vec::new();
        }
        // The last place is for a rectangular wire.
        let round_may_follow = so_far.len() + 1 < MOST_WIRES;
        let last = so_far.last().map(ranked_step).or(before);
        let may = |w: &&RankedWire| {
            let round = w.step.is_round();
            let room = of_shape(round) < MOST_ALIKE && (!round || round_may_follow);
            room && w.rigidity < self.working && follows(last.as_ref(), w, self.first_round_mm)
        };
        self.wires.iter().filter(may).map(|w| w.step.clone()).collect()
    }

    /// A working wire may follow: the last wire is a rectangular one.
    pub fn is_whole(&self, steps: &[DraftStep]) -> bool {
        if self.wants_room && self.stage(steps) != RoomStage::TakenIn {
            return false;
        }
        match steps.last() {
            Some(last) => self.comes_last(last),
            None => self.before.as_ref().is_some_and(|b| {
                self.comes_last(&b.step) && b.step.wire.alloy.is_niti() && b.rigidity < self.working
            }),
        }
    }

    /// The working wire may follow this step.
    fn comes_last(&self, step: &DraftStep) -> bool {
        step.is_plain() && !step.is_round() && (!self.full_size_last || is_full_size(&step.wire))
    }

    /// Whether the order of the trade allows the whole sequence.
    pub fn allows(&self, steps: &[DraftStep]) -> bool {
        self.is_whole(steps)
            && (0..steps.len()).all(|at| self.next(&steps[..at]).contains(&steps[at]))
    }

    /// Places of the steps in the drawer, for sequences that cost the same.
    pub fn places(&self, steps: &[DraftStep]) -> Vec<usize> {
        let place = |s: &DraftStep| self.all().position(|w| w == s);
        steps.iter().map(|s| place(s).unwrap_or(usize::MAX)).collect()
    }

    /// Steps with the next lighter and the next heavier wire of the same shape.
    pub fn beside(&self, step: &DraftStep) -> [Option<DraftStep>; 2] {
        let same: Vec<&DraftStep> =
            self.wires().filter(|s| s.is_round() == step.is_round()).collect();
        let at = same.iter().position(|s| *s == step);
        let of = |at: Option<usize>| at.and_then(|i| same.get(i)).map(|s| (*s).clone());
        [of(at.and_then(|i| i.checked_sub(1))), of(at.map(|i| i + 1))]
    }
}

fn ranked_step(step: &DraftStep) -> RankedWire {
    ranked(&step.wire)
}

fn follows(last: Option<&RankedWire>, next: &RankedWire, first_round_mm: Option<f64>) -> bool {
    let round = next.step.is_round();
    match last {
        None => {
            round && first_round_mm.is_none_or(|most| mm(next.step.wire.section.height()) <= most)
        }
        Some(last) if last.step.is_round() == round => next.rigidity > last.rigidity * ALIKE,
        Some(last) => !round && next.rigidity > last.rigidity,
    }
}
