//! Force against deflection of wires in the drawer: a bench test, loading and unloading, with the
//! practice's ceiling. It judges a wire, not a tooth.

use std::sync::Arc;

use serde::Serialize;

use super::grid::grid;
use super::two_digits;
use crate::course::setup::stock;
use crate::mechanics::Refusal;
use crate::mechanics::bench::{BendCurve, ThreePoint, largest_deflection_under, three_point};
use crate::model::House;
use crate::model::limits::Limit;
use crate::model::quantity::{grams_to_newtons, newtons_to_grams, plain};
use crate::model::stock::Wire;

pub const SCHEMA: &str = "springline.chart/1";

/// One wire in the test.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WireCurve {
    pub wire: String,
    /// (deflection mm, force g), growing.
    pub loading: Vec<(f64, f64)>,
    /// (deflection mm, force g), falling.
    pub unloading: Vec<(f64, f64)>,
    /// Largest deflection at which it still delivers no more than the ceiling, mm.
    pub under_ceiling_mm: Option<f64>,
    pub refused: Option<String>,
}

/// The test and all curves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chart {
    pub schema: &'static str,
    pub span_mm: f64,
    pub to_mm: f64,
    pub ceiling_g: f64,
    /// Where the ceiling comes from: the house, or the built-in default.
    pub ceiling_source: &'static str,
    pub wires: Vec<WireCurve>,
    pub note: &'static str,
}

const NOTE: &str = "A bench figure over one free span. In a mouth the spans are shorter and the same \
                    wire gives several times as much on a tooth: see `springline forces`.";

/// Bends each wire over `span_mm` to `to_mm` and back; the ceiling is the house's.
pub fn chart(house: &House, wires: &[Arc<Wire>], span_mm: Option<f64>, to_mm: f64) -> Chart {
    let limit = house.limits.of(Limit::Chart);
    let span_mm = span_mm.or(limit.value.span_mm).unwrap_or(14.0);
    let test = ThreePoint { span_mm, to_mm, points: 31, edgewise: false };
    let ceiling_g = limit.value.warn;
    Chart {
        schema: SCHEMA,
        span_mm,
        to_mm,
        ceiling_g,
        ceiling_source: limit.origin.describe(),
        wires: wires.iter().map(|w| curve(w, &test, ceiling_g)).collect(),
        note: NOTE,
    }
}

fn curve(wire: &Wire, test: &ThreePoint, ceiling_g: f64) -> WireCurve {
    let stock = stock(wire);
    let grams = |points: &[(f64, f64)]| {
        points.iter().map(|(x, f)| (*x, newtons_to_grams(*f))).collect::<Vec<_>>()
    };
    let computed: Result<(BendCurve, Option<f64>), Refusal> =
        three_point(&stock, test).and_then(|c| {
            Ok((c, largest_deflection_under(&stock, test, grams_to_newtons(ceiling_g))?))
        });
    match computed {
        Ok((c, under)) => WireCurve {
            wire: wire.label(),
            loading: grams(&c.loading),
            unloading: grams(&c.unloading),
            under_ceiling_mm: under,
            refused: None,
        },
        Err(refusal) => WireCurve {
            wire: wire.label(),
            loading: Vec::new(),
            unloading: Vec::new(),
            under_ceiling_mm: None,
            refused: Some(refusal.to_string()),
        },
    }
}

fn at(points: &[(f64, f64)], x: f64) -> Option<f64> {
    points.windows(2).find_map(|w| {
        let ((x0, y0), (x1, y1)) = (w[0], w[1]);
        let inside = (x0.min(x1)..=x0.max(x1)).contains(&x);
        inside.then(|| if x0 == x1 { y0 } else { y0 + (y1 - y0) * (x - x0) / (x1 - x0) })
    })
}

/// A table: delivered force at a few deflections, and how far each wire may be bent.
pub fn human(chart: &Chart) -> String {
    let mut out = format!(
        "Bench test over {} mm, bent {} mm and back; ceiling {} g ({})\n\n",
        plain(chart.span_mm),
        plain(chart.to_mm),
        plain(chart.ceiling_g),
        chart.ceiling_source
    );
    let stops = [0.5, 1.0, 2.0, 3.0];
    let rows: Vec<Vec<String>> = chart
        .wires
        .iter()
        .map(|w| {
            let mut row = vec![w.wire.clone()];
            for x in stops {
                row.push(at(&w.loading, x).map_or_else(|| "-".to_owned(), two_digits));
            }
            for x in stops.iter().rev() {
                row.push(at(&w.unloading, *x).map_or_else(|| "-".to_owned(), two_digits));
            }
            row.push(match (&w.refused, w.under_ceiling_mm) {
                (Some(_), _) => "refused".to_owned(),
                (None, Some(mm)) if mm >= chart.to_mm - 1e-6 => "all the way".to_owned(),
                (None, Some(mm)) => format!("{mm:.1}"),
                (None, None) => "none".to_owned(),
            });
            row
        })
        .collect();
    out.push_str(&grid(
        &[
            "wire",
            "in 0.5",
            "in 1",
            "in 2",
            "in 3",
            "back 3",
            "back 2",
            "back 1",
            "back 0.5",
            "mm under ceiling",
        ],
        &rows,
    ));
    for wire in chart.wires.iter().filter(|w| w.refused.is_some()) {
        out.push_str(&format!("  {}: {}\n", wire.wire, wire.refused.as_deref().unwrap_or("")));
    }
    out.push_str(&format!("\nForces in g at deflections in mm. {}\n", chart.note));
    out
}

pub fn csv(chart: &Chart) -> String {
    let mut out = String::from("wire,branch,deflection_mm,force_g\n");
    for w in &chart.wires {
        let name = w.wire.replace('"', "\"\"");
        for (branch, points) in [("loading", &w.loading), ("unloading", &w.unloading)] {
            for (x, f) in points {
                out.push_str(&format!("\"{name}\",{branch},{x:.3},{f:.2}\n"));
            }
        }
    }
    out
}
