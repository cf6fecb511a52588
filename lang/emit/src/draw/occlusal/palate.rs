//! What lies in the palate or under the gum, seen from the bite: bars, expanders, and buried teeth with what pulls
//! them.

use super::super::fittings::links;
use super::super::list::{Align, DrawItem, Pen, Point, Segment, Shade, at};
use super::crowns::{FIGURE_SIZE, depth_mm};
use super::fittings::Occlusal;
use crate::wording::traction_to;
use springline_course::on_demand::OcclusalCrown;
use springline_model::step::ActKind;
use springline_model::traction::{TractionBy, TractionTo};
use springline_units::anatomy::{SLOT_BEFORE_CONTACTS_MM, crown_depth_mm};
use springline_units::tooth::{Arch, Notation, Side, Tooth};

/// How far behind the molars' middles the bow of a bar runs, mm of the mouth.
const BOW_MM: f64 = 4.0;
/// Half the length and the breadth of an expander's body, mm of the mouth (common practice, no source).
const BODY_MM: [f64; 2] = [5.5, 4.0];
/// From the slot outward to a screw beside its tooth, mm.
const SCREW_OUT_MM: f64 = 4.0;

impl Occlusal<'_> {
    /// Bars and expander, under everything that lies on the teeth.
    pub fn across(&self) -> Vec<DrawItem> {
        let Some(picture) = self.picture.filter(|p| p.wire.is_some()) else { return Vec::new() };
        let bars = picture.case.bars.iter().filter_map(|(a, b, _)| self.bar(*a, *b));
        let expander = picture.expander.and_then(|e| self.expander(&e.teeth));
        bars.chain(expander).collect()
    }

    /// The inner side of a crown, on paper.
    fn inner(&self, crown: &OcclusalCrown) -> Point {
        let inward = SLOT_BEFORE_CONTACTS_MM + 0.75 * depth_mm(crown);
        self.page.beside(&crown.placed(&crown.pose.value), 0.0, inward)
    }

    /// Across the palate from molar to molar, or below along the inner sides of the teeth, clear of the tongue.
    fn bar(&self, a: Tooth, b: Tooth) -> Option<DrawItem> {
        if a.arch() == Arch::Lower {
            let crowns = a.stretch(b)?.into_iter().filter_map(|t| self.arch.crown(t));
            let inner = crowns.enumerate().map(|(i, crown)| match i {
                0 => Segment::Move(self.inner(crown)),
                _ => Segment::Line(self.inner(crown)),
            });
            let line = DrawItem::stroke(inner.collect(), Pen::ink(0.4));
            return Some(DrawItem::group("bar", vec![line]));
        }
        let (a, b) = (self.inner(self.arch.crown(a)?), self.inner(self.arch.crown(b)?));
        let bow = self.bow(a, b);
        let curve = vec![Segment::Move(a), Segment::Curve(at(a.x, bow.y), at(b.x, bow.y), b)];
        Some(DrawItem::group("bar", vec![DrawItem::stroke(curve, Pen::ink(0.4))]))
    }

    /// The handles of a bar's bow lie behind its molars.
    fn bow(&self, a: Point, b: Point) -> Point {
        let back = self.page.put([0.0, BOW_MM]).y - self.page.put([0.0, 0.0]).y;
        at((a.x + b.x) / 2.0, (a.y + b.y) / 2.0 + back)
    }

    /// Arms from the banded teeth to a body with its screw across the middle.
    fn expander(&self, teeth: &[Tooth]) -> Option<DrawItem> {
        let held: Vec<(Tooth, Point)> =
            teeth.iter().filter_map(|t| Some((*t, self.inner(self.arch.crown(*t)?)))).collect();
        if held.len() < 2 {
            return None;
        }
        let count = held.len() as f64;
        let y = held.iter().map(|(_, p)| p.y).sum::<f64>() / count;
        let middle = at(self.page.put([0.0, 0.0]).x, y);
        let [long, broad] = BODY_MM.map(|mm| mm * self.page.scale);
        let half = broad / 2.0;
        let mut items: Vec<DrawItem> = held
            .iter()
            .map(|(tooth, from)| {
                let side = if tooth.side() == Side::Right { -half } else { half };
                DrawItem::line(*from, at(middle.x + side, y), Pen::ink(0.45))
            })
            .collect();
        items.push(DrawItem::rect(
            at(middle.x - half, y - long / 2.0),
            broad,
            long,
            0.6,
            Some(Pen::ink(0.35)),
            Some(Shade::Paper),
        ));
        // The screw, and where the two halves part.
        items.push(DrawItem::line(
            at(middle.x, y - long / 2.0),
            at(middle.x, y + long / 2.0),
            Pen::ink(0.2),
        ));
        items.push(DrawItem::circle(
            at(middle.x, y),
            0.9,
            Some(Pen::ink(0.35)),
            Some(Shade::Paper),
        ));
        let text = at(middle.x, y + long / 2.0 + 1.2 * FIGURE_SIZE);
        items.push(DrawItem::words(text, FIGURE_SIZE, Align::Middle, "expander"));
        let across = match held[0].0.arch() {
            Arch::Upper => "Expander across the palate",
            Arch::Lower => "Expander of the lower arch",
        };
        Some(DrawItem::said_group("expander", across.to_owned(), items))
    }

    /// Teeth under traction: where they lie under the gum, dashed, and the chain to what they are pulled to.
    pub fn traction(&self, notation: Notation) -> Vec<DrawItem> {
        let things = self.picture.map_or(&[][..], |p| &p.things);
        let pulls = things.iter().filter_map(|thing| match thing {
            ActKind::Traction { teeth, by, to, .. } => Some((teeth, *by, *to)),
            _ => None,
        });
        let each = pulls.flat_map(|(teeth, by, to)| teeth.iter().map(move |t| (*t, by, to)));
        each.filter_map(|(tooth, by, to)| self.pulled(tooth, by, to, notation)).collect()
    }

    fn pulled(
        &self,
        tooth: Tooth,
        by: TractionBy,
        to: TractionTo,
        notation: Notation,
    ) -> Option<DrawItem> {
        let buried = self.buried(tooth)?;
        let end = match to {
            TractionTo::Wire => buried.over,
            TractionTo::Tooth(to) => {
                let crown = self.arch.crown(to)?;
                self.page.put(crown.placed(&crown.pose.value).at_mm)
            }
            TractionTo::Screw(beside) => {
                let crown = self.arch.crown(beside)?;
                self.page.beside(&crown.placed(&crown.pose.value), 0.0, -SCREW_OUT_MM)
            }
            TractionTo::PalatalArch => {
                let (a, b, _) = self.picture?.case.bars.first()?;
                let (a, b) = (self.inner(self.arch.crown(*a)?), self.inner(self.arch.crown(*b)?));
                let bow = self.bow(a, b);
                // On the bow, level with the tooth.
                let share = ((buried.at.x - a.x) / (b.x - a.x)).clamp(0.1, 0.9);
                let rise = 3.0 * share * (1.0 - share);
                at(a.x + share * (b.x - a.x), a.y + rise * (bow.y - a.y))
            }
        };
        let half = [buried.width, buried.depth].map(|mm| 0.5 * mm * self.page.scale);
        let mut items = vec![DrawItem::stroke(ring(buried.at, half), Pen::ink(0.3).dashed())];
        items.extend(links(buried.at, end));
        // Beside it, towards the middle of the palate: in front of it lies the gap, behind it may run the chain.
        let (side, align) = match tooth.side() {
            Side::Left => (-1.0, Align::End),
            Side::Right => (1.0, Align::Start),
        };
        let number = at(buried.at.x + side * (half[0] + 1.0), buried.at.y);
        let written = tooth.write(notation);
        items.push(DrawItem::bold(number, FIGURE_SIZE, align, &written));
        let says = format!("{written}: traction, {} to {}", by.words(), traction_to(to, notation));
        let below = at(number.x, number.y + 1.1 * FIGURE_SIZE);
        items.push(DrawItem::words(below, FIGURE_SIZE, align, "traction"));
        Some(DrawItem::said_group(format!("traction-{tooth}"), says, items))
    }

    /// Where a tooth without a crown in the arch lies: off the middle of its place by what was entered.
    fn buried(&self, tooth: Tooth) -> Option<Buried> {
        let crowns = &self.arch.crowns;
        let right = crowns.iter().rfind(|c| c.tooth.place() < tooth.place())?;
        let left = crowns.iter().find(|c| c.tooth.place() > tooth.place())?;
        let (a, b) = (right.placed(&right.pose.value).at_mm, left.placed(&left.pose.value).at_mm);
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let long = dx.hypot(dy).max(1e-9);
        let middle = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
        let known = self.picture?.tooth(tooth)?;
        let inward = known.pose.value.lingual_mm + SLOT_BEFORE_CONTACTS_MM;
        let off = [middle[0] - inward * dy / long, middle[1] + inward * dx / long];
        let wire = self.arch.wire.iter().map(|p| p.at_mm);
        let away = |p: &[f64; 2]| (p[0] - middle[0]).hypot(p[1] - middle[1]);
        let over = wire.min_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(middle);
        let width = springline_units::anatomy::crown_width_mm(tooth);
        let depth = crown_depth_mm(tooth);
        Some(Buried { at: self.page.put(off), over: self.page.put(over), width, depth })
    }
}

/// A tooth under the gum: its middle and the wire over its place, on paper; its size, mm of the mouth.
struct Buried {
    at: Point,
    over: Point,
    width: f64,
    depth: f64,
}

/// An ellipse of four curves.
fn ring(middle: Point, [wide, high]: [f64; 2]) -> Vec<Segment> {
    /// A quarter of a circle by one curve.
    const HANDLE: f64 = 0.5523;
    let p = |x: f64, y: f64| at(middle.x + x * wide, middle.y + y * high);
    vec![
        Segment::Move(p(1.0, 0.0)),
        Segment::Curve(p(1.0, HANDLE), p(HANDLE, 1.0), p(0.0, 1.0)),
        Segment::Curve(p(-HANDLE, 1.0), p(-1.0, HANDLE), p(-1.0, 0.0)),
        Segment::Curve(p(-1.0, -HANDLE), p(-HANDLE, -1.0), p(0.0, -1.0)),
        Segment::Curve(p(HANDLE, -1.0), p(1.0, -HANDLE), p(1.0, 0.0)),
        Segment::Close,
    ]
}
