//! Material law fitted to a wire's measured bending curve.
//!
//! A fit solves the bench test some dozens of times, and the same wire is needed at every step of every
//! case, so fits are cached. They depend on the wire only, so the cache changes no result.

use std::collections::BTreeMap;
use std::sync::{Mutex, OnceLock, PoisonError};

use springline_mechanics::{Fit, MeasuredWire, Refusal, Stock, fit};
use springline_model::stock::{MeasuredBend, Wire};
use springline_units::quantity::{mm, newtons};

/// The standard unloads from here; a house that names no deeper loading point is taken to have done so.
const STANDARD_MM: f64 = 3.1;
/// More wires than any practice has.
const KEPT: usize = 256;

type FitResult = Result<Fit, Refusal>;

/// The law fitted to what the house measured, with every point beside its fitted force; `None` for a
/// wire without a measured curve. A refusal is a curve that no wire of this section can have.
///
/// `start` is the alloy's set with the house's own figures in it.
pub fn fitted(wire: &Wire, start: &Stock) -> Option<FitResult> {
    static KNOWN: OnceLock<Mutex<BTreeMap<String, FitResult>>> = OnceLock::new();
    let measured = curve(wire.measured.as_ref()?);
    // Keyed by every number to its last bit, so that two wires are never confused.
    let key = format!("{start:?} {measured:?}");
    let known = KNOWN.get_or_init(Mutex::default);
    let found = known.lock().unwrap_or_else(PoisonError::into_inner).get(&key).cloned();
    if let Some(found) = found {
        return Some(found);
    }
    let fitted = fit(&start.section, &start.law, &measured);
    let mut kept = known.lock().unwrap_or_else(PoisonError::into_inner);
    if kept.len() >= KEPT {
        kept.clear();
    }
    kept.insert(key, fitted.clone());
    Some(fitted)
}

fn curve(bend: &MeasuredBend) -> MeasuredWire {
    let points = |unloading: bool| -> Vec<(f64, f64)> {
        let own = bend.points.iter().filter(|p| p.unloading == unloading);
        own.map(|p| (mm(p.deflection), newtons(p.force))).collect()
    };
    let (loading, unloading) = (points(false), points(true));
    let deepest = |points: &[(f64, f64)]| points.iter().fold(0.0_f64, |m, p| m.max(p.0));
    let (down, back) = (deepest(&loading), deepest(&unloading));
    // Loading points say how far the test went; without one beyond the last unloading point, it went
    // as far as the standard's.
    let to_mm = if down > back || unloading.is_empty() { down } else { back.max(STANDARD_MM) };
    MeasuredWire { span_mm: mm(bend.span), loading, unloading, to_mm, edgewise: false }
}
