//! Chart of the force on every tooth over time. The bench limit is not shown, because it compares wires over one span and
//! does not apply to teeth.

use jiff::civil::Date;

use super::list::{Align, DrawItem, Pen, Point, at};
use springline_course::on_demand::ToothForce;
use springline_units::quantity::plain;
use springline_units::tooth::Notation;

const HEIGHT: f64 = 30.0;
/// Forces smaller than this are not magnified to the full height.
const LEAST_TOP_G: f64 = 50.0;
/// Curves with a number of their own in each arch.
const NAMED: usize = 4;

/// What the plot of one arch is drawn with.
pub struct Axes<'a> {
    pub left: f64,
    pub right: f64,
    pub top: f64,
    pub x: &'a dyn Fn(Date) -> f64,
    pub notation: Notation,
}

/// Height of one arch's plot, words included.
pub fn height() -> f64 {
    HEIGHT + 11.5
}

/// The plot of one arch, and what it shows in words.
pub fn plot(title: &str, teeth: &[ToothForce], axes: &Axes<'_>) -> (DrawItem, String) {
    let largest = |t: &ToothForce| t.points.iter().map(|p| p.1).fold(0.0, f64::max);
    let top_g = teeth.iter().map(largest).fold(LEAST_TOP_G, f64::max);
    let base = axes.top + 7.5 + HEIGHT;
    let y = |grams: f64| base - HEIGHT * (grams / top_g).clamp(0.0, 1.0);
    let mut items = vec![
        DrawItem::bold(at(0.0, axes.top + 2.4), 2.6, Align::Start, title),
        DrawItem::line(at(axes.left, base), at(axes.right, base), Pen::ink(0.25)),
        DrawItem::line(at(axes.left, base), at(axes.left, base - HEIGHT), Pen::ink(0.25)),
        DrawItem::words(at(axes.left - 1.0, base + 0.8), 2.2, Align::End, "0 g"),
        DrawItem::words(at(axes.left - 1.0, y(top_g) + 1.6), 2.2, Align::End, rounded(top_g)),
    ];
    let mut order: Vec<&ToothForce> = teeth.iter().collect();
    order.sort_by(|a, b| largest(b).total_cmp(&largest(a)).then(a.tooth.cmp(&b.tooth)));
    let mut taken: Vec<Point> = Vec::new();
    let mut told = Vec::new();
    for (rank, tooth) in order.iter().enumerate() {
        let named = rank < NAMED;
        let pen = if named { Pen::ink(0.4) } else { Pen::soft(0.2) };
        let mut parts = Vec::new();
        for (i, from) in tooth.breaks.iter().enumerate() {
            let to = tooth.breaks.get(i + 1).copied().unwrap_or(tooth.points.len());
            let points: Vec<Point> =
                tooth.points[*from..to].iter().map(|(d, g)| at((axes.x)(*d), y(*g))).collect();
            parts.push(DrawItem::polyline(&points, pen));
        }
        let peak = tooth.points.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        if let (true, Some((on, grams))) = (named, peak) {
            let name = tooth.tooth.write(axes.notation);
            let mut place = at((axes.x)(*on) + 0.8, y(*grams) - 0.6);
            // Labels of curves that peak together are placed side by side.
            while taken.iter().any(|p| (p.x - place.x).abs() < 5.0 && (p.y - place.y).abs() < 2.6) {
                place.x += 5.2;
            }
            taken.push(place);
            parts.push(DrawItem::bold(place, 2.4, Align::Start, name.clone()));
            told.push(format!("{name} at most {} on {on}", rounded(*grams)));
        }
        items.push(DrawItem::group(format!("tooth-{}", tooth.tooth.code()), parts));
    }
    (DrawItem::group("force-over-time", items), told.join(", "))
}

/// Two significant digits are all that published scatter allows.
fn rounded(grams: f64) -> String {
    let step = if grams >= 100.0 { 10.0 } else { 1.0 };
    format!("{} g", plain((grams / step).round() * step))
}
