//! The drawing list: lines, paths and text in millimetres from the upper left corner. Independent of file
//! formats; the SVG and PDF back ends render the same list.

use springline_units::tooth::Tooth;

/// A point on paper, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    pub x: f64,
    pub y: f64,
}

pub const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// Greys, named by use. A drawing must read in greyscale, so there is no colour to rely on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Shade {
    Ink,
    /// Auxiliary lines without meaning of their own.
    Soft,
    /// Fills behind words.
    Pale,
    Paper,
}

impl Shade {
    /// Lightness, 0 black to 255 white.
    pub const fn grey(self) -> u8 {
        match self {
            Shade::Ink => 0x1c,
            Shade::Soft => 0x80,
            Shade::Pale => 0xe6,
            Shade::Paper => 0xff,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dash {
    Solid,
    Dashed,
    Dotted,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    pub width: f64,
    pub shade: Shade,
    pub dash: Dash,
}

impl Pen {
    pub const fn ink(width: f64) -> Pen {
        Pen { width, shade: Shade::Ink, dash: Dash::Solid }
    }

    pub const fn soft(width: f64) -> Pen {
        Pen { width, shade: Shade::Soft, dash: Dash::Solid }
    }

    pub const fn dashed(self) -> Pen {
        Pen { dash: Dash::Dashed, ..self }
    }

    pub const fn dotted(self) -> Pen {
        Pen { dash: Dash::Dotted, ..self }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    Move(Point),
    Line(Point),
    /// Two handles and the end.
    Curve(Point, Point, Point),
    Close,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Align {
    Start,
    Middle,
    End,
}

/// Words on the drawing; `at` is on the base line.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnText {
    pub at: Point,
    pub size: f64,
    pub bold: bool,
    pub align: Align,
    pub shade: Shade,
    pub text: String,
}

#[derive(Debug, Clone, PartialEq)]
pub enum DrawItem {
    /// Parts that belong together. `name` is for tests and style sheets, `says` for a reader who
    /// cannot see the drawing. What moves with a tooth names it.
    Group {
        name: String,
        says: Option<String>,
        tooth: Option<Tooth>,
        items: Vec<DrawItem>,
    },
    Path {
        segments: Vec<Segment>,
        pen: Option<Pen>,
        fill: Option<Shade>,
    },
    Words(DrawnText),
}

/// A whole drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub width: f64,
    pub height: f64,
    pub title: String,
    /// The text alternative of the drawing.
    pub description: String,
    pub items: Vec<DrawItem>,
}

impl Drawing {
    /// Every word on it.
    pub fn words(&self) -> Vec<&DrawnText> {
        fn walk<'d>(items: &'d [DrawItem], out: &mut Vec<&'d DrawnText>) {
            for item in items {
                match item {
                    DrawItem::Group { items, .. } => walk(items, out),
                    DrawItem::Words(words) => out.push(words),
                    DrawItem::Path { .. } => {}
                }
            }
        }
        let mut out = Vec::new();
        walk(&self.items, &mut out);
        out
    }
}

impl DrawItem {
    pub fn group(name: impl Into<String>, items: Vec<DrawItem>) -> DrawItem {
        DrawItem::Group { name: name.into(), says: None, tooth: None, items }
    }

    pub fn said_group(
        name: impl Into<String>,
        says: impl Into<String>,
        items: Vec<DrawItem>,
    ) -> DrawItem {
        DrawItem::Group { name: name.into(), says: Some(says.into()), tooth: None, items }
    }

    /// A group that moves with a tooth.
    #[must_use]
    pub fn of_tooth(self, of: Tooth) -> DrawItem {
        match self {
            DrawItem::Group { name, says, items, .. } => {
                DrawItem::Group { name, says, tooth: Some(of), items }
            }
            other => other,
        }
    }

    pub fn line(from: Point, to: Point, pen: Pen) -> DrawItem {
        DrawItem::stroke(vec![Segment::Move(from), Segment::Line(to)], pen)
    }

    pub fn polyline(points: &[Point], pen: Pen) -> DrawItem {
        let mut segments = Vec::with_capacity(points.len());
        for (i, p) in points.iter().enumerate() {
            segments.push(if i == 0 { Segment::Move(*p) } else { Segment::Line(*p) });
        }
        DrawItem::stroke(segments, pen)
    }

    pub fn stroke(segments: Vec<Segment>, pen: Pen) -> DrawItem {
        DrawItem::Path { segments, pen: Some(pen), fill: None }
    }

    pub fn shape(segments: Vec<Segment>, pen: Option<Pen>, fill: Option<Shade>) -> DrawItem {
        DrawItem::Path { segments, pen, fill }
    }

    /// A box by its upper left corner, with corners rounded by `r`.
    pub fn rect(
        corner: Point,
        w: f64,
        h: f64,
        r: f64,
        pen: Option<Pen>,
        fill: Option<Shade>,
    ) -> DrawItem {
        let (x, y) = (corner.x, corner.y);
        let r = r.min(w / 2.0).min(h / 2.0).max(0.0);
        if r == 0.0 {
            let segments = vec![
                Segment::Move(corner),
                Segment::Line(at(x + w, y)),
                Segment::Line(at(x + w, y + h)),
                Segment::Line(at(x, y + h)),
                Segment::Close,
            ];
            return DrawItem::shape(segments, pen, fill);
        }
        let c = r * (1.0 - KAPPA);
        let segments = vec![
            Segment::Move(at(x + r, y)),
            Segment::Line(at(x + w - r, y)),
            Segment::Curve(at(x + w - c, y), at(x + w, y + c), at(x + w, y + r)),
            Segment::Line(at(x + w, y + h - r)),
            Segment::Curve(at(x + w, y + h - c), at(x + w - c, y + h), at(x + w - r, y + h)),
            Segment::Line(at(x + r, y + h)),
            Segment::Curve(at(x + c, y + h), at(x, y + h - c), at(x, y + h - r)),
            Segment::Line(at(x, y + r)),
            Segment::Curve(at(x, y + c), at(x + c, y), at(x + r, y)),
            Segment::Close,
        ];
        DrawItem::shape(segments, pen, fill)
    }

    pub fn circle(centre: Point, r: f64, pen: Option<Pen>, fill: Option<Shade>) -> DrawItem {
        DrawItem::rect(at(centre.x - r, centre.y - r), 2.0 * r, 2.0 * r, r, pen, fill)
    }

    pub fn words(place: Point, size: f64, align: Align, text: impl Into<String>) -> DrawItem {
        DrawItem::Words(DrawnText {
            at: place,
            size,
            bold: false,
            align,
            shade: Shade::Ink,
            text: text.into(),
        })
    }

    pub fn bold(place: Point, size: f64, align: Align, text: impl Into<String>) -> DrawItem {
        DrawItem::Words(DrawnText {
            at: place,
            size,
            bold: true,
            align,
            shade: Shade::Ink,
            text: text.into(),
        })
    }
}

/// Handle length of a quarter circle drawn as one cubic, over its radius.
const KAPPA: f64 = 0.552_284_75;

/// Width of a line of words, mm, for keeping labels apart. Taken from the widths of a plain
/// sans-serif and a little generous, since the reader's fonts are not known.
pub fn words_width(text: &str, size: f64, bold: bool) -> f64 {
    let em: f64 = text
        .chars()
        .map(|c| match c {
            'i' | 'l' | 'j' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' => 0.30,
            'f' | 't' | 'r' | ' ' | '(' | ')' | '-' | '/' => 0.38,
            'm' | 'w' | 'M' | 'W' => 0.90,
            'A'..='Z' => 0.70,
            '0'..='9' => 0.60,
            c if c.is_ascii() => 0.57,
            _ => 0.75,
        })
        .sum();
    em * size * if bold { 1.08 } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_round_box_closes_on_itself() {
        let DrawItem::Path { segments, .. } =
            DrawItem::rect(at(1.0, 2.0), 4.0, 3.0, 0.5, None, None)
        else {
            panic!("a box is a path");
        };
        assert_eq!(segments.first(), Some(&Segment::Move(at(1.5, 2.0))));
        assert_eq!(segments.last(), Some(&Segment::Close));
    }

    #[test]
    fn longer_words_are_wider() {
        assert!(words_width("open coil", 2.0, false) > words_width("coil", 2.0, false));
        assert!(words_width("coil", 2.0, true) > words_width("coil", 2.0, false));
    }
}
