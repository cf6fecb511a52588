//! What figure of the front teeth's bite the plan waits for, and how far that is from the goal.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_model::case::Bite;
use springline_model::step::{Condition, Term};
use springline_text::Place;

/// So far short of the goal the work ends too early, and so far beyond it nobody means to go, mm (common practice, no
/// source: what a ruler tells apart, and more than anybody overcorrects).
pub const SHORT_MM: f64 = 0.5;
pub const BEYOND_MM: f64 = 1.0;

/// What of the bite of the front teeth is waited for.
#[derive(Clone, Copy, PartialEq)]
pub enum FrontBite {
    Overjet,
    Overbite,
}

/// A figure that something in the plan waits for.
pub struct AimedFigure {
    pub who: String,
    pub mm: f64,
    pub place: Place,
}

/// What waits for a figure off the goal.
pub struct OffGoal {
    pub aimed: AimedFigure,
    pub goal_mm: f64,
    /// Past the goal, as the figure is to change; short of it under nothing.
    pub beyond_mm: f64,
}

/// Of the steps, and of the elastics, that wait for the figure those that go farthest, where they end off the goal.
pub fn off_goal(context: &RuleContext<'_>, measure: FrontBite) -> Vec<OffGoal> {
    let goal = context.case.goal.as_ref().and_then(|g| wanted(&g.bite, measure));
    let (Some(start), Some(goal)) = (now(context, measure), goal) else { return Vec::new() };
    if (goal - start).abs() < SHORT_MM - 1e-9 {
        return Vec::new();
    }
    let way = (goal - start).signum();
    let groups = [by_steps(context, measure), by_elastics(context, measure)];
    groups.into_iter().filter_map(|aims| judged(aims, goal, way)).collect()
}

/// Of all that wait for the figure the one that goes farthest counts; `way` is the sign of what is to change.
fn judged(aims: Vec<AimedFigure>, goal_mm: f64, way: f64) -> Option<OffGoal> {
    let aimed = aims.into_iter().max_by(|a, b| (a.mm * way).total_cmp(&(b.mm * way)))?;
    let beyond_mm = (aimed.mm - goal_mm) * way;
    let off = beyond_mm <= -SHORT_MM + 1e-9 || beyond_mm >= BEYOND_MM - 1e-9;
    off.then_some(OffGoal { aimed, goal_mm, beyond_mm })
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
