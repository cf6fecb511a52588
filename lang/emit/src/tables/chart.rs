//! The bench table: force against deflection of the practice's wires, loading and unloading, with the
//! practice's limit. It compares wires and says nothing about teeth.

use serde::Serialize;

use super::grid::grid;
use super::two_digits;
use crate::spreadsheet::{Cell, Table};
use springline_course::Refusal;
use springline_course::on_demand::{Bench, Fit, WireBench};
use springline_model::stock::printed;
use springline_units::quantity::{newtons_to_grams, plain};

pub const SCHEMA: &str = "springline.chart/1";

/// One wire in the test.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WireCurve {
    pub wire: String,
    /// (deflection mm, force g), growing.
    pub loading: Vec<(f64, f64)>,
    /// (deflection mm, force g), falling.
    pub unloading: Vec<(f64, f64)>,
    /// Largest deflection that stays under the ceiling, mm: of a superelastic wire on the way back, of
    /// any other on the way in.
    pub under_ceiling_mm: Option<f64>,
    /// Permanent deflection after unloading, mm.
    pub set_mm: f64,
    /// The house's measured points beside the law fitted to them.
    pub fit: Option<FittedCurve>,
    pub refused: Option<String>,
}

/// How well the fitted law reproduces the measurements.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FittedCurve {
    pub points: Vec<FittedPoint>,
    /// Largest miss over the largest measured force, percent.
    pub worst_percent: f64,
    /// Why there is no fit; the alloy's own set is used instead.
    pub refused: Option<String>,
}

/// One measured point.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FittedPoint {
    pub unloading: bool,
    pub deflection_mm: f64,
    pub measured_g: f64,
    pub fitted_g: f64,
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

const NOTE: &str = concat!(
    "A bench figure over one free span. In a mouth the spans are shorter and the same wire applies several \
     times the force to a tooth: see `springline forces`. ",
    crate::caution::caution!()
);

/// The chart of a bench test.
pub fn chart(bench: &Bench) -> Chart {
    Chart {
        schema: SCHEMA,
        span_mm: bench.span_mm,
        to_mm: bench.to_mm,
        ceiling_g: bench.ceiling_g,
        ceiling_source: bench.ceiling_source,
        wires: bench.wires.iter().map(curve).collect(),
        note: NOTE,
    }
}

fn fit(fit: &Result<Fit, Refusal>) -> FittedCurve {
    match fit {
        Ok(fit) => FittedCurve {
            points: fit
                .points
                .iter()
                .map(|p| FittedPoint {
                    unloading: p.unloading,
                    deflection_mm: p.deflection_mm,
                    measured_g: newtons_to_grams(p.measured_n),
                    fitted_g: newtons_to_grams(p.fitted_n),
                })
                .collect(),
            worst_percent: 100.0 * fit.worst_share,
            refused: None,
        },
        Err(refusal) => FittedCurve {
            points: Vec::new(),
            worst_percent: 0.0,
            refused: Some(refusal.to_string()),
        },
    }
}

fn curve(of: &WireBench) -> WireCurve {
    let (wire, fit) = (&of.wire, of.fit.as_ref().map(fit));
    let grams = |points: &[(f64, f64)]| {
        points.iter().map(|(x, f)| (*x, newtons_to_grams(*f))).collect::<Vec<_>>()
    };
    match &of.computed {
        Ok((c, under)) => WireCurve {
            wire: wire.typed_label(),
            loading: grams(&c.loading),
            unloading: grams(&c.unloading),
            under_ceiling_mm: *under,
            set_mm: c.permanent_set_mm,
            fit,
            refused: None,
        },
        Err(refusal) => WireCurve {
            wire: wire.typed_label(),
            loading: Vec::new(),
            unloading: Vec::new(),
            under_ceiling_mm: None,
            set_mm: 0.0,
            fit,
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

/// Tenths of a millimetre; hundredths where a tenth would be nothing.
pub fn reading(mm: f64) -> String {
    if mm < 0.1 { format!("{mm:.2}") } else { format!("{mm:.1}") }
}

/// A table: delivered force at a few deflections, and how far each wire may be bent.
pub fn human(chart: &Chart) -> String {
    let mut out = format!(
        "Bench test over {} mm, deflected {} mm and back; bench ceiling {} g ({})\n\n",
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
            let mut row = vec![printed(&w.wire)];
            for x in stops {
                row.push(at(&w.loading, x).map_or_else(|| "-".to_owned(), two_digits));
            }
            for x in stops.iter().rev() {
                row.push(at(&w.unloading, *x).map_or_else(|| "-".to_owned(), two_digits));
            }
            row.push(match (&w.refused, w.under_ceiling_mm) {
                (Some(_), _) => "refused".to_owned(),
                (None, Some(mm)) if mm >= chart.to_mm - 1e-6 => "throughout".to_owned(),
                (None, Some(mm)) => reading(mm),
                (None, None) => "none".to_owned(),
            });
            row
        })
        .collect();
    out.push_str(&grid(
        &[
            "wire",
            "load 0.5",
            "load 1",
            "load 2",
            "load 3",
            "unload 3",
            "unload 2",
            "unload 1",
            "unload 0.5",
            "mm under ceiling",
        ],
        &rows,
    ));
    for wire in chart.wires.iter().filter(|w| w.refused.is_some()) {
        out.push_str(&format!(
            "  {}: {}\n",
            printed(&wire.wire),
            wire.refused.as_deref().unwrap_or("")
        ));
    }
    for wire in &chart.wires {
        if let Some(fit) = &wire.fit {
            out.push_str(&fit_text(&printed(&wire.wire), fit));
        }
        if wire.set_mm > 0.05 {
            out.push_str(&format!(
                "\n{}: permanent set {:.1} mm\n",
                printed(&wire.wire),
                wire.set_mm
            ));
        }
    }
    out.push_str(&format!(
        "\nForces in g at deflections in mm. Under the ceiling: on unloading for superelastic \
        wires, on loading for any other. {}\n",
        chart.note
    ));
    out
}

/// The measured points beside the fitted ones.
fn fit_text(wire: &str, fit: &FittedCurve) -> String {
    if let Some(why) = &fit.refused {
        return format!(
            "\n{wire}: its measured curve could not be fitted ({why}); the default figures of the alloy are \
             used\n"
        );
    }
    let mut out = format!(
        "\n{wire}: curve fitted to {} measured points, largest deviation {:.0} %\n",
        fit.points.len(),
        fit.worst_percent
    );
    for p in &fit.points {
        out.push_str(&format!(
            "  {} at {} mm: measured {}, fitted {}\n",
            if p.unloading { "unloading" } else { "loading" },
            plain(p.deflection_mm),
            two_digits(p.measured_g),
            two_digits(p.fitted_g)
        ));
    }
    out
}

impl Table for Chart {
    const HEAD: &'static [&'static str] = &["wire", "branch", "deflection_mm", "force_g"];

    fn rows(&self) -> Vec<Vec<Cell>> {
        let mut out = Vec::new();
        for w in &self.wires {
            for (branch, points) in [("loading", &w.loading), ("unloading", &w.unloading)] {
                out.extend(points.iter().map(|(x, f)| {
                    vec![
                        Cell::words(&w.wire),
                        Cell::words(branch),
                        Cell::figure(*x, 3),
                        Cell::figure(*f, 2),
                    ]
                }));
            }
        }
        out
    }
}
