//! Documents made from checked cases: cards, sheets, schedules, charts, comparisons, machine-readable
//! findings.
//!
//! Every function is pure: everything it needs, including the date, is an argument. The crate must not
//! know syntax trees, lowering, rules or mechanics; it renders case, course and findings, and computes no
//! clinical figure.

pub mod beside;
pub mod card;
pub mod caution;
pub mod compare;
pub mod dates;
mod document;
pub mod draw;
mod elastics_today;
pub mod findings;
pub mod html;
pub mod interactive;
mod measures;
pub mod pages;
pub mod patient_texts;
pub mod pick;
pub mod picture;
mod plan;
pub mod practice;
pub mod preview;
pub mod sheet;
pub mod spreadsheet;
pub mod tables;
mod text_alternative;
mod treatment_time;
pub mod visit_form;
pub mod wording;

pub use elastics_today::{ElasticsToday, WornIf};
pub use plan::{Plan, PrintStamp, VisitToday};

/// Prepares user text for a document: masks patient identity and shows invisible characters by their
/// number. The only place where that happens.
pub(crate) fn masked(text: &str) -> String {
    springline_text::visible::text(&springline_text::identity::mask(text)).into_owned()
}

/// The same for what stays on one line: the name of a file may hold anything, the end of a line too.
pub(crate) fn own_name(text: &str) -> String {
    springline_text::visible::line(&springline_text::identity::mask(text)).into_owned()
}
