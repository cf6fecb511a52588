//! Staff card: the test that decides whether the wire is changed, as one question with two boxes.

use jiff::civil::Date;

use super::Test;
use super::condition::reached;
use crate::plan::{ArchToday, InMouth, Plan, VisitToday};
use crate::{dates, masked, wording};
use springline_model::house::Task;
use springline_model::step::{Condition, Term};
use springline_units::quantity::mm;
use springline_units::tooth::Notation;

/// The two answers of a condition, in capitals on the card.
struct ConditionAnswers {
    question: String,
    yes: String,
    no: String,
}

pub fn tests(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<Test> {
    if matches!(today.visit.kind, Task::Debond | Task::RetainerCheck) {
        return Vec::new();
    }
    today
        .arches
        .iter()
        .filter_map(|arch| {
            let (now, next) = (arch.now?, arch.next?);
            let answers = answers(&now.step.until, plan.notation(), arch.same_wire())?;
            Some(Test {
                arch: arch.arch.arch,
                question: answers.question,
                how: how(plan, now),
                where_to: where_to(plan, today.visit.date, arch, now),
                yes: answers.yes,
                yes_do: yes_do(arch, now, next),
                no: answers.no,
                no_do: no_do(plan, today, arch, now),
            })
        })
        .collect()
}

/// Follows "out, in, ...": the condition in two or three words.
pub fn if_words(plan: &Plan<'_>, arch: &ArchToday<'_>) -> String {
    let Some(now) = arch.now else { return "as planned".to_owned() };
    let condition = &now.step.until.value;
    let mut parts: Vec<String> = Vec::new();
    if condition.terms.contains(&Term::Passive) {
        parts.push("passive".to_owned());
    }
    parts.extend(measures(condition, plan.notation()));
    match parts.is_empty() {
        false => format!("if {}", parts.join(if condition.all { " and " } else { " or " })),
        true if condition.terms.contains(&Term::Decided) => "if the doctor says so".to_owned(),
        true => "as planned".to_owned(),
    }
}

/// "only if passive": what is done today only if the test is positive. Several measures are those of the test above.
pub fn only_if(plan: &Plan<'_>, arch: &ArchToday<'_>) -> String {
    let terms = arch.now.map_or(&[][..], |now| &now.step.until.value.terms);
    let measured = |t: &&Term| reached(t, plan.notation()).is_some();
    if terms.iter().filter(measured).count() > 1 && !terms.contains(&Term::Passive) {
        return "only if reached".to_owned();
    }
    format!("only {}", if_words(plan, arch))
}

fn answers(condition: &Condition, n: Notation, same_wire: bool) -> Option<ConditionAnswers> {
    let passive = condition.terms.contains(&Term::Passive);
    let measures = measures(condition, n);
    let join = if condition.all { " and " } else { " or " };
    let made = |question: &str, yes: &str, no: &str| {
        Some(ConditionAnswers { question: question.into(), yes: yes.into(), no: no.into() })
    };
    match (passive, measures.is_empty()) {
        (true, true) => made("Is the wire passive?", "PASSIVE", "NOT PASSIVE"),
        (true, false) => Some(ConditionAnswers {
            question: format!("Is the wire passive{join}{}?", measures.join(join)),
            yes: "YES".to_owned(),
            no: "NO".to_owned(),
        }),
        (false, false) => Some(ConditionAnswers {
            question: format!("Is it reached: {}?", measures.join(join)),
            yes: "REACHED".to_owned(),
            no: "NOT YET".to_owned(),
        }),
        (false, true) if condition.terms.contains(&Term::Decided) && same_wire => made(
            "Ask the doctor: go on with the next step today?",
            "DOCTOR SAYS GO ON",
            "DOCTOR SAYS WAIT",
        ),
        (false, true) if condition.terms.contains(&Term::Decided) => {
            made("Ask the doctor: change the wire today?", "DOCTOR SAYS CHANGE", "DOCTOR SAYS WAIT")
        }
        // A stated time has passed: nothing to test.
        (false, true) => None,
    }
}

/// What is measured, in words; gaps that are all to close are named together.
fn measures(condition: &Condition, n: Notation) -> Vec<String> {
    let closing = |t: &Term| match t {
        Term::Gap { length, first, second } if condition.all && mm(*length) == 0.0 => {
            Some(format!("{} to {}", first.write(n), second.write(n)))
        }
        _ => None,
    };
    let gaps: Vec<String> = condition.terms.iter().filter_map(closing).collect();
    if gaps.len() < 2 {
        return condition.terms.iter().filter_map(|t| reached(t, n)).collect();
    }
    let rest = condition.terms.iter().filter(|t| closing(t).is_none());
    let together = format!("the gaps {} are closed", gaps.join(" and "));
    std::iter::once(together).chain(rest.filter_map(|t| reached(t, n))).collect()
}

/// How the test is done: looking decides, sliding comes last. What the words of the record mean
/// stands beside its boxes.
fn how(plan: &Plan<'_>, now: InMouth<'_>) -> Vec<String> {
    if !now.step.until.terms.contains(&Term::Passive) {
        return Vec::new();
    }
    let look = match plan.house().staff_texts.get("passive-test") {
        Some(own) => masked(own),
        None => "Look along the wire: no bend beside any slot.".to_owned(),
    };
    vec![look]
}

/// The teeth, worst first, and whether sliding the wire is a meaningful test here.
fn where_to(plan: &Plan<'_>, on: Date, arch: &ArchToday<'_>, now: InMouth<'_>) -> Vec<String> {
    let n = plan.notation();
    if !now.step.until.terms.contains(&Term::Passive) {
        return Vec::new();
    }
    let mut out = Vec::new();
    let (first, rest) = arch.test.split_at(arch.test.len().min(2));
    if !first.is_empty() {
        let open: Vec<String> = first.iter().map(|t| t.write(n)).collect();
        let s = if open.len() == 1 { "" } else { "s" };
        let (first, closed) = match arch.is_ligated() {
            true => (format!("Take the ligature{s} off {}.", wording::and(&open)), "still ligated"),
            false => (format!("Open the slide{s} of {}.", wording::and(&open)), "slide closed"),
        };
        out.push(first);
        if !rest.is_empty() {
            out.push(format!("Look at {} too, {closed}.", wording::in_order(rest, n)));
        }
    } else {
        out.push("No tooth stands out: look along the whole wire.".to_owned());
    }
    if let Some(holder) = now.state.held_by(now.acts()) {
        out.push(format!("Do not judge by shifting the wire: {holder} holds it."));
    } else if !plan.house().staff_texts.contains_key("passive-test") {
        out.push("Then shift the wire: half a millimetre to and fro.".to_owned());
    }
    let said = now.phase.chair_says(plan.house(), on, now.acts());
    out.extend(said.map(|said| format!("Forecast: {said}.")));
    out
}

fn yes_do(arch: &ArchToday<'_>, now: InMouth<'_>, next: InMouth<'_>) -> Vec<String> {
    let mut out = if now.state.wire.same_wires(&next.state.wire) {
        vec![format!("{} stays; go on below.", next.state.wire.names())]
    } else {
        vec![format!("{} out, {} in: see below.", now.state.wire.names(), next.state.wire.names())]
    };
    if !arch.expected() {
        out.push("Earlier than planned: the doctor gives the next date.".to_owned());
    }
    out
}

/// When a patient comes back whose wire had to stay.
pub fn back(plan: &Plan<'_>, today: &VisitToday<'_>) -> Date {
    dates::open_after(plan.house(), today.visit.date, plan.house().shortest.value)
}

/// Two dates on one card would be read two ways: where the wire is expected to stay, the next visit
/// is the one below.
fn no_do(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    arch: &ArchToday<'_>,
    now: InMouth<'_>,
) -> Vec<String> {
    let again = super::wire_left_in::lines(plan, arch).is_some();
    let see = if again { " See below." } else { "" };
    vec![
        match arch.is_ligated() {
            _ if super::wire_left_in::goes_out(arch) => {
                format!("The {} goes on, with a new coil: see below.", now.state.wire.names())
            }
            true => format!("Leave the {} in, ligate every bracket.{see}", now.state.wire.names()),
            false => format!("Leave the {} in, close every slide.{see}", now.state.wire.names()),
        },
        match arch.expected() {
            true => format!("Back on {}.", dates::long(back(plan, today))),
            false => "Next visit as below.".to_owned(),
        },
    ]
}
