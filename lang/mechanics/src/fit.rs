//! Fits an alloy's law to a bending curve that was measured on the wire itself.

use super::bench::{BendCurve, ThreePoint, three_point};
use super::{Flag, Law, Linear, Refusal, Stock, WireSection};

/// Forces read from a three-point test of the wire itself. A few points are enough; what they leave
/// open stays near the alloy's defaults.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredWire {
    /// Distance of the two supports, mm.
    pub span_mm: f64,
    /// (deflection mm, force N) while loading.
    pub loading: Vec<(f64, f64)>,
    /// (deflection mm, force N) while unloading from the largest deflection named here.
    pub unloading: Vec<(f64, f64)>,
    /// Deflection from which it was unloaded, mm (3.1 in the standard).
    pub to_mm: f64,
    /// As [`ThreePoint::edgewise`].
    pub edgewise: bool,
}

/// One measured point beside the fitted law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FitPoint {
    /// True on the way back.
    pub unloading: bool,
    /// Deflection, mm.
    pub deflection_mm: f64,
    /// Force that was measured, N.
    pub measured_n: f64,
    /// Force by the fitted law, N.
    pub fitted_n: f64,
}

/// A fitted law, and how well it fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The law that was found.
    pub law: Law,
    /// Every measured point beside it.
    pub points: Vec<FitPoint>,
    /// Root mean square of the misfit, N.
    pub rms_n: f64,
    /// Largest misfit over the largest measured force.
    pub worst_share: f64,
}

/// Weight of the alloy's defaults against the measured points.
const PRIOR: f64 = 0.02;
/// Rounds of Gauss-Newton; the curve is smooth in the three scales.
const ROUNDS: usize = 8;

/// Scales modulus, loading plateau and unloading plateau of `start` (for a linear law the modulus
/// alone) so that the bench reproduces the measured points in the least-squares sense.
///
/// # Errors
/// For points that are no test, and as [`three_point`].
pub fn fit(section: &WireSection, start: &Law, measured: &MeasuredWire) -> Result<Fit, Refusal> {
    let wanted = points(measured)?;
    let scales = if matches!(start, Law::Linear(_)) { 1 } else { 3 };
    let largest = wanted.iter().fold(0.0_f64, |m, p| m.max(p.measured_n.abs()));
    let mut at = [0.0_f64; 3];
    let mut curve = run(section, &scaled(start, &at), measured)?;
    for _ in 0..ROUNDS {
        let misses = |c: &BendCurve| -> Vec<f64> {
            wanted.iter().map(|p| (fitted(c, p) - p.measured_n) / largest).collect()
        };
        let here = misses(&curve);
        let mut normal = [[0.0; 3]; 3];
        let mut right = [0.0; 3];
        let mut columns = Vec::new();
        for k in 0..scales {
            let mut moved = at;
            moved[k] += 0.02;
            let there = misses(&run(section, &scaled(start, &moved), measured)?);
            columns.push(there.iter().zip(&here).map(|(a, b)| (a - b) / 0.02).collect::<Vec<_>>());
        }
        for i in 0..scales {
            for j in 0..scales {
                normal[i][j] = columns[i].iter().zip(&columns[j]).map(|(a, b)| a * b).sum();
            }
            normal[i][i] += PRIOR * PRIOR;
            right[i] = -columns[i].iter().zip(&here).map(|(a, b)| a * b).sum::<f64>()
                - PRIOR * PRIOR * at[i];
        }
        for i in scales..3 {
            normal[i][i] = 1.0;
        }
        let Some(step) = nalgebra::Matrix3::from_fn(|i, j| normal[i][j])
            .cholesky()
            .map(|c| c.solve(&nalgebra::Vector3::from(right)))
        else {
            break;
        };
        let length = step.amax();
        let share = if length > 0.4 { 0.4 / length } else { 1.0 };
        for k in 0..scales {
            at[k] = (at[k] + share * step[k]).clamp(-2.0, 2.0);
        }
        curve = run(section, &scaled(start, &at), measured)?;
        if length < 1e-4 {
            break;
        }
    }
    let points: Vec<FitPoint> =
        wanted.iter().map(|p| FitPoint { fitted_n: fitted(&curve, p), ..*p }).collect();
    let miss = |p: &FitPoint| p.fitted_n - p.measured_n;
    let squares: f64 = points.iter().map(|p| miss(p).powi(2)).sum();
    Ok(Fit {
        law: scaled(start, &at),
        rms_n: (squares / points.len() as f64).sqrt(),
        worst_share: points.iter().fold(0.0_f64, |m, p| m.max(miss(p).abs())) / largest,
        points,
    })
}

fn points(measured: &MeasuredWire) -> Result<Vec<FitPoint>, Refusal> {
    let branch = |list: &[(f64, f64)], unloading| -> Vec<FitPoint> {
        list.iter()
            .map(|&(deflection_mm, measured_n)| FitPoint {
                unloading,
                deflection_mm,
                measured_n,
                fitted_n: 0.0,
            })
            .collect()
    };
    let mut all = branch(&measured.loading, false);
    all.extend(branch(&measured.unloading, true));
    for p in &all {
        let inside = p.deflection_mm > 0.0 && p.deflection_mm <= measured.to_mm;
        if !(inside && p.measured_n > 0.0 && p.measured_n < 1.0e3) {
            let value = if inside { p.measured_n } else { p.deflection_mm };
            return Err(Refusal::Input { id: None, what: "a measured point", value });
        }
    }
    if all.is_empty() {
        return Err(Refusal::Input { id: None, what: "the number of measured points", value: 0.0 });
    }
    Ok(all)
}

fn run(section: &WireSection, law: &Law, measured: &MeasuredWire) -> Result<BendCurve, Refusal> {
    let test = ThreePoint {
        span_mm: measured.span_mm,
        to_mm: measured.to_mm,
        points: 32,
        edgewise: measured.edgewise,
    };
    three_point(&Stock { section: *section, law: *law }, &test)
}

fn fitted(curve: &BendCurve, p: &FitPoint) -> f64 {
    let force = if p.unloading {
        curve.unloading_at(p.deflection_mm)
    } else {
        curve.loading_at(p.deflection_mm)
    };
    force.unwrap_or(0.0)
}

/// The law with modulus, loading and unloading stresses scaled by exponentials.
fn scaled(law: &Law, by: &[f64; 3]) -> Law {
    let [modulus, loading, unloading] = by.map(f64::exp);
    match *law {
        Law::Linear(l) => Law::Linear(Linear {
            modulus_mpa: modulus * l.modulus_mpa,
            shear_modulus_mpa: modulus * l.shear_modulus_mpa,
            ..l
        }),
        Law::Flag(f) => {
            // The lower plateau stays under the upper one whatever the points ask for.
            let start = loading * f.loading_start_mpa;
            let end = loading * f.loading_end_mpa;
            Law::Flag(Flag {
                austenite_mpa: modulus * f.austenite_mpa,
                martensite_mpa: modulus * f.martensite_mpa,
                loading_start_mpa: start,
                loading_end_mpa: end,
                unloading_start_mpa: (unloading * f.unloading_start_mpa).min(0.98 * end),
                unloading_end_mpa: (unloading * f.unloading_end_mpa).min(0.98 * start),
                ..f
            })
        }
    }
}
