//! Drawing of the course of both arches over weeks: each wire with the range in which it is expected to
//! become passive, and the visits.

use jiff::ToSpan;
use jiff::civil::Date;

use super::force_time;
use super::list::{Align, DrawItem, Drawing, Pen, Segment, Shade, at, words_width};
use crate::plan::Plan;
use crate::{dates, wording};
use springline_course::on_demand::ToothForce;
use springline_course::{Phase, TimeBand};
use springline_units::tooth::Arch;

const WIDTH: f64 = 186.0;
const LEFT: f64 = 16.0;
const RIGHT: f64 = 4.0;
const LANE: f64 = 17.0;
const BAR: f64 = 7.9;
const TOP: f64 = 9.0;
/// 8.5 pt at the width that drawings have on paper.
const SMALL: f64 = 3.0;

/// Days to paper.
struct Scale {
    from: Date,
    days: f64,
}

impl Scale {
    fn x(&self, date: Date) -> f64 {
        let day = dates::days_between(self.from, date);
        LEFT + (WIDTH - LEFT - RIGHT) * (day / self.days).clamp(0.0, 1.0)
    }
}

fn lanes_and_visits(plan: &Plan<'_>) -> Option<(Drawing, Scale)> {
    let forecast = plan.forecast;
    let dated = || forecast.arches.iter().flat_map(|a| &a.phases).filter(|p| p.date_in.is_some());
    let visits = || forecast.visits.iter().map(|v| v.date);
    let from = dated().filter_map(|p| p.date_in).chain(visits()).min()?;
    let last = dated().filter_map(end_of).chain(visits()).max()?;
    let bands = dated().filter_map(|p| band_of(p)?.dates).map(|d| d[2]).max();
    let days = dates::days_between(from, last.max(bands.unwrap_or(last))).max(28.0);
    let scale = Scale { from, days: days * 1.02 };
    let lanes = forecast.arches.len() as f64;
    let bottom = TOP + lanes * LANE;
    // Lines of visits lie under the bars, so that names on them stay readable.
    let mut items = vec![months(&scale, bottom), visit_marks(plan, &scale, bottom)];
    for (i, arch) in forecast.arches.iter().enumerate() {
        let top = TOP + i as f64 * LANE;
        let mut parts =
            vec![DrawItem::bold(at(0.0, top + 6.2), 3.0, Align::Start, wording::arch(arch.arch))];
        for (k, phase) in arch.phases.iter().enumerate() {
            parts.extend(bar(&scale, phase, top + 1.5, k));
        }
        items.push(DrawItem::group(format!("lane-{}", arch.arch), parts));
    }
    items.push(today(plan, &scale, bottom));
    let drawing = Drawing {
        width: WIDTH,
        height: bottom + 14.0,
        title: "Forecast for both arches".to_owned(),
        description: text_alternative(plan),
        items,
    };
    Some((drawing, scale))
}

/// `None` where the case has no dates.
pub fn timeline(plan: &Plan<'_>) -> Option<Drawing> {
    Some(lanes_and_visits(plan)?.0)
}

/// The same with the force on every tooth under it, arch by arch of the forecast.
pub fn timeline_with_forces(plan: &Plan<'_>, forces: &[Vec<ToothForce>]) -> Option<Drawing> {
    let (mut drawing, scale) = lanes_and_visits(plan)?;
    for (arch, teeth) in plan.forecast.arches.iter().zip(forces) {
        if teeth.is_empty() {
            continue;
        }
        let axes = force_time::Axes {
            left: LEFT,
            right: WIDTH - RIGHT,
            top: drawing.height,
            x: &|date| scale.x(date),
            notation: plan.notation(),
        };
        let title = format!("{}: force on each tooth, median patient", wording::arch(arch.arch));
        let (item, told) = force_time::plot(&title, teeth, &axes);
        drawing.items.push(item);
        drawing.height += force_time::height();
        drawing.description.push_str(&format!(" Force in the {} arch: {told}.", arch.arch));
    }
    drawing.title = "Forecast for both arches, with the force on every tooth".to_owned();
    Some(drawing)
}

fn end_of(phase: &Phase) -> Option<Date> {
    phase.end.date.or_else(|| band_of(phase).and_then(|b| b.dates).map(|d| d[1]))
}

fn band_of(phase: &Phase) -> Option<&TimeBand> {
    phase.end.predicted.as_ref()
}

/// A month's name where it begins.
fn months(scale: &Scale, bottom: f64) -> DrawItem {
    let mut items = Vec::new();
    let mut day = scale.from.first_of_month();
    let mut free = LEFT;
    // Sixty years of months are more than any plan has.
    for _ in 0..720 {
        let Ok(next) = day.checked_add(1.month()) else { break };
        day = next;
        if dates::days_between(scale.from, day) > scale.days {
            break;
        }
        let x = scale.x(day);
        items.push(DrawItem::line(at(x, TOP - 2.0), at(x, bottom), Pen::soft(0.12)));
        let name = dates::month(day);
        if x >= free && x + 0.5 + words_width(&name, SMALL, false) <= WIDTH {
            items.push(DrawItem::words(at(x + 0.5, TOP - 3.0), SMALL, Align::Start, name.clone()));
            free = x + words_width(&name, SMALL, false) + 2.0;
        }
    }
    DrawItem::group("months", items)
}

