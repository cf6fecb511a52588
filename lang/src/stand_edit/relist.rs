//! A list in the text - of teeth, or of clauses - with some of its elements replaced.

use springline_syntax::Parse;
use springline_text::Span;

/// What of the text is replaced, and by what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Relisted {
    pub span: Span,
    pub text: String,
}

/// Each element by what stands in its place, nothing or several, and more behind them. What stands between two
/// elements that stay is kept. `None` where a remark between two would be lost.
pub fn relist(
    parse: &Parse,
    elements: &[Span],
    new: Vec<Vec<String>>,
    more: Vec<String>,
) -> Option<Relisted> {
    let whole = elements.first()?.to(*elements.last()?);
    let mut text = String::new();
    let mut is_first = true;
    let mut put = |text: &mut String, gap: Option<&str>, words: &str| {
        if !is_first {
            text.push_str(gap.unwrap_or(", "));
        }
        is_first = false;
        text.push_str(words);
    };
    for (i, words) in new.iter().enumerate() {
        let gap = i.checked_sub(1).and_then(|before| {
            Some(Span { start: elements.get(before)?.end, end: elements.get(i)?.start })
        });
        let gap = gap.map(|span| parse.text(span));
        let is_lost = words.is_empty() || (text.is_empty() && i > 0);
        if is_lost && gap.is_some_and(holds_remark) {
            return None;
        }
        for (k, one) in words.iter().enumerate() {
            put(&mut text, gap.filter(|_| k == 0), one);
        }
    }
    for one in &more {
        put(&mut text, None, one);
    }
    Some(Relisted { span: whole, text })
}

fn holds_remark(gap: &str) -> bool {
    gap.chars().any(|c| c != ',' && !c.is_whitespace())
}
