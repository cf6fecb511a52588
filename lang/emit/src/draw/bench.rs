//! Chart of bench force against deflection, with the practice's limit.

use super::list::{Align, Dash, DrawItem, Drawing, Pen, Point, Shade, at};
use crate::tables::chart::{Chart, WireCurve, reading};
use springline_units::quantity::plain;

const WIDTH: f64 = 170.0;
const LEFT: f64 = 16.0;
const TOP: f64 = 8.0;
const PLOT: f64 = 88.0;
const ROW: f64 = 5.2;
/// A steel wire's force would press all others flat: the frame ends at so many ceilings.
const CEILINGS_SHOWN: f64 = 6.0;

pub(super) struct BenchAxes {
    to_mm: f64,
    pub(super) to_g: f64,
}

impl BenchAxes {
    pub(super) fn of(chart: &Chart) -> BenchAxes {
        let largest = chart
            .wires
            .iter()
            .flat_map(|w| w.loading.iter().chain(&w.unloading))
            .map(|(_, f)| *f)
            .filter(|f| f.is_finite())
            .fold(chart.ceiling_g * 1.5, f64::max);
        let to_g = largest.min(chart.ceiling_g.max(1.0) * CEILINGS_SHOWN);
        BenchAxes { to_mm: chart.to_mm.max(0.1), to_g: round_up(to_g) }
    }

    fn at(&self, (mm, g): (f64, f64)) -> Point {
        let x = LEFT + (WIDTH - LEFT - 8.0) * (mm / self.to_mm).clamp(0.0, 1.0);
        at(x, TOP + PLOT * (1.0 - (g / self.to_g).clamp(0.0, 1.0)))
    }
}

/// The next round number.
fn round_up(value: f64) -> f64 {
    let step = step(value);
    (value / step).ceil() * step
}

/// About five steps of 1, 2 or 5 times a power of ten.
fn step(value: f64) -> f64 {
    let raw = (value / 5.0).max(1e-6);
    let power = 10f64.powf(raw.log10().floor());
    let lead = raw / power;
    power
        * if lead <= 1.0 {
            1.0
        } else if lead <= 2.0 {
            2.0
        } else if lead <= 5.0 {
            5.0
        } else {
            10.0
        }
}

pub fn bench(chart: &Chart) -> Drawing {
    let frame = BenchAxes::of(chart);
    let mut items = axes(chart, &frame);
    items.push(ceiling(chart, &frame));
    for (i, wire) in chart.wires.iter().enumerate() {
        items.push(curve(chart, &frame, wire, i));
    }
    let bottom = TOP + PLOT + 13.0;
    items.extend(legend(chart, bottom));
    Drawing {
        width: WIDTH,
        height: bottom + 4.2 + ROW * (chart.wires.len() as f64 + 1.6),
        title: format!("Bench test over {} mm", plain(chart.span_mm)),
        description: text_alternative(chart),
        items,
    }
}

fn axes(chart: &Chart, frame: &BenchAxes) -> Vec<DrawItem> {
    let mut items = Vec::new();
    let corner = frame.at((0.0, 0.0));
    let each_g = step(frame.to_g);
    let mut g = 0.0;
    while g <= frame.to_g + 1e-9 {
        let p = frame.at((0.0, g));
        items.push(DrawItem::line(p, frame.at((frame.to_mm, g)), Pen::soft(0.12)));
        items.push(DrawItem::words(at(p.x - 1.2, p.y + 0.9), 2.7, Align::End, plain(g)));
        g += each_g;
    }
    let each_mm = step(frame.to_mm);
    let mut mm = 0.0;
    while mm <= frame.to_mm + 1e-9 {
        let p = frame.at((mm, 0.0));
        items.push(DrawItem::line(p, at(p.x, p.y + 1.2), Pen::ink(0.25)));
        items.push(DrawItem::words(at(p.x, p.y + 4.4), 2.7, Align::Middle, plain(mm)));
        mm += each_mm;
    }
    items.push(DrawItem::line(corner, frame.at((frame.to_mm, 0.0)), Pen::ink(0.3)));
    items.push(DrawItem::line(corner, frame.at((0.0, frame.to_g)), Pen::ink(0.3)));
    items.push(DrawItem::words(at(LEFT, TOP - 3.0), 2.9, Align::Start, "force, g"));
    let under = format!("deflection in the middle of {} mm, mm", plain(chart.span_mm));
    items.push(DrawItem::words(at(WIDTH - 8.0, corner.y + 8.4), 2.9, Align::End, under));
    items
}

