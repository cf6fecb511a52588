//! The core of Springline: the language and everything it means. No I/O, no clock, no async.
//!
//! Text becomes tokens and a lossless tree (`syntax`), is lowered to a typed case (`lower`, `model`), the
//! wires are solved (`mechanics`) and the course is predicted (`course`); rules judge it (`rules`), and
//! documents are made of it (`emit`). Dependencies run one way. This crate holds the one check path, the
//! validation of fixes, and the recording of visits.

mod carried;
pub mod charts;
pub mod check;
mod checked;
pub mod fixes;
pub mod glossary;
mod identity_check;
mod judgement_cache;
pub mod meanings;
pub mod record;
pub mod reference;
mod step_at;
mod text_database;

pub use check::{CheckOptions, Checked, Checker, SourceText, check};
pub use judgement_cache::JudgementCache;
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
