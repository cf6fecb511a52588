//! Reading is lossless: the tokens put together are the text, and every place lies inside it; and a text
//! that is read again after a change gives the tree that it gives when read anew.

use springline_lang::syntax;
use springline_lang::text::FileId;

use super::Draw;
use super::text::{boundary, text};

pub fn parse(bytes: &[u8]) {
    let source = text(bytes);
    let parse = syntax::parse(FileId(0), &source);
    if parse.unread.is_none() {
        let rebuilt: String = parse.tokens.iter().map(|t| parse.text(t.span)).collect();
        assert_eq!(rebuilt, source, "tokens do not rebuild the source");
    }
    for finding in &parse.findings {
        assert!(source.get(finding.place.span.range()).is_some(), "{finding:?}");
        for edit in finding.fixes.iter().flat_map(|f| &f.edits) {
            assert!(source.get(edit.place.span.range()).is_some(), "{finding:?}");
        }
    }
    reads_again(&parse, &source, bytes);
    syntax::classify(&parse);
    syntax::folds(&parse);
}

/// A change somewhere, of a size and with a text that the same bytes say.
fn reads_again(before: &syntax::Parse, source: &str, bytes: &[u8]) {
    let mut draw = Draw::new(bytes);
    let from = boundary(source, draw.below(source.len() + 1));
    let to = boundary(source, from + draw.below(20)).max(from);
    let mut after = source.to_owned();
    after.replace_range(from..to, &text(draw.rest().get(..8).unwrap_or_default()));
    let again = syntax::reparse(before, &after);
    let anew = syntax::parse(before.file, &after);
    assert_eq!(format!("{again:?}"), format!("{anew:?}"), "read again\n{source}\n----\n{after}");
}
