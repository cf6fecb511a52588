//! Cases from text.

use springline_finding::{Finding, Severity};
use springline_lower::{Acceptable, Library as _};
use springline_model::Case;
use springline_text::{FileId, Place, Span};

use crate::Practices;

impl Practices {
    /// What a case file on the practice `saltmarsh` says; no rule has judged it.
    ///
    /// # Panics
    /// If the practice or the case cannot be read.
    pub fn case(&self, text: &str) -> Case {
        let (file, house) = self.house("saltmarsh").expect("the practice");
        let house = springline_lower::load(file, house, self).house.expect("a practice that reads");
        let acceptable = Acceptable { known: &|_| None, codes: &[] };
        let tree = springline_syntax::parse(FileId(0), text);
        let mut findings = Vec::new();
        let case = springline_lower::case(&tree, house, &acceptable, &mut findings);
        // Which rules there are to accept is not known below them.
        let counts = |f: &&Finding| {
            f.severity == Severity::Error && f.code.as_str() != "name/unknown-finding"
        };
        let wrong: Vec<&Finding> = findings.iter().filter(counts).collect();
        assert!(wrong.is_empty(), "{wrong:#?}");
        case.expect("a case that reads")
    }
}

/// The body of a case on the practice of `examples/`.
///
/// # Panics
/// If it cannot be read.
pub fn case(body: &str) -> Case {
    let text = format!("springline 1\ncase \"SM-0001\"\nuse saltmarsh\n{body}");
    Practices::saltmarsh().case(&text)
}

/// The place of what stands in no text.
pub fn nowhere() -> Place {
    Place { file: FileId(0), span: Span::default() }
}
