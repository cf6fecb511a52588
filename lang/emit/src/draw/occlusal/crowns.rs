//! Outlines of crowns seen from the bite, their brackets, and what an outline cannot show: height and tip.

use super::super::list::{Align, DrawItem, DrawnText, Pen, Point, Segment, Shade, at, words_width};
use super::page::OcclusalPage;
use springline_course::on_demand::{OcclusalCrown, Placed};
use springline_course::{Basis, ToothPose};
use springline_units::anatomy::{
    SLOT_BEFORE_CONTACTS_MM, crown_depth_mm, crown_prominence_mm, crown_width_mm,
};
use springline_units::tooth::{Notation, Tooth};

/// From the middle of the slot to the bracket's front, mm of the mouth.
pub const BRACKET_FRONT_MM: f64 = 0.8;
/// From there to its base, at least, where a crown stands far forward.
const BRACKET_BASE_MM: f64 = 0.4;
/// Length of a crown, for its tip: the long axis is drawn from the middle to the edge (common practice, no source).
const CROWN_HEIGHT_MM: f64 = 9.0;
/// What is too little to be drawn.
const LEAST_MM: f64 = 0.3;
const LEAST_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;
const LEAST_LEAN_MM: f64 = 1.0;
/// 8.5 pt at the width that drawings have on paper.
const NUMBER_SIZE: f64 = 3.0;
pub const FIGURE_SIZE: f64 = 3.0;

/// How round an outline is: handles at the contacts and at the middles of the two faces, as shares of a quarter's
/// sides.
struct OutlineRoundness {
    face: [f64; 2],
    back: [f64; 2],
}

fn round(tooth: Tooth) -> OutlineRoundness {
    let (face, back) = match tooth.position() {
        1 | 2 => ([0.55, 0.80], [0.30, 0.35]),
        3 => ([0.50, 0.50], [0.45, 0.42]),
        4 | 5 if !tooth.is_deciduous() => ([0.55, 0.58], [0.58, 0.58]),
        _ => ([0.75, 0.78], [0.72, 0.78]),
    };
    OutlineRoundness { face, back }
}

/// As deep as the textbook's in proportion to its width.
pub fn depth_mm(crown: &OcclusalCrown) -> f64 {
    crown_depth_mm(crown.tooth) * crown.width_mm / crown_width_mm(crown.tooth)
}

/// From the slot inward to the middle of the crown's face, mm.
fn face_mm(crown: &OcclusalCrown) -> f64 {
    let before_contacts = crown_prominence_mm(crown.tooth).min(0.45 * depth_mm(crown));
    SLOT_BEFORE_CONTACTS_MM - before_contacts
}

/// From the slot inward to the middle of its inner side, mm.
pub fn back_mm(crown: &OcclusalCrown) -> f64 {
    face_mm(crown) + depth_mm(crown)
}

/// The outline of a crown whose slot stands there.
pub fn outline(page: &OcclusalPage, crown: &OcclusalCrown, placed: &Placed) -> Vec<Segment> {
    let tooth = crown.tooth;
    let half = crown.width_mm / 2.0;
    let contact = SLOT_BEFORE_CONTACTS_MM;
    let (face, back) = (face_mm(crown), back_mm(crown));
    let OutlineRoundness { face: [fc, fm], back: [bc, bm] } = round(tooth);
    let p = |along: f64, inward: f64| page.beside(placed, along, inward);
    let quarter = |from: f64, to: f64, edge: f64, handles: [f64; 2]| {
        // From a contact to the middle of a face.
        [
            p(from, contact + handles[0] * (edge - contact)),
            p(to + handles[1] * (from - to), edge),
            p(to, edge),
        ]
    };
    let [a1, a2, a3] = quarter(-half, 0.0, face, [fc, fm]);
    let [b1, b2, _] = quarter(half, 0.0, face, [fc, fm]);
    let [c1, c2, c3] = quarter(half, 0.0, back, [bc, bm]);
    let [d1, d2, _] = quarter(-half, 0.0, back, [bc, bm]);
    vec![
        Segment::Move(p(-half, contact)),
        Segment::Curve(a1, a2, a3),
        Segment::Curve(b2, b1, p(half, contact)),
        Segment::Curve(c1, c2, c3),
        Segment::Curve(d2, d1, p(-half, contact)),
        Segment::Close,
    ]
}

/// The middle of a crown, and its contacts towards the patient's right and left.
pub fn landmarks(page: &OcclusalPage, crown: &OcclusalCrown, placed: &Placed) -> [Point; 3] {
    let half = crown.width_mm / 2.0;
    let middle = face_mm(crown) + 0.5 * depth_mm(crown);
    let p = |along: f64, inward: f64| page.beside(placed, along, inward);
    [p(0.0, middle), p(-half, SLOT_BEFORE_CONTACTS_MM), p(half, SLOT_BEFORE_CONTACTS_MM)]
}

