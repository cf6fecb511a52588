//! Figures of teeth that stand high or low, which a look from the bite does not show. Each is put where it covers
//! nothing that is drawn already: beside the bracket where there is room, else further out or on the inner side.

use super::super::list::{Align, DrawItem, DrawnText, Pen, Point, Segment, at, words_width};
use super::crowns::{BRACKET_FRONT_MM, FIGURE_SIZE, back_mm};
use super::page::{OcclusalPage, PaperBox};
use springline_course::on_demand::OcclusalCrown;
use springline_model::stand::UpDown;
use springline_units::quantity::{mm, plain};

/// Less cannot be told from none at the chair (common practice, no source).
const LEAST_MM: f64 = 0.25;
/// Ways from the tooth at which a figure is tried, mm of paper.
const AWAY: [f64; 8] = [1.6, 3.4, 5.2, 7.5, 10.0, 13.0, 16.0, 19.0];
/// Shifts down and aside at each of them.
const SHIFTS: [[f64; 2]; 9] = [
    [0.0, 0.0],
    [-2.2, 0.0],
    [2.2, 0.0],
    [0.0, -4.0],
    [0.0, 4.0],
    [-4.4, 0.0],
    [4.4, 0.0],
    [0.0, -8.0],
    [0.0, 8.0],
];
/// Air round a figure, mm of paper.
const AIR: f64 = 0.35;
/// A figure further away than this from the bracket, or on the inner side, is joined to its tooth by a thin line.
const NEAR: f64 = 2.2;
/// Steps in which lines are followed, mm of paper.
const STEP: f64 = 0.7;

/// The figures of an arch, over what is drawn of it.
pub fn height_figures(
    page: &OcclusalPage,
    crowns: &[OcclusalCrown],
    drawn: &[DrawItem],
) -> Vec<DrawItem> {
    let mut taken = Covered::default();
    drawn.iter().for_each(|item| taken.add(item));
    let mut out = Vec::new();
    for crown in crowns {
        let Some(text) = text(crown) else { continue };
        let places = places(page, crown, &text).into_iter();
        let mut free = places.filter(|p| page.sheet().holds(&p.words) && taken.is_free_for(p));
        let place = free.next().unwrap_or_else(|| nearest(page, crown, &text));
        let items = place.items(text);
        items.iter().for_each(|item| taken.add(item));
        let group = DrawItem::group(format!("height-{}", crown.tooth), items);
        out.push(group.of_tooth(crown.tooth));
    }
    out
}

/// "gingival 1.5 mm"
fn text(crown: &OcclusalCrown) -> Option<String> {
    let (by, way) = crown.pose.value.to_stand(crown.tooth).up_down?;
    let up = mm(by.length());
    let word = match way {
        UpDown::Gingival => "gingival",
        UpDown::Occlusal => "occlusal",
    };
    (up >= LEAST_MM).then(|| format!("{word} {} mm", plain((up * 10.0).round() / 10.0)))
}

/// Where a figure may stand.
struct FigurePlace {
    words: PaperBox,
    /// What it belongs to.
    tooth: Point,
    is_inner: bool,
}

impl FigurePlace {
    /// From the tooth to the figure, where it is not plain whose it is.
    fn lead(&self) -> Option<[Point; 2]> {
        let PaperBox { left, top, right, bottom } = self.words;
        let near = at(self.tooth.x.clamp(left, right), self.tooth.y.clamp(top, bottom));
        let away = (near.x - self.tooth.x).hypot(near.y - self.tooth.y);
        (self.is_inner || away > NEAR).then_some([self.tooth, near])
    }

    fn items(&self, text: String) -> Vec<DrawItem> {
        let PaperBox { left, top, right, bottom } = self.words;
        let line = self.lead().map(|[from, to]| DrawItem::line(from, to, Pen::soft(0.18)));
        let base = at((left + right) / 2.0, (top + bottom) / 2.0 + 0.36 * FIGURE_SIZE);
        let words = DrawItem::words(base, FIGURE_SIZE, Align::Middle, text);
        line.into_iter().chain([words]).collect()
    }
}

/// Every place that is tried, the best first.
fn places(page: &OcclusalPage, crown: &OcclusalCrown, text: &str) -> Vec<FigurePlace> {
    let outer = AWAY.into_iter().map(|away| (-BRACKET_FRONT_MM, -away));
    let inner = AWAY.into_iter().map(|away| (back_mm(crown), away));
    let tries = outer.chain(inner);
    tries
        .flat_map(|(edge, away)| SHIFTS.map(|by| place(page, crown, text, edge, away, by)))
        .collect()
}

/// The usual place, where no other is free.
fn nearest(page: &OcclusalPage, crown: &OcclusalCrown, text: &str) -> FigurePlace {
    let mut place = place(page, crown, text, -BRACKET_FRONT_MM, -AWAY[0], SHIFTS[0]);
    place.words = page.sheet().taking(&place.words);
    place
}