fn ceiling(chart: &Chart, frame: &BenchAxes) -> DrawItem {
    let (from, to) = (frame.at((0.0, chart.ceiling_g)), frame.at((frame.to_mm, chart.ceiling_g)));
    let text = format!("ceiling {} g", plain(chart.ceiling_g));
    DrawItem::group(
        "ceiling",
        vec![
            DrawItem::line(from, to, Pen::ink(0.5).dashed()),
            DrawItem::bold(at(to.x - 1.0, to.y + 3.4), 2.8, Align::End, text),
        ],
    )
}

/// Loading thin, unloading heavy: what comes back is what is delivered.
fn curve(chart: &Chart, frame: &BenchAxes, wire: &WireCurve, index: usize) -> DrawItem {
    let dash = [Dash::Solid, Dash::Dashed, Dash::Dotted][index % 3];
    let line = |points: &[(f64, f64)], width: f64| {
        let points: Vec<Point> = points
            .iter()
            .filter(|(x, f)| x.is_finite() && f.is_finite())
            .map(|p| frame.at(*p))
            .collect();
        DrawItem::polyline(&points, Pen { width, shade: Shade::Ink, dash })
    };
    let mut items = Vec::new();
    if !wire.loading.is_empty() {
        items.push(DrawItem::group("loading", vec![line(&wire.loading, 0.25)]));
    }
    if !wire.unloading.is_empty() {
        items.push(DrawItem::group("unloading", vec![line(&wire.unloading, 0.7)]));
    }
    // The number sits on the heavy line, each wire's a little further along.
    let share = 0.25 + 0.5 * index as f64 / chart.wires.len().max(1) as f64;
    let place = ((wire.unloading.len() as f64) * share) as usize;
    if let Some(point) = wire.unloading.get(place) {
        let p = frame.at(*point);
        items.push(DrawItem::circle(p, 2.0, Some(Pen::ink(0.3)), Some(Shade::Paper)));
        let number = (index + 1).to_string();
        items.push(DrawItem::bold(at(p.x, p.y + 1.0), 2.8, Align::Middle, number));
    }
    if let Some(mm) = wire.under_ceiling_mm.filter(|mm| *mm < chart.to_mm - 1e-6) {
        let foot = frame.at((mm, 0.0));
        let top = frame.at((mm, chart.ceiling_g));
        items.push(DrawItem::group(
            "largest",
            vec![DrawItem::line(top, foot, Pen::ink(0.3).dotted())],
        ));
    }
    DrawItem::group(format!("wire-{}", index + 1), items)
}

fn legend(chart: &Chart, top: f64) -> Vec<DrawItem> {
    let lines = [
        "Thin line: loading. Heavy line: unloading. A line along the upper edge is off the scale.",
        "Under the ceiling: on unloading for superelastic wires, the force they deliver; on loading for any other.",
    ];
    let mut items: Vec<DrawItem> = (0..)
        .zip(lines)
        .map(|(i, line)| {
            DrawItem::words(at(LEFT, top + 4.2 * f64::from(i)), 2.7, Align::Start, line)
        })
        .collect();
    let top = top + 4.2;
    for (i, wire) in chart.wires.iter().enumerate() {
        let y = top + ROW * (i as f64 + 1.1);
        items.push(DrawItem::bold(at(LEFT, y), 2.9, Align::Start, (i + 1).to_string()));
        items.push(DrawItem::words(
            at(LEFT + 5.0, y),
            2.9,
            Align::Start,
            springline_model::stock::printed(&wire.wire),
        ));
        items.push(DrawItem::words(at(WIDTH - 8.0, y), 2.9, Align::End, under(chart, wire)));
    }
    items
}

/// "up to 1.4 mm under the ceiling".
pub fn under(chart: &Chart, wire: &WireCurve) -> String {
    match (&wire.refused, wire.under_ceiling_mm) {
        (Some(_), _) => "not computed".to_owned(),
        (None, Some(mm)) if mm >= chart.to_mm - 1e-6 => "under the ceiling throughout".to_owned(),
        (None, Some(mm)) => format!("under the ceiling up to {} mm", reading(mm)),
        (None, None) => "over the ceiling at any deflection".to_owned(),
    }
}

fn text_alternative(chart: &Chart) -> String {
    let wires: Vec<String> = chart
        .wires
        .iter()
        .map(|w| format!("{}: {}.", springline_model::stock::printed(&w.wire), under(chart, w)))
        .collect();
    format!(
        "Force against deflection over {} mm, ceiling {} g. {} {}",
        plain(chart.span_mm),
        plain(chart.ceiling_g),
        wires.join(" "),
        chart.note
    )
}
