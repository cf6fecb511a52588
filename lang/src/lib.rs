//! The Springline language and everything it means: no I/O, no clock, no async.
//!
//! Text becomes tokens and a lossless tree (`syntax`), names and units are settled (`resolve`) into
//! a typed case (`model`), the wire is computed (`mechanics`), then what happens until when
//! (`course`); rules judge it (`rules`) and documents are made of it (`emit`). Arrows run one way.

mod carried;
pub mod caution;
pub mod charts;
pub mod check;
pub mod course;
pub mod demo;
pub mod emit;
pub mod finding;
pub mod fixes;
pub mod identity;
mod identity_check;
pub mod kept;
pub mod language_findings;
pub mod meanings;
pub mod model;
pub mod record;
pub mod resolve;
pub mod rules;
pub mod syntax;
pub mod terms;
pub mod visible;

pub use check::{Checked, Checker, Options, Source, check};
pub use springline_mechanics as mechanics;
