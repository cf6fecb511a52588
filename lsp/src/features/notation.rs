//! Action that rewrites teeth in another notation: the one under the cursor, or all of the file.

use springline_lang::syntax::{PlaceholderKind, item_at};
use springline_lang::text::Span;
use springline_lang::units::tooth::{Notation, Tooth};

use super::edits::TextEdit;
use crate::analysed_file::AnalysedFile;

/// A way to write teeth, as the reader of a menu knows it.
fn say(notation: Notation) -> &'static str {
    match notation {
        Notation::Iso => "ISO (12)",
        Notation::Quadrant => "quadrant and number (UR2)",
        Notation::Universal => "universal numbers (#7)",
    }
}

/// What a menu shows, and the edits.
pub fn rewrites(analysed: AnalysedFile<'_>, offset: usize) -> Vec<(String, Vec<TextEdit>)> {
    let Some(at) = item_at(analysed.parse(), offset) else { return Vec::new() };
    let of_teeth =
        at.slot.is_some_and(|s| matches!(s.hole, PlaceholderKind::Tooth | PlaceholderKind::Teeth));
    let Some(typed) = at.item.teeth().filter(|_| of_teeth) else { return Vec::new() };
    let mut here = vec![typed.first];
    here.extend(typed.last);
    let all = every_tooth(analysed);
    let mut out = Vec::new();
    for notation in [Notation::Iso, Notation::Quadrant, Notation::Universal] {
        let edits = to(analysed, notation, &here);
        let Some(first) = edits.first().map(|e| e.text.clone()) else { continue };
        out.push((format!("write it as {first}"), edits));
        if all.len() > here.len() {
            let title = format!("write all teeth of this file in {}", say(notation));
            out.push((title, to(analysed, notation, &all)));
        }
    }
    out
}

/// Edits of those that are written otherwise.
fn to(analysed: AnalysedFile<'_>, notation: Notation, spans: &[Span]) -> Vec<TextEdit> {
    let one = |span: &Span| {
        let typed = analysed.parse().text(*span);
        let text = Tooth::parse(typed)?.write(notation);
        (text != typed).then_some(TextEdit { span: *span, text })
    };
    spans.iter().filter_map(one).collect()
}

fn every_tooth(analysed: AnalysedFile<'_>) -> Vec<Span> {
    let mut out: Vec<Span> = Vec::new();
    for line in analysed.parse().all_lines().filter(|l| l.is_read()) {
        let holes = line.holes(PlaceholderKind::Teeth).chain(line.holes(PlaceholderKind::Tooth));
        for typed in holes.flat_map(|hole| hole.teeth()) {
            out.push(typed.first);
            out.extend(typed.last);
        }
    }
    out.sort();
    out.dedup();
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    #[test]
    fn one_tooth_and_all_teeth_change_their_names_and_nothing_else() {
        let sample = Sample::upper("  tooth ¦13 labial 1.5 mm\n  change align, next 12 wk");
        let found = rewrites(sample.analysed(), sample.offset);
        let one = found.iter().find(|(t, _)| t == "write it as UR3").expect("one");
        assert_eq!(one.1.len(), 1);
        let all = found.iter().find(|(t, _)| t.contains("all teeth") && t.contains("UR2")).unwrap();
        let mut text = sample.analysed().text().to_owned();
        for edit in all.1.iter().rev() {
            text.replace_range(edit.span.range(), &edit.text);
        }
        assert!(
            text.contains("bonded UR5..UL5 with twin") && text.contains("tooth UR2, UL2"),
            "{text}"
        );
        assert!(text.contains("next 12 wk") && text.contains("fixed UR3..UL3"), "{text}");
        // The plan is still the same plan.
        let after = Sample::new(&text);
        assert_eq!(after.analysed().case().unwrap().arches[0].bonded.len(), 12);
        assert!(rewrites(sample.analysed(), 0).is_empty());
    }
}
