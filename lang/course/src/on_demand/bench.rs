//! Wires of a drawer on the bench: one free span, bent and let go. It judges a wire, not a tooth.

use std::sync::Arc;

use crate::setup::arch_setup::{bench_stock, unfitted};
use crate::setup::measured::fitted;
use springline_mechanics::bench::{BendCurve, ThreePoint, largest_deflection_under, three_point};
use springline_mechanics::{Fit, Law, Refusal, Stock};
use springline_model::House;
use springline_model::limits::Limit;
use springline_model::stock::Wire;
use springline_units::quantity::grams_to_newtons;

/// One wire in the test.
#[derive(Debug, Clone, PartialEq)]
pub struct WireBench {
    pub wire: Arc<Wire>,
    /// Deflections in mm and forces in N, and the largest deflection that stays under the ceiling, mm: of a
    /// superelastic wire on the way back, of any other on the way in.
    pub computed: Result<(BendCurve, Option<f64>), Refusal>,
    /// The law fitted to the house's own curve, where it has measured one.
    pub fit: Option<Result<Fit, Refusal>>,
}

/// The test and all wires in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bench {
    pub span_mm: f64,
    pub to_mm: f64,
    pub ceiling_g: f64,
    /// Where the ceiling comes from: the house, or the built-in default.
    pub ceiling_source: &'static str,
    pub wires: Vec<WireBench>,
}

/// Bends each wire over `span_mm` to `to_mm` and back; the ceiling, and the span where none is given, are the
/// house's.
pub fn bench(house: &House, wires: &[Arc<Wire>], span_mm: Option<f64>, to_mm: f64) -> Bench {
    let limit = house.limits.of(Limit::Chart);
    let span_mm = span_mm.or(limit.value.span_mm).unwrap_or(14.0);
    let test = ThreePoint { span_mm, to_mm, points: 31, edgewise: false };
    let ceiling_g = limit.value.warn;
    let one = |wire: &Arc<Wire>| {
        let own = on_the_bench(bench_stock(wire));
        let computed = three_point(&own, &test).and_then(|curve| {
            Ok((curve, largest_deflection_under(&own, &test, grams_to_newtons(ceiling_g))?))
        });
        WireBench { wire: wire.clone(), computed, fit: fitted(wire, &unfitted(wire)) }
    };
    Bench {
        span_mm,
        to_mm,
        ceiling_g,
        ceiling_source: limit.origin.describe(),
        wires: wires.iter().map(one).collect(),
    }
}

/// The standard's bending test of a wire, and its curve.
pub fn standard_test(wire: &Wire) -> Option<(ThreePoint, BendCurve)> {
    let test = ThreePoint::standard();
    let curve = three_point(&bench_stock(wire), &test).ok()?;
    Some((test, curve))
}

/// A linear alloy yields on the bench where its elastic range ends, measured or the alloy's own. In
/// the arch it is computed as elastic unless the house gives a yield stress, and its strain is judged.
fn on_the_bench(stock: Stock) -> Stock {
    match stock.law {
        Law::Linear(linear) => Stock { law: Law::Linear(linear.yielding()), ..stock },
        Law::Flag(_) => stock,
    }
}
