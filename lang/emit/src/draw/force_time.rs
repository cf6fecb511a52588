//! Chart of the force on every tooth over time: the wire is solved at the median patient's tooth
//! positions along the course. The bench limit is not shown, because it compares wires over one span and
//! does not apply to teeth.

use jiff::civil::Date;

use super::list::{Align, DrawItem, Pen, Point, at};
use crate::dates;
use springline_course::setup::{ArchSetup, ArchSolution};
use springline_course::{ArchForecast, Phase, ToothPose};
use springline_mechanics as mechanics;
use springline_units::quantity::{newtons_to_grams, plain};
use springline_units::tooth::{Notation, Tooth};

/// Solves a phase this often at most: the curve is smooth, and each solve costs milliseconds.
const SOLVES: usize = 8;
const HEIGHT: f64 = 30.0;
/// Forces smaller than this are not magnified to the full height.
const LEAST_TOP_G: f64 = 50.0;
/// Curves with a number of their own in each arch.
const NAMED: usize = 4;

/// One tooth over a whole course: day, and force in g; a gap where the mechanics had no answer.
#[derive(Debug, Clone, PartialEq)]
pub struct ToothForce {
    pub tooth: Tooth,
    pub points: Vec<(Date, f64)>,
    /// At every insertion the curve starts again.
    pub breaks: Vec<usize>,
}

/// Force of every engaged tooth over the course of an arch.
pub fn over_time(arch: &ArchForecast) -> Vec<ToothForce> {
    let mut out: Vec<ToothForce> = Vec::new();
    for phase in &arch.phases {
        let Some(begun) = phase.date_in else { continue };
        let mut fresh: Vec<Tooth> = Vec::new();
        for (day, forces) in phase_forces(phase) {
            let on = dates::after(begun, day);
            for (tooth, grams) in forces {
                let place = match out.iter().position(|t| t.tooth == tooth) {
                    Some(place) => place,
                    None => {
                        out.push(ToothForce { tooth, points: Vec::new(), breaks: Vec::new() });
                        out.len() - 1
                    }
                };
                let row = &mut out[place];
                if !fresh.contains(&tooth) {
                    fresh.push(tooth);
                    row.breaks.push(row.points.len());
                }
                row.points.push((on, grams));
            }
        }
    }
    out
}

/// Days since the wire went in, with the force on every tooth in it.
fn phase_forces(phase: &Phase) -> Vec<(f64, Vec<(Tooth, f64)>)> {
    let Some((_, first)) = phase.path.first() else { return Vec::new() };
    let step = phase.path.len().div_ceil(SOLVES).max(1);
    let last = phase.path.len() - 1;
    let mut before: Option<ArchSolution> = None;
    let mut out = Vec::new();
    for (i, (day, now)) in phase.path.iter().enumerate() {
        if i % step != 0 && i != last {
            continue;
        }
        let mut setup = ArchSetup::clone(&phase.setup);
        let slots = setup.overlay.iter_mut().flat_map(|o| &mut o.slots);
        for slot in setup.base.slots.iter_mut().chain(slots) {
            let moved = phase.teeth.iter().position(|t| t.tooth.code() == u32::from(slot.id));
            if let Some(k) = moved
                && let (Some(from), Some(to)) = (first.get(k), now.get(k))
            {
                shift(&mut slot.stand, from, to);
            }
        }
        let Ok(solved) = setup.solve(before.as_ref()) else { continue };
        let forces = solved.tooth_forces().filter_map(|t| {
            let of = phase.teeth.iter().find(|own| own.tooth.code() == u32::from(t.id))?;
            Some((of.tooth, newtons_to_grams(t.resultant_n)))
        });
        out.push((*day, forces.collect()));
        before = Some(solved);
    }
    out
}

/// The slot goes the way its tooth has gone.
fn shift(stand: &mut mechanics::SlotPose, from: &ToothPose, to: &ToothPose) {
    stand.lingual_mm += to.lingual_mm - from.lingual_mm;
    stand.gingival_mm += to.gingival_mm - from.gingival_mm;
    stand.along_mm += to.along_mm - from.along_mm;
    stand.rotated_rad += to.rotated_rad - from.rotated_rad;
    stand.tipped_rad += to.tipped_rad - from.tipped_rad;
    stand.torque_rad += to.torque_rad - from.torque_rad;
}

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
            // Names of curves that peak together stand beside each other.
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
