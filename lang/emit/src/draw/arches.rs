//! Drawing of both arches, as seen facing the patient.

use std::collections::BTreeSet;

use super::fittings::Fittings;
use super::frame::ToothFrame;
use super::heights::{CrownShift, HeightLine};
use super::labels::{self, Label};
use super::list::{Align, DrawItem, Drawing, DrawnText, Pen, Point, Shade, at, words_width};
use super::strip::{CROWN_HEIGHT, Strip, WIDTH, lay_out, scale};
use super::{crown, wire};
use crate::picture::{ArchPicture, Hold, MouthPicture, WornElastic, towards_left};
use crate::text_alternative;
use springline_course::on_demand::OcclusalArch;
use springline_model::step::{End, EndKind};
use springline_model::stock::Along;
use springline_units::quantity::{mm, plain};
use springline_units::tooth::{Arch, Notation, Side, Tooth};

const HEADER: f64 = 4.2;

/// The whole mouth, drawn flat: what is on which tooth, every crown in its row.
pub fn mouth(mouth: &MouthPicture<'_>, notation: Notation, title: &str) -> Drawing {
    drawn(mouth, notation, title, FrontLook::Rows)
}

/// The same as it stands: crowns at their height and tip, the wire as it was computed. `seen` has the arches of
/// the same moment.
pub fn mouth_as_it_stands(
    mouth: &MouthPicture<'_>,
    notation: Notation,
    title: &str,
    seen: &[OcclusalArch],
) -> Drawing {
    drawn(mouth, notation, title, FrontLook::AsItStands(seen))
}

/// How the front is drawn.
#[derive(Clone, Copy)]
enum FrontLook<'s> {
    /// What counts is what is on which tooth.
    Rows,
    AsItStands(&'s [OcclusalArch]),
}

impl<'s> FrontLook<'s> {
    fn stands(self) -> bool {
        matches!(self, FrontLook::AsItStands(_))
    }

    fn seen(self, arch: Arch) -> Option<&'s OcclusalArch> {
        match self {
            FrontLook::Rows => None,
            FrontLook::AsItStands(seen) => seen.iter().find(|s| s.arch == arch),
        }
    }
}

fn drawn(
    mouth: &MouthPicture<'_>,
    notation: Notation,
    title: &str,
    look: FrontLook<'_>,
) -> Drawing {
    let raised = mouth.raisers();
    let mut items = Vec::new();
    let mut places: Vec<(Tooth, Point)> = Vec::new();
    let laid = laid_out(mouth, &raised, notation, look);
    for arch in &laid.arches {
        one_arch(arch, &raised, notation, look, &mut items, &mut places);
    }
    items.extend(mouth.elastics.iter().filter_map(|e| elastic_run(e, mouth, &places)));
    let (legend, under) = legend(mouth, notation, laid.bottom);
    items.push(legend);
    Drawing {
        width: WIDTH,
        height: under,
        title: title.to_owned(),
        description: text_alternative::mouth(mouth, notation),
        items,
    }
}

/// One frame for each crown of the drawing as it stands.
pub fn mouth_frames(mouth: &MouthPicture<'_>, notation: Notation) -> Vec<ToothFrame> {
    let laid = laid_out(mouth, &mouth.raisers(), notation, FrontLook::AsItStands(&[]));
    laid.arches.iter().flat_map(|arch| frames(&arch.strip)).collect()
}

fn frames<'s>(strip: &'s Strip<'_, '_>) -> impl Iterator<Item = ToothFrame> + use<'s> {
    let teeth = strip.cells.iter().zip(&strip.picture.teeth);
    let there = teeth.filter(|(_, tooth)| !matches!(tooth.hold, Hold::Absent(_)));
    there.filter_map(|(cell, tooth)| {
        let shift = CrownShift::of(strip, tooth)?;
        let mesial_left = towards_left(tooth.tooth, Along::Mesial);
        let contact = |to_left: bool| {
            shift.point(at(if to_left { cell.right } else { cell.left }, strip.y(0.72)))
        };
        let rest = at(cell.middle(), strip.slot_y());
        Some(ToothFrame {
            tooth: tooth.tooth,
            scale: strip.scale,
            rest,
            slot: shift.point(rest),
            along: at(1.0, 0.0),
            inward: None,
            gingival: Some(at(0.0, strip.to_gum())),
            turn_deg: shift.turn_deg,
            mesial_in: 0.0,
            // Where the mesial edge lies on the right of the paper, tipping raises it to the gum.
            mesial_up: if mesial_left { strip.to_gum() } else { -strip.to_gum() },
            width_mm: tooth.width_mm,
            depth_mm: 0.0,
            middle: shift.point(at(cell.middle(), strip.y(0.5))),
            mesial: contact(mesial_left),
            distal: contact(!mesial_left),
        })
    })
}

/// Both arches on paper.
struct LaidOut<'p, 'a> {
    arches: Vec<LaidOutArch<'p, 'a>>,
    bottom: f64,
}

struct LaidOutArch<'p, 'a> {
    strip: Strip<'p, 'a>,
    /// Base of its header.
    header: f64,
}

