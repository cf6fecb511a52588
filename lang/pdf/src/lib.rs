//! PDF back end for the documents of a case. Pure: fonts and date are arguments, bytes are the result,
//! and the same input gives the same bytes.
//!
//! Pages are laid out from the same list as the HTML (`springline_emit::pages`): one visit is one page,
//! in the largest type size that fits. Files are tagged and conform to PDF/UA-1 as far as a program can
//! check it. The crate must not know cases, courses or findings.

mod lay_out;
mod letters;
mod node;
mod pages;
mod paint;
mod write;

pub use write::{PageMeasurements, PdfError, Written, measure, write};

/// Sheets that a practice prints on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    #[default]
    A4,
    Letter,
}

impl Paper {
    /// Width and height, in points.
    ///
    /// Source: ISO 216 (210 x 297 mm); ANSI/ASME Y14.1, size A (8.5 x 11 in).
    pub const fn size(self) -> (f32, f32) {
        match self {
            Paper::A4 => (595.276, 841.89),
            Paper::Letter => (612.0, 792.0),
        }
    }
}
