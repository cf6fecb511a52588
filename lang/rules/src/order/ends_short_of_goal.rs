//! Steps or elastics that wait for a figure of the bite short of the goal, or far beyond it.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_model::case::{Bite, say_overjet};
use springline_model::step::{Condition, Term};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "order/ends-short-of-goal",
    severity: Severity::Warning,
    page: include_str!("ends_short_of_goal.md"),
    check,
    ..Rule::PLAIN
};

/// So far short of the goal the work ends too early, and so far beyond it nobody means to go, mm (common practice, no
/// source: what a ruler tells apart, and more than anybody overcorrects).
const SHORT_MM: f64 = 0.5;
const BEYOND_MM: f64 = 1.0;

/// What of the bite of the front teeth is waited for.
#[derive(Clone, Copy, PartialEq)]
enum FrontBite {
    Overjet,
    Overbite,
}

/// A figure that something in the plan waits for.
struct AimedFigure {
    who: String,
    mm: f64,
    place: Place,
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(goal) = context.case.goal.as_ref().map(|g| &g.bite) else { return };
    if context.case.arches.iter().any(|a| a.is_unread()) {
        return;
    }
    for measure in [FrontBite::Overjet, FrontBite::Overbite] {
        let (Some(start), Some(goal)) = (now(context, measure), wanted(goal, measure)) else {
            continue;
        };
        if (goal - start).abs() < SHORT_MM - 1e-9 {
            continue;
        }
        let way = (goal - start).signum();
        let groups = [by_steps(context, measure), by_elastics(context, measure)];
        out.extend(groups.iter().filter_map(|aims| judged(aims, goal, way, measure)));
    }
}

/// Of all that wait for the figure the one that goes farthest counts; `way` is the sign of what is to change.
fn judged(aims: &[AimedFigure], goal: f64, way: f64, measure: FrontBite) -> Option<Finding> {
    let farthest = aims.iter().max_by(|a, b| (a.mm * way).total_cmp(&(b.mm * way)))?;
    let beyond = (farthest.mm - goal) * way;
    let (ends, why, limit) = match beyond {
        b if b <= -SHORT_MM + 1e-9 => {
            ("short of", "What works on it comes off before the goal is reached.", SHORT_MM)
        }
        b if b >= BEYOND_MM - 1e-9 => {
            ("beyond", "The work goes on past what the goal asks for.", BEYOND_MM)
        }
        _ => return None,
    };
    let say = |mm: f64| match measure {
        FrontBite::Overjet if mm < 0.0 => format!("an overjet {}", say_overjet(mm)),
        FrontBite::Overjet => format!("an overjet of {}", say_mm(mm)),
        FrontBite::Overbite if mm < 0.0 => format!("an open bite of {}", say_mm(-mm)),
        FrontBite::Overbite => format!("an overbite of {}", say_mm(mm)),
    };
    let message = format!(
        "{} until {}, {} {ends} the goal of {}.",
        farthest.who,
        say(farthest.mm),
        say_mm(beyond.abs()),
        say_mm(goal)
    );
    Some(
        Finding::new(RULE.code, RULE.severity, farthest.place, message)
            .why(why)
            .figure(tenth(beyond.abs()), limit, Unit::Mm)
            .note("Write the figure that is meant, there or in the goal."),
    )
}

/// The bite as last recorded; open under nothing.
fn now(context: &RuleContext<'_>, measure: FrontBite) -> Option<f64> {
    let bite = context.bite();
    let known = match measure {
        FrontBite::Overjet => bite.overjet_mm,
        FrontBite::Overbite => bite.overbite_mm,
    };
    known.map(|k| k.value)
}

fn wanted(goal: &Bite, measure: FrontBite) -> Option<f64> {
    match measure {
        FrontBite::Overjet => goal.overjet.map(|(jet, _)| jet.mm()),
        FrontBite::Overbite => goal.overbite.map(|(length, _)| mm(length)),
    }
}

fn figure(until: &Condition, measure: FrontBite) -> Option<f64> {
    until.terms.iter().find_map(|term| match (term, measure) {
        (Term::Overjet { overjet }, FrontBite::Overjet) => Some(overjet.mm()),
        (Term::Overbite { length }, FrontBite::Overbite) => Some(mm(*length)),
        _ => None,
    })
}

fn by_steps(context: &RuleContext<'_>, measure: FrontBite) -> Vec<AimedFigure> {
    let aim = |view: StepView<'_>| {
        let mm = figure(&view.step.until.value, measure)?;
        let who = format!("{} waits", view.step.name);
        Some(AimedFigure { who, mm, place: view.clause_place(view.step.until.place) })
    };
    context.views().into_iter().filter_map(aim).collect()
}

fn by_elastics(context: &RuleContext<'_>, measure: FrontBite) -> Vec<AimedFigure> {
    context
        .case
        .elastics
        .iter()
        .filter_map(|elastics| {
            let (until, place) = elastics.until.as_ref()?;
            let mm = figure(until, measure)?;
            Some(AimedFigure {
                who: format!("{} elastics are worn", sentence_name(elastics.kind)),
                mm,
                place: *place,
            })
        })
        .collect()
}
