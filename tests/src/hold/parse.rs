//! Reading is lossless: the tokens put together are the text, and every place lies inside it.

use springline_lang::finding::FileId;
use springline_lang::syntax;

use super::text::text;

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
    syntax::classify(&parse);
    syntax::folds(&parse);
}
