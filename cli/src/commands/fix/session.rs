//! What is shared by all steps of one run of `fix`.

use jiff::civil::Date;
use springline_lang::{CheckOptions, Checker};

/// What every fix is tried and applied with.
pub struct FixSession {
    pub checker: Checker,
    pub today: Date,
    pub colour: bool,
}

impl FixSession {
    pub fn options(&self) -> CheckOptions {
        CheckOptions { today: Some(self.today) }
    }
}
