//! What the checker knows of the trade: one file a rule, and their register.
//!
//! A rule reads the checked case and its predicted course and reports findings; it changes nothing.
//! Its documentation, its example that fails and its example that passes stand in the same file, and
//! the register, the reference page, `explain` and the editor's link are made from them.

pub mod register;

pub use register::{FAMILIES, Rule, rule};

use std::sync::Arc;

use jiff::civil::Date;

use crate::finding::{FileId, Finding};
use crate::model::Case;

/// Everything a rule may look at.
pub struct Judged<'a> {
    pub case: &'a Case,
    pub forecast: &'a crate::course::Forecast,
    /// The day of the check, where the caller has one; rules about today are silent without.
    pub today: Option<Date>,
    /// The texts, so that a fix can be phrased as an edit of what was written.
    pub texts: &'a Texts,
}

/// The source texts of a case and its house files.
#[derive(Debug, Clone, Default)]
pub struct Texts {
    pub files: Vec<(FileId, Arc<str>)>,
}

impl Texts {
    pub fn text(&self, file: FileId) -> &str {
        self.files.iter().find(|(id, _)| *id == file).map_or("", |(_, text)| text)
    }
}

/// Runs every rule; findings in the order of the register, worst tooth first within a rule.
pub fn judge(judged: &Judged<'_>) -> Vec<Finding> {
    let mut out = Vec::new();
    for rule in register::RULES {
        (rule.check)(judged, &mut out);
    }
    out
}
