//! Findings about invisible characters in texts and comments.

use super::typo;
use crate::tree::Parse;
use springline_finding::{Finding, Fix, FixKind, Severity};
use springline_text::visible;
use springline_text::visible::Hidden;
use springline_text::{Edit, Span};

/// Findings about one text or comment: one per NUL byte, and one for all other invisible characters.
pub fn of(parse: &Parse, token: Span, text: &str) -> Vec<Finding> {
    if matches!(visible::text(text), std::borrow::Cow::Borrowed(_)) {
        return Vec::new();
    }
    let hides = |(at, c): (usize, char)| {
        let start = token.start as usize + at;
        Some((Span::new(start, start + c.len_utf8()), c, visible::hidden(c)?))
    };
    let (nuls, others): (Vec<_>, Vec<_>) =
        text.char_indices().filter_map(hides).partition(|(_, c, _)| *c == '\0');
    let mut out: Vec<Finding> =
        nuls.iter().map(|(span, ..)| typo::nul(parse.place(*span))).collect();
    out.extend(hidden_finding(parse, &others));
    out
}

fn hidden_finding(parse: &Parse, found: &[(Span, char, Hidden)]) -> Option<Finding> {
    let (first, last) = (found.first()?, found.last()?);
    // Zero-width marks are part of some scripts; the other characters are never intended.
    let severity = match found.iter().all(|(.., hidden)| *hidden == Hidden::Mark) {
        true => Severity::Warning,
        false => Severity::Error,
    };
    let mut numbers: Vec<String> = Vec::new();
    for (_, c, _) in found {
        let number = visible::number(*c);
        if !numbers.contains(&number) {
            numbers.push(number);
        }
    }
    let more = numbers.len().saturating_sub(LISTED);
    numbers.truncate(LISTED);
    let mut listed = numbers.join(", ");
    if more > 0 {
        listed.push_str(&format!(" and {more} more kinds"));
    }
    let edits =
        found.iter().map(|(span, ..)| Edit { place: parse.place(*span), text: String::new() });
    let fix = Fix {
        title: if found.len() == 1 { "remove it" } else { "remove them" }.to_owned(),
        kind: FixKind::Safe,
        edits: edits.collect(),
        outcome: None,
    };
    let (what, why) = match first.2 {
        Hidden::Direction | Hidden::Mark => (
            "changes the direction of the text",
            "The text does not read as it is, on screen or on a card.",
        ),
        Hidden::Control | Hidden::LineEnd => {
            ("is invisible", "A terminal obeys such characters: they can hide or forge text.")
        }
    };
    let place = parse.place(first.0.to(last.0));
    let message = format!("This text contains a character that {what}: {listed}.");
    Some(Finding::new("syntax/hidden-character", severity, place, message).why(why).fix(fix))
}

/// Kinds of characters named in one finding.
const LISTED: usize = 4;
