//! Drawing of crowns and of what is bonded to them, from the front.

use super::list::{Align, DrawItem, Pen, Segment, Shade, at};
use super::strip::{Strip, ToothBox, passes_by};
use crate::picture::{BracketDrawing, Hold, ToothPicture};
use springline_model::stock::Along;
use springline_units::tooth::Notation;

const BRACKET_HEIGHT: f64 = 3.6;
pub const SLOT_HEIGHT: f64 = 1.0;
/// Position of the tooth number, as a share of the crown from the gum.
const NUMBER_AT: f64 = 0.2;
/// The same where the bracket is at that place.
const NUMBER_BESIDE_AT: f64 = 0.83;
const NUMBER_SIZE: f64 = 3.1;

/// The crown with its number, without what is bonded to it.
pub fn crown(
    strip: &Strip<'_, '_>,
    cell: &ToothBox,
    tooth: &ToothPicture,
    notation: Notation,
) -> DrawItem {
    let absent = matches!(tooth.hold, Hold::Absent(_));
    let pen = if absent { Pen::soft(0.3).dashed() } else { Pen::ink(0.3) };
    let fill = if absent { None } else { Some(Shade::Paper) };
    let mut items = vec![DrawItem::shape(outline(strip, cell), Some(pen), fill)];
    if absent {
        let (a, b) = (strip.y(0.38), strip.y(0.9));
        let inset = cell.width() * 0.22;
        items.push(DrawItem::line(
            at(cell.left + inset, a),
            at(cell.right - inset, b),
            Pen::soft(0.3),
        ));
        items.push(DrawItem::line(
            at(cell.right - inset, a),
            at(cell.left + inset, b),
            Pen::soft(0.3),
        ));
    }
    let number = tooth.tooth.write(notation);
    // The base line sits under the digits' middle, whichever way the crown points. Where the bracket is
    // drawn beside the wire it takes the number's place.
    let number_at = if passes_by(tooth.hold) { NUMBER_BESIDE_AT } else { NUMBER_AT };
    let y = strip.y(number_at) + NUMBER_SIZE * 0.36;
    items.push(if absent {
        DrawItem::words(at(cell.middle(), y), NUMBER_SIZE, Align::Middle, number)
    } else {
        DrawItem::bold(at(cell.middle(), y), NUMBER_SIZE, Align::Middle, number)
    });
    if tooth.fixed {
        // A base line under the crown: it does not move.
        let gum = strip.y(0.0) + strip.to_gum() * 0.6;
        for k in 0..4 {
            let x = cell.left + cell.width() * (0.2 + 0.2 * f64::from(k));
            items.push(DrawItem::line(
                at(x, gum),
                at(x - 0.8, gum + strip.to_gum() * 1.1),
                Pen::ink(0.25),
            ));
        }
        items.push(DrawItem::line(
            at(cell.left + 0.8, gum),
            at(cell.right - 0.8, gum),
            Pen::ink(0.4),
        ));
    }
    DrawItem::group("crown", items)
}

/// Neck at the gum, widest at the contact, edge by kind of tooth.
pub fn outline(strip: &Strip<'_, '_>, cell: &ToothBox) -> Vec<Segment> {
    let (l, r, w) = (cell.left, cell.right, cell.width());
    let x = |share: f64| l + w * share;
    let p = |sx: f64, sy: f64| at(x(sx), strip.y(sy));
    let mut out = vec![
        Segment::Move(p(0.14, 0.10)),
        Segment::Curve(p(0.30, -0.02), p(0.70, -0.02), p(0.86, 0.10)),
        Segment::Curve(p(0.94, 0.30), at(r, strip.y(0.5)), at(r - 0.15, strip.y(0.72))),
    ];
    let corner = at(l + 0.15, strip.y(0.72));
    match cell.tooth.position() {
        1 | 2 => out.extend([
            Segment::Curve(p(0.985, 0.90), p(0.96, 1.0), p(0.88, 1.0)),
            Segment::Line(p(0.12, 1.0)),
            Segment::Curve(p(0.04, 1.0), p(0.015, 0.90), corner),
        ]),
        3 => out.extend([
            Segment::Curve(p(0.97, 0.84), p(0.62, 0.96), p(0.5, 1.03)),
            Segment::Curve(p(0.38, 0.96), p(0.03, 0.84), corner),
        ]),
        4 | 5 if !cell.tooth.is_deciduous() => out.extend([
            Segment::Curve(p(0.97, 0.88), p(0.70, 0.92), p(0.5, 1.0)),
            Segment::Curve(p(0.30, 0.92), p(0.03, 0.88), corner),
        ]),
        _ => out.extend([
            Segment::Curve(p(0.99, 0.95), p(0.82, 1.02), p(0.74, 1.0)),
            Segment::Curve(p(0.64, 0.97), p(0.56, 0.93), p(0.5, 0.90)),
            Segment::Curve(p(0.44, 0.93), p(0.36, 0.97), p(0.26, 1.0)),
            Segment::Curve(p(0.18, 1.02), p(0.01, 0.95), corner),
        ]),
    }
    out.push(Segment::Curve(at(l, strip.y(0.5)), p(0.06, 0.30), p(0.14, 0.10)));
    out.push(Segment::Close);
    out
}

