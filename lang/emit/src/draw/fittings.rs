//! Drawing of auxiliaries on wire and teeth: each has its own symbol and a label.

use std::collections::BTreeSet;

use super::labels::Label;
use super::list::{DrawItem, Pen, Point, Segment, Shade, at};
use super::strip::Strip;
use super::wire::way;
use crate::picture::{self, Hold};
use crate::wording::traction_to;
use springline_model::step::{ActKind, Activation, Anchor, Spot};
use springline_model::stock::Along;
use springline_model::traction::{TractionBy, TractionTo};
use springline_units::quantity::{degrees, mm, plain};
use springline_units::tooth::{Notation, Tooth};

/// Height of a post, and of the springs that hang on it: between slot and number.
const POST: f64 = 2.6;
/// Height of a power arm: taller than a post, still clear of the number.
const ARM: f64 = 3.4;

/// All fittings of one arch, with their labels.
pub struct Fittings<'s, 'p, 'a> {
    strip: &'s Strip<'p, 'a>,
    notation: Notation,
    pub items: Vec<DrawItem>,
    pub labels: Vec<Label>,
}

impl<'s, 'p, 'a> Fittings<'s, 'p, 'a> {
    /// `raised`: teeth with bite raisers, of either arch.
    pub fn of(
        strip: &'s Strip<'p, 'a>,
        raised: &BTreeSet<Tooth>,
        notation: Notation,
    ) -> Fittings<'s, 'p, 'a> {
        let mut all = Fittings { strip, notation, items: Vec::new(), labels: Vec::new() };
        for tooth in &strip.picture.teeth {
            let Some(cell) = strip.cell(tooth.tooth) else { continue };
            if let Some(words) = picture::words(tooth.hold) {
                let strong = !matches!(tooth.hold, Hold::Absent(_));
                all.label(cell.middle(), strip.y(0.05), words.into(), strong);
            }
            if tooth.attachment.is_some_and(|a| a.inverted) && tooth.hold != Hold::NotBonded {
                all.label(cell.middle(), strip.y(0.05), "inverted bracket".into(), true);
            }
        }
        for thing in &strip.picture.things {
            all.thing(thing);
        }
        raised.iter().for_each(|t| all.raiser(*t));
        for (first, second, _) in &strip.picture.case.bars {
            all.bar(*first, *second);
        }
        for (first, second, _) in &strip.picture.case.screws {
            all.screw(*first, *second);
        }
        if let Some(expander) = strip.picture.expander {
            all.expander(&expander.teeth);
        }
        all
    }

    fn label(&mut self, x: f64, y: f64, text: String, strong: bool) {
        self.labels.push(Label { x, y, text, strong });
    }

    fn put(&mut self, name: &str, items: Vec<DrawItem>) {
        self.items.push(DrawItem::group(name, items));
    }

    fn write(&self, tooth: Tooth) -> String {
        tooth.write(self.notation)
    }

    fn thing(&mut self, thing: &ActKind) {
        match thing {
            ActKind::OpenCoil { first, second, activation, .. } => {
                let word = match activation {
                    Activation::Passive => "open coil, passive",
                    _ => "open coil",
                };
                self.open_coil(*first, *second, word);
            }
            ActKind::ClosedCoil { first, second, .. } => self.closed_coil(*first, *second),
            ActKind::ClosingCoil { pulls, .. } => {
                for (from, to) in pulls {
                    self.closing_coil(*from, *to);
                }
            }
            ActKind::Chain { teeth, .. } => self.chain(teeth),
            ActKind::Traction { teeth, by, to, .. } => {
                self.each(teeth, |all, tooth| all.traction(tooth, *by, *to));
            }
            ActKind::Tie { teeth, figure_eight } => self.tie(teeth, *figure_eight),
            ActKind::Laceback { pairs } => {
                for (a, b) in pairs {
                    self.laceback(*a, *b);
                }
            }
            ActKind::Sleeve { spans } => {
                for (a, b) in spans {
                    self.sleeve(*a, *b);
                }
            }
            ActKind::Stop { spots } => spots.iter().for_each(|s| self.stop(*s)),
            ActKind::Post { spots } => spots.iter().for_each(|s| self.post(*s)),
            ActKind::PowerArm { teeth, .. } => self.each(teeth, Self::power_arm),
            ActKind::Reduce { amount, contacts } => self.reductions(contacts, mm(*amount)),
            ActKind::Reposition { teeth, .. } => self.words_at(teeth, "reposition bracket"),
            ActKind::Rebond { teeth, .. } => self.words_at(teeth, "rebond"),
            ActKind::Bend { teeth, .. } => self.each(teeth, Self::bend),
            ActKind::Torque { teeth, angle, .. } => {
                let text = format!("torque {} deg", plain(degrees(*angle)));
                self.words_at(teeth, &text);
            }
            ActKind::Separators { teeth, .. } => {
                let bare = |t: &&Tooth| {
                    self.strip.picture.tooth(**t).is_some_and(|p| p.attachment.is_none())
                };
                let teeth: Vec<Tooth> = teeth.iter().filter(bare).copied().collect();
                self.words_at(&teeth, "separators");
            }
            ActKind::Hold { teeth, length } => {
                let text = format!("hold {} mm", plain(mm(*length)));
                self.words_at(teeth, &text);
            }
            ActKind::ReverseCurve { depth } => {
                let text = format!("reverse curve {} mm", plain(mm(*depth)));
                let x = super::strip::WIDTH / 2.0;
                self.label(x, self.strip.y(0.0), text, true);
            }
            _ => {}
        }
    }

    fn each(&mut self, teeth: &[Tooth], draw: impl Fn(&mut Self, Tooth)) {
        for tooth in teeth {
            draw(self, *tooth);
        }
    }

    fn words_at(&mut self, teeth: &[Tooth], text: &str) {
        for tooth in teeth {
            if let Some(cell) = self.strip.cell(*tooth) {
                self.label(cell.middle(), self.strip.y(0.05), text.to_owned(), true);
            }
        }
    }

    /// A wide zigzag, pushing outward.
    fn open_coil(&mut self, first: Tooth, second: Tooth, word: &str) {
        let Some((l, r)) = self.strip.between(first, second) else { return };
        let y = self.strip.slot_y();
        let (l, r) = (l + 0.3, r - 0.3);
        let plate = |x: f64| DrawItem::line(at(x, y - 1.5), at(x, y + 1.5), Pen::ink(0.5));
        let items =
            vec![DrawItem::polyline(&zigzag(l, r, y, 1.5, 1.5), Pen::ink(0.4)), plate(l), plate(r)];
        self.put("open-coil", items);
        self.label((l + r) / 2.0, y, word.to_owned(), true);
    }

    /// Windings that touch: it only keeps the space.
    fn closed_coil(&mut self, first: Tooth, second: Tooth) {
        let Some((l, r)) = self.strip.between(first, second) else { return };
        let y = self.strip.slot_y();
        let count = ((r - l) / 0.75).floor().max(1.0) as usize;
        let items = (0..=count)
            .map(|i| {
                let x = l + (r - l) * i as f64 / count as f64;
                DrawItem::line(at(x, y - 1.2), at(x, y + 1.2), Pen::ink(0.4))
            })
            .collect();
        self.put("closed-coil", items);
        self.label((l + r) / 2.0, y, "passive coil".to_owned(), true);
    }

    /// A spring beside the wire, with arrows to each other.
    fn closing_coil(&mut self, from: Anchor, to: Anchor) {
        let (Some(a), Some(b)) = (self.anchor(from), self.anchor(to)) else { return };
        let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
        let y = (a.y + b.y) / 2.0;
        let (l, r) = (a.x + (b.x - a.x) * 0.3, a.x + (b.x - a.x) * 0.7);
        let pen = Pen::ink(0.35);
        let arrow = |x: f64, way: f64| {
            DrawItem::polyline(
                &[at(x - way * 1.2, y - 1.0), at(x, y), at(x - way * 1.2, y + 1.0)],
                pen,
            )
        };
        let items = vec![
            DrawItem::line(a, at(l, y), pen),
            DrawItem::polyline(&zigzag(l, r, y, 1.1, 1.0), pen),
            DrawItem::line(at(r, y), b, pen),
            arrow(l - 0.6, 1.0),
            arrow(r + 0.6, -1.0),
        ];
        self.put("closing-coil", items);
        self.label((l + r) / 2.0, y, "closing spring".to_owned(), true);
    }

    /// Where a spring hangs: hook height beside the slot, or the post's tip.
    fn anchor(&self, anchor: Anchor) -> Option<Point> {
        let gum = self.strip.to_gum();
        let cell = self.strip.cell(anchor.tooth())?;
        let (left, right) = self.strip.bracket(anchor.tooth())?;
        let high = self.strip.slot_y() + gum * POST;
        Some(match anchor {
            Anchor::Tooth(tooth) if self.has_arm(tooth) => {
                at(cell.middle(), self.strip.slot_y() + gum * ARM)
            }
            Anchor::Tooth(tooth) => {
                let x = if way(tooth, Along::Mesial) > 0.0 { right } else { left };
                at(x, self.strip.slot_y() + gum * POST)
            }
            Anchor::Post(tooth) => {
                let post = self.posts().into_iter().find(|s| s.tooth == tooth);
                let along = post.map_or(Along::Distal, |s| s.along);
                let (edge, side) = self.strip.spot(Spot { along, tooth })?;
                at(edge + side * 1.4, high)
            }
            Anchor::Screw(_) => at(cell.middle(), self.strip.y(-0.05)),
        })
    }

    fn has_arm(&self, tooth: Tooth) -> bool {
        let arm = |t: &&ActKind| match t {
            ActKind::PowerArm { teeth, .. } => teeth.contains(&tooth),
            _ => false,
        };
        self.strip.picture.things.iter().any(arm)
    }

    fn posts(&self) -> Vec<Spot> {
        self.strip
            .picture
            .things
            .iter()
            .filter_map(|t| match t {
                ActKind::Post { spots } => Some(spots.iter().copied()),
                _ => None,
            })
            .flatten()
            .collect()
    }

    /// Rings in a row; a chain on both sides of the mouth is two chains.
    fn chain(&mut self, teeth: &[Tooth]) {
        for run in self.side_by_side(teeth) {
            self.chain_run(&run);
        }
    }

    fn chain_run(&mut self, teeth: &[Tooth]) {
        let cells: Vec<f64> =
            teeth.iter().filter_map(|t| self.strip.cell(*t)).map(|c| c.middle()).collect();
        let (Some(l), Some(r)) =
            (cells.iter().copied().reduce(f64::min), cells.iter().copied().reduce(f64::max))
        else {
            return;
        };
        let y = self.strip.slot_y() - self.strip.to_gum() * 2.7;
        let count = ((r - l) / 1.9).round().max(1.0) as usize;
        let items = (0..=count)
            .map(|i| {
                let x = l + (r - l) * i as f64 / count as f64;
                DrawItem::circle(at(x, y), 0.8, Some(Pen::ink(0.4)), Some(Shade::Paper))
            })
            .collect();
        self.put("chain", items);
        self.label((l + r) / 2.0, y, "chain".to_owned(), true);
    }

    /// Links from the buried tooth to what it is pulled to: the wire over its place, a tooth, a screw, or past the gum
    /// to the palatal arch.
    fn traction(&mut self, tooth: Tooth, by: TractionBy, to: TractionTo) {
        let Some(cell) = self.strip.cell(tooth).copied() else { return };
        // Beside the number.
        let x = cell.left + 0.22 * cell.width();
        let from = at(x, self.strip.y(0.08));
        let end = match to {
            TractionTo::Wire => Some(at(x, self.strip.slot_y())),
            TractionTo::PalatalArch => Some(at(x, self.strip.y(-0.16))),
            TractionTo::Tooth(to) => {
                self.strip.cell(to).map(|c| at(c.middle(), self.strip.slot_y()))
            }
            TractionTo::Screw(beside) => {
                let screws = self.strip.picture.case.screws.iter();
                let screw = screws.into_iter().find(|(a, b, _)| [*a, *b].contains(&beside));
                let between = screw.and_then(|(a, b, _)| self.strip.between(*a, *b));
                between.map(|(l, r)| at((l + r) / 2.0, self.strip.y(-0.02)))
            }
        };
        let Some(end) = end else { return };
        let mut items = links(from, end);
        // Bonded to the crown.
        items.push(DrawItem::circle(from, 0.9, None, Some(Shade::Ink)));
        self.put(&format!("traction-{tooth}"), items);
        let text = format!("traction, {} to {}", by.words(), traction_to(to, self.notation));
        self.label(from.x, from.y, text, true);
    }

    /// Frame and screw behind the front teeth: from the front only that it is there.
    fn expander(&mut self, teeth: &[Tooth]) {
        let middles: Vec<f64> =
            teeth.iter().filter_map(|t| self.strip.cell(*t)).map(|c| c.middle()).collect();
        let (Some(l), Some(r)) =
            (middles.iter().copied().reduce(f64::min), middles.iter().copied().reduce(f64::max))
        else {
            return;
        };
        let y = self.strip.y(-0.08);
        let (middle, pen) = ((l + r) / 2.0, Pen::ink(0.35));
        let items = vec![
            DrawItem::line(at(l, y), at(middle - 4.0, y), pen.dashed()),
            DrawItem::line(at(middle + 4.0, y), at(r, y), pen.dashed()),
            DrawItem::rect(at(middle - 4.0, y - 1.1), 8.0, 2.2, 0.4, Some(pen), Some(Shade::Paper)),
            DrawItem::line(at(middle, y - 1.1), at(middle, y + 1.1), pen),
        ];
        self.put("expander", items);
        let named: Vec<String> = teeth.iter().map(|t| self.write(*t)).collect();
        self.label(middle, y, format!("expander {}", named.join(", ")), true);
    }

    /// Two strands that cross between the brackets; one bundle for adjacent teeth.
    fn tie(&mut self, teeth: &[Tooth], figure_eight: bool) {
        for run in self.side_by_side(teeth) {
            self.tie_run(&run, figure_eight);
        }
    }

    fn tie_run(&mut self, teeth: &[Tooth], figure_eight: bool) {
        let edges: Vec<(f64, f64)> = teeth.iter().filter_map(|t| self.strip.bracket(*t)).collect();
        let (Some(left), Some(right)) = (edges.first(), edges.last()) else { return };
        let (Some(from), Some(to)) = (teeth.first(), teeth.last()) else { return };
        let y = self.strip.slot_y() - self.strip.to_gum() * 2.5;
        let (l, r) = (left.0, right.1);
        let mut items = vec![strand(l, r, y, 0.7, 2.6)];
        if figure_eight {
            items.push(strand(l, r, y, -0.7, 2.6));
        }
        self.put("tie", items);
        let kind = if figure_eight { " figure-eight" } else { "" };
        let text = format!("tied {} to {}{kind}", self.write(*from), self.write(*to));
        self.label((l + r) / 2.0 + 6.0, y, text, false);
    }

    /// Teeth in the order of the strip, parted where a bonded tooth between them is not named: a tie
    /// on both sides of the mouth is two ties.
    fn side_by_side(&self, teeth: &[Tooth]) -> Vec<Vec<Tooth>> {
        let mut out: Vec<Vec<Tooth>> = Vec::new();
        let mut open = false;
        for cell in &self.strip.cells {
            if teeth.contains(&cell.tooth) {
                match out.last_mut().filter(|_| open) {
                    Some(run) => run.push(cell.tooth),
                    None => out.push(vec![cell.tooth]),
                }
                open = true;
            } else if self.strip.picture.tooth(cell.tooth).is_some_and(|t| t.attachment.is_some()) {
                open = false;
            }
        }
        out
    }

    /// A twisted ligature from the back tooth to the canine.
    fn laceback(&mut self, a: Tooth, b: Tooth) {
        let (Some(a_edges), Some(b_edges)) = (self.strip.bracket(a), self.strip.bracket(b)) else {
            return;
        };
        let middle = |e: (f64, f64)| (e.0 + e.1) / 2.0;
        let (l, r) = (middle(a_edges).min(middle(b_edges)), middle(a_edges).max(middle(b_edges)));
        let y = self.strip.slot_y() - self.strip.to_gum() * 2.6;
        let items = vec![
            strand(l, r, y, 0.4, 1.3),
            strand(l, r, y, -0.4, 1.3),
            DrawItem::circle(at(l, y), 0.7, Some(Pen::ink(0.3)), None),
            DrawItem::circle(at(r, y), 0.7, Some(Pen::ink(0.3)), None),
        ];
        self.put("laceback", items);
        self.label((l + r) / 2.0, y, "laceback".to_owned(), false);
    }

    /// A tube over the bare wire.
    fn sleeve(&mut self, a: Tooth, b: Tooth) {
        let Some((l, r)) = self.strip.between(a, b) else { return };
        let y = self.strip.slot_y();
        let (l, r) = (l + 0.6, r - 0.6);
        if r <= l {
            return;
        }
        let items = vec![
            DrawItem::rect(
                at(l, y - 1.0),
                r - l,
                2.0,
                1.0,
                Some(Pen::ink(0.3)),
                Some(Shade::Paper),
            ),
            DrawItem::line(at(l + 0.6, y), at(r - 0.6, y), Pen::ink(0.35).dashed()),
        ];
        self.put("sleeve", items);
        self.label((l + r) / 2.0 - 2.0, y, "sleeve".to_owned(), false);
    }

    /// A cushion on the biting edge.
    fn raiser(&mut self, tooth: Tooth) {
        let Some(cell) = self.strip.cell(tooth).copied() else { return };
        let (y, out) = (self.strip.y(0.9), -self.strip.to_gum());
        let (l, r) = (cell.left + cell.width() * 0.2, cell.right - cell.width() * 0.2);
        let top = y + out * 3.8;
        let segments = vec![
            Segment::Move(at(l, y)),
            Segment::Curve(at(l, top), at(r, top), at(r, y)),
            Segment::Close,
        ];
        self.put("bite-raiser", vec![DrawItem::shape(segments, None, Some(Shade::Ink))]);
        self.label(cell.middle(), y, "bite raiser".to_owned(), true);
    }

    /// A short thick tube against its bracket.
    fn stop(&mut self, spot: Spot) {
        let Some((edge, side)) = self.strip.spot(spot) else { return };
        let y = self.strip.slot_y();
        let (near, far) = (edge + side * 0.25, edge + side * 1.65);
        let items = vec![DrawItem::rect(
            at(near.min(far), y - 1.25),
            (far - near).abs(),
            2.5,
            0.0,
            None,
            Some(Shade::Ink),
        )];
        let name = format!("stop-{}-of-{}", spot.along.word(), spot.tooth);
        self.put(&name, items);
        self.label((near + far) / 2.0, y, "stop".to_owned(), true);
    }

    /// An upright on the wire.
    fn post(&mut self, spot: Spot) {
        let Some((edge, side)) = self.strip.spot(spot) else { return };
        let (x, y, gum) = (edge + side * 1.4, self.strip.slot_y(), self.strip.to_gum());
        let tip = at(x, y + gum * POST);
        let items = vec![
            DrawItem::line(at(x, y), tip, Pen::ink(0.6)),
            DrawItem::circle(tip, 0.65, None, Some(Shade::Ink)),
        ];
        self.put(&format!("post-{}-of-{}", spot.along.word(), spot.tooth), items);
        self.label(x, tip.y, "post".to_owned(), true);
    }

    /// An upright on a bracket, with a hook at its tip.
    fn power_arm(&mut self, tooth: Tooth) {
        let Some(cell) = self.strip.cell(tooth) else { return };
        let (x, y, gum) = (cell.middle(), self.strip.slot_y(), self.strip.to_gum());
        let tip = at(x, y + gum * ARM);
        let items = vec![
            DrawItem::line(at(x, y), tip, Pen::ink(0.5)),
            DrawItem::circle(tip, 0.5, None, Some(Shade::Ink)),
        ];
        self.put(&format!("power-arm-{tooth}"), items);
        self.label(x, tip.y, "power arm".to_owned(), true);
    }

    /// Wedges at the contacts; the amount is labelled once.
    fn reductions(&mut self, contacts: &[(Tooth, Tooth)], amount: f64) {
        let mut items = Vec::new();
        let mut places = Vec::new();
        for (a, b) in contacts {
            let (Some(ca), Some(cb)) = (self.strip.cell(*a), self.strip.cell(*b)) else { continue };
            let x = if ca.left < cb.left {
                (ca.right + cb.left) / 2.0
            } else {
                (cb.right + ca.left) / 2.0
            };
            let (tip, base) = (self.strip.y(0.8), self.strip.y(1.1));
            let segments = vec![
                Segment::Move(at(x, tip)),
                Segment::Line(at(x - 0.9, base)),
                Segment::Line(at(x + 0.9, base)),
                Segment::Close,
            ];
            items.push(DrawItem::shape(segments, None, Some(Shade::Ink)));
            places.push(x);
        }
        if places.is_empty() {
            return;
        }
        self.put("reduction", items);
        let each = if places.len() > 1 { " at each wedge" } else { "" };
        let x = places.iter().sum::<f64>() / places.len() as f64;
        let text = format!("IPR {} mm{each}", plain(amount));
        self.label(x, self.strip.y(0.5), text, true);
    }

    fn bend(&mut self, tooth: Tooth) {
        let Some((l, r)) = self.strip.bracket(tooth) else { return };
        let (y, gum) = (self.strip.slot_y(), self.strip.to_gum());
        let step = |x: f64| {
            DrawItem::polyline(
                &[
                    at(x - 1.0, y),
                    at(x - 0.3, y),
                    at(x + 0.3, y + gum * 1.6),
                    at(x + 1.0, y + gum * 1.6),
                ],
                Pen::ink(0.5),
            )
        };
        self.put("bend", vec![step(l - 1.2), step(r + 1.2)]);
        self.label((l + r) / 2.0, y, "bend".to_owned(), true);
    }

    fn bar(&mut self, first: Tooth, second: Tooth) {
        let (Some(a), Some(b)) = (self.strip.cell(first), self.strip.cell(second)) else { return };
        let y = self.strip.y(-0.04);
        let (l, r) = (a.middle().min(b.middle()), a.middle().max(b.middle()));
        self.put("bar", vec![DrawItem::line(at(l, y), at(r, y), Pen::ink(0.35).dashed())]);
        let text = format!("bar {} to {}", self.write(first), self.write(second));
        self.label((l + r) / 2.0, y, text, false);
    }

    fn screw(&mut self, first: Tooth, second: Tooth) {
        let Some((l, r)) = self.strip.between(first, second) else { return };
        let (x, y) = ((l + r) / 2.0, self.strip.y(-0.02));
        let items = vec![
            DrawItem::circle(at(x, y), 1.0, Some(Pen::ink(0.4)), Some(Shade::Paper)),
            DrawItem::line(at(x - 0.7, y), at(x + 0.7, y), Pen::ink(0.3)),
            DrawItem::line(at(x, y - 0.7), at(x, y + 0.7), Pen::ink(0.3)),
        ];
        self.put("screw", items);
        self.label(x, y, "screw".to_owned(), false);
    }
}

