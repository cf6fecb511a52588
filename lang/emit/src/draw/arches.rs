//! Drawing of both arches, as seen facing the patient.

use std::collections::BTreeSet;

use super::fittings::Fittings;
use super::labels::{self, Label};
use super::list::{Align, DrawItem, Drawing, DrawnText, Pen, Point, Shade, at, words_width};
use super::strip::{CROWN_HEIGHT, Strip, WIDTH, lay_out, scale};
use super::{crown, wire};
use crate::picture::{ArchPicture, MouthPicture, WornElastic};
use crate::text_alternative;
use springline_model::step::{End, EndKind};
use springline_units::quantity::{mm, plain};
use springline_units::tooth::{Arch, Notation, Side, Tooth};

const HEADER: f64 = 4.2;

/// The whole mouth, drawn flat.
pub fn mouth(mouth: &MouthPicture<'_>, notation: Notation, title: &str) -> Drawing {
    let scale = scale(mouth);
    let mut items = Vec::new();
    let mut y = 0.0;
    let raised = mouth.raisers();
    let mut places: Vec<(Tooth, Point)> = Vec::new();
    if let Some(upper) = &mouth.upper {
        y = one_arch(upper, &raised, scale, notation, y, &mut items, &mut places);
    }
    if mouth.upper.is_some() && mouth.lower.is_some() {
        y += if mouth.elastics.is_empty() { 2.5 } else { 5.0 };
    } else {
        y += 3.0;
    }
    if let Some(lower) = &mouth.lower {
        y = one_arch(lower, &raised, scale, notation, y, &mut items, &mut places);
    }
    items.extend(mouth.elastics.iter().filter_map(|e| elastic_run(e, mouth, &places)));
    let (legend, under) = legend(mouth, notation, y);
    items.push(legend);
    Drawing {
        width: WIDTH,
        height: under,
        title: title.to_owned(),
        description: text_alternative::mouth(mouth, notation),
        items,
    }
}

/// Draws one arch from `top` down and gives the height where it ends.
fn one_arch(
    picture: &ArchPicture<'_>,
    raised: &BTreeSet<Tooth>,
    scale: f64,
    notation: Notation,
    top: f64,
    items: &mut Vec<DrawItem>,
    places: &mut Vec<(Tooth, Point)>,
) -> f64 {
    // The rows of words are only known once everything is laid out, so first at height zero.
    let rough = lay_out(picture, scale, 0.0, 0.0);
    let room = labels::rows(&labels::place(all_labels(&rough, raised, notation))) as f64
        * labels::ROW
        + 1.0;
    let upper = picture.arch == Arch::Upper;
    let (gum, bite, bottom) = if upper {
        let gum = top + HEADER + room + 0.8;
        (gum, gum + CROWN_HEIGHT, gum + CROWN_HEIGHT)
    } else {
        let bite = top;
        let gum = bite + CROWN_HEIGHT;
        (gum, bite, gum + 0.8 + room + HEADER)
    };
    let strip = lay_out(picture, scale, gum, bite);
    let name = format!("arch-{}", picture.arch);
    items.push(header(picture, if upper { top + 3.0 } else { bottom - 0.6 }));
    let mut parts = Vec::new();
    for (cell, tooth) in strip.cells.iter().zip(&picture.teeth) {
        let says = text_alternative::tooth(tooth, notation);
        let inside = vec![crown::crown(&strip, cell, tooth, notation)];
        parts.push(DrawItem::said_group(format!("tooth-{}", tooth.tooth), says, inside));
        places.push((tooth.tooth, at(cell.middle(), strip.slot_y())));
    }
    parts.extend(wire::main_wire(&strip));
    for (cell, tooth) in strip.cells.iter().zip(&picture.teeth) {
        if let Some(item) = crown::bonded(&strip, cell, tooth) {
            parts.push(DrawItem::group(format!("on-{}", tooth.tooth), vec![item]));
        }
    }
    parts.extend(wire::overlay(&strip));
    parts.extend(wire::ends(&strip).into_iter().map(|(_, _, item)| item));
    parts.extend(Fittings::of(&strip, raised, notation).items);
    let placed = labels::place(all_labels(&strip, raised, notation));
    let edge = gum + strip.to_gum() * 0.6;
    // Leaders go under the crowns' numbers, so they are drawn first.
    let words = labels::draw(&placed, edge, strip.to_gum());
    let mut all = vec![words];
    all.extend(parts);
    items.push(DrawItem::group(name, all));
    bottom
}

fn all_labels(strip: &Strip<'_, '_>, raised: &BTreeSet<Tooth>, notation: Notation) -> Vec<Label> {
    let mut labels = Fittings::of(strip, raised, notation).labels;
    if let Some(ends) = strip.picture.ends {
        for (side, tip, _) in wire::ends(strip) {
            let text = end_words(&ends.of(side).value);
            labels.push(Label { x: tip.x, y: tip.y, text, strong: false });
        }
    }
    labels
}