/// The crown as it stands, grey where its place was written or measured, with its number.
pub fn crown(page: &OcclusalPage, crown: &OcclusalCrown, notation: Notation) -> DrawItem {
    let placed = crown.placed(&crown.pose.value);
    let known = matches!(crown.pose.basis, Basis::Entered | Basis::Measured(_));
    let fill = if known && is_off(&crown.pose.value) { Shade::Pale } else { Shade::Paper };
    let mut items =
        vec![DrawItem::shape(outline(page, crown, &placed), Some(Pen::ink(0.3)), Some(fill))];
    let axis = long_axis(page, crown, &placed);
    let has_axis = axis.is_some();
    items.extend(axis);
    // An incisor is broadest near its face.
    let share = if crown.tooth.position() <= 2 { 0.42 } else { 0.52 };
    let middle = page.beside(&placed, 0.0, face_mm(crown) + share * depth_mm(crown));
    let number = crown.tooth.write(notation);
    // The long axis passes behind the number.
    let half = words_width(&number, NUMBER_SIZE, true) / 2.0;
    let back = at(middle.x - half, middle.y - 0.42 * NUMBER_SIZE);
    if has_axis {
        items.push(DrawItem::rect(back, 2.0 * half, 0.84 * NUMBER_SIZE, 0.0, None, Some(fill)));
    }
    items.push(DrawItem::Words(DrawnText {
        at: at(middle.x, middle.y + 0.36 * NUMBER_SIZE),
        size: NUMBER_SIZE,
        bold: true,
        align: Align::Middle,
        shade: Shade::Ink,
        text: number,
    }));
    DrawItem::group("crown", items)
}

/// Whether a tooth stands off its place far enough to be seen.
fn is_off(pose: &ToothPose) -> bool {
    pose.off_mm() >= 0.1 || pose.off_deg() >= 1.0
}

/// The edge's way from the middle of a crown that is tipped or torqued: what of it can be seen from the bite.
fn long_axis(page: &OcclusalPage, crown: &OcclusalCrown, placed: &Placed) -> Option<DrawItem> {
    let pose = &crown.pose.value;
    // A left-hand edge that is turned to the gum belongs to a crown that leans to the left.
    let along = pose.tipped_rad.sin() * CROWN_HEIGHT_MM;
    let inward = pose.torque_rad.sin() * CROWN_HEIGHT_MM;
    if along.hypot(inward) < LEAST_LEAN_MM {
        return None;
    }
    let middle = SLOT_BEFORE_CONTACTS_MM + 0.9;
    let (from, to) =
        (page.beside(placed, 0.0, middle), page.beside(placed, along, middle + inward));
    let items = vec![
        DrawItem::line(from, to, Pen::ink(0.25)),
        DrawItem::circle(to, 0.45, None, Some(Shade::Ink)),
    ];
    Some(DrawItem::group(format!("long-axis-{}", crown.tooth), items))
}

/// Where the crown was, where it has moved since.
pub fn before(page: &OcclusalPage, crown: &OcclusalCrown, was: &OcclusalCrown) -> Option<DrawItem> {
    let (now, then) = (crown.placed(&crown.pose.value), was.placed(&was.pose.value));
    if !apart(&now, &then) {
        return None;
    }
    let outline = outline(page, was, &then);
    Some(DrawItem::group(
        format!("was-{}", crown.tooth),
        vec![DrawItem::stroke(outline, Pen::soft(0.25).dotted())],
    ))
}

/// Where a tooth stands in patients slower and faster than nine in ten, or within the error of its entry.
pub fn band(page: &OcclusalPage, crown: &OcclusalCrown) -> Option<DrawItem> {
    let [low, high] = [&crown.pose.low, &crown.pose.high].map(|pose| crown.placed(pose));
    if crown.pose.basis != Basis::Predicted || !apart(&low, &high) {
        return None;
    }
    let edge =
        |placed: &Placed| DrawItem::stroke(outline(page, crown, placed), Pen::soft(0.2).dashed());
    Some(DrawItem::group(format!("band-{}", crown.tooth), vec![edge(&low), edge(&high)]))
}

fn apart(a: &Placed, b: &Placed) -> bool {
    let way = (a.at_mm[0] - b.at_mm[0]).hypot(a.at_mm[1] - b.at_mm[1]);
    way >= LEAST_MM || (a.turn_rad - b.turn_rad).abs() >= LEAST_RAD
}

/// The bracket's outline on its crown.
pub fn bracket(page: &OcclusalPage, crown: &OcclusalCrown) -> Option<DrawItem> {
    if crown.bracket_mm <= 0.0 {
        return None;
    }
    let placed = crown.placed(&crown.pose.value);
    let half = crown.bracket_mm / 2.0;
    let corner = |along: f64, inward: f64| page.beside(&placed, along, inward);
    let (front, base) = (-BRACKET_FRONT_MM, face_mm(crown).max(BRACKET_BASE_MM));
    let segments = vec![
        Segment::Move(corner(-half, front)),
        Segment::Line(corner(half, front)),
        Segment::Line(corner(half, base)),
        Segment::Line(corner(-half, base)),
        Segment::Close,
    ];
    let shape = DrawItem::shape(segments, Some(Pen::ink(0.25)), Some(Shade::Paper));
    let bracket = DrawItem::group(format!("bracket-{}", crown.tooth), vec![shape]);
    Some(bracket.of_tooth(crown.tooth))
}
