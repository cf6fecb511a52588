//! Chart of how long wires stay active in a practice: the interval of every observed wire, and the
//! estimates.

use super::list::{Align, DrawItem, Drawing, Pen, Segment, Shade, at};
use crate::tables::learn::{Figures, LearnReport, LearnRow, SCALE, SeenWireRow, along};

const WIDTH: f64 = 186.0;
const LEFT: f64 = 30.0;
const RIGHT: f64 = 40.0;
const TOP: f64 = 12.0;
const HEAD: f64 = 8.0;
const LINE: f64 = 1.5;
/// More brackets of one wire than that would not be told apart.
const MOST_LINES: usize = 60;

fn x(factor: f64) -> f64 {
    LEFT + (WIDTH - LEFT - RIGHT) * along(factor)
}

pub fn learnt(table: &LearnReport) -> Drawing {
    let mut y = TOP;
    let mut rows = Vec::new();
    for row in &table.rows {
        let own: Vec<&SeenWireRow> = match &row.wire {
            Some(wire) => table.seen.iter().filter(|s| s.wire == *wire).collect(),
            None => Vec::new(),
        };
        rows.push(estimate(row, y));
        y += HEAD;
        if !own.is_empty() {
            rows.push(brackets(&own, y));
            y += LINE * own.len().min(MOST_LINES) as f64 + 4.0;
        }
    }
    let mut items = vec![scale(y)];
    items.extend(rows);
    items.push(legend(y + 6.0));
    Drawing {
        width: WIDTH,
        height: y + 12.0,
        title: format!("How long wires stay active: {}", table.house),
        description: text_alternative(table),
        items,
    }
}

fn scale(bottom: f64) -> DrawItem {
    let mut items = Vec::new();
    for factor in [SCALE.0, 0.6, 0.8, 1.0, 1.25, 1.5, 2.0, SCALE.1] {
        let pen = if factor == 1.0 { Pen::ink(0.4) } else { Pen::soft(0.12) };
        items.push(DrawItem::line(at(x(factor), TOP - 4.0), at(x(factor), bottom), pen));
        let text = springline_units::quantity::plain(factor);
        items.push(DrawItem::words(at(x(factor), TOP - 5.0), 2.6, Align::Middle, text));
    }
    let words = "observed over forecast";
    items.push(DrawItem::words(at(LEFT - 2.0, TOP - 5.0), 2.4, Align::End, words));
    DrawItem::group("scale", items)
}

/// Patients as a thin line, the interval of the factor as a heavy one, the factor as a dot.
fn estimate(row: &LearnRow, y: f64) -> DrawItem {
    let middle = y + 3.5;
    let mut items = vec![DrawItem::bold(at(0.0, middle + 1.0), 3.0, Align::Start, row.name())];
    let words = match &row.figures {
        Some(f) => {
            items.extend(marks(f, middle));
            format!(
                "{:.2} ({:.2}-{:.2}), {} wires",
                f.factor, f.factor_from, f.factor_to, row.wires
            )
        }
        None => row.refused.clone().unwrap_or_default(),
    };
    let right = WIDTH - RIGHT + 3.0;
    items.push(DrawItem::words(at(right, middle + 1.0), 2.5, Align::Start, words));
    DrawItem::group(format!("estimate-{}", row.name()), items)
}

fn marks(f: &Figures, y: f64) -> Vec<DrawItem> {
    let tick = |v: f64| DrawItem::line(at(x(v), y - 1.2), at(x(v), y + 1.2), Pen::ink(0.3));
    vec![
        DrawItem::line(at(x(f.early), y), at(x(f.late), y), Pen::ink(0.3)),
        tick(f.early),
        tick(f.late),
        DrawItem::line(at(x(f.factor_from), y), at(x(f.factor_to), y), Pen::ink(1.4)),
        DrawItem::circle(at(x(f.factor), y), 1.3, Some(Pen::ink(0.4)), Some(Shade::Paper)),
    ]
}

/// From the last look that found it active to the first that found it passive; an open end points
/// on.
fn brackets(own: &[&SeenWireRow], top: f64) -> DrawItem {
    let middle = |s: &SeenWireRow| {
        let (low, high) = (s.active_at_days, s.passive_by_days);
        high.map_or(low * 1.3, |h| 0.5 * (low + h)) / s.predicted_days
    };
    let mut sorted = own.to_vec();
    sorted.sort_by(|a, b| middle(a).total_cmp(&middle(b)));
    let mut items = Vec::new();
    for (i, s) in sorted.iter().take(MOST_LINES).enumerate() {
        let y = top + LINE * (i as f64 + 0.5);
        let from = x(s.active_at_days / s.predicted_days);
        let to = s.passive_by_days.map_or(WIDTH - RIGHT, |d| x(d / s.predicted_days));
        items.push(DrawItem::line(at(from, y), at(to, y), Pen::soft(0.35)));
        let point = |tip: f64, back: f64| {
            let away = [at(back, y - 0.5), at(tip, y), at(back, y + 0.5)];
            let segments = vec![
                Segment::Move(away[0]),
                Segment::Line(away[1]),
                Segment::Line(away[2]),
                Segment::Close,
            ];
            DrawItem::shape(segments, None, Some(Shade::Soft))
        };
        if s.active_at_days <= 0.0 {
            items.push(point(from, from + 1.2));
        }
        if s.passive_by_days.is_none() {
            items.push(point(to, to - 1.2));
        }
    }
    let more = own.len().saturating_sub(MOST_LINES);
    if more > 0 {
        let place = at(WIDTH - RIGHT + 3.0, top + 3.0);
        items.push(DrawItem::words(place, 2.4, Align::Start, format!("and {more} more")));
    }
    DrawItem::group("brackets", items)
}

fn legend(y: f64) -> DrawItem {
    let words = "ring: factor; heavy: its 90 % interval; thin, black: 8 in 10 patients; grey: one wire, from \
        last seen active to first seen passive";
    DrawItem::words(at(0.0, y), 2.4, Align::Start, words)
}

fn text_alternative(table: &LearnReport) -> String {
    let parts: Vec<String> = table
        .rows
        .iter()
        .map(|row| match &row.figures {
            Some(f) => format!(
                "{}: {:.2} times, {:.2} to {:.2}, from {} wires of {} cases",
                row.name(),
                f.factor,
                f.factor_from,
                f.factor_to,
                row.wires,
                row.cases
            ),
            None => format!("{}: no estimate", row.name()),
        })
        .collect();
    format!("Observed over forecast time to passive. {}.", parts.join("; "))
}
