//! Ever larger selections: the word, the statement, its block, the file.

use springline_lang::finding::Span;
use springline_lang::syntax::item_at;

use crate::facts::Facts;

/// Spans around an offset, smallest first, each inside the next.
pub fn selections(facts: Facts<'_>, offset: usize) -> Vec<Span> {
    let mut out: Vec<Span> = Vec::new();
    let mut push = |span: Span| {
        let grows = out
            .last()
            .is_none_or(|last| span.start <= last.start && last.end <= span.end && span != *last);
        if grows && span.contains(offset) {
            out.push(span);
        }
    };
    if let Some(at) = item_at(facts.parse(), offset) {
        push(at.item.span);
    }
    for line in facts.around(offset) {
        if line.span().contains(offset) {
            push(line.span());
        }
        if let Some(block) = line.block() {
            push(Span { start: block.open.end, end: block.close.start.max(block.open.end) });
        }
        push(line.whole_span());
    }
    push(Span::new(0, facts.text().len()));
    out
}
