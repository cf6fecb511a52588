//! Builds the page trees. All wording comes from the documents; this module only arranges it.

mod course;
mod parts;
mod patient;
mod plain;
mod staff;

use springline_emit::pages::{Body, Page};

use crate::node::PageNode;

/// A size of type, with what goes with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PageTypeSize {
    pub points: f32,
    pub leading: f32,
    /// Between parts, mm.
    pub gap: f32,
}

/// Nothing on paper is smaller.
pub const SMALLEST: f32 = 8.5;
/// What is done is read at arm's length.
const DOING: f32 = 10.0;
/// The words of caution at the foot of a card, and on the sheet that the patient takes home.
const CAUTION: f32 = 8.0;
const CAUTION_FOR_PATIENTS: f32 = 10.0;

const fn size(points: f32, leading: f32, gap: f32) -> PageTypeSize {
    PageTypeSize { points, leading, gap }
}

/// From roomy to tight.
const CARD: [PageTypeSize; 6] = [
    size(9.8, 1.3, 2.8),
    size(9.4, 1.27, 2.3),
    size(9.0, 1.24, 1.8),
    size(8.7, 1.2, 1.3),
    size(8.5, 1.17, 0.9),
    size(8.5, 1.13, 0.6),
];
const PLAIN: [PageTypeSize; 4] =
    [size(10.0, 1.3, 3.0), size(9.2, 1.28, 2.4), size(8.5, 1.25, 1.8), size(8.5, 1.15, 1.0)];
/// The patient's sheet is read at home, in any light: never small.
const SHEET: [PageTypeSize; 5] = [
    size(11.6, 1.42, 4.0),
    size(11.0, 1.38, 3.4),
    size(10.5, 1.34, 2.6),
    size(10.0, 1.3, 2.0),
    size(10.0, 1.2, 1.2),
];

impl PageTypeSize {
    pub fn all(page: &Page) -> &'static [PageTypeSize] {
        match &page.body {
            Body::Staff(_) => &CARD,
            Body::Patient(_) => &SHEET,
            _ => &PLAIN,
        }
    }
}

/// The parts of a page that may go on overleaf, from top to bottom; only a visit has so much to say.
pub fn parts(page: &Page, size: PageTypeSize) -> Option<Vec<PageNode>> {
    match &page.body {
        Body::Staff(card) => Some(staff::parts(card, size)),
        _ => None,
    }
}

/// One sheet of a page that goes on: `number` from 1, whether there is one after it.
pub fn sheet(
    page: &Page,
    size: PageTypeSize,
    number: usize,
    more: bool,
    parts: &[PageNode],
) -> Option<PageNode> {
    match &page.body {
        Body::Staff(card) => Some(staff::one_sheet(card, size, number, more, parts)),
        _ => None,
    }
}

pub fn page(page: &Page, size: PageTypeSize) -> PageNode {
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
