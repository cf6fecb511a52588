//! Equilibrium of one wire in its slots.

use super::{Refusal, Setup, Solution};

/// What a solve starts from.
#[derive(Debug, Clone, Copy, Default)]
pub enum Start<'a> {
    /// A fresh wire, put in.
    #[default]
    Cold,
    /// A fresh wire, but the solver may begin from the shape of a like one: same answer, faster.
    Warm(&'a Solution),
    /// The same wire after the teeth have moved: material history and shape carried on.
    Carry(&'a Solution),
}

/// Solves for the forces on every tooth.
///
/// # Errors
/// A [`Refusal`] where the input is impossible, the wire cannot reach a tooth, or no equilibrium is found.
pub fn solve(_setup: &Setup, _start: Start<'_>) -> Result<Solution, Refusal> {
    Err(Refusal::NotConverged { id: 0, residual_n: f64::INFINITY, limit_n: 1e-4, iterations: 0 })
}
