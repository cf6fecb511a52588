//! What the wire delivers as the teeth give: the steps that define the sustained force.

use super::{Refusal, Setup, Solution, Start, solve};

/// How the teeth are moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct March {
    /// How far the worst tooth goes in a step, mm.
    pub step_mm: f64,
    /// Steps taken; five of 0.1 mm reach the sustained force.
    pub steps: usize,
    /// Steps after which the force counts as delivered; two of 0.1 mm.
    pub delivered_after: usize,
}

impl Default for March {
    fn default() -> Self {
        March { step_mm: 0.1, steps: 5, delivered_after: 2 }
    }
}

/// One tooth over the march; resultants in N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothMarch {
    /// The tooth's [`Slot::id`](super::Slot).
    pub id: u16,
    /// When the wire goes in.
    pub peak_n: f64,
    /// After the worst tooth has given 0.2 mm.
    pub delivered_n: f64,
    /// After the worst tooth has given 0.5 mm: the sustained force S.
    pub sustained_n: f64,
}

/// A whole march.
#[derive(Debug, Clone, PartialEq)]
pub struct Marched {
    /// In order of station.
    pub teeth: Vec<ToothMarch>,
    /// Every solve: insertion first, then one a step. Delivered components and couples are read here.
    pub solutions: Vec<Solution>,
    /// Largest of each, with the tooth that has it.
    pub peak: (u16, f64),
    /// The same after 0.2 mm of give, N.
    pub delivered: (u16, f64),
    /// The same after 0.5 mm of give, N.
    pub sustained: (u16, f64),
}

/// Puts the wire in and lets the teeth give: every step moves each tooth along its own force, the
/// worst by `step_mm`, the others in proportion, turns by couple over force and lever; the material's
/// history is kept.
///
/// # Errors
/// As [`solve`].
pub fn march(setup: &Setup, how: &March) -> Result<Marched, Refusal> {
    march_from(setup, how, Start::Cold)
}

/// The march with another start of its first solve.
pub(crate) fn march_from(setup: &Setup, how: &March, start: Start<'_>) -> Result<Marched, Refusal> {
    if !(how.step_mm > 0.0 && how.step_mm <= 1.0) {
        return Err(Refusal::Input { id: None, what: "the step of the march", value: how.step_mm });
    }
    if how.steps > MOST_STEPS {
        let value = how.steps as f64;
        return Err(Refusal::Input { id: None, what: "the steps of the march", value });
    }
    let mut moving = setup.clone();
    let mut solutions = vec![solve(setup, start)?];
    for _ in 0..how.steps {
        let last = &solutions[solutions.len() - 1];
        give(&mut moving, last, how.step_mm);
        let next = solve(&moving, Start::Carry(last))?;
        solutions.push(next);
    }
    let delivered = how.delivered_after.min(how.steps);
    let teeth = solutions[0]
        .teeth
        .iter()
        .enumerate()
        .map(|(i, tooth)| ToothMarch {
            id: tooth.id,
            peak_n: tooth.resultant_n,
            delivered_n: solutions[delivered].teeth[i].resultant_n,
            sustained_n: solutions[how.steps].teeth[i].resultant_n,
        })
        .collect();
    let worst = |s: &Solution| s.worst().map_or((0, 0.0), |t| (t.id, t.resultant_n));
    Ok(Marched {
        teeth,
        peak: worst(&solutions[0]),
        delivered: worst(&solutions[delivered]),
        sustained: worst(&solutions[how.steps]),
        solutions,
    })
}

/// More steps than any course asks of one wire.
const MOST_STEPS: usize = 1000;
/// Under this nothing moves a tooth, N.
const STILL_N: f64 = 1.0e-3;
/// Turn of a tooth by a couple against its travel by a force: about the long axis, and in tip and
/// torque, 1/mm^2.
const TURN_PER_TRAVEL: (f64, f64) = (1.0 / 50.0, 1.0 / 125.0);

/// Moves every tooth along its force, the one that carries most by `step_mm`.
fn give(setup: &mut Setup, now: &Solution, step_mm: f64) {
    let most = now.worst().map_or(0.0, |t| t.resultant_n);
    if most < STILL_N {
        return;
    }
    let travel = step_mm / most;
    for slot in &mut setup.slots {
        let Some(tooth) = now.tooth(slot.id) else { continue };
        let stand = &mut slot.stand;
        stand.lingual_mm += travel * tooth.lingual_n;
        stand.gingival_mm += travel * tooth.gingival_n;
        let (long_axis, other) = TURN_PER_TRAVEL;
        stand.rotated_rad += travel * long_axis * tooth.rotation_nmm;
        stand.tipped_rad += travel * other * tooth.tip_nmm;
        stand.torque_rad += travel * other * tooth.torque_nmm;
    }
}
