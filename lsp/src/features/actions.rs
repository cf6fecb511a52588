//! Code actions at the cursor: fixes of findings, accepting one with a reason, converting a figure to
//! another unit.

use springline_lang::finding::{Finding, Fix, FixKind};
use springline_lang::syntax::{ItemShape, item_at};
use springline_lang::text::{FileId, Place, Span};
use springline_lang::units::quantity::{Quantity, Unit, plain};

use super::edits::TextEdit;
use super::{accept, due, extract, notation, nudge};
use crate::analysed_file::AnalysedFile;

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    pub title: String,
    pub kind: ActionKind,
    /// The finding it answers, by its index in the list of findings.
    pub finding: Option<usize>,
    pub edits: Vec<(FileId, TextEdit)>,
    /// Where in the text of its one edit something is still to be written.
    pub cursor: Option<usize>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ActionKind {
    /// Changes only how the text is written: may be done without a thought.
    Safe,
    /// Changes the plan: the doctor chooses.
    Clinical,
    Rewrite,
    /// Moves something to where others can use it.
    Extract,
    /// Adds to the record.
    Record,
    /// All safe fixes of the file at once.
    FixAll,
}

/// All actions in a range. Of a finding's fixes only those that `mending` returns are offered.
pub fn actions(
    analysed: AnalysedFile<'_>,
    range: Span,
    anchor: impl Fn(&Finding) -> Span,
    mending: impl Fn(usize, &Finding) -> Vec<Fix>,
) -> Vec<Action> {
    let mut out = Vec::new();
    let meets = |span: Span| span.start <= range.end && range.start <= span.end;
    for (index, finding) in analysed.findings().iter().enumerate() {
        if meets(anchor(finding)) {
            fixes(&mending(index, finding), index, &mut out);
            out.extend(acceptance(analysed, finding, index));
        }
    }
    units(analysed, range.start as usize, &mut out);
    rewrites(analysed, range.start as usize, &mut out);
    out.extend(fix_all(analysed));
    out
}

fn fixes(fixes: &[Fix], index: usize, out: &mut Vec<Action>) {
    for fix in fixes {
        let outcome = fix.outcome.as_deref().map(|o| format!(": {o}")).unwrap_or_default();
        let kind = match fix.kind {
            FixKind::Safe => ActionKind::Safe,
            FixKind::Clinical => ActionKind::Clinical,
        };
        let edits = fix.edits.iter().map(|e| (e.place.file, edit(e.place, &e.text))).collect();
        let title = titled(&fix.title, &outcome);
        out.push(Action { title, kind, finding: Some(index), edits, cursor: None });
    }
}

/// Letters of a title at most: a menu is narrow.
const TITLE: usize = 110;

/// The title of a fix with its outcome in the recomputed plan, within the width of a menu. A title that
/// only names things is turned into a command.
fn titled(title: &str, outcome: &str) -> String {
    let first = title.split([' ', ',']).next().unwrap_or_default();
    let verb = match first {
        day if day.starts_with(|c: char| c.is_ascii_digit()) => "write ",
        wire if wire.contains(|c: char| c.is_ascii_digit()) => "use ",
        _ => "",
    };
    let whole = format!("{verb}{title}{outcome}");
    if whole.chars().count() <= TITLE {
        return whole;
    }
    whole.chars().take(TITLE - 1).chain(['…']).collect()
}

fn edit(place: Place, text: &str) -> TextEdit {
    TextEdit { span: place.span, text: text.to_owned() }
}

fn acceptance(analysed: AnalysedFile<'_>, finding: &Finding, index: usize) -> Option<Action> {
    if !accept::may_be_accepted(finding) {
        return None;
    }
    let line = accept::line(finding, analysed, accept::Reason::Empty);
    let edit = accept::insertion(finding, analysed, &line)?;
    let cursor = edit.text.find("\"\"").map(|at| at + 1);
    Some(Action {
        title: format!("accept {} with a reason", finding.code),
        cursor,
        kind: ActionKind::Clinical,
        finding: Some(index),
        edits: vec![(analysed.parse().file, edit)],
    })
}

/// The figure under the cursor in the other units a practice would write it in.
fn units(analysed: AnalysedFile<'_>, offset: usize, out: &mut Vec<Action>) {
    let Some(at) = item_at(analysed.parse(), offset) else { return };
    let Some(measure) = at.item.measure() else { return };
    let (Some(first), None) = (measure.first_quantity(), at.item.slip) else { return };
    if measure.shape != ItemShape::Single || at.slot.is_none() {
        return;
    }
    // A figure that cannot be is not worth another unit.
    let cannot_be =
        |f: &Finding| f.code.as_str() == "unit/implausible" && f.place.span == at.item.span;
    if analysed.findings().iter().any(cannot_be) {
        return;
    }
    let written = plain(first.value);
    for unit in first.dimension().units() {
        let Some(text) = exactly(first, *unit) else { continue };
        out.push(Action {
            title: format!("write `{written} {}` as `{text}`", first.unit),
            kind: ActionKind::Rewrite,
            finding: None,
            edits: vec![(analysed.parse().file, TextEdit { span: at.item.span, text })],
            cursor: None,
        });
    }
}

