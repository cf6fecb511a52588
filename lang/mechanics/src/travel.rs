//! Teeth that travel over a while under the forces they have at its end.
//!
//! A step of [`march`](super::march) with a way of its own for every tooth, and with what hangs on the teeth: one
//! solve on supports softer by those ways. What a tooth goes by itself and what it goes with the wire is one
//! equilibrium, so a long step ends at rest and passes it nowhere.

use super::solve_arch::solve_softer;
use super::support::SupportWay;
use super::{Components, Refusal, Setup, SlotPose, Solution, Start, ToothTravel};

/// Teeth that have travelled.
#[derive(Debug, Clone, PartialEq)]
pub struct Travelled {
    /// The forces that are left where they have come to.
    pub solution: Solution,
    /// How far each has gone, in the order of the ways: what its stand has to be moved by. The way along the arch has
    /// moved no slot in the solve.
    pub by: Vec<SlotPose>,
}

/// Lets teeth travel: each by its way for every newton that it has in the end, of wire and loads. The others stay.
///
/// # Errors
/// As [`solve`](super::solve).
pub fn travel(setup: &Setup, start: Start<'_>, ways: &[ToothTravel]) -> Result<Travelled, Refusal> {
    let solution = solve_softer(setup, start, SupportWay::Each(ways))?;
    let gone = |tooth: &ToothTravel| {
        solution.tooth(tooth.id).map_or_else(SlotPose::default, |t| tooth.goes(&t.carried))
    };
    let by = ways.iter().map(gone).collect();
    Ok(Travelled { solution, by })
}

impl ToothTravel {
    /// Where its bracket goes under these forces there.
    pub fn goes(&self, forces: &Components) -> SlotPose {
        let [lingual_mm, gingival_mm, rotated_rad, tipped_rad, torque_rad, along_mm] =
            self.six(&forces.six());
        SlotPose { lingual_mm, gingival_mm, along_mm, rotated_rad, tipped_rad, torque_rad }
    }
}
