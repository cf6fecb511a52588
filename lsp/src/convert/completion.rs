//! Completion offers as protocol items.

use serde::{Deserialize, Serialize};
use tower_lsp::ls_types::*;

use crate::features::complete::{Offer, OfferKind, OfferSubject};
use crate::position::Positions;
use crate::session::ClientFeatures;

/// Data of an item, to resolve its details on request.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "about")]
pub enum Data {
    Row { uri: Uri, row: usize },
    Name { uri: Uri, label: String, name: String, line: u32, character: u32 },
    Finding { uri: Uri, code: String },
}

pub fn items(
    offers: Vec<Offer>,
    uri: &Uri,
    at: Position,
    positions: &Positions<'_>,
    abilities: ClientFeatures,
) -> Vec<CompletionItem> {
    let usable = |offer: &Offer| abilities.snippets || !offer.is_snippet;
    let offers = offers.into_iter().filter(usable).enumerate();
    offers.map(|(rank, offer)| item(rank, offer, uri, at, positions)).collect()
}

fn item(
    rank: usize,
    offer: Offer,
    uri: &Uri,
    at: Position,
    positions: &Positions<'_>,
) -> CompletionItem {
    let mut range = positions.range(offer.replace);
    // Editors accept only a range on the cursor's line that includes the cursor.
    if range.start.line != at.line
        || range.end.line != at.line
        || range.start > at
        || range.end < at
    {
        range = Range { start: at, end: at };
    }
    let kind = match offer.kind {
        OfferKind::Keyword => CompletionItemKind::KEYWORD,
        OfferKind::Snippet => CompletionItemKind::SNIPPET,
        OfferKind::Tooth => CompletionItemKind::CONSTANT,
        OfferKind::Name => CompletionItemKind::VALUE,
        OfferKind::Unit => CompletionItemKind::UNIT,
        OfferKind::Figure => CompletionItemKind::CONSTANT,
        OfferKind::Date => CompletionItemKind::EVENT,
        OfferKind::Finding => CompletionItemKind::ENUM_MEMBER,
    };
    let format =
        if offer.is_snippet { InsertTextFormat::SNIPPET } else { InsertTextFormat::PLAIN_TEXT };
    CompletionItem {
        label: offer.label,
        kind: Some(kind),
        detail: (!offer.detail.is_empty()).then_some(offer.detail),
        sort_text: Some(format!("{rank:04}")),
        insert_text_format: Some(format),
        text_edit: Some(CompletionTextEdit::Edit(TextEdit { range, new_text: offer.insert })),
        data: data(offer.about, uri, at),
        ..CompletionItem::default()
    }
}

fn data(about: OfferSubject, uri: &Uri, at: Position) -> Option<serde_json::Value> {
    let uri = uri.clone();
    let data = match about {
        OfferSubject::Nothing | OfferSubject::Word(_) => return None,
        OfferSubject::Row(row) => Data::Row { uri, row },
        OfferSubject::Name(label, name) => Data::Name {
            uri,
            label: label.to_owned(),
            name,
            line: at.line,
            character: at.character,
        },
        OfferSubject::Finding(code) => Data::Finding { uri, code },
    };
    serde_json::to_value(data).ok()
}
