//! The single path from a text to its findings, which terminal, editor and tests take; and what works on
//! its results: fixes tried by checking again, visits written down, the glossary. Re-exports the layers.
//!
//! No I/O, no clock, no async: texts, practice files and the day come in as values. The crate must not
//! know documents (`springline-emit`) or the protocol of an editor.

pub mod charts;
pub mod check;
mod checked;
pub mod draft;
pub mod fixes;
pub mod glossary;
mod identity_check;
mod judgement_cache;
mod judgement_reuse;
pub mod meanings;
pub mod record;
pub mod reference;
mod settled;
pub mod stand_edit;
mod step_at;
mod text_database;

pub use check::{CheckOptions, Checked, Checker, SourceText, check};
pub use judgement_cache::JudgementCache;
pub use settled::settled;
pub use springline_course as course;
pub use springline_finding as finding;
pub use springline_lower as lower;
pub use springline_mechanics as mechanics;
pub use springline_model as model;
pub use springline_rules as rules;
pub use springline_syntax as syntax;
pub use springline_text as text;
pub use springline_units as units;
pub use step_at::step_at;
pub use text_database::TextDatabase;
