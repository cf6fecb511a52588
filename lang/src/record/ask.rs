//! The questions of a visit: only what the current step needs.

use springline_course::{ArchVisit, Forecast, PlannedVisit, ToothStatus};
use springline_model::case::{ArchCase, Case};
use springline_model::step::Term;
use springline_text::capital;
use springline_units::tooth::{Notation, Tooth};

/// One question, answered by a choice or by a number.
#[derive(Debug, Clone, PartialEq)]
pub enum VisitQuestion {
    /// Each choice with the line it writes.
    Choose { text: String, choices: Vec<(String, String)> },
    /// A measure; `line` has `{}` where the number goes. An empty answer writes nothing. `below` is the line
    /// that a number below zero writes, where the other way about has a word of its own.
    Measure { text: String, line: String, below: Option<String>, unit: &'static str },
}

impl VisitQuestion {
    /// As it is put: the choices on lines of their own, then what to type.
    pub fn prompt(&self) -> (Vec<String>, &str) {
        match self {
            VisitQuestion::Choose { text, choices } => {
                let numbered = choices.iter().enumerate();
                let lines = numbered.map(|(i, (label, _))| format!("  {} {label}", i + 1));
                (std::iter::once(text.clone()).chain(lines).collect(), "Number")
            }
            VisitQuestion::Measure { text, .. } => (Vec::new(), text),
        }
    }

    /// The line that an answer writes, if any; or what to type.
    pub fn take(&self, said: &str) -> Result<Option<String>, String> {
        match self {
            VisitQuestion::Choose { choices, .. } => {
                let picked =
                    said.parse::<usize>().ok().and_then(|n| choices.get(n.checked_sub(1)?));
                match picked {
                    Some((_, line)) => Ok(Some(line.clone())),
                    None => Err(format!("Type a number from 1 to {}.", choices.len())),
                }
            }
            VisitQuestion::Measure { line, below, unit, .. } => {
                let bare = said.trim_end_matches(unit).trim().replace(',', ".");
                if bare.is_empty() {
                    return Ok(None);
                }
                let figure =
                    |text: &str| text.parse::<f64>().is_ok_and(|v| v.is_finite() && v >= 0.0);
                if figure(&bare) {
                    return Ok(Some(line.replace("{}", &bare)));
                }
                let under = bare.strip_prefix(['-', '\u{2212}']).map(str::trim);
                match (under.filter(|u| figure(u)), below) {
                    (Some(under), Some(below)) => Ok(Some(below.replace("{}", under))),
                    _ => Err(format!("Type a number in {unit}.")),
                }
            }
        }
    }
}

/// The questions of the next visit that is not recorded yet.
pub fn questions(case: &Case, forecast: &Forecast) -> Vec<VisitQuestion> {
    questions_at(case, forecast, None)
}

/// The questions of a visit of that kind. An unscheduled visit (emergency, repair) has no question about
/// the wire, because the wire is not tested then and its clock continues.
pub fn questions_at(case: &Case, forecast: &Forecast, kind: Option<&str>) -> Vec<VisitQuestion> {
    if kind.is_some_and(|k| BETWEEN.contains(&k)) {
        return Vec::new();
    }
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
    out.extend(measures(case, visit));
    out.extend(wear(case, forecast, visit));
    out
}

/// Kinds of visit that the wire's test is no part of.
const BETWEEN: [&str; 4] = ["emergency", "repair", "debond", "retainer-check"];

/// Passive or not, and what was done.
fn wire(arch: &ArchCase, seen: &ArchVisit, notation: Notation) -> Option<VisitQuestion> {
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
    choices.push(("nearly passive, wire kept".to_owned(), format!("{word} nearly-passive, kept")));
    choices.push(("not yet, wire kept".to_owned(), format!("{word} active, kept")));
    choices.push(("not tested, wire kept".to_owned(), format!("{word} not-tested, kept")));
    Some(VisitQuestion::Choose { text, choices })
}

/// The space of teeth that wait for it.
fn spaces(
    case: &Case,
    forecast: &Forecast,
    arch: &ArchCase,
    seen: &ArchVisit,
) -> Vec<VisitQuestion> {
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
            VisitQuestion::Measure {
                text: format!("Space for {tooth}, in mm (Enter: not measured)"),
                line: format!("tooth {tooth} space {{}} mm"),
                below: None,
                unit: "mm",
            }
        })
        .collect()
}

/// Measures of the bite and gaps that elastics or a step end on.
fn measures(case: &Case, visit: &PlannedVisit) -> Vec<VisitQuestion> {
    let steps = visit.arches.iter().filter_map(|seen| {
        let step = case.arch(seen.arch)?.steps.get(seen.step?)?;
        Some(&step.until.value)
    });
    let elastics = case.elastics.iter().filter_map(|e| e.until.as_ref().map(|(c, _)| c));
    let terms: Vec<&Term> = steps.chain(elastics).flat_map(|c| &c.terms).collect();
    let measure = |name: &str, other: &str, means: &str| VisitQuestion::Measure {
        text: format!("{}, in mm, with a minus where {means} (Enter: not measured)", capital(name)),
        line: format!("{name} {{}} mm"),
        below: Some(format!("{other} {{}} mm")),
        unit: "mm",
    };
    let mut out = Vec::new();
    if terms.iter().any(|t| matches!(t, Term::Overjet { .. })) {
        out.push(measure("overjet", "reverse-overjet", "the lower incisors bite in front"));
    }
    if terms.iter().any(|t| matches!(t, Term::Overbite { .. })) {
        out.push(measure("overbite", "open-bite", "the bite is open"));
    }
    let notation = case.house.notation.value;
    let mut asked = Vec::new();
    for term in terms {
        let Term::Gap { first, second, .. } = term else { continue };
        if !asked.contains(&(*first, *second)) {
            asked.push((*first, *second));
            let (a, b) = (first.write(notation), second.write(notation));
            out.push(VisitQuestion::Measure {
                text: format!("Gap between {a} and {b}, in mm (Enter: not measured)"),
                line: format!("gap {{}} mm between {a} and {b}"),
                below: None,
                unit: "mm",
            });
        }
    }
    out
}

/// How elastics were worn, where some are worn in the step in the mouth.
fn wear(case: &Case, forecast: &Forecast, visit: &PlannedVisit) -> Option<VisitQuestion> {
    let worn = |seen: &ArchVisit| {
        seen.step.is_some_and(|step| !forecast.timeline.elastics_in(seen.arch, step).is_empty())
    };
    let given = case.visits.len() > 1 && visit.arches.iter().any(worn);
    let choice = |label: &str, line: &str| (label.to_owned(), line.to_owned());
    given.then(|| VisitQuestion::Choose {
        text: "Elastics: how were they worn?".to_owned(),
        choices: vec![
            choice("as instructed", "wear good"),
            choice("partly", "wear partly"),
            choice("not at all", "wear none"),
            choice("not worn yet, or not asked", ""),
        ],
    })
}