/// "turned in, slack 2 mm".
pub fn end_words(end: &End) -> String {
    let kind = match end.kind {
        EndKind::Free => "end free",
        EndKind::Flush => "end flush",
        EndKind::TurnedIn => "turned in",
        EndKind::Cinched => "cinched tight",
    };
    match end.slack.map(mm) {
        Some(slack) if slack > 0.0 => format!("{kind}, {} mm", plain(slack)),
        _ => kind.to_owned(),
    }
}

fn header(picture: &ArchPicture<'_>, base: f64) -> DrawItem {
    let arch = if picture.arch == Arch::Upper { "UPPER" } else { "LOWER" };
    let wire = picture.wire.map_or_else(|| "no wire yet".to_owned(), |w| w.label());
    let wire = match picture.overlay {
        Some(overlay) => format!("{wire}, piggyback {}", overlay.label()),
        None => wire,
    };
    let size = 3.0;
    let arch_w = words_width(arch, size, true) + 2.0;
    let start = WIDTH / 2.0 - (arch_w + words_width(&wire, size, false)) / 2.0;
    let side = |x: f64, align: Align, text: &str| {
        DrawItem::Words(DrawnText {
            at: at(x, base),
            size: 3.0,
            bold: true,
            align,
            shade: Shade::Ink,
            text: text.to_owned(),
        })
    };
    DrawItem::group(
        format!("header-{}", picture.arch),
        vec![
            side(0.0, Align::Start, "\u{25c4} PATIENT\u{2019}S RIGHT"),
            side(WIDTH, Align::End, "PATIENT\u{2019}S LEFT \u{25ba}"),
            DrawItem::bold(at(start, base), size, Align::Start, arch),
            DrawItem::words(at(start + arch_w, base), size, Align::Start, wire),
        ],
    )
}

/// How the elastics of a block are drawn: two blocks are told apart without colour.
fn elastic_pen(elastic: &WornElastic<'_>, mouth: &MouthPicture<'_>) -> Pen {
    let pen = Pen::ink(0.75);
    let before = mouth
        .elastics
        .iter()
        .take_while(|e| !std::ptr::eq(e.run, elastic.run))
        .filter(|e| e.run.side == elastic.run.side)
        .count();
    match before {
        0 => pen.dotted(),
        1 => pen.dashed(),
        _ => Pen::ink(0.4),
    }
}

/// A line from tooth to tooth; what it is stands under the arches, where it lies on nothing.
fn elastic_run(
    elastic: &WornElastic<'_>,
    mouth: &MouthPicture<'_>,
    places: &[(Tooth, Point)],
) -> Option<DrawItem> {
    let mut points: Vec<Point> = elastic
        .run
        .teeth
        .iter()
        .filter_map(|t| places.iter().find(|(p, _)| p == t).map(|(_, at)| *at))
        .collect();
    if points.len() < 2 {
        return None;
    }
    if points.len() > 2
        && let Some(first) = points.first().copied()
    {
        points.push(first);
    }
    let line = DrawItem::polyline(&points, elastic_pen(elastic, mouth));
    Some(DrawItem::group(format!("elastic-{}", elastic.run.side), vec![line]))
}

const LEGEND_ROW: f64 = 4.4;

/// A row for each elastic of a side, the patient's right on the left as in the picture; gives the
/// height where it ends.
fn legend(mouth: &MouthPicture<'_>, notation: Notation, top: f64) -> (DrawItem, f64) {
    let mut items = Vec::new();
    let mut rows = 0;
    for side in [Side::Right, Side::Left] {
        let runs = mouth.elastics.iter().filter(|e| e.run.side == side);
        for (row, elastic) in runs.enumerate() {
            rows = rows.max(row + 1);
            let y = top + LEGEND_ROW * (row + 1) as f64 - 0.6;
            let (from, align) = match side {
                Side::Right => (0.0, Align::Start),
                Side::Left => (WIDTH, Align::End),
            };
            let inward = if side == Side::Right { 1.0 } else { -1.0 };
            let pen = elastic_pen(elastic, mouth);
            items.push(DrawItem::line(at(from, y - 1.0), at(from + inward * 8.0, y - 1.0), pen));
            let text = elastic_words(elastic, notation);
            items.push(DrawItem::words(at(from + inward * 9.5, y), labels::SIZE, align, text));
        }
    }
    (DrawItem::group("legend", items), top + LEGEND_ROW * rows as f64)
}

/// "13 to 46: elastic 3/16 in, 4.5 oz, 22 h".
fn elastic_words(elastic: &WornElastic<'_>, notation: Notation) -> String {
    let teeth: Vec<String> = elastic.run.teeth.iter().map(|t| t.write(notation)).collect();
    format!(
        "{}: elastic {}, {} h",
        teeth.join(" to "),
        crate::wording::elastic(&elastic.run.elastic),
        plain(elastic.run.hours_a_day)
    )
}
