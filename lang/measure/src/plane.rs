//! A plane through heights over the plan of an arch.

use nalgebra::{Matrix3, Vector3};

/// Beyond it a height counts less, mm: few teeth stand high, a curve of Spee lifts many a little.
const BEND_MM: f64 = 0.5;
/// Points on one line span no plane; teeth of an arch span thousands of mm^4.
const LEAST_SPAN: f64 = 1e-6;

/// `[a, b, c]` of `a + b x + c y` through heights by Huber's loss; zero where they do not span a plane.
///
/// A redescending loss has two answers on a curve of Spee.
pub(crate) fn plane(points: &[([f64; 2], f64)]) -> [f64; 3] {
    let mut out = Vector3::zeros();
    for _ in 0..40 {
        let (mut matrix, mut right) = (Matrix3::zeros(), Vector3::zeros());
        for (at, z) in points {
            let row = Vector3::new(1.0, at[0], at[1]);
            let off = (z - row.dot(&out)).abs();
            let weight = if off <= BEND_MM { 1.0 } else { BEND_MM / off };
            matrix += weight * row * row.transpose();
            right += weight * *z * row;
        }
        if matrix.determinant().abs() < LEAST_SPAN {
            break;
        }
        let Some(next) = matrix.lu().solve(&right) else { break };
        let moved = (next - out).amax();
        out = next;
        if moved < 1e-9 {
            break;
        }
    }
    out.into()
}

pub(crate) fn height(plane: &[f64; 3], at: [f64; 2]) -> f64 {
    plane[0] + plane[1] * at[0] + plane[2] * at[1]
}
