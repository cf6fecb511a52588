//! Every place of a case that refers to a tooth, alone or within a range.

use springline_lang::syntax::{PlaceholderKind, ToothSpan, item_at};
use springline_lang::text::Span;
use springline_lang::units::tooth::Tooth;

use crate::analysed_file::AnalysedFile;

/// The tooth at an offset; in a range, the end under the cursor.
pub fn tooth_at(analysed: AnalysedFile<'_>, offset: usize) -> Option<Tooth> {
    let at = item_at(analysed.parse(), offset)?;
    at.slot.filter(|slot| matches!(slot.hole, PlaceholderKind::Tooth | PlaceholderKind::Teeth))?;
    let typed = at.item.teeth()?;
    let end = typed.last.filter(|last| last.contains(offset)).unwrap_or(typed.first);
    Tooth::parse(analysed.parse().text(end))
}

/// Its mentions, in text order.
pub fn of_tooth(analysed: AnalysedFile<'_>, tooth: Tooth) -> Vec<Span> {
    let lines = analysed.parse().all_lines().filter(|l| l.is_read());
    let typed = lines.flat_map(|line| {
        line.holes(PlaceholderKind::Teeth).chain(line.holes(PlaceholderKind::Tooth))
    });
    let mut out: Vec<Span> = typed
        .flat_map(|hole| hole.teeth())
        .filter_map(|span| mention(analysed, span, tooth))
        .collect();
    out.sort();
    out.dedup();
    out
}

/// The tooth itself where it is named, the whole range where it is within one.
fn mention(analysed: AnalysedFile<'_>, typed: ToothSpan, tooth: Tooth) -> Option<Span> {
    let is = |span: &Span| Tooth::parse(analysed.parse().text(*span)) == Some(tooth);
    if is(&typed.first) {
        return Some(typed.first);
    }
    if let Some(last) = typed.last.filter(is) {
        return Some(last);
    }
    analysed.teeth_of(typed).contains(&tooth).then(|| typed.span())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    #[test]
    fn a_tooth_is_found_by_name_and_within_stretches() {
        let sample = Sample::upper("  tooth ¦13 labial 1 mm\n  hook UR3");
        let analysed = sample.analysed();
        let tooth = tooth_at(analysed, sample.offset).unwrap();
        let found: Vec<&str> =
            of_tooth(analysed, tooth).iter().map(|s| &analysed.text()[s.range()]).collect();
        assert_eq!(found, ["15..25", "13", "UR3", "13"]);
        assert_eq!(tooth_at(analysed, 0), None);
    }
}
