//! Any text gives findings or a result, in bounded time and number.

use std::time::{Duration, Instant};

use springline_lang::{CheckOptions, Checked, SourceText, check};
use springline_test_support::{Practices, SALTMARSH};

use super::text::text;

/// Longer is a hang: a case of two years takes a fraction of it, unoptimised.
const PATIENCE: Duration = Duration::from_secs(60);

pub fn checked(source: &str) -> Checked {
    let today = Some(jiff::civil::date(2026, 11, 24));
    let source = SourceText { name: "any.spring".to_owned(), text: source.into() };
    check(&source, &Practices::any(SALTMARSH), &CheckOptions { today })
}

pub fn compile(bytes: &[u8]) {
    let source = text(bytes);
    let begun = Instant::now();
    let checked = checked(&source);
    assert!(begun.elapsed() < PATIENCE, "{:?} for\n{source}", begun.elapsed());
    assert!(checked.findings.len() < 2000, "{} findings", checked.findings.len());
    for finding in &checked.findings {
        let file = checked.file(finding.place.file).expect("a finding is in a file");
        assert!(file.text.get(finding.place.span.range()).is_some(), "{finding:?}");
        if let Some(figure) = &finding.figure {
            assert!(figure.value.is_finite() && figure.limit.is_finite(), "{finding:?}");
        }
    }
}
