//! Papers as trees of boxes. Every word comes from the papers; here is only where it stands.

mod course;
mod parts;
mod patient;
mod plain;
mod staff;

use springline_lang::emit::pages::{Body, Page};

use crate::node::Node;

/// A size of type, with what goes with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    pub points: f32,
    pub leading: f32,
    /// Between parts, mm.
    pub gap: f32,
    /// Share of the width that drawings take.
    pub picture: f32,
}

/// From roomy to tight.
const CARD: [Size; 10] = [
    Size { points: 9.8, leading: 1.3, gap: 2.8, picture: 1.0 },
    Size { points: 9.3, leading: 1.28, gap: 2.5, picture: 1.0 },
    Size { points: 8.8, leading: 1.26, gap: 2.2, picture: 1.0 },
    Size { points: 8.4, leading: 1.25, gap: 1.9, picture: 1.0 },
    Size { points: 8.0, leading: 1.24, gap: 1.6, picture: 1.0 },
    Size { points: 7.6, leading: 1.22, gap: 1.4, picture: 1.0 },
    Size { points: 7.3, leading: 1.2, gap: 1.2, picture: 0.97 },
    Size { points: 7.0, leading: 1.18, gap: 1.0, picture: 0.93 },
    Size { points: 6.7, leading: 1.16, gap: 0.8, picture: 0.88 },
    Size { points: 6.4, leading: 1.15, gap: 0.7, picture: 0.82 },
];
const PLAIN: [Size; 4] = [
    Size { points: 10.0, leading: 1.3, gap: 3.0, picture: 1.0 },
    Size { points: 9.2, leading: 1.28, gap: 2.4, picture: 1.0 },
    Size { points: 8.4, leading: 1.25, gap: 1.8, picture: 1.0 },
    Size { points: 7.4, leading: 1.2, gap: 1.2, picture: 0.9 },
];
/// The patient's sheet is read at home, in any light: never small.
const SHEET: [Size; 4] = [
    Size { points: 11.6, leading: 1.42, gap: 4.0, picture: 1.0 },
    Size { points: 11.0, leading: 1.38, gap: 3.4, picture: 1.0 },
    Size { points: 10.4, leading: 1.34, gap: 2.6, picture: 1.0 },
    Size { points: 9.6, leading: 1.3, gap: 2.0, picture: 1.0 },
];

impl Size {
    pub fn all(page: &Page) -> &'static [Size] {
        match &page.body {
            Body::Staff(_) => &CARD,
            Body::Patient(_) => &SHEET,
            _ => &PLAIN,
        }
    }
}

pub fn page(page: &Page, size: Size) -> Node {
    match &page.body {
        Body::Staff(card) => staff::card(card, size),
        Body::Hold(card) => plain::hold(card, size),
        Body::Repair(card) => plain::repair(card, size),
        Body::Patient(sheet) => patient::sheet(sheet, size),
        Body::Course(paper) => course::course(paper, size),
        Body::Nothing(paper) => course::nothing(paper, size),
        Body::List(paper) => course::list(paper, size),
    }
}
