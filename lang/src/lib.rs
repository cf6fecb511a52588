//! The Springline language and everything it means: no I/O, no clock, no async.
//!
//! Text becomes tokens and a lossless tree (`syntax`), names and units are settled (`resolve`) into
//! a typed case (`model`), the wire is computed (`mechanics`), then what happens until when
//! (`course`); rules judge it (`rules`) and documents are made of it (`emit`). Arrows run one way.

mod carried;
pub mod caution;
pub mod charts;
pub mod check;
#[path = "../course/src/lib.rs"]
pub mod course;
#[path = "../demo/src/lib.rs"]
pub mod demo;
#[path = "../emit/src/lib.rs"]
pub mod emit;
pub mod finding;
pub mod fixes;
pub mod glossary;
pub mod identity;
mod identity_check;
mod judgement_cache;
pub mod language_findings;
pub mod meanings;
#[path = "../model/src/lib.rs"]
pub mod model;
pub mod record;
pub mod report_cache;
#[path = "../lower/src/lib.rs"]
pub mod resolve;
#[path = "../rules/src/lib.rs"]
pub mod rules;
#[path = "../syntax/src/lib.rs"]
pub mod syntax;
mod text_database;
pub mod visible;

pub use check::{CheckOptions, Checked, Checker, SourceText, check};
pub use judgement_cache::JudgementCache;
pub use springline_mechanics as mechanics;
pub use text_database::TextDatabase;
