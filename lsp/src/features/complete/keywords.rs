//! Completion of words of the language that are allowed at the place.

use springline_lang::syntax::vocabulary::{Production, ROWS, direction_word};
use springline_lang::syntax::{Expected, PlaceholderKind};
use springline_lang::units::tooth::Tooth;

use super::{CompletionSite, Offer, OfferKind, OfferSubject};
use crate::features::habits::HabitTokenKind;
use crate::features::hover::leading;

pub fn offers(scene: &CompletionSite<'_>, place: &Expected, out: &mut Vec<Offer>) {
    // The words before a name are words, not the name: nothing else would complete to them.
    let only_names = place.slots.iter().any(|s| s.hole == PlaceholderKind::Name && s.defines);
    if only_names && place.words.is_empty() {
        return;
    }
    let mut seen: Vec<&str> = Vec::new();
    let teeth = teeth(scene);
    for (word, row) in &place.words {
        let said = said_once(place, word) && scene.before.iter().any(|t| t.text == *word);
        let opens = place.starts_statement && scene.said_already(word) > 0.0 && is_opening(word);
        if seen.contains(word) || said || opens {
            continue;
        }
        seen.push(word);
        let word = &direction_word(word, &teeth);
        let (detail, about) = if place.starts_statement {
            (row.doc.to_owned(), index(row).map_or(OfferSubject::Nothing, OfferSubject::Row))
        } else {
            let meaning =
                springline_lang::meanings::meaning(leading(row), word).unwrap_or_default();
            (meaning.to_owned(), OfferSubject::Word(word))
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

/// The teeth of the statement; where it has none, one of the arch it is in.
fn teeth(scene: &CompletionSite<'_>) -> Vec<Tooth> {
    let named = scene.before.iter().filter(|t| t.kind == HabitTokenKind::Tooth);
    let named: Vec<Tooth> = named.filter_map(|t| Tooth::parse(t.text)).collect();
    let around = scene.analysed.arch_at(scene.offset).and_then(|arch| Tooth::at(arch, 7));
    if named.is_empty() { around.into_iter().collect() } else { named }
}

/// Clauses and position details occur once in a statement.
fn said_once(place: &Expected, word: &str) -> bool {
    match place.keyword {
        Some("step" | "change") => {
            matches!(word, "wire" | "form" | "ends" | "express" | "until" | "next" | "as")
        }
        Some("tooth" | "bend" | "reposition") => matches!(
            word,
            "labial"
                | "lingual"
                | "gingival"
                | "occlusal"
                | "rotated"
                | "tipped"
                | "width"
                | "space"
        ),
        _ => false,
    }
}

/// Lines at the top of a file, of which there is one.
fn is_opening(word: &str) -> bool {
    matches!(
        word,
        "springline"
            | "case"
            | "practice"
            | "use"
            | "doctor"
            | "start"
            | "patient"
            | "upper"
            | "lower"
    )
}

fn index(row: &Production) -> Option<usize> {
    ROWS.iter().position(|r| std::ptr::eq(r, row))
}
