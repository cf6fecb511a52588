//! The whole check of one case: from text to findings and predicted course. Terminal, editor and tests
//! all take this path.

use springline_lower::Library;

pub use crate::checked::{
    CheckOptions, Checked, LoweredFile, SourceText, known_code, rule_text, sort,
};
use crate::judgement_cache::JudgementCache;
use crate::text_database::TextDatabase;

/// Both passes in sequence: parses and lowers texts, judges them, and caches what they share.
#[derive(Debug, Default)]
pub struct Checker {
    pub texts: TextDatabase,
    pub judgements: JudgementCache,
}

impl Checker {
    pub fn new() -> Self {
        Self::default()
    }

    /// The first pass: the language.
    pub fn read(&mut self, source: &SourceText, library: &dyn Library) -> LoweredFile {
        self.texts.read(source, library)
    }

    /// The second pass: mechanics, course and rules.
    pub fn judge(&mut self, read: LoweredFile, options: &CheckOptions) -> Checked {
        self.judgements.judge(read, options)
    }

    /// The whole check.
    pub fn check(
        &mut self,
        source: &SourceText,
        library: &dyn Library,
        options: &CheckOptions,
    ) -> Checked {
        let read = self.read(source, library);
        self.judge(read, options)
    }
}

/// One check without memory; for a single case, and for tests.
pub fn check(source: &SourceText, library: &dyn Library, options: &CheckOptions) -> Checked {
    Checker::new().check(source, library, options)
}
