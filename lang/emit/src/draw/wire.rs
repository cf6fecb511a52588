//! Drawing of the archwire on the strip: through the slots that engage it, straight past the others, and
//! its ends.

use super::list::{DrawItem, Pen, Point, Segment, Shade, at};
use super::strip::Strip;
use crate::picture::{Hold, towards_left};
use springline_model::step::{ActKind, End, EndKind};
use springline_model::stock::Along;
use springline_units::quantity::mm;
use springline_units::tooth::Side;

/// The paper's length of an end that is left free.
const FREE_END: f64 = 4.0;
const TURN: f64 = 2.2;

/// One bend of the route: a place, and the height the wire has from there on.
struct Route {
    segments: Vec<Segment>,
    at: Point,
}

impl Route {
    fn new(start: Point) -> Route {
        Route { segments: vec![Segment::Move(start)], at: start }
    }

    fn along_to(&mut self, x: f64) {
        self.at = at(x, self.at.y);
        self.segments.push(Segment::Line(self.at));
    }

    /// An easy step up or down over a short way.
    fn ease_to(&mut self, to: Point) {
        let middle = (self.at.x + to.x) / 2.0;
        self.segments.push(Segment::Curve(at(middle, self.at.y), at(middle, to.y), to));
        self.at = to;
    }
}

/// The main wire (or both of a tandem), drawn under the brackets.
pub fn main_wire(strip: &Strip<'_, '_>) -> Option<DrawItem> {
    let (first, last) = strip.picture.wire_run()?;
    wire_along(strip, route(strip, first, last)?)
}

/// The same along a route of one's own.
pub fn wire_along(strip: &Strip<'_, '_>, route: Vec<Segment>) -> Option<DrawItem> {
    let wires = strip.picture.wire?;
    let items = if wires.tandem.is_some() {
        let shifted = |dy: f64| shift(&route, dy);
        vec![
            DrawItem::stroke(shifted(-0.45), Pen::ink(0.45)),
            DrawItem::stroke(shifted(0.45), Pen::ink(0.45)),
        ]
    } else if wires.wire.section.is_round() {
        vec![DrawItem::stroke(route, Pen::ink(0.6))]
    } else {
        // A rectangular wire is a band with two edges.
        vec![
            DrawItem::stroke(route.clone(), Pen::ink(1.25)),
            DrawItem::stroke(
                route,
                Pen { width: 0.65, shade: Shade::Paper, dash: super::list::Dash::Solid },
            ),
        ]
    };
    let name = match (&wires.tandem, wires.wire.section.is_round()) {
        (Some(_), _) => "wire-tandem",
        (None, true) => "wire-round",
        (None, false) => "wire-rectangular",
    };
    Some(DrawItem::group(name, items))
}

fn shift(route: &[Segment], dy: f64) -> Vec<Segment> {
    let move_by = |p: &Point| at(p.x, p.y + dy);
    route
        .iter()
        .map(|s| match s {
            Segment::Move(p) => Segment::Move(move_by(p)),
            Segment::Line(p) => Segment::Line(move_by(p)),
            Segment::Curve(a, b, p) => Segment::Curve(move_by(a), move_by(b), move_by(p)),
            Segment::Close => Segment::Close,
        })
        .collect()
}

fn route(strip: &Strip<'_, '_>, first: usize, last: usize) -> Option<Vec<Segment>> {
    let teeth = &strip.picture.teeth;
    let y = strip.slot_y();
    let mut route = Route::new(at(strip.bracket(teeth.get(first)?.tooth)?.0, y));
    // Straight past the brackets it does not enter.
    for tooth in teeth.iter().take(last + 1).skip(first) {
        let in_base = matches!(tooth.hold, Hold::In | Hold::HalfIn(_));
        if !in_base {
            continue;
        }
        let (left, right) = strip.bracket(tooth.tooth)?;
        match tooth.hold {
            Hold::HalfIn(along) => {
                half(&mut route, strip, (left, right), towards_left(tooth.tooth, along))
            }
            _ => {
                route.along_to(left);
                route.along_to(right);
            }
        }
    }
    Some(route.segments)
}

/// In one half of the slot; past the other.
fn half(route: &mut Route, strip: &Strip<'_, '_>, (left, right): (f64, f64), right_half: bool) {
    let (y, low) = (strip.slot_y(), strip.passing_y());
    let middle = (left + right) / 2.0;
    if right_half {
        route.along_to(left - 2.4);
        route.ease_to(at(left - 0.8, low));
        route.along_to(middle - 1.4);
        route.ease_to(at(middle, y));
        route.along_to(right);
    } else {
        route.along_to(middle);
        route.ease_to(at(middle + 1.4, low));
        route.along_to(right + 0.8);
        route.ease_to(at(right + 2.4, y));
    }
}