/// Bracket, tube or band with its slot: filled where the wire lies in it, open where it does not.
pub fn bonded(strip: &Strip<'_, '_>, cell: &ToothBox, tooth: &ToothPicture) -> Option<DrawItem> {
    if matches!(tooth.hold, Hold::NotBonded | Hold::Absent(_)) {
        return None;
    }
    let attachment = tooth.attachment?;
    let (left, right) = strip.bracket(tooth.tooth)?;
    let y = strip.attachment_y(tooth.hold);
    let mut items = Vec::new();
    if attachment.band {
        for share in [0.40, 0.76] {
            items.push(DrawItem::line(
                at(cell.left + 0.5, strip.y(share)),
                at(cell.right - 0.5, strip.y(share)),
                Pen::ink(0.3),
            ));
        }
    }
    let top = y - BRACKET_HEIGHT / 2.0;
    let corner = if attachment.tube { 0.2 } else { 0.7 };
    let heavy = if attachment.tube { 0.55 } else { 0.35 };
    items.push(DrawItem::rect(
        at(left, top),
        right - left,
        BRACKET_HEIGHT,
        corner,
        Some(Pen::ink(heavy)),
        Some(Shade::Pale),
    ));
    items.push(slot(left, right, y, tooth));
    if attachment.hook {
        items.push(hook(strip, tooth, left, right, y));
    }
    Some(DrawItem::group(name(&attachment), items))
}

fn name(attachment: &BracketDrawing) -> &'static str {
    match (attachment.tube, attachment.band) {
        (_, true) => "band",
        (true, false) => "tube",
        (false, false) => "bracket",
    }
}

fn slot(left: f64, right: f64, y: f64, tooth: &ToothPicture) -> DrawItem {
    let box_of = |l: f64, r: f64, fill: Shade| {
        DrawItem::rect(
            at(l, y - SLOT_HEIGHT / 2.0),
            r - l,
            SLOT_HEIGHT,
            0.0,
            Some(Pen::ink(0.25)),
            Some(fill),
        )
    };
    let middle = (left + right) / 2.0;
    match tooth.hold {
        Hold::In => DrawItem::group("slot-filled", vec![box_of(left, right, Shade::Ink)]),
        Hold::HalfIn(along) => {
            let right_half = crate::picture::towards_left(tooth.tooth, along);
            let (full, open) = if right_half {
                ((middle, right), (left, middle))
            } else {
                ((left, middle), (middle, right))
            };
            DrawItem::group(
                match along {
                    Along::Mesial => "slot-half-mesial",
                    Along::Distal => "slot-half-distal",
                },
                vec![box_of(open.0, open.1, Shade::Paper), box_of(full.0, full.1, Shade::Ink)],
            )
        }
        // A ring of ink round a light core: something is in it, but not the base wire.
        Hold::Overlay => DrawItem::group(
            "slot-overlay",
            vec![
                box_of(left, right, Shade::Paper),
                DrawItem::line(at(left, y), at(right, y), Pen::ink(0.45)),
            ],
        ),
        _ => DrawItem::group("slot-open", vec![box_of(left, right, Shade::Paper)]),
    }
}

/// Hooks point to the gum, on the distal wing.
fn hook(strip: &Strip<'_, '_>, tooth: &ToothPicture, left: f64, right: f64, y: f64) -> DrawItem {
    let distal_is_right = crate::picture::towards_left(tooth.tooth, Along::Distal);
    let x = if distal_is_right { right - 0.5 } else { left + 0.5 };
    let gum = strip.to_gum();
    let from = at(x, y + gum * BRACKET_HEIGHT / 2.0);
    let to = at(x, y + gum * (BRACKET_HEIGHT / 2.0 + 1.0));
    DrawItem::group(
        "hook",
        vec![
            DrawItem::line(from, to, Pen::ink(0.4)),
            DrawItem::circle(to, 0.42, None, Some(Shade::Ink)),
        ],
    )
}
