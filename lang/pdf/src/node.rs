//! A page as a tree of boxes, text and drawings, with roles for screen readers; sizes in points.

use springline_emit::draw::Drawing;

/// One millimetre in points.
pub const MM: f32 = 72.0 / 25.4;

/// Everything reads in grey; the accent only pleases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ink {
    #[default]
    Black,
    Soft,
    Line,
    Pale,
    Accent,
}

/// Role of a part, for screen readers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Role {
    /// Only arranges; its parts belong to what is around it.
    #[default]
    None,
    List,
    Item,
    Label,
    Body,
    Table,
    Row,
    ColumnHead,
    RowHead,
    Cell,
    Heading(u16),
    Paragraph,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct PageSpan {
    pub text: String,
    pub bold: bool,
    pub italic: bool,
    pub ink: Ink,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PageAlign {
    #[default]
    Start,
    End,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct PageText {
    pub spans: Vec<PageSpan>,
    pub size: f32,
    pub leading: f32,
    pub align: PageAlign,
    /// Between letters, in points.
    pub tracking: f32,
    pub role: Role,
    /// Never broken.
    pub one_line: bool,
}

/// Direction of the children.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Flow {
    #[default]
    Down,
    /// Beside each other, in further rows where there is no room.
    Across,
    Columns(Vec<Track>),
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Track {
    Fixed(f32),
    Share(f32),
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PageFrame {
    pub width: f32,
    pub ink: Ink,
    pub kind: PageFrameKind,
    pub radius: f32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageFrameKind {
    Solid,
    Double,
    Dashed,
    /// A bar at the reading edge.
    Edge,
    Above,
    Below,
    AboveAndBelow,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct PageArea {
    pub role: Role,
    pub flow: Flow,
    /// Between rows, between columns.
    pub gap: [f32; 2],
    /// Top, right, bottom, left.
    pub pad: [f32; 4],
    pub frame: Option<PageFrame>,
    pub fill: Option<Ink>,
    pub width: Option<f32>,
    pub min_height: f32,
    /// Takes the room that is left in its row.
    pub grow: bool,
    /// As far down as the page goes.
    pub at_foot: bool,
    /// Kept on one line, whatever the room.
    pub whole: bool,
    /// Children of a row: on the middle line, or on top.
    pub centred: bool,
    pub children: Vec<PageNode>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum PageNode {
    Area(PageArea),
    Text(PageText),
    /// A drawing over that share of the width there is.
    Picture {
        drawing: Box<Drawing>,
        share: f32,
    },
}

pub fn span(text: impl Into<String>) -> PageSpan {
    PageSpan { text: text.into(), ..PageSpan::default() }
}

pub fn bold(text: impl Into<String>) -> PageSpan {
    PageSpan { text: text.into(), bold: true, ..PageSpan::default() }
}

pub fn soft(text: impl Into<String>) -> PageSpan {
    PageSpan { text: text.into(), ink: Ink::Soft, ..PageSpan::default() }
}

pub fn down(gap: f32, children: Vec<PageNode>) -> PageArea {
    PageArea { gap: [gap, 0.0], children, ..PageArea::default() }
}

pub fn across(gap: f32, children: Vec<PageNode>) -> PageArea {
    PageArea {
        flow: Flow::Across,
        gap: [gap * 0.35, gap],
        centred: true,
        children,
        ..PageArea::default()
    }
}

pub fn columns(tracks: &[Track], gap: f32, children: Vec<PageNode>) -> PageArea {
    PageArea {
        flow: Flow::Columns(tracks.to_vec()),
        gap: [0.0, gap],
        children,
        ..PageArea::default()
    }
}

/// Shares of the width.
pub fn shares(of: &[f32]) -> Vec<Track> {
    of.iter().map(|s| Track::Share(*s)).collect()
}

impl PageArea {
    pub fn role(self, role: Role) -> PageArea {
        PageArea { role, ..self }
    }

    pub fn pad(self, pad: [f32; 4]) -> PageArea {
        PageArea { pad, ..self }
    }

    pub fn frame(self, width: f32, ink: Ink, kind: PageFrameKind) -> PageArea {
        // Boxes to tick are square, frames a little round.
        let round = matches!(kind, PageFrameKind::Solid | PageFrameKind::Dashed);
        let radius = match (round, self.min_height) {
            (false, _) => 0.0,
            (true, height) if height > 0.0 => (height * 0.12).clamp(0.9, 2.6),
            (true, _) => 2.6,
        };
        PageArea { frame: Some(PageFrame { width, ink, kind, radius }), ..self }
    }

    pub fn node(self) -> PageNode {
        PageNode::Area(self)
    }
}

impl PageText {
    pub fn role(self, role: Role) -> PageText {
        PageText { role, ..self }
    }

    pub fn end(self) -> PageText {
        PageText { align: PageAlign::End, ..self }
    }

    pub fn one_line(self) -> PageText {
        PageText { one_line: true, ..self }
    }

    pub fn node(self) -> PageNode {
        PageNode::Text(self)
    }
}