/// Both ends of the wire behind the outermost tooth it is in.
pub fn ends(strip: &Strip<'_, '_>) -> Vec<(Side, Point, DrawItem)> {
    let (Some(ends), Some((first, last))) = (strip.picture.ends, strip.picture.wire_run()) else {
        return Vec::new();
    };
    let teeth = &strip.picture.teeth;
    let mut out = Vec::new();
    for (side, index) in [(Side::Right, first), (Side::Left, last)] {
        let Some(tooth) = teeth.get(index) else { continue };
        let Some((left, right)) = strip.bracket(tooth.tooth) else { continue };
        // On paper the patient's right end points to the left.
        let (edge, way) = if side == Side::Right { (left, -1.0) } else { (right, 1.0) };
        let trim = strip
            .picture
            .things
            .iter()
            .any(|t| matches!(t, ActKind::Trim { teeth } if teeth.contains(&tooth.tooth)));
        let end = &ends.of(side).value;
        let (tip, item) = end_of_wire(strip, end, edge, way, trim || end.trimmed);
        out.push((side, tip, DrawItem::group(format!("end-{side}"), vec![item])));
    }
    out
}

fn end_of_wire(
    strip: &Strip<'_, '_>,
    end: &End,
    edge: f64,
    way: f64,
    trim: bool,
) -> (Point, DrawItem) {
    let y = strip.slot_y();
    let slack = end.slack.map_or(0.0, mm) * strip.scale;
    let pen = Pen::ink(0.6);
    let (name, tip, mut items) = match end.kind {
        EndKind::Free => {
            let tip = at(edge + way * FREE_END, y);
            ("end-free", tip, vec![DrawItem::line(at(edge, y), tip, pen)])
        }
        EndKind::Flush => {
            let tip = at(edge + way * 0.5, y);
            let tick = DrawItem::line(at(tip.x, y - 1.2), at(tip.x, y + 1.2), Pen::ink(0.4));
            ("end-flush", tip, vec![DrawItem::line(at(edge, y), tip, pen), tick])
        }
        EndKind::TurnedIn => {
            // A soft hook after the slack.
            let turn = edge + way * slack.max(0.8);
            let tip = at(turn - way * 0.4, y + TURN);
            let route = vec![
                Segment::Move(at(edge, y)),
                Segment::Line(at(turn, y)),
                Segment::Curve(at(turn + way * 1.6, y), at(turn + way * 1.6, y + TURN), tip),
            ];
            (
                "end-turned-in",
                at(turn + way * 1.2, y + TURN / 2.0),
                vec![DrawItem::stroke(route, pen)],
            )
        }
        EndKind::Cinched => {
            // A square bend tight behind the tube.
            let turn = edge + way * slack.max(0.3);
            let points = [at(edge, y), at(turn, y), at(turn, y + TURN + 0.4)];
            (
                "end-cinched",
                at(turn, y + TURN / 2.0),
                vec![DrawItem::polyline(&points, Pen::ink(0.8))],
            )
        }
    };
    if trim {
        let x = tip.x + way * 0.6;
        for k in [0.0, 0.7] {
            items.push(DrawItem::line(
                at(x + k - 0.5, y + 1.5),
                at(x + k + 0.5, y - 1.5),
                Pen::ink(0.3),
            ));
        }
    }
    (tip, DrawItem::group(name, items))
}

/// The light wire tied over a stiff one: into the slots of some teeth, over those of others.
pub fn overlay(strip: &Strip<'_, '_>) -> Option<DrawItem> {
    let (within, over) = strip.picture.things.iter().find_map(|t| match t {
        ActKind::Piggyback { within, over, .. } => Some((within, over)),
        _ => None,
    })?;
    let high = strip.slot_y() + strip.to_gum() * 2.3;
    let mut stations: Vec<(f64, f64, f64)> = Vec::new();
    for (teeth, inside) in [(within, true), (over, false)] {
        for tooth in teeth {
            let (left, right) = strip.bracket(*tooth)?;
            let slot = strip.attachment_y(strip.picture.tooth(*tooth)?.hold);
            stations.push((left, right, if inside { slot } else { high }));
        }
    }
    stations.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (start, _, first) = *stations.first()?;
    let mut route = Route::new(at(start, first));
    for (left, right, y) in stations {
        if (y - route.at.y).abs() > f64::EPSILON {
            route.ease_to(at(left, y));
        } else {
            route.along_to(left);
        }
        route.along_to(right);
    }
    Some(DrawItem::group("wire-overlay", vec![DrawItem::stroke(route.segments, Pen::ink(0.4))]))
}

/// Which way on paper a side of a tooth lies: -1 left, +1 right.
pub fn way(tooth: springline_units::tooth::Tooth, along: Along) -> f64 {
    if towards_left(tooth, along) { 1.0 } else { -1.0 }
}
