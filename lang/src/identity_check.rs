//! Reports patient identity in texts, comments and file names.

use springline_finding::Finding;
use springline_syntax::Parse;
use springline_syntax::ast::{MeasuredLine, TextField};
use springline_text::Span;
use springline_text::identity;
use springline_text::identity::Looks;

/// What the reader noticed in the text, and the file's own name.
pub fn check(parse: &Parse, file_name: &str, findings: &mut Vec<Finding>) {
    // The practice's own number is for patients to call.
    let telephone = parse.lines().filter(|l| l.keyword() == Some("telephone"));
    let telephone = telephone.map(|l| l.whole_span());
    // One fingerprint in forty is figures alone.
    let fingerprints = parse.all_lines().filter_map(MeasuredLine::cast).map(|l| l.fingerprint);
    let is_hexadecimal =
        |f: &TextField<'_>| f.text().len() <= 64 && f.text().bytes().all(|b| b.is_ascii_hexdigit());
    let fingerprints = fingerprints.filter(is_hexadecimal).map(|f| f.span());
    let own: Vec<Span> = telephone.chain(fingerprints).collect();
    let inside = |span: &Span| own.iter().any(|o| o.start <= span.start && span.end <= o.end);
    for (span, looks) in parse.looks.iter().filter(|(span, _)| !inside(span)) {
        findings.push(finding(*looks, parse.place(*span), "This looks like"));
    }
    let stem = file_name.rsplit(['/', '\\']).next().unwrap_or(file_name);
    if let Some((_, looks)) = identity::find(stem).into_iter().next() {
        let place = parse.place(Span::default());
        findings.push(finding(looks, place, "The file name contains what looks like"));
    }
}

fn finding(looks: Looks, place: springline_text::Place, lead: &str) -> Finding {
    Finding::warning("name/looks-like-identity", place, format!("{lead} {}.", looks.describe()))
        .why("A plan contains no patient identity: it travels, is versioned and printed. It is masked in every \
            output.")
        .note("Use the chart reference instead.")
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_syntax::parse;
    use springline_text::FileId;

    #[test]
    fn a_fingerprint_of_figures_is_nobodys_number() {
        let of = |file: &str, print: &str| {
            let text = format!(
                "springline 1\ncase \"SM-1\"\nupper {{\n  measured 2026-11-25 from scan \"{file}\" as \"{print}\", within 0.2 mm {{\n    tooth 12 width 6 mm\n  }}\n}}\n"
            );
            let mut findings = Vec::new();
            check(&parse(FileId(0), &text), "sm-1.spring", &mut findings);
            findings.len()
        };
        assert_eq!(of("sm-1.csv", "72117840"), 0);
        assert_eq!(of("scan 072117840123", "72117840"), 1, "the name of a file is looked at");
    }
}
