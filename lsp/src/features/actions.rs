//! What can be done about the place under the cursor: fixes of findings, accepting one with a reason,
//! writing a figure in another unit.

use springline_lang::finding::{FileId, Finding, FixKind, Place, Span};
use springline_lang::model::quantity::{Quantity, Unit, plain};
use springline_lang::syntax::{Shape, item_at};

use super::accept;
use super::edits::TextEdit;
use crate::facts::Facts;

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    pub title: String,
    pub kind: ActionKind,
    /// The finding it answers, by its index in the list of findings.
    pub finding: Option<usize>,
    pub edits: Vec<(FileId, TextEdit)>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ActionKind {
    /// Changes only how the text is written: may be done without a thought.
    Safe,
    /// Changes the plan: the doctor chooses.
    Clinical,
    Rewrite,
    /// All safe fixes of the file at once.
    FixAll,
}

/// Everything that can be done in a range.
pub fn actions(facts: Facts<'_>, range: Span, anchor: impl Fn(&Finding) -> Span) -> Vec<Action> {
    let mut out = Vec::new();
    let meets = |span: Span| span.start <= range.end && range.start <= span.end;
    for (index, finding) in facts.findings().iter().enumerate() {
        if meets(anchor(finding)) {
            fixes(finding, index, &mut out);
            out.extend(acceptance(facts, finding, index));
        }
    }
    units(facts, range.start as usize, &mut out);
    out.extend(fix_all(facts));
    out
}

fn fixes(finding: &Finding, index: usize, out: &mut Vec<Action>) {
    for fix in &finding.fixes {
        let outcome = fix.outcome.as_deref().map(|o| format!(": {o}")).unwrap_or_default();
        let (kind, suffix) = match fix.kind {
            FixKind::Safe => (ActionKind::Safe, ""),
            FixKind::Clinical => (ActionKind::Clinical, " (for the doctor to choose)"),
        };
        let edits = fix.edits.iter().map(|e| (e.place.file, edit(e.place, &e.text))).collect();
        let title = format!("{}{outcome}{suffix}", fix.title);
        out.push(Action { title, kind, finding: Some(index), edits });
    }
}

fn edit(place: Place, text: &str) -> TextEdit {
    TextEdit { span: place.span, text: text.to_owned() }
}

fn acceptance(facts: Facts<'_>, finding: &Finding, index: usize) -> Option<Action> {
    if !accept::may_be_accepted(finding) {
        return None;
    }
    let line = accept::line(finding, facts, accept::Reason::Empty);
    let place = accept::place(finding, facts)?;
    let text = format!("{}{line}{}", place.before, place.after);
    Some(Action {
        title: format!("accept {} with a reason (for the doctor to choose)", finding.code),
        kind: ActionKind::Clinical,
        finding: Some(index),
        edits: vec![(facts.parse().file, TextEdit { span: place.at, text })],
    })
}

/// The figure under the cursor in the other units a practice would write it in.
fn units(facts: Facts<'_>, offset: usize, out: &mut Vec<Action>) {
    let Some(at) = item_at(facts.parse(), offset) else { return };
    let Some(measure) = at.item.measure() else { return };
    let (Some(first), None) = (measure.first_quantity(), at.item.slip) else { return };
    if measure.shape != Shape::Single || at.slot.is_none() {
        return;
    }
    let written = plain(first.value);
    for unit in first.dimension().units() {
        let Some(text) = exactly(first, *unit) else { continue };
        out.push(Action {
            title: format!("write `{written} {}` as `{text}`", first.unit),
            kind: ActionKind::Rewrite,
            finding: None,
            edits: vec![(facts.parse().file, TextEdit { span: at.item.span, text })],
        });
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
    let text = plain(value);
    let back = Quantity::new(text.parse().ok()?, unit).in_unit(quantity.unit)?;
    let close = (back - quantity.value).abs() <= quantity.value.abs() * 0.005;
    close.then(|| format!("{text} {unit}"))
}

/// Every fix that only changes how the text is written, those that lie over each other once.
fn fix_all(facts: Facts<'_>) -> Option<Action> {
    let file = facts.parse().file;
    let mut edits: Vec<(FileId, TextEdit)> = Vec::new();
    for finding in facts.findings() {
        let Some(fix) = finding.fixes.iter().find(|f| f.kind == FixKind::Safe) else { continue };
        if finding.fixes.iter().filter(|f| f.kind == FixKind::Safe).count() > 1 {
            continue;
        }
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
    let title = "fix everything that only changes how it is written".to_owned();
    Some(Action { title, kind: ActionKind::FixAll, finding: None, edits })
}