fn laid_out<'p, 'a>(
    mouth: &'p MouthPicture<'a>,
    raised: &BTreeSet<Tooth>,
    notation: Notation,
    look: FrontLook<'_>,
) -> LaidOut<'p, 'a> {
    let scale = scale(mouth);
    let mut arches = Vec::new();
    let mut y = 0.0;
    if let Some(upper) = &mouth.upper {
        let (arch, bottom) = laid_out_arch(upper, raised, scale, notation, y, look);
        arches.push(arch);
        y = bottom;
    }
    if mouth.upper.is_some() && mouth.lower.is_some() {
        y += if mouth.elastics.is_empty() { 2.5 } else { 5.0 };
    } else {
        y += 3.0;
    }
    if let Some(lower) = &mouth.lower {
        let (arch, bottom) = laid_out_arch(lower, raised, scale, notation, y, look);
        arches.push(arch);
        y = bottom;
    }
    LaidOut { arches, bottom: y }
}

/// One arch from `top` down, and the height where it ends.
fn laid_out_arch<'p, 'a>(
    picture: &'p ArchPicture<'a>,
    raised: &BTreeSet<Tooth>,
    scale: f64,
    notation: Notation,
    top: f64,
    look: FrontLook<'_>,
) -> (LaidOutArch<'p, 'a>, f64) {
    // The rows of words are only known once everything is laid out, so first at height zero.
    let rough = lay_out(picture, scale, 0.0, 0.0);
    let room = labels::rows(&labels::place(all_labels(&rough, raised, notation))) as f64
        * labels::ROW
        + 1.0;
    // And crowns that stand high or low need more.
    let [to_gum, to_bite] = if look.stands() { reach(picture, scale) } else { [0.0; 2] };
    let upper = picture.arch == Arch::Upper;
    let (gum, bite, bottom) = if upper {
        let gum = top + HEADER + room + to_gum + 0.8;
        (gum, gum + CROWN_HEIGHT, gum + CROWN_HEIGHT + to_bite)
    } else {
        let bite = top + to_bite;
        let gum = bite + CROWN_HEIGHT;
        (gum, bite, gum + 0.8 + to_gum + room + HEADER)
    };
    let strip = lay_out(picture, scale, gum, bite);
    let header = if upper { top + 3.0 } else { bottom - 0.6 };
    (LaidOutArch { strip, header }, bottom)
}

/// How far crowns stand out of their row on paper, to the gum and to the bite.
fn reach(picture: &ArchPicture<'_>, scale: f64) -> [f64; 2] {
    let there = picture.teeth.iter().filter(|t| !matches!(t.hold, Hold::Absent(_)));
    let heights = there.map(|t| t.pose.value.gingival_mm * scale);
    heights.fold([0.0_f64; 2], |[gum, bite], h| [gum.max(h), bite.max(-h)])
}

/// Draws one arch.
fn one_arch(
    arch: &LaidOutArch<'_, '_>,
    raised: &BTreeSet<Tooth>,
    notation: Notation,
    look: FrontLook<'_>,
    items: &mut Vec<DrawItem>,
    places: &mut Vec<(Tooth, Point)>,
) {
    let strip = &arch.strip;
    let picture = strip.picture;
    items.push(header(picture, arch.header));
    let heights = look.stands().then(|| HeightLine::of(strip, look.seen(picture.arch)));
    let shift = |tooth| CrownShift::of(strip, tooth).filter(|_| look.stands());
    let carried = |mut item: DrawItem| {
        if let Some(line) = &heights {
            line.carry(&mut item);
        }
        item
    };
    let mut parts = Vec::new();
    for (cell, tooth) in strip.cells.iter().zip(&picture.teeth) {
        let says = text_alternative::tooth(tooth, notation);
        let inside = vec![crown::crown(strip, cell, tooth, notation)];
        let group = DrawItem::said_group(format!("tooth-{}", tooth.tooth), says, inside);
        let mut group = group.of_tooth(tooth.tooth);
        let mut place = at(cell.middle(), strip.slot_y());
        if let Some(shift) = shift(tooth) {
            shift.carry(&mut group);
            place = shift.point(place);
        }
        parts.push(group);
        places.push((tooth.tooth, place));
    }
    parts.extend(match heights.as_ref().filter(|line| line.is_computed) {
        Some(line) => wire::wire_along(strip, line.wire(strip.slot_y())),
        None => wire::main_wire(strip).map(carried),
    });
    for (cell, tooth) in strip.cells.iter().zip(&picture.teeth) {
        if let Some(item) = crown::bonded(strip, cell, tooth) {
            let mut group = DrawItem::group(format!("on-{}", tooth.tooth), vec![item]);
            if let Some(shift) = shift(tooth) {
                shift.carry(&mut group);
            }
            parts.push(group.of_tooth(tooth.tooth));
        }
    }
    parts.extend(wire::overlay(strip).map(carried));
    parts.extend(wire::ends(strip).into_iter().map(|(_, _, item)| carried(item)));
    parts.extend(Fittings::of(strip, raised, notation).items.into_iter().map(carried));
    let placed = labels::place(all_labels(strip, raised, notation));
    let edge = strip.gum_y + strip.to_gum() * 0.6;
    // Leaders go under the crowns' numbers, so they are drawn first.
    let words = labels::draw(&placed, edge, strip.to_gum());
    let mut all = vec![words];
    all.extend(parts);
    items.push(DrawItem::group(format!("arch-{}", picture.arch), all));
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
