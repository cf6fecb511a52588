//! What a wire delivers as its teeth give: the march of the mechanics in as few solves as its figures
//! need.
//!
//! [`march`](crate::mechanics::march) goes half a millimetre in five steps. Two, to the delivered and
//! to the sustained force, tell the same within three in a hundred (a test holds them together), and a wire that
//! does nothing as it goes in needs none.

use crate::mechanics::{Refusal, Setup, Solution, Start, solve};

/// How far the worst tooth has given, mm, when the force counts as delivered.
pub const DELIVERED_MM: f64 = 0.2;
/// The same when it counts as sustained, mm.
pub const SUSTAINED_MM: f64 = 0.5;
/// Turn of a tooth by a couple against its travel by a force: about the long axis, and in tip and
/// torque, 1/mm^2. Those of the mechanics' march.
pub(crate) const TURN_PER_TRAVEL: (f64, f64) = (1.0 / 50.0, 1.0 / 125.0);
/// A wire whose largest force is under this as it goes in moves nothing, N.
const STILL_N: f64 = 0.02;

/// A wire as it goes in, and after the worst tooth has given.
pub(crate) struct Given {
    pub first: Solution,
    /// As the first where the wire does nothing.
    pub delivered: Solution,
    pub sustained: Solution,
    pub solves: usize,
}

impl Given {
    /// Travel per N of every tooth between the first and the delivered solution; turns by
    /// [`TURN_PER_TRAVEL`] of it. `None` where none was made.
    pub fn travel(&self) -> Option<f64> {
        (self.solves > 1).then(|| DELIVERED_MM / worst_n(&self.first))
    }

    pub fn worst_sustained_n(&self) -> f64 {
        worst_n(&self.sustained)
    }
}

fn worst_n(solution: &Solution) -> f64 {
    solution.worst().map_or(0.0, |t| t.resultant_n)
}

/// Puts a fresh wire in and lets the teeth give: each along its own force, the worst by the way of the
/// step, the others in proportion; the material's history is kept.
pub(crate) fn give(setup: &Setup, start: Start<'_>) -> Result<Given, Refusal> {
    let first = solve(setup, start)?;
    if worst_n(&first) < STILL_N {
        let (delivered, sustained) = (first.clone(), first.clone());
        return Ok(Given { first, delivered, sustained, solves: 1 });
    }
    let mut moving = setup.clone();
    let mut next = |from: &Solution, way_mm: f64| {
        move_on(&mut moving, from, way_mm);
        solve(&moving, Start::Carry(from))
    };
    let delivered = next(&first, DELIVERED_MM)?;
    let sustained = next(&delivered, SUSTAINED_MM - DELIVERED_MM)?;
    Ok(Given { first, delivered, sustained, solves: 3 })
}

fn move_on(setup: &mut Setup, now: &Solution, way_mm: f64) {
    let most = worst_n(now);
    if most < 1e-3 {
        return;
    }
    let travel = way_mm / most;
    let (long_axis, other) = TURN_PER_TRAVEL;
    for slot in &mut setup.slots {
        let Some(tooth) = now.tooth(slot.id) else { continue };
        let stand = &mut slot.stand;
        stand.lingual_mm += travel * tooth.lingual_n;
        stand.gingival_mm += travel * tooth.gingival_n;
        stand.rotated_rad += travel * long_axis * tooth.rotation_nmm;
        stand.tipped_rad += travel * other * tooth.tip_nmm;
        stand.torque_rad += travel * other * tooth.torque_nmm;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::setup::arch_setup;
    use crate::course::testing::*;
    use crate::course::{Mouth, arch_state};
    use crate::mechanics::{March, march};

    /// Each tooth within two grams and three in a hundred of the arch's largest by the march in five
    /// steps, itself an estimate within a tenth.
    #[test]
    fn two_steps_tell_what_five_do() {
        let arch = crowded_lower();
        let case = case(vec![arch.clone()]);
        for index in 0..arch.steps.len() {
            let state = arch_state(&arch, index, &Default::default()).unwrap();
            let setup = arch_setup(&case, &arch, &state, &Mouth::entered(&arch), &[]).base;
            let Ok(five) = march(&setup, &March::default()) else { continue };
            let two = give(&setup, Start::Cold).unwrap();
            for (i, tooth) in five.teeth.iter().enumerate() {
                let close = |a: f64, b: f64, what: &str| {
                    let near = (a - b).abs() < 0.02 + 0.03 * b.max(five.sustained.1);
                    assert!(near, "{} {what} of {}: {a} for {b}", state.name, tooth.id);
                };
                close(two.first.teeth[i].resultant_n, tooth.peak_n, "peak");
                close(two.delivered.teeth[i].resultant_n, tooth.delivered_n, "delivered");
                close(two.sustained.teeth[i].resultant_n, tooth.sustained_n, "sustained");
            }
        }
    }
}
