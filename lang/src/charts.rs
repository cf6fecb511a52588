//! Duplicate chart references: two files with the same reference are two plans for one patient, which
//! neither file can show by itself.

use logos::Logos as _;

use springline_finding::Finding;
use springline_syntax::patterns::patterns;
use springline_syntax::token::TokenKind;
use springline_text::visible;
use springline_text::{Place, Span};

/// The chart reference in the opening lines of a text and its place, without parsing the rest; `None`
/// where it is no case.
pub fn chart(source: &str) -> Option<(&str, Span)> {
    let mut word = "";
    for (kind, range) in TokenKind::lexer(source).spanned() {
        match kind {
            Ok(TokenKind::Blank | TokenKind::Comment | TokenKind::HashComment) => {}
            Ok(TokenKind::Word) if word.is_empty() => word = &source[range],
            Ok(TokenKind::Text) if word.eq_ignore_ascii_case("case") => {
                let mut inner = source[range.clone()].char_indices().skip(1);
                let start = range.start + inner.next()?.0;
                let end = source[..range.end].char_indices().next_back()?.0;
                let text = source.get(start..end)?;
                return Some((text, Span::new(start, end)));
            }
            Ok(TokenKind::Text) if opens_practice(word) => return None,
            Ok(TokenKind::Newline | TokenKind::Open | TokenKind::Close) => word = "",
            // A line that begins with anything else opens nothing.
            _ if word.is_empty() => word = "-",
            _ => {}
        }
    }
    None
}

/// Whether the line is that with which a practice file opens, by what it begins with: for files that are
/// only looked at, not read.
pub fn is_practice_opening(line: &str) -> bool {
    line.split_once([' ', '\t']).is_some_and(|(word, _)| opens_practice(word))
}

/// Through the words of the language, so that what was written for an older release is found too.
fn opens_practice(word: &str) -> bool {
    patterns().keyword(word) == Some("practice")
}

/// The finding that other files have the same chart reference; `others` are their names.
pub fn twice(place: Place, chart: &str, others: &[String]) -> Finding {
    let chart = visible::line(chart);
    let shown = |name: &String| visible::line(name).into_owned();
    let mut named: Vec<String> = others.iter().take(NAMED).map(shown).collect();
    if others.len() > NAMED {
        named.push(format!("{} more", others.len() - NAMED));
    }
    let message = format!("{chart} is also the chart of {}.", named.join(", "));
    Finding::warning("name/chart-twice", place, message)
        .why("Two plans for one patient: nobody can tell from a card which one counts.")
        .note("Keep one. Give the other its own chart reference, or move it to a folder that is not checked.")
}

/// Other files named in one finding.
const NAMED: usize = 3;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chart_is_found_where_the_language_finds_it() {
        let cases = [
            ("springline 1\ncase \"SM-1\"\n", Some("SM-1")),
            ("// case \"no\"\n\n  CASE   \u{201c}SM-2\u{201d} // x", Some("SM-2")),
            ("springline 1\nnote \"x\"\ncase \"SM-3\"", Some("SM-3")),
            ("springline 1\npractice \"h\"\ncase \"SM-4\"", None),
            ("springline 1\nhouse \"h\"\ncase \"SM-4\"", None),
            ("note case \"SM-5\"\n", None),
            ("case SM-6\n", None),
            ("case \"\"", Some("")),
            ("", None),
        ];
        for (source, expected) in cases {
            assert_eq!(chart(source).map(|(text, _)| text), expected, "{source}");
            if let Some((text, span)) = chart(source) {
                assert_eq!(&source[span.range()], text);
            }
        }
    }
}