/// Rings in a row between two points.
pub(super) fn links(from: Point, to: Point) -> Vec<DrawItem> {
    const PITCH: f64 = 1.5;
    let long = (to.x - from.x).hypot(to.y - from.y);
    let count = (long / PITCH).round().max(1.0) as usize;
    let ring = |i: usize| {
        let share = i as f64 / count as f64;
        let centre = at(from.x + share * (to.x - from.x), from.y + share * (to.y - from.y));
        DrawItem::circle(centre, 0.65, Some(Pen::ink(0.3)), Some(Shade::Paper))
    };
    (0..=count).map(ring).collect()
}

fn zigzag(l: f64, r: f64, y: f64, height: f64, pitch: f64) -> Vec<Point> {
    let count = (((r - l) / pitch).round().max(2.0)) as usize;
    let mut points = vec![at(l, y)];
    for i in 0..count {
        let x = l + (r - l) * (i as f64 + 0.5) / count as f64;
        points.push(at(x, if i % 2 == 0 { y - height } else { y + height }));
    }
    points.push(at(r, y));
    points
}

/// A smooth wave; two of opposite height cross.
fn strand(l: f64, r: f64, y: f64, height: f64, pitch: f64) -> DrawItem {
    let count = (((r - l) / pitch).round().max(1.0)) as usize;
    let step = (r - l) / count as f64;
    let mut segments = vec![Segment::Move(at(l, y))];
    for i in 0..count {
        let x = l + step * i as f64;
        let h = if i % 2 == 0 { height } else { -height } * 1.3;
        segments.push(Segment::Curve(
            at(x + step * 0.3, y + h),
            at(x + step * 0.7, y + h),
            at(x + step, y),
        ));
    }
    DrawItem::stroke(segments, Pen::ink(0.3))
}
