//! Drawing of the patient's elastics, mirrored as the patient sees the teeth, with teeth counted from the
//! midline.

use super::crown;
use super::list::{Align, DrawItem, Drawing, DrawnText, Pen, Point, Segment, Shade, at};
use super::strip::{Strip, WIDTH, lay_out, scale};
use crate::picture::{ArchPicture, Hold, MouthPicture};
use springline_units::tooth::{Side, Tooth};

const TOP: f64 = 6.0;
const CROWN: f64 = 11.0;
const BETWEEN: f64 = 6.0;
/// 10 pt and more on paper.
const SIZE: f64 = 3.6;

/// Legend of the drawing, in the patient's language.
pub struct BandsLegend<'w> {
    pub title: &'w str,
    pub description: String,
    /// "your right", "your left".
    pub right: &'w str,
    pub left: &'w str,
}

/// The teeth with the bands on them; `None` where no band is worn between teeth that are drawn.
pub fn bands(mouth: &MouthPicture<'_>, told: BandsLegend<'_>) -> Option<Drawing> {
    let scale = scale(mouth);
    let (mut items, mut places, mut y) = (Vec::new(), Vec::new(), TOP);
    for arch in mouth.arches() {
        let upper = arch.arch == springline_units::tooth::Arch::Upper;
        let (gum, bite) = if upper { (y, y + CROWN) } else { (y + CROWN, y) };
        let strip = lay_out(arch, scale, gum, bite);
        items.push(teeth(&strip, &mut places));
        y += CROWN + BETWEEN;
    }
    let runs = mouth.elastics.iter().filter_map(|worn| {
        let points: Option<Vec<Point>> = worn
            .run
            .teeth
            .iter()
            .map(|t| places.iter().find(|(place, _)| place == t).map(|(_, at)| *at))
            .collect();
        Some((worn.run.side, points.filter(|p| p.len() > 1)?))
    });
    let drawn: Vec<DrawItem> = runs.map(|(side, points)| band(side, points)).collect();
    if drawn.is_empty() {
        return None;
    }
    items.extend(drawn);
    items.iter_mut().for_each(mirror);
    // As in a mirror: the patient's right is on the right.
    let side = |x: f64, align: Align, text: &str| {
        DrawItem::Words(DrawnText {
            at: at(x, 3.6),
            size: SIZE,
            bold: true,
            align,
            shade: Shade::Ink,
            text: text.to_owned(),
        })
    };
    items.push(side(0.0, Align::Start, told.left));
    items.push(side(WIDTH, Align::End, told.right));
    Some(Drawing {
        width: WIDTH,
        height: y - BETWEEN + 1.0,
        title: told.title.to_owned(),
        description: told.description,
        items,
    })
}

/// Which tooth it is, counted from the middle of the mouth over the teeth that are there.
pub fn counted(arch: &ArchPicture<'_>, tooth: Tooth) -> Option<usize> {
    let mut side: Vec<Tooth> = arch
        .teeth
        .iter()
        .filter(|t| t.tooth.side() == tooth.side() && !matches!(t.hold, Hold::Absent(_)))
        .map(|t| t.tooth)
        .collect();
    if tooth.side() == Side::Right {
        side.reverse();
    }
    side.iter().position(|t| *t == tooth).map(|i| i + 1)
}

fn teeth(strip: &Strip<'_, '_>, places: &mut Vec<(Tooth, Point)>) -> DrawItem {
    let mut items = Vec::new();
    for cell in &strip.cells {
        let Some(number) = counted(strip.picture, cell.tooth) else { continue };
        let outline = crown::outline(strip, cell);
        items.push(DrawItem::shape(outline, Some(Pen::ink(0.3)), Some(Shade::Paper)));
        let base = strip.y(0.24) + SIZE * 0.36;
        let number = number.to_string();
        items.push(DrawItem::words(at(cell.middle(), base), SIZE, Align::Middle, number));
        places.push((cell.tooth, at(cell.middle(), strip.y(0.68))));
    }
    DrawItem::group(format!("teeth-{}", strip.picture.arch), items)
}

/// A thick line from hook to hook, closed where there are more than two.
fn band(side: Side, mut points: Vec<Point>) -> DrawItem {
    let hooks = points.clone();
    if let [first, _, _, ..] = points.as_slice() {
        let first = *first;
        points.push(first);
    }
    let mut items = vec![DrawItem::polyline(&points, Pen::ink(1.1))];
    items.extend(hooks.iter().map(|p| DrawItem::circle(*p, 1.5, None, Some(Shade::Ink))));
    DrawItem::group(format!("band-{side}"), items)
}

fn mirror(item: &mut DrawItem) {
    let turn = |p: &mut Point| p.x = WIDTH - p.x;
    match item {
        DrawItem::Group { items, .. } => items.iter_mut().for_each(mirror),
        DrawItem::Words(words) => turn(&mut words.at),
        DrawItem::Path { segments, .. } => {
            for segment in segments {
                match segment {
                    Segment::Move(p) | Segment::Line(p) => turn(p),
                    Segment::Curve(a, b, p) => [a, b, p].into_iter().for_each(turn),
                    Segment::Close => {}
                }
            }
        }
    }
}
