//! Selection ranges: the word, the statement, its block, the file.

use springline_lang::syntax::item_at;
use springline_lang::text::Span;

use crate::analysed_file::AnalysedFile;

/// Spans around an offset, smallest first, each inside the next.
pub fn selections(analysed: AnalysedFile<'_>, offset: usize) -> Vec<Span> {
    let mut out: Vec<Span> = Vec::new();
    let mut push = |span: Span| {
        let grows = out
            .last()
            .is_none_or(|last| span.start <= last.start && last.end <= span.end && span != *last);
        if grows && span.contains(offset) {
            out.push(span);
        }
    };
    if let Some(at) = item_at(analysed.parse(), offset) {
        push(at.item.span);
        // A clause, a stand, a condition: what lies between two commas.
        let named = |name: &'static str| {
            at.line.group().fragments().filter(move |fragment| fragment.name == name)
        };
        let groups = at.groups.iter().flat_map(|name| named(name)).map(|g| g.span());
        let mut groups: Vec<Span> = groups.filter(|span| span.contains(offset)).collect();
        groups.sort_by_key(|span| span.end - span.start);
        groups.into_iter().for_each(&mut push);
    }
    for line in analysed.around(offset) {
        if line.span().contains(offset) {
            push(line.span());
        }
        if let Some(block) = line.block() {
            push(Span { start: block.open.end, end: block.close.start.max(block.open.end) });
        }
        push(line.whole_span());
    }
    push(Span::new(0, analysed.text().len()));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    #[test]
    fn each_selection_lies_in_the_next() {
        let sample = Sample::upper("  change align {\n    bypass ¦13 until space 7 mm\n  }");
        let text = sample.analysed().text();
        let spans = selections(sample.analysed(), sample.offset);
        let first: Vec<&str> = spans.iter().map(|s| &text[s.range()]).collect();
        assert_eq!(first[0], "13");
        assert_eq!(first[1], "bypass 13 until space 7 mm");
        assert!(first[3].starts_with("change align {") && first[3].ends_with('}'), "{first:?}");
        assert_eq!(*first.last().unwrap(), text);
        assert!(spans.windows(2).all(|w| w[1].start <= w[0].start && w[0].end <= w[1].end));
    }

    #[test]
    fn a_clause_lies_between_its_figure_and_its_statement() {
        let sample = Sample::upper("  tooth 13 labial ¦2.5 mm, gingival 1 mm");
        let text = sample.analysed().text();
        let spans = selections(sample.analysed(), sample.offset);
        let found: Vec<&str> = spans.iter().take(3).map(|s| &text[s.range()]).collect();
        assert_eq!(found[..2], ["2.5 mm", "labial 2.5 mm"]);
        assert!(spans.iter().any(|s| &text[s.range()] == "tooth 13 labial 2.5 mm, gingival 1 mm"));
    }
}
