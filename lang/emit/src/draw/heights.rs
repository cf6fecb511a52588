//! The arches from the front as they stand: crowns at their height and tip, the wire along its computed curve, and
//! what lies on it carried along.

use super::list::{DrawItem, DrawnText, Point, Segment, at};
use super::strip::Strip;
use crate::picture::{Hold, ToothPicture};
use springline_course::on_demand::OcclusalArch;
use springline_units::tooth::Tooth;

/// How far the wire lies from its straight place, along the paper.
#[derive(Debug, Clone, Default)]
pub struct HeightLine {
    /// From left to right: x, and how far down the paper.
    points: Vec<(f64, f64)>,
    /// They are the solver's; else from slot to slot.
    pub is_computed: bool,
}

impl HeightLine {
    /// Of one arch. `seen` has the curve of its wire, if that was computed.
    pub fn of(strip: &Strip<'_, '_>, seen: Option<&OcclusalArch>) -> HeightLine {
        if let Some(points) = seen.and_then(|arch| computed(strip, arch)) {
            return HeightLine { points, is_computed: true };
        }
        let cells = strip.cells.iter().zip(&strip.picture.teeth);
        let held = cells.filter(|(_, tooth)| tooth.hold.is_engaged());
        let points =
            held.map(|(cell, tooth)| (cell.middle(), down(strip, tooth.pose.value.gingival_mm)));
        HeightLine { points: points.collect(), is_computed: false }
    }

    /// Beyond its ends it goes on level.
    pub fn down_at(&self, x: f64) -> f64 {
        let i = self.points.partition_point(|(at, _)| *at <= x);
        match (i.checked_sub(1).and_then(|i| self.points.get(i)), self.points.get(i)) {
            (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * (x - x0) / (x1 - x0).max(1e-9),
            (Some((_, y)), None) | (None, Some((_, y))) => *y,
            (None, None) => 0.0,
        }
    }

    /// The wire itself, at the height of the slots.
    pub fn wire(&self, slot_y: f64) -> Vec<Segment> {
        let points = self.points.iter().map(|(x, down)| at(*x, slot_y + down)).enumerate();
        points.map(|(i, p)| if i == 0 { Segment::Move(p) } else { Segment::Line(p) }).collect()
    }

    /// What lies on the wire, carried along.
    pub fn carry(&self, item: &mut DrawItem) {
        moved(item, &|p| at(p.x, p.y + self.down_at(p.x)));
    }
}

/// Millimetres of the mouth towards the gum, as paper downwards.
fn down(strip: &Strip<'_, '_>, gingival_mm: f64) -> f64 {
    strip.to_gum() * gingival_mm * strip.scale
}

/// The curve of the wire over the paper's own places of the teeth that hold it.
fn computed(strip: &Strip<'_, '_>, arch: &OcclusalArch) -> Option<Vec<(f64, f64)>> {
    let wire = &arch.wire;
    let along = |tooth: Tooth| {
        let crown = arch.crown(tooth)?;
        let [x, y] = crown.placed(&crown.pose.value).at_mm;
        let away =
            |p: &springline_course::on_demand::WirePoint| (p.at_mm[0] - x).hypot(p.at_mm[1] - y);
        let near = wire.iter().min_by(|a, b| away(a).total_cmp(&away(b)))?;
        Some(near.along_mm)
    };
    let held = strip.picture.teeth.iter().filter(|t| t.hold.is_engaged());
    let mut anchors: Vec<(f64, f64)> =
        held.filter_map(|t| Some((along(t.tooth)?, strip.cell(t.tooth)?.middle()))).collect();
    anchors.sort_by(|a, b| a.0.total_cmp(&b.0));
    anchors.dedup_by(|a, b| a.0 - b.0 < 1e-6 || a.1 <= b.1);
    let (Some(first), Some(last)) = (anchors.first().copied(), anchors.last().copied()) else {
        return None;
    };
    let x = |along: f64| {
        let i = anchors.partition_point(|(known, _)| *known <= along);
        match (i.checked_sub(1).and_then(|i| anchors.get(i)), anchors.get(i)) {
            (Some((a0, x0)), Some((a1, x1))) => x0 + (x1 - x0) * (along - a0) / (a1 - a0),
            (Some(_), None) => last.1 + (along - last.0) * strip.scale,
            _ => first.1 + (along - first.0) * strip.scale,
        }
    };
    let points: Vec<(f64, f64)> =
        wire.iter().map(|p| (x(p.along_mm), down(strip, p.gingival_mm))).collect();
    (anchors.len() > 1 && points.len() > 1).then_some(points)
}

/// How a crown is carried off its place on the strip: to its height, and turned about its slot.
#[derive(Debug, Clone, Copy)]
pub struct CrownShift {
    slot: Point,
    pub down: f64,
    /// Clockwise to the eye.
    pub turn_deg: f64,
}

impl CrownShift {
    /// `None` for a place without a crown: what lies under the gum is not seen from the front.
    pub fn of(strip: &Strip<'_, '_>, tooth: &ToothPicture) -> Option<CrownShift> {
        let cell = strip.cell(tooth.tooth).filter(|_| !matches!(tooth.hold, Hold::Absent(_)))?;
        let pose = &tooth.pose.value;
        Some(CrownShift {
            slot: at(cell.middle(), strip.slot_y()),
            down: down(strip, pose.gingival_mm),
            // What lies on the right of the paper is towards the patient's left.
            turn_deg: strip.to_gum() * pose.tipped_rad.to_degrees(),
        })
    }

    pub fn point(&self, p: Point) -> Point {
        let (sin, cos) = self.turn_deg.to_radians().sin_cos();
        let (x, y) = (p.x - self.slot.x, p.y - self.slot.y);
        at(self.slot.x + x * cos - y * sin, self.slot.y + x * sin + y * cos + self.down)
    }

    pub fn carry(&self, item: &mut DrawItem) {
        moved(item, &|p| self.point(p));
    }
}

/// Every point of a drawing by a rule.
fn moved(item: &mut DrawItem, to: &dyn Fn(Point) -> Point) {
    match item {
        DrawItem::Group { items, .. } => items.iter_mut().for_each(|item| moved(item, to)),
        DrawItem::Words(DrawnText { at, .. }) => *at = to(*at),
        DrawItem::Path { segments, .. } => segments.iter_mut().for_each(|segment| match segment {
            Segment::Move(p) | Segment::Line(p) => *p = to(*p),
            Segment::Curve(a, b, p) => {
                for point in [a, b, p] {
                    *point = to(*point);
                }
            }
            Segment::Close => {}
        }),
    }
}