/// So far beyond an edge of the tooth, on paper; words stand on the far side of that point.
fn place(
    page: &OcclusalPage,
    crown: &OcclusalCrown,
    text: &str,
    edge_mm: f64,
    away: f64,
    [down, aside]: [f64; 2],
) -> FigurePlace {
    let placed = crown.placed(&crown.pose.value);
    let tooth = page.beside(&placed, 0.0, edge_mm);
    let point = page.beside(&placed, 0.0, edge_mm + page.paper(away));
    let (long, half) = (words_width(text, FIGURE_SIZE, false), FIGURE_SIZE / 2.0);
    // Beside the tooth where the way leads aside, over or under it where it leads up or down.
    let lean = (point.x - tooth.x) / away.abs().max(1e-9);
    let left = point.x + aside - long / 2.0 + lean.clamp(-0.6, 0.6) / 1.2 * long;
    let middle = point.y + down;
    let words = PaperBox { left, right: left + long, top: middle - half, bottom: middle + half };
    FigurePlace { words, tooth, is_inner: away > 0.0 }
}

/// What of the paper is drawn on.
#[derive(Default)]
struct Covered {
    points: Vec<Point>,
    boxes: Vec<PaperBox>,
}

impl Covered {
    fn is_free_for(&self, place: &FigurePlace) -> bool {
        let wide = place.words.grown(AIR);
        let crosses = |[from, to]: [Point; 2]| {
            self.boxes.iter().any(|words| along(from, to).any(|p| words.has(p)))
        };
        !self.points.iter().any(|p| wide.has(*p))
            && !self.boxes.iter().any(|b| wide.meets(b))
            && !place.lead().is_some_and(crosses)
    }

    fn add(&mut self, item: &DrawItem) {
        match item {
            DrawItem::Group { items, .. } => items.iter().for_each(|item| self.add(item)),
            DrawItem::Words(words) => self.boxes.push(box_of(words)),
            DrawItem::Path { segments, .. } => self.follow(segments),
        }
    }

    fn follow(&mut self, segments: &[Segment]) {
        let (mut begin, mut from) = (at(0.0, 0.0), at(0.0, 0.0));
        for segment in segments {
            match *segment {
                Segment::Move(p) => (begin, from) = (p, p),
                Segment::Line(p) => {
                    self.stretch(from, p);
                    from = p;
                }
                Segment::Curve(a, b, p) => {
                    for i in 1..=8 {
                        let next = bezier([from, a, b, p], f64::from(i) / 8.0);
                        let last = self.points.last().copied().filter(|_| i > 1).unwrap_or(from);
                        self.stretch(last, next);
                    }
                    from = p;
                }
                Segment::Close => {
                    self.stretch(from, begin);
                    from = begin;
                }
            }
        }
    }

    fn stretch(&mut self, from: Point, to: Point) {
        self.points.extend(along(from, to));
    }
}

/// Points of a line, both ends among them.
fn along(from: Point, to: Point) -> impl Iterator<Item = Point> {
    let parts = ((to.x - from.x).hypot(to.y - from.y) / STEP).ceil().clamp(1.0, 1000.0);
    (0..=parts as u32).map(move |i| {
        let share = f64::from(i) / parts;
        at(from.x + share * (to.x - from.x), from.y + share * (to.y - from.y))
    })
}

fn bezier([a, b, c, d]: [Point; 4], t: f64) -> Point {
    let u = 1.0 - t;
    let by = |a: f64, b: f64, c: f64, d: f64| {
        u * u * u * a + 3.0 * u * u * t * b + 3.0 * u * t * t * c + t * t * t * d
    };
    at(by(a.x, b.x, c.x, d.x), by(a.y, b.y, c.y, d.y))
}

fn box_of(words: &DrawnText) -> PaperBox {
    let long = words_width(&words.text, words.size, words.bold);
    let left = match words.align {
        Align::Start => words.at.x,
        Align::Middle => words.at.x - long / 2.0,
        Align::End => words.at.x - long,
    };
    let (top, bottom) = (words.at.y - 0.8 * words.size, words.at.y + 0.22 * words.size);
    PaperBox { left, right: left + long, top, bottom }
}

#[cfg(test)]
mod tests {
    use super::super::super::list::words_width;
    use super::*;

    #[test]
    fn a_figure_stands_where_nothing_is_drawn_and_its_line_crosses_no_other() {
        let mut taken = Covered::default();
        taken.add(&DrawItem::line(at(0.0, 0.0), at(20.0, 0.0), Pen::ink(0.5)));
        taken.add(&DrawItem::words(at(10.0, 6.0), 3.0, Align::Middle, "gingival 1 mm"));
        let place = |x: f64, y: f64| {
            let half = words_width("gingival 2 mm", FIGURE_SIZE, false) / 2.0;
            let words = PaperBox { left: x - half, right: x + half, top: y - 1.5, bottom: y + 1.5 };
            FigurePlace { words, tooth: at(10.0, 1.0), is_inner: false }
        };
        assert!(!taken.is_free_for(&place(10.0, 0.5)), "on the line");
        assert!(!taken.is_free_for(&place(10.0, 6.0)), "on the other figure");
        assert!(!taken.is_free_for(&place(10.0, 12.0)), "its line crosses the other figure");
        assert!(taken.is_free_for(&place(35.0, 6.0)));
    }
}
