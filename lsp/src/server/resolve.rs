//! Resolves the details of one completion item.

use springline_lang::syntax::vocabulary::ROWS;
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::*;

use super::answer::{CheckDepth, on};
use crate::convert::completion::Data;
use crate::features::hover;

pub async fn item(mut item: CompletionItem) -> Result<CompletionItem> {
    let Some(data) = item.data.clone().and_then(|d| serde_json::from_value(d).ok()) else {
        return Ok(item);
    };
    let label = item.label.clone();
    let text = match data {
        Data::Row { row, .. } => ROWS.get(row).map(|row| hover::statement(&label, row)),
        Data::Finding { code, .. } => hover::rule(&code),
        Data::Name { uri, label, name, line, character } => {
            let position = Position { line, character };
            on(&uri, CheckDepth::SOON, move |view| {
                let offset = view.snapshot.positions().offset(position);
                hover::offered(view.analysed(), &label, &name, offset)
            })
            .await?
        }
    };
    item.documentation = text.map(|value| {
        Documentation::MarkupContent(MarkupContent { kind: MarkupKind::Markdown, value })
    });
    Ok(item)
}
