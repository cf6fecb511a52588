//! What the chair is asked at a visit: only what the step in the mouth needs.

use crate::course::{ArchVisit, Forecast, PlannedVisit, ToothStatus};
use crate::model::case::{ArchCase, Case};
use crate::model::step::Term;
use crate::model::tooth::{Notation, Tooth};

/// One question, answered by a choice or by a number.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// Each choice with the line it writes.
    Choose { text: String, choices: Vec<(String, String)> },
    /// A measure; `line` has `{}` where the number goes. An empty answer writes nothing.
    Measure { text: String, line: String, unit: &'static str },
}

/// The questions of the next visit that is not recorded yet.
pub fn questions(case: &Case, forecast: &Forecast) -> Vec<Question> {
    let Some(visit) = forecast.visits.iter().find(|v| v.recorded.is_none()) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    for seen in &visit.arches {
        if let Some(arch) = case.arch(seen.arch) {
            out.extend(wire(arch, seen, case.house.notation.value));
            out.extend(spaces(case, forecast, arch, seen));
        }
    }
    out.extend(overjet(case, visit));
    out
}

/// Passive or not, and what was done.
fn wire(arch: &ArchCase, seen: &ArchVisit, notation: Notation) -> Option<Question> {
    let word = arch.arch.word();
    let step = arch.steps.get(seen.step?)?;
    let teeth: Vec<String> = seen.test.iter().map(|t| t.write(notation)).collect();
    let at = if teeth.is_empty() { String::new() } else { format!(" at {}", teeth.join(", ")) };
    let text = format!("{}: is {} passive{at}?", capital(word), step.wire.value.names());
    let mut choices = Vec::new();
    if let Some(next) = seen.next_step.and_then(|i| arch.steps.get(i)) {
        let wires = next.wire.value.names();
        choices.push((
            format!("passive, now {wires} ({})", next.name),
            format!("{word} passive, now {} with {wires}", next.name),
        ));
    }
    choices.push(("passive, wire kept".to_owned(), format!("{word} passive, kept")));
    choices.push(("not yet, wire kept".to_owned(), format!("{word} active, kept")));
    choices.push(("not tested, wire kept".to_owned(), format!("{word} not-tested, kept")));
    Some(Question::Choose { text, choices })
}

/// The space of teeth that wait for it.
fn spaces(case: &Case, forecast: &Forecast, arch: &ArchCase, seen: &ArchVisit) -> Vec<Question> {
    let notation = case.house.notation.value;
    let waiting: Vec<Tooth> = seen
        .phase
        .and_then(|i| forecast.arch(arch.arch)?.phases.get(i))
        .map(|phase| {
            let out = |s: ToothStatus| matches!(s, ToothStatus::Bypassed | ToothStatus::NotBonded);
            phase
                .state
                .teeth
                .iter()
                .filter(|t| {
                    out(t.status) && arch.stands.get(&t.tooth).is_some_and(|s| s.space.is_some())
                })
                .map(|t| t.tooth)
                .collect()
        })
        .unwrap_or_default();
    waiting
        .into_iter()
        .map(|t| {
            let tooth = t.write(notation);
            Question::Measure {
                text: format!("Space for {tooth}, in mm (nothing: not measured)"),
                line: format!("tooth {tooth} space {{}} mm"),
                unit: "mm",
            }
        })
        .collect()
}

/// Where elastics or a step end on it.
fn overjet(case: &Case, visit: &PlannedVisit) -> Option<Question> {
    let waits = |terms: &[Term]| terms.iter().any(|t| matches!(t, Term::Overjet { .. }));
    let elastics =
        case.elastics.iter().any(|e| e.until.as_ref().is_some_and(|(c, _)| waits(&c.terms)));
    let steps = visit.arches.iter().any(|seen| {
        let step = case.arch(seen.arch).and_then(|a| a.steps.get(seen.step?));
        step.is_some_and(|s| waits(&s.until.terms))
    });
    (elastics || steps).then(|| Question::Measure {
        text: "Overjet, in mm (nothing: not measured)".to_owned(),
        line: "overjet {} mm".to_owned(),
        unit: "mm",
    })
}

fn capital(word: &str) -> String {
    crate::resolve::read::capital(word)
}
