//! The wires that a draft may use, and the order in which the trade lets them follow one another.
//!
//! First a round superelastic wire, 0.016 in at most where a tooth is out of line; never a lighter wire after a
//! heavier one; last a rectangular superelastic one, lighter than the working wire. (Common practice, no source.)
//! What further speaks against a sequence - too little time, too large a step, teeth too far off - the rules of
//! the checker say, and it costs there.

use std::sync::Arc;

use super::draft_step::DraftStep;
use springline_course::setup::rigidity;
use springline_model::step::WireUse;
use springline_model::{House, Wire};
use springline_units::quantity::mm;

/// Wires of the same shape whose stiffness differs by less are one choice.
const ALIKE: f64 = 1.05;

/// Most wires of one shape that are tried: a drawer of more is cut, and the draft says so.
const MOST_OF_A_SHAPE: usize = 8;

/// Most wires before the working wire, and most of one shape.
const MOST_WIRES: usize = 4;
const MOST_ALIKE: usize = 3;

/// The largest first round wire where a tooth is out of line.
const FIRST_ROUND_MM: f64 = 0.016 * 25.4 + 1e-6;

/// A wire of the drawer with its stiffness.
#[derive(Debug, Clone)]
struct RankedWire {
    step: DraftStep,
    rigidity: f64,
}

/// What may be drafted in one arch.
#[derive(Debug, Clone)]
pub struct DraftDrawer {
    /// Round ones first, each shape from the lightest to the heaviest.
    wires: Vec<RankedWire>,
    /// Names of wires left out because the drawer has too many.
    pub left_out: Vec<String>,
    /// The wire in the mouth, after which the draft begins.
    before: Option<RankedWire>,
    /// Stiffness of the working wire.
    working: f64,
    /// A tooth is out of line: the first wire is a small one.
    out_of_line: bool,
}

pub fn alone(wire: &Arc<Wire>) -> WireUse {
    WireUse { wire: wire.clone(), tandem: None, kept: false }
}

fn ranked(wire: &Arc<Wire>) -> RankedWire {
    RankedWire { step: DraftStep { wire: wire.clone() }, rigidity: rigidity(&alone(wire)) }
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
    ) -> DraftDrawer {
        let is_usual = |w: &Arc<Wire>| usual.iter().any(|u| u.name == w.name);
        let fits = |w: &&Arc<Wire>| {
            w.alloy.is_niti() && w.soft_in_mouth().is_none() && mm(w.section.height()) <= room_mm
        };
        let working = rigidity(working);
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
        DraftDrawer { wires, left_out, before: before.map(ranked), working, out_of_line }
    }

    /// How many superelastic wires of each shape there are: round, rectangular.
    pub fn shapes(&self) -> (usize, usize) {
        let round = self.wires.iter().filter(|w| w.step.is_round()).count();
        (round, self.wires.len() - round)
    }

    pub fn wires(&self) -> impl Iterator<Item = &DraftStep> {
        self.wires.iter().map(|w| &w.step)
    }

    /// The steps that may follow, in the order of the drawer.
    pub fn next(&self, so_far: &[DraftStep]) -> Vec<DraftStep> {
        let of_shape = |round: bool| so_far.iter().filter(|s| s.is_round() == round).count();
        if so_far.len() >= MOST_WIRES {
            return Vec::new();
        }
        // The last place is for a rectangular wire.
        let round_may_follow = so_far.len() + 1 < MOST_WIRES;
        let last = so_far.last().map(ranked_step).or_else(|| self.before.clone());
        let may = |w: &&RankedWire| {
            let round = w.step.is_round();
            let room = of_shape(round) < MOST_ALIKE && (!round || round_may_follow);
            room && w.rigidity < self.working && follows(last.as_ref(), w, self.out_of_line)
        };
        self.wires.iter().filter(may).map(|w| w.step.clone()).collect()
    }

    /// A working wire may follow: the last wire is a rectangular one.
    pub fn is_whole(&self, steps: &[DraftStep]) -> bool {
        match steps.last() {
            Some(last) => !last.is_round(),
            None => self.before.as_ref().is_some_and(|b| {
                !b.step.is_round() && b.step.wire.alloy.is_niti() && b.rigidity < self.working
            }),
        }
    }

    /// Whether the order of the trade allows the whole sequence.
    pub fn allows(&self, steps: &[DraftStep]) -> bool {
        self.is_whole(steps)
            && (0..steps.len()).all(|at| self.next(&steps[..at]).contains(&steps[at]))
    }

    /// Places of the steps in the drawer, for sequences that cost the same.
    pub fn places(&self, steps: &[DraftStep]) -> Vec<usize> {
        let place = |s: &DraftStep| self.wires.iter().position(|w| w.step == *s);
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

fn follows(last: Option<&RankedWire>, next: &RankedWire, out_of_line: bool) -> bool {
    let round = next.step.is_round();
    match last {
        None => round && (!out_of_line || mm(next.step.wire.section.height()) <= FIRST_ROUND_MM),
        Some(last) if last.step.is_round() == round => next.rigidity > last.rigidity * ALIKE,
        Some(last) => !round && next.rigidity > last.rigidity,
    }
}
