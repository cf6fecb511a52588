//! Detects a detail that occurs twice on one line.

use super::super::item::Item;
use super::super::program::{MatchEvent, MatchEventKind};
use super::super::tree::Parse;
use springline_finding::Finding;
use springline_text::Span;

/// Grades before a direction: `slightly labial` and `clearly labial` are the same detail twice.
pub const GRADES: [&str; 3] = ["slightly", "clearly", "fully"];

/// The first detail whose leading word occurred before: its span, the first span, and the word.
fn twice(items: &[Item], events: &[MatchEvent]) -> Option<(Span, Span, &'static str)> {
    let mut said: Vec<(u16, &'static str, Span)> = Vec::new();
    for (i, event) in events.iter().enumerate() {
        let MatchEventKind::Detail(list) = event.kind else { continue };
        let lead = events[i + 1..].iter().find_map(|e| match e.kind {
            MatchEventKind::Word(word) if !GRADES.contains(&word) => {
                Some((word, items.get(e.first as usize)?.span))
            }
            _ => None,
        });
        let Some((word, span)) = lead else { continue };
        if let Some((_, _, first)) = said.iter().find(|(l, w, _)| *l == list && *w == word) {
            return Some((span, *first, word));
        }
        said.push((list, word, span));
    }
    None
}

pub fn is_said_twice(items: &[Item], events: &[MatchEvent]) -> bool {
    twice(items, events).is_some()
}

pub fn said_twice(parse: &Parse, items: &[Item], events: &[MatchEvent]) -> Option<Finding> {
    let (second, first, word) = twice(items, events)?;
    Some(
        Finding::error(
            "syntax/said-twice",
            parse.place(second),
            format!("`{word}` is given twice on this line; which one counts?"),
        )
        .related(parse.place(first), "first given here"),
    )
}
