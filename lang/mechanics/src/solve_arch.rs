//! The way into the solver: an arch with its ties, or without.

use super::solve::solve_loose;
use super::support::SupportWay;
use super::ties::solve_tied;
use super::{Refusal, Setup, Solution, Start};

/// Solves for the forces on every tooth.
///
/// # Errors
/// A [`Refusal`] where the input is impossible, the wire cannot reach a tooth, or no equilibrium is found.
pub fn solve(setup: &Setup, start: Start<'_>) -> Result<Solution, Refusal> {
    solve_softer(setup, start, SupportWay::NONE)
}

/// Solves on softer supports.
pub(crate) fn solve_softer(
    setup: &Setup,
    start: Start<'_>,
    way: SupportWay<'_>,
) -> Result<Solution, Refusal> {
    match setup.ties.is_empty() {
        true => solve_loose(setup, start, way),
        false => solve_tied(setup, start, way),
    }
}
