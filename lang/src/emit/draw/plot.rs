//! The bench chart in a terminal, in braille dots.

use textplots::{Chart as Plot, Plot as _, Shape};

use super::bench::{Frame, under};
use crate::emit::tables::chart::Chart;
use crate::model::quantity::plain;

/// Dots across and down; a terminal cell holds two by four.
const DOTS: (u32, u32) = (140, 72);

/// One picture a wire, all on the same scale, the ceiling as a line.
pub fn terminal(chart: &Chart) -> String {
    let top = Frame::of(chart).to_g;
    let mut out = format!(
        "Bench test over {} mm, bent {} mm and back. The level line is the ceiling, {} g.\n",
        plain(chart.span_mm),
        plain(chart.to_mm),
        plain(chart.ceiling_g)
    );
    for wire in &chart.wires {
        out.push_str(&format!("\n{}: {}\n", wire.wire, under(chart, wire)));
        if wire.unloading.is_empty() {
            continue;
        }
        let dots = |points: &[(f64, f64)]| -> Vec<(f32, f32)> {
            let finite = points.iter().filter(|(x, f)| x.is_finite() && f.is_finite());
            finite.map(|(x, f)| (*x as f32, f.min(top) as f32)).collect()
        };
        let (loading, unloading) = (dots(&wire.loading), dots(&wire.unloading));
        let ceiling = [(0.0, chart.ceiling_g as f32), (chart.to_mm as f32, chart.ceiling_g as f32)];
        let (curve_in, curve_back) = (Shape::Lines(&loading), Shape::Lines(&unloading));
        let level = Shape::Lines(&ceiling);
        let mut plot =
            Plot::new_with_y_range(DOTS.0, DOTS.1, 0.0, chart.to_mm as f32, 0.0, top as f32);
        let plot = plot.lineplot(&curve_in).lineplot(&curve_back).lineplot(&level);
        plot.axis();
        plot.figures();
        let text = plot.to_string();
        out.push_str(&text);
    }
    out.push_str(&format!("\n{}\n", chart.note));
    out
}
