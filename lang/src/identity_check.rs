//! Reports patient identity in texts, comments and file names.

use springline_finding::Finding;
use springline_syntax::Parse;
use springline_text::Span;
use springline_text::identity;
use springline_text::identity::Looks;

/// What the reader noticed in the text, and the file's own name.
pub fn check(parse: &Parse, file_name: &str, findings: &mut Vec<Finding>) {
    // The practice's own number is for patients to call.
    let own: Vec<Span> = parse
        .lines()
        .filter(|l| l.keyword() == Some("telephone"))
        .map(|l| l.whole_span())
        .collect();
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
