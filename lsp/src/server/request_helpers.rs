//! Helpers shared by several requests.

use springline_lang::syntax::{Fold, FormatRefusal};
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::*;

use super::answer::{CheckDepth, DocumentView, on};
use crate::analysis::Revision;
use crate::convert::{edit, token};
use crate::features;
use crate::position::Positions;

/// A value with the text it was found for.
pub(super) fn stamped<T>(view: &DocumentView, value: T) -> (T, Revision) {
    (value, view.snapshot.stamp)
}

/// Formatting edits; none where the formatter leaves the file unchanged.
pub(super) fn formatting_edits(
    view: &DocumentView,
    edits: &std::result::Result<Vec<features::edits::TextEdit>, FormatRefusal>,
) -> Vec<TextEdit> {
    match edits {
        Ok(edits) => edit::edits(edits, &view.snapshot.positions()),
        Err(refusal) => {
            crate::log(&format!("{}: {refusal}", view.snapshot.document.uri.as_str()));
            Vec::new()
        }
    }
}

/// A shape with its parts; a client that cannot count in the label gets each part's own words.
pub(super) fn signature(
    shape: features::signature::Signature,
    offsets: bool,
) -> SignatureInformation {
    let parameters = shape
        .parts
        .iter()
        .map(|part| ParameterInformation {
            label: match shape.label.get(part.start..part.end) {
                Some(words) if !offsets => ParameterLabel::Simple(words.to_owned()),
                // Labels are ASCII: bytes are characters.
                _ => ParameterLabel::LabelOffsets([part.start as u32, part.end as u32]),
            },
            documentation: (!part.doc.is_empty()).then(|| Documentation::String(part.doc.clone())),
        })
        .collect();
    SignatureInformation {
        label: shape.label,
        documentation: Some(Documentation::String(shape.doc.to_owned())),
        parameters: Some(parameters),
        active_parameter: shape.active.map(|i| i as u32),
    }
}

pub(super) fn folding(fold: Fold, positions: &Positions<'_>) -> Option<FoldingRange> {
    let range = positions.range(fold.span);
    // The closing brace stays to be seen.
    let end_line = if fold.is_comment { range.end.line } else { range.end.line.checked_sub(1)? };
    (end_line > range.start.line).then(|| FoldingRange {
        start_line: range.start.line,
        end_line,
        kind: fold.is_comment.then_some(FoldingRangeKind::Comment),
        ..FoldingRange::default()
    })
}

pub(super) fn inlay(hint: features::hints::Hint, positions: &Positions<'_>) -> InlayHint {
    InlayHint {
        position: positions.at(hint.at),
        label: InlayHintLabel::String(hint.label),
        kind: None,
        text_edits: None,
        tooltip: Some(InlayHintTooltip::String(hint.tooltip)),
        padding_left: Some(true),
        padding_right: None,
        data: None,
    }
}

/// The colours of a document, and a name for this list of them.
pub(super) async fn colours(uri: &Uri) -> Result<Option<(String, Vec<SemanticToken>)>> {
    on(uri, CheckDepth::Language, |view| {
        let classes = springline_lang::syntax::classify(view.analysed().parse());
        let positions = view.snapshot.positions();
        let data = token::tokens(&classes, view.snapshot.text(), &positions);
        Some((view.snapshot.stamp.revision.to_string(), data))
    })
    .await
}