/// One wire: a bar to the day it comes out, its name, and the predicted span under it.
fn bar(scale: &Scale, phase: &Phase, y: f64, index: usize) -> Option<DrawItem> {
    let (from, to) = (scale.x(phase.date_in?), scale.x(end_of(phase)?));
    let wide = (to - from).max(0.6);
    // A wire that is in is drawn with a heavy line, one that is only planned with a thin one.
    let pen = if phase.begun { Pen::ink(0.5) } else { Pen::ink(0.2) };
    let fill = if index.is_multiple_of(2) { Shade::Pale } else { Shade::Paper };
    let mut items = vec![
        DrawItem::rect(at(from, y), wide, BAR, 0.6, Some(pen), Some(fill)),
        DrawItem::line(at(to, y), at(to, y + BAR), Pen::ink(0.8)),
    ];
    let name = phase.wire.names();
    for (text, size, dy) in [(name.as_str(), SMALL, 3.2), (&*phase.name, SMALL, 6.7)] {
        if let Some(text) = cut(text, size, wide - 1.6) {
            items.push(DrawItem::words(at(from + 0.8, y + dy), size, Align::Start, text));
        }
    }
    if let Some([early, _, late]) = band_of(phase).and_then(|b| b.dates)
        && early < late
    {
        let (a, b, line) = (scale.x(early), scale.x(late), y + BAR + 1.8);
        let tick = |x: f64| DrawItem::line(at(x, line - 0.9), at(x, line + 0.9), Pen::ink(0.3));
        let mark = scale.x(band_of(phase).and_then(|b| b.dates).map_or(early, |d| d[1]));
        items.push(DrawItem::group(
            "band",
            vec![
                DrawItem::line(at(a, line), at(b, line), Pen::ink(0.3)),
                tick(a),
                tick(b),
                DrawItem::circle(at(mark, line), 0.7, None, Some(Shade::Ink)),
            ],
        ));
    }
    Some(DrawItem::group(format!("phase-{}", phase.name), items))
}

/// As much of a name as there is room for; nothing rather than a single letter.
fn cut(text: &str, size: f64, room: f64) -> Option<String> {
    if words_width(text, size, false) <= room {
        return Some(text.to_owned());
    }
    let mut out = String::new();
    for c in text.chars() {
        out.push(c);
        if words_width(&out, size, false) + 1.0 > room {
            out.pop();
            break;
        }
    }
    (out.chars().count() >= 4).then(|| format!("{}\u{2026}", out.trim_end_matches('-')))
}

fn visit_marks(plan: &Plan<'_>, scale: &Scale, bottom: f64) -> DrawItem {
    let mut items = Vec::new();
    let mut free = [f64::NEG_INFINITY; 2];
    for visit in &plan.forecast.visits {
        let x = scale.x(visit.date);
        let y = bottom + 1.6;
        let fill = if visit.recorded.is_some() { Shade::Ink } else { Shade::Paper };
        items.push(DrawItem::line(at(x, TOP), at(x, y), Pen::soft(0.15).dashed()));
        items.push(DrawItem::circle(at(x, y), 1.1, Some(Pen::ink(0.35)), Some(fill)));
        let text = dates::short(visit.date);
        let half = words_width(&text, SMALL, false) / 2.0;
        if let Some(row) = free.iter().position(|end| *end <= x - half) {
            free[row] = x + half + 1.0;
            let y = y + 4.2 + 3.4 * row as f64;
            let middle = x.min(WIDTH - half);
            items.push(DrawItem::words(at(middle, y), SMALL, Align::Middle, text));
        }
    }
    DrawItem::group("visits", items)
}

fn today(plan: &Plan<'_>, scale: &Scale, bottom: f64) -> DrawItem {
    let day = dates::days_between(scale.from, plan.today);
    if !(0.0..=scale.days).contains(&day) {
        return DrawItem::group("today", Vec::new());
    }
    let x = scale.x(plan.today);
    let triangle = vec![
        Segment::Move(at(x - 1.1, TOP - 1.8)),
        Segment::Line(at(x + 1.1, TOP - 1.8)),
        Segment::Line(at(x, TOP)),
        Segment::Close,
    ];
    DrawItem::group(
        "today",
        vec![
            DrawItem::line(at(x, TOP), at(x, bottom), Pen::ink(0.3).dotted()),
            DrawItem::shape(triangle, None, Some(Shade::Ink)),
            DrawItem::bold(at(x, 2.4), SMALL, Align::Middle, "today"),
        ],
    )
}

fn text_alternative(plan: &Plan<'_>) -> String {
    let mut out = Vec::new();
    for arch in Arch::BOTH {
        let Some(forecast) = plan.forecast.arch(arch) else { continue };
        for phase in &forecast.phases {
            let (Some(from), Some(to)) = (phase.date_in, end_of(phase)) else { continue };
            let dates = band_of(phase).and_then(|b| b.dates).filter(|d| d[0] < d[2]);
            let band = dates.map_or_else(String::new, |d| {
                format!(", passive between {} and {} in 8 in 10 patients", d[0], d[2])
            });
            out.push(format!(
                "{} {}, {}: {from} to {to}{band}.",
                wording::arch(arch),
                phase.name,
                phase.wire.names()
            ));
        }
    }
    out.join(" ")
}
