//! Words of the language that fit the place.

use springline_lang::syntax::vocabulary::{ROWS, Row};
use springline_lang::syntax::{Expected, Hole};

use super::{About, Offer, OfferKind};

pub fn offers(place: &Expected, out: &mut Vec<Offer>) {
    // The words before a name are words, not the name: nothing else would complete to them.
    let only_names = place.slots.iter().any(|s| s.hole == Hole::Name && s.defines);
    if only_names && place.words.is_empty() {
        return;
    }
    let mut seen: Vec<&str> = Vec::new();
    for (word, row) in &place.words {
        if seen.contains(word) {
            continue;
        }
        seen.push(word);
        let (detail, about) = if place.starts_statement {
            (row.doc.to_owned(), index(row).map_or(About::Nothing, About::Row))
        } else {
            let meaning = crate::features::text::meaning(word).unwrap_or_default();
            (meaning.to_owned(), About::Word(word))
        };
        out.push(Offer {
            label: (*word).to_owned(),
            kind: OfferKind::Keyword,
            detail,
            insert: (*word).to_owned(),
            is_snippet: false,
            replace: place.replace,
            about,
        });
    }
}

fn index(row: &Row) -> Option<usize> {
    ROWS.iter().position(|r| std::ptr::eq(r, row))
}