/// What changes how a plan is written, or adds what is due to be written.
fn rewrites(analysed: AnalysedFile<'_>, offset: usize, out: &mut Vec<Action>) {
    let file = analysed.parse().file;
    let mut push = |title, kind, edits| {
        out.push(Action { title, kind, finding: None, edits, cursor: None });
    };
    let here = |edits: Vec<TextEdit>| edits.into_iter().map(|e| (file, e)).collect();
    for (title, edits) in notation::rewrites(analysed, offset) {
        push(title, ActionKind::Rewrite, here(edits));
    }
    for (title, edits) in nudge::nudges(analysed, offset) {
        push(title, ActionKind::Rewrite, here(edits));
    }
    if let Some((title, edits)) = extract::sequence(analysed, offset) {
        push(title, ActionKind::Extract, edits);
    }
    if let Some((title, edits)) = due::visit(analysed, offset) {
        push(title, ActionKind::Record, here(edits));
    }
}

/// The same in another unit; not where rounding would change what is meant, nor where a calendar
/// month would become days.
fn exactly(quantity: Quantity, unit: Unit) -> Option<String> {
    let calendar = [quantity.unit, unit].contains(&Unit::Mo);
    if unit == quantity.unit || calendar {
        return None;
    }
    let value = quantity.in_unit(unit)?;
    let text = plain(four_figures(value));
    let back = Quantity::new(text.parse().ok()?, unit).in_unit(quantity.unit)?;
    let close = (back - quantity.value).abs() <= quantity.value.abs() * 0.005;
    close.then(|| format!("{text} {unit}"))
}

/// Upper bound on a typed figure's digits.
fn four_figures(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let scale = 10f64.powi(3 - value.abs().log10().floor() as i32);
    (value * scale).round() / scale
}

/// Every fix that only changes notation; of overlapping ones the first.
fn fix_all(analysed: AnalysedFile<'_>) -> Option<Action> {
    let file = analysed.parse().file;
    let mut edits: Vec<(FileId, TextEdit)> = Vec::new();
    for finding in analysed.findings() {
        let Some(fix) = springline_lang::fixes::only_safe(finding) else { continue };
        let new: Vec<TextEdit> = fix.edits.iter().map(|e| edit(e.place, &e.text)).collect();
        let elsewhere = fix.edits.iter().any(|e| e.place.file != file);
        let over = |a: &TextEdit, b: &TextEdit| {
            a.span == b.span || (a.span.start < b.span.end && b.span.start < a.span.end)
        };
        if elsewhere || new.iter().any(|n| edits.iter().any(|(_, e)| over(n, e))) {
            continue;
        }
        edits.extend(new.into_iter().map(|e| (file, e)));
    }
    if edits.is_empty() {
        return None;
    }
    edits.sort_by_key(|(_, e)| (e.span.start, e.span.end));
    let title = "apply all fixes that do not change the meaning".to_owned();
    Some(Action { title, kind: ActionKind::FixAll, finding: None, edits, cursor: None })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    fn at_mark(sample: &Sample) -> Vec<Action> {
        let at = Span::new(sample.offset, sample.offset);
        actions(sample.analysed(), at, |f| f.place.span, |_, f| f.fixes.clone())
    }

    fn apply(sample: &Sample, action: &Action) -> String {
        let mut text = sample.analysed().text().to_owned();
        for (_, edit) in action.edits.iter().rev() {
            text.replace_range(edit.span.range(), &edit.text);
        }
        text
    }

    #[test]
    fn a_misspelt_word_has_a_fix_that_mends_it() {
        let sample = Sample::upper("  mising¦ 17");
        let actions = at_mark(&sample);
        let fix = actions.iter().find(|a| a.finding.is_some()).unwrap();
        assert!(apply(&sample, fix).contains("  missing 17"), "{fix:?}");
    }

    #[test]
    fn a_figure_is_written_in_another_unit_only_where_that_says_the_same() {
        let titles = |lines: &str| -> Vec<String> {
            at_mark(&Sample::upper(lines)).into_iter().map(|a| a.title).collect()
        };
        let time = titles("  change align, next 8 ¦wk");
        assert!(time.contains(&"write `8 wk` as `56 d`".to_owned()), "{time:?}");
        assert!(!time.iter().any(|t| t.contains("mo")), "{time:?}");
        let length = titles("  tooth 13 labial 2.54 ¦mm");
        assert!(length.contains(&"write `2.54 mm` as `0.1 in`".to_owned()), "{length:?}");
        // 0.5 mm would be 0.0197 in: near enough; 0.001 mm would be nothing.
        assert!(titles("  tooth 13 labial 0.001 ¦mm").iter().all(|t| !t.contains("` in`")));
    }

    #[test]
    fn all_safe_fixes_come_as_one() {
        let sample = Sample::upper("  tooth 13 labial 1,5 mm¦\n  tooth 14 labial 1,5 mm");
        let actions = at_mark(&sample);
        let all = actions.iter().find(|a| a.kind == ActionKind::FixAll).unwrap();
        let text = apply(&sample, all);
        assert_eq!(text.matches("1.5 mm").count(), 2, "{text}");
    }
}
