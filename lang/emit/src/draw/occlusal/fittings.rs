//! What lies on the wire and between the teeth, seen from the bite.

use super::super::list::{Align, DrawItem, Pen, Point, Segment, Shade, at};
use super::crowns::FIGURE_SIZE;
use super::page::OcclusalPage;
use crate::picture::{ArchPicture, towards_left};
use springline_course::on_demand::{OcclusalArch, OcclusalCrown, OcclusalGap, WirePoint};
use springline_model::step::{ActKind, EndKind, Spot};
use springline_units::quantity::{mm, plain};
use springline_units::tooth::{Side, Tooth};

/// Half the breadth of a coil, mm of paper.
const COIL: f64 = 0.9;
const PITCH: f64 = 1.0;
/// How far inside the contact line a gap's length is written, mm of the mouth.
const LABEL_IN_MM: f64 = 3.0;
/// How far outside of it where its inner side is taken.
const LABEL_OUT_MM: f64 = 7.0;

pub struct Occlusal<'a> {
    pub page: OcclusalPage,
    pub arch: &'a OcclusalArch,
    pub picture: Option<&'a ArchPicture<'a>>,
}

impl Occlusal<'_> {
    /// The base wire along its computed curve; along the slots, dashed, where the solver has no answer.
    pub fn wire(&self) -> Option<DrawItem> {
        let picture = self.picture?;
        picture.wire?;
        if self.arch.wire.is_empty() {
            let held = picture.teeth.iter().filter(|t| t.hold.is_engaged());
            let points: Vec<Point> = held
                .filter_map(|t| self.arch.crown(t.tooth))
                .map(|c| self.page.put(c.placed(&c.pose.value).at_mm))
                .collect();
            let line = DrawItem::polyline(&points, Pen::ink(0.4).dashed());
            return Some(DrawItem::group("wire-not-computed", vec![line]));
        }
        Some(DrawItem::group("wire", vec![self.curve(&self.arch.wire, Pen::ink(0.5))]))
    }

    pub fn overlay(&self) -> Option<DrawItem> {
        let curve = &self.arch.overlay;
        (!curve.is_empty())
            .then(|| DrawItem::group("wire-overlay", vec![self.curve(curve, Pen::ink(0.3))]))
    }

    fn curve(&self, points: &[WirePoint], pen: Pen) -> DrawItem {
        let points: Vec<Point> = points.iter().map(|p| self.page.put(p.at_mm)).collect();
        DrawItem::polyline(&points, pen)
    }

    /// Open spaces with their length.
    pub fn gaps(&self) -> Vec<DrawItem> {
        let gap = |gap: &OcclusalGap| {
            // Inside of it a tooth that is pulled in is drawn: then outside of the wire.
            let inward = if self.pulls_into(gap) { -LABEL_OUT_MM } else { LABEL_IN_MM };
            let place = self.page.beside(&gap.at, 0.0, inward);
            let text = format!("{} mm", plain((gap.length_mm * 10.0).round() / 10.0));
            let place = at(place.x, place.y + 0.36 * FIGURE_SIZE);
            DrawItem::group(
                format!("gap-{}-{}", gap.between.0, gap.between.1),
                vec![DrawItem::words(place, FIGURE_SIZE, Align::Middle, text)],
            )
        };
        self.arch.gaps.iter().map(gap).collect()
    }

    /// A tooth is under traction whose place lies in the gap.
    fn pulls_into(&self, gap: &OcclusalGap) -> bool {
        let (a, b) = (gap.between.0.place(), gap.between.1.place());
        let inside = |t: &Tooth| a.min(b) < t.place() && t.place() < a.max(b);
        let things = self.picture.map_or(&[][..], |p| &p.things);
        things.iter().any(|thing| match thing {
            ActKind::Traction { teeth, .. } => teeth.iter().any(inside),
            _ => false,
        })
    }

    pub fn things(&self) -> Vec<DrawItem> {
        let things = self.picture.map_or(&[][..], |p| &p.things);
        things.iter().flat_map(|thing| self.thing(thing)).collect()
    }

    fn thing(&self, thing: &ActKind) -> Vec<DrawItem> {
        let one = |name: &str, items: Option<Vec<DrawItem>>| {
            items.map(|items| DrawItem::group(name, items)).into_iter().collect()
        };
        match thing {
            ActKind::OpenCoil { first, second, .. } => {
                one("open-coil", self.coil(*first, *second, PITCH))
            }
            ActKind::ClosedCoil { first, second, .. } => {
                one("closed-coil", self.coil(*first, *second, 0.5 * PITCH))
            }
            ActKind::ClosingCoil { pulls, .. } => pulls
                .iter()
                .flat_map(|(a, b)| one("closing-coil", self.beside(&[a.tooth(), b.tooth()], true)))
                .collect(),
            ActKind::Chain { teeth, .. } => one("chain", self.beside(teeth, true)),
            ActKind::Tie { teeth, .. } => one("tie", self.beside(teeth, false)),
            ActKind::Laceback { pairs } => pairs
                .iter()
                .flat_map(|(a, b)| one("laceback", self.beside(&[*a, *b], false)))
                .collect(),
            ActKind::Sleeve { spans } => {
                spans.iter().flat_map(|(a, b)| one("sleeve", self.sleeve(*a, *b))).collect()
            }
            ActKind::Stop { spots } => {
                spots.iter().flat_map(|s| one("stop", self.stop(*s).map(|i| vec![i]))).collect()
            }
            _ => Vec::new(),
        }
    }

    fn slot_edge(&self, crown: &OcclusalCrown, left: bool) -> Point {
        let half = crown.bracket_mm / 2.0;
        let along = if left { half } else { -half };
        self.page.beside(&crown.placed(&crown.pose.value), along, 0.0)
    }

    /// The wire between the facing edges of two brackets, on paper.
    fn between(&self, a: Tooth, b: Tooth) -> Option<Vec<Point>> {
        let (a, b) = (self.arch.crown(a)?, self.arch.crown(b)?);
        let (right, left) = if a.station_mm < b.station_mm { (a, b) } else { (b, a) };
        let (from, to) = (self.slot_edge(right, true), self.slot_edge(left, false));
        let wire: Vec<Point> = self.arch.wire.iter().map(|p| self.page.put(p.at_mm)).collect();
        let near = |to: &Point| {
            let away = |p: &Point| (p.x - to.x).hypot(p.y - to.y);
            let all = wire.iter().enumerate();
            all.min_by(|(_, a), (_, b)| away(a).total_cmp(&away(b))).map(|(i, _)| i)
        };
        let piece = match (near(&from), near(&to)) {
            (Some(i), Some(j)) if i + 1 < j => wire[i..=j].to_vec(),
            _ => vec![from, to],
        };
        Some(piece)
    }

    fn coil(&self, a: Tooth, b: Tooth, pitch: f64) -> Option<Vec<DrawItem>> {
        let piece = self.between(a, b)?;
        let length = lengths(&piece);
        let whole = length.last().copied()?;
        let turns = (whole / pitch).round().max(2.0) as usize;
        let mut points = Vec::with_capacity(2 * turns);
        for i in 0..=2 * turns {
            let along = whole * i as f64 / (2 * turns) as f64;
            let side = if i % 2 == 0 { COIL } else { -COIL };
            points.push(off(&piece, &length, along, side));
        }
        Some(vec![DrawItem::polyline(&points, Pen::ink(0.25))])
    }

    fn sleeve(&self, a: Tooth, b: Tooth) -> Option<Vec<DrawItem>> {
        let piece = self.between(a, b)?;
        let length = lengths(&piece);
        let whole = length.last().copied()?;
        let edge = |side: f64| {
            let points: Vec<Point> =
                (0..=12).map(|i| off(&piece, &length, whole * f64::from(i) / 12.0, side)).collect();
            DrawItem::polyline(&points, Pen::ink(0.25))
        };
        Some(vec![edge(0.7), edge(-0.7)])
    }

    /// A strand or row of rings on the outer side of the brackets.
    fn beside(&self, teeth: &[Tooth], rings: bool) -> Option<Vec<DrawItem>> {
        let mut crowns: Vec<&OcclusalCrown> =
            teeth.iter().filter_map(|t| self.arch.crown(*t)).collect();
        crowns.sort_by(|a, b| a.station_mm.total_cmp(&b.station_mm));
        let out = -self.page.paper(1.9);
        let points: Vec<Point> =
            crowns.iter().map(|c| self.page.beside(&c.placed(&c.pose.value), 0.0, out)).collect();
        if points.len() < 2 {
            return None;
        }
        if !rings {
            return Some(vec![DrawItem::polyline(&points, Pen::ink(0.3))]);
        }
        let length = lengths(&points);
        let whole = length.last().copied()?;
        let count = (whole / 1.7).round().max(1.0) as usize;
        let ring = |i: usize| {
            let centre = off(&points, &length, whole * i as f64 / count as f64, 0.0);
            DrawItem::circle(centre, 0.6, Some(Pen::ink(0.25)), Some(Shade::Paper))
        };
        Some((0..=count).map(ring).collect())
    }

    fn stop(&self, spot: Spot) -> Option<DrawItem> {
        let crown = self.arch.crown(spot.tooth)?;
        let placed = crown.placed(&crown.pose.value);
        let way = if towards_left(spot.tooth, spot.along) { 1.0 } else { -1.0 };
        let (near, far) = (crown.bracket_mm / 2.0 + 0.15, crown.bracket_mm / 2.0 + 1.35);
        let corner = |along: f64, inward: f64| self.page.beside(&placed, way * along, inward);
        let segments = vec![
            Segment::Move(corner(near, -0.7)),
            Segment::Line(corner(far, -0.7)),
            Segment::Line(corner(far, 0.7)),
            Segment::Line(corner(near, 0.7)),
            Segment::Close,
        ];
        Some(DrawItem::shape(segments, None, Some(Shade::Ink)))
    }

    /// Both ends of the wire behind the outermost teeth that hold it.
    pub fn ends(&self) -> Vec<DrawItem> {
        let Some((picture, ends)) = self.picture.and_then(|p| Some((p, p.ends?))) else {
            return Vec::new();
        };
        let Some((first, last)) = picture.wire_run() else { return Vec::new() };
        let end = |side: Side, index: usize| {
            let crown = self.arch.crown(picture.teeth.get(index)?.tooth)?;
            let placed = crown.placed(&crown.pose.value);
            let way = if side == Side::Right { -1.0 } else { 1.0 };
            let slack = ends.of(side).value.slack.map_or(0.0, mm);
            let edge = crown.bracket_mm / 2.0;
            let p = |along: f64, inward: f64| self.page.beside(&placed, way * along, inward);
            let points = match ends.of(side).value.kind {
                EndKind::Free => vec![p(edge, 0.0), p(edge + 2.5, 0.0)],
                EndKind::Flush => vec![p(edge, 0.0), p(edge + 0.4, 0.0)],
                EndKind::TurnedIn => {
                    let turn = edge + slack.max(0.8);
                    vec![p(edge, 0.0), p(turn, 0.0), p(turn + 0.7, 0.6), p(turn + 0.9, 1.6)]
                }
                EndKind::Cinched => {
                    let turn = edge + slack.max(0.3);
                    vec![p(edge, 0.0), p(turn, 0.0), p(turn, 1.8)]
                }
            };
            Some(DrawItem::group(
                format!("end-{side}"),
                vec![DrawItem::polyline(&points, Pen::ink(0.5))],
            ))
        };
        [end(Side::Right, first), end(Side::Left, last)].into_iter().flatten().collect()
    }
}

/// Lengths of a line on paper up to each of its points.
fn lengths(points: &[Point]) -> Vec<f64> {
    let mut out = vec![0.0];
    for pair in points.windows(2) {
        let before = out[out.len() - 1];
        out.push(before + (pair[1].x - pair[0].x).hypot(pair[1].y - pair[0].y));
    }
    out
}

/// A point so far along a line and to the side of it.
fn off(points: &[Point], length: &[f64], along: f64, side: f64) -> Point {
    let last = points.len() - 1;
    let i = length.partition_point(|l| *l <= along).clamp(1, last.max(1)) - 1;
    let (a, b) = (points[i], points[(i + 1).min(last)]);
    let long = (length[(i + 1).min(last)] - length[i]).max(1e-9);
    let share = ((along - length[i]) / long).clamp(0.0, 1.0);
    let (dx, dy) = ((b.x - a.x) / long, (b.y - a.y) / long);
    at(a.x + share * (b.x - a.x) - side * dy, a.y + share * (b.y - a.y) + side * dx)
}
