//! Why not the neighbours of a sequence: each is computed, and the first figure that parts the two is said.

use std::sync::Arc;

use serde::Serialize;

use super::draft_step::DraftStep;
use super::fit::PoorFit;
use super::room::DraftRoom;
use super::tried_plan::{PlanJudge, TriedPlan};
use springline_finding::{Finding, Severity};

/// How a neighbour differs from the drafted sequence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Neighbour {
    /// The practice's usual sequence.
    Usual,
    LighterFirst,
    HeavierFirst,
    OneMore,
    OneLess,
    OtherSecond,
    /// Another wire or coil makes the room.
    OtherCoil,
    /// The tooth is taken in another way.
    OtherWayIn,
}

/// A neighbour, and what parts it from the drafted sequence.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rejected {
    pub neighbour: Neighbour,
    pub wires: Vec<String>,
    /// The first figure that parts them, in words.
    pub because: String,
    /// It comes out alike.
    pub tie: bool,
}

pub fn rejected(
    judge: &mut PlanJudge<'_, '_, '_>,
    drafted: &Arc<TriedPlan>,
    usual: Option<&Arc<TriedPlan>>,
    proceed: &mut dyn FnMut(usize) -> bool,
) -> Vec<Rejected> {
    let mut out = Vec::new();
    let mut said: Vec<Vec<DraftStep>> = vec![drafted.steps.clone()];
    if let Some(usual) = usual.filter(|u| u.steps != drafted.steps) {
        said.push(usual.steps.clone());
        let room = judge.frame.room.as_ref();
        out.push(match room.map(DraftRoom::never_taken_in).unwrap_or_default().as_slice() {
            [] => reject(Neighbour::Usual, usual, drafted),
            teeth => makes_no_room(usual, teeth),
        });
    }
    for (neighbour, others) in neighbours(judge, &drafted.steps) {
        // Of several of one kind the cheapest is told.
        let mut tried: Vec<Arc<TriedPlan>> = Vec::new();
        let others: Vec<Vec<DraftStep>> =
            others.into_iter().filter(|s| !said.contains(s)).collect();
        for (at, steps) in others.iter().enumerate() {
            // Once time is up, of those that were computed already.
            if !proceed(judge.judged) {
                tried.extend(judge.known(steps));
                continue;
            }
            if let Some(after) = others.get(at + 1) {
                judge.ahead([steps, after]);
            }
            tried.extend(judge.whole(steps));
        }
        if matches!(
            neighbour,
            Neighbour::OtherSecond | Neighbour::OtherCoil | Neighbour::OtherWayIn
        ) {
            for plan in tried {
                said.push(plan.steps.clone());
                out.push(reject(neighbour, &plan, drafted));
            }
        } else if let Some(plan) =
            tried.into_iter().min_by_key(|p| super::best_first::rank(judge, p))
        {
            said.push(plan.steps.clone());
            out.push(reject(neighbour, &plan, drafted));
        }
    }
    out
}

/// Sequences beside this one, of each kind those that the trade's order allows.
fn neighbours(
    judge: &PlanJudge<'_, '_, '_>,
    steps: &[DraftStep],
) -> Vec<(Neighbour, Vec<Vec<DraftStep>>)> {
    let drawer = &judge.frame.drawer;
    let with = |at: usize, step: DraftStep| {
        let mut other = steps.to_vec();
        other[at] = step;
        other
    };
    let allowed = |list: Vec<Vec<DraftStep>>| -> Vec<Vec<DraftStep>> {
        list.into_iter().filter(|s| drawer.allows(s)).collect()
    };
    let mut out = Vec::new();
    if let Some(first) = steps.first() {
        let [lighter, heavier] = drawer.beside(first);
        let of = |step: Option<DraftStep>| step.map(|s| with(0, s)).into_iter().collect();
        out.push((Neighbour::LighterFirst, allowed(of(lighter))));
        out.push((Neighbour::HeavierFirst, allowed(of(heavier))));
    }
    let mut more = Vec::new();
    for at in 0..=steps.len() {
        for wire in drawer.wires() {
            let mut longer = steps.to_vec();
            longer.insert(at, wire.clone());
            more.push(longer);
        }
    }
    out.push((Neighbour::OneMore, allowed(more)));
    let less = (0..steps.len()).map(|at| {
        let mut shorter = steps.to_vec();
        shorter.remove(at);
        shorter
    });
    out.push((Neighbour::OneLess, allowed(less.collect())));
    let plain_second = steps.get(1).is_some_and(DraftStep::is_plain);
    for (at, step) in steps.iter().enumerate().filter(|(_, s)| !s.is_plain()) {
        let kind = match step.takes_in() {
            true => Neighbour::OtherWayIn,
            false => Neighbour::OtherCoil,
        };
        let alike = drawer.acts().filter(|a| *a != step && a.takes_in() == step.takes_in());
        out.push((kind, allowed(alike.map(|a| with(at, a.clone())).collect())));
    }
    if plain_second {
        let others = drawer.wires().filter(|w| **w != steps[1]).map(|w| with(1, w.clone()));
        out.push((Neighbour::OtherSecond, allowed(others.collect())));
    }
    out
}

fn reject(neighbour: Neighbour, other: &TriedPlan, drafted: &TriedPlan) -> Rejected {
    let (because, tie) = parts(other, drafted);
    let wires = other.steps.iter().map(DraftStep::to_string).collect();
    Rejected { neighbour, wires, because, tie }
}

/// Weeks of a sequence that leaves a tooth out say nothing beside those of one that takes it in.
fn makes_no_room(usual: &TriedPlan, teeth: &[String]) -> Rejected {
    Rejected {
        neighbour: Neighbour::Usual,
        wires: usual.steps.iter().map(DraftStep::to_string).collect(),
        because: format!("makes no room for {}, and never takes it in", teeth.join(", ")),
        tie: false,
    }
}

/// The first figure by which another sequence differs from this one, gravest first, and whether there is none.
pub fn parts(other: &TriedPlan, this: &TriedPlan) -> (String, bool) {
    let (a, b) = (&other.cost, &this.cost);
    let weeks = a.weeks() - b.weeks();
    let grave = |cost: &super::PlanCost| (cost.errors, cost.key()[1]);
    if grave(a) > grave(b)
        && let Some(finding) = worst_of_its_own(other, this)
    {
        return (format!("{}{}", said(finding), later(weeks)), false);
    }
    if grave(a) < grave(b)
        && let Some(finding) = worst_of_its_own(this, other)
    {
        let without = "without this finding of the sequence above";
        return (format!("{without}: {}{}", said(finding), later(weeks)), false);
    }
    let visits = i64::from(other.booked_visits) - i64::from(this.booked_visits);
    // Past its limit by too little to decide, but a doctor may well prefer to be without it.
    if a.warnings < b.warnings
        && let Some(finding) = worst_of_its_own(this, other)
    {
        let time = in_time(other, this, visits, weeks);
        return (format!("without this warning: {} But {time}", said(finding)), false);
    }
    match weeks {
        0 if visits == 0 => ("comes out alike, to the week".to_owned(), true),
        0 => (format!("{}, and as many weeks over all patients", say_visits(visits)), true),
        _ => (in_time(other, this, visits, weeks), false),
    }
}

/// What it takes in time more or less, as booked and over patients, and a tooth that a wire waits for.
fn in_time(other: &TriedPlan, this: &TriedPlan, visits: i64, weeks: i64) -> String {
    let booked = ((other.booked_days - this.booked_days) / 7.0).round() as i64;
    let mut text = match booked {
        0 => "booked for the same week".to_owned(),
        n if n > 0 => format!("booked {n} wk later"),
        n => format!("booked {} wk sooner", -n),
    };
    if visits != 0 {
        text = format!("{}, {text}", say_visits(visits));
    }
    let over = match weeks {
        n if n > 0 => format!("on the mean over all patients {n} wk more, a visit counted as 3"),
        n => format!("on the mean over all patients {} wk less, a visit counted as 3", -n),
    };
    let fit = match weeks > 0 {
        true => poor_fit_of_its_own(other, this),
        false => poor_fit_of_its_own(this, other).map(|f| format!("unlike above, where {f}")),
    };
    let fit = fit.map_or_else(String::new, |fit| format!("; {fit}"));
    format!("{text}; {over}{fit}")
}

fn later(weeks: i64) -> String {
    match weeks {
        n if n >= 1 => format!(" It also takes {n} wk more."),
        n if n <= -1 => format!(" It would take {} wk less.", -n),
        _ => String::new(),
    }
}

/// A tooth for which a wire of this sequence is put off more often than for any of the other one.
fn poor_fit_of_its_own(of: &TriedPlan, against: &TriedPlan) -> Option<String> {
    let total = |plan: &TriedPlan| plan.poor_fits.iter().map(PoorFit::waits).sum::<f64>();
    let worst = of.poor_fits.iter().max_by(|a, b| a.excess().total_cmp(&b.excess()))?;
    (total(of) > total(against)).then(|| worst.to_string())
}

fn say_visits(more: i64) -> String {
    match more {
        1 => "one visit more".to_owned(),
        -1 => "one visit less".to_owned(),
        n if n > 0 => format!("{n} visits more"),
        n => format!("{} visits less", -n),
    }
}

/// The gravest finding of a sequence that the other one has not, or has in milder form.
fn worst_of_its_own<'p>(of: &'p TriedPlan, against: &TriedPlan) -> Option<&'p Finding> {
    let past = |f: &Finding| f.figure.as_ref().map_or(1.0, |g| (g.value / g.limit.max(1e-9)).abs());
    let has = |f: &Finding| {
        against
            .findings
            .iter()
            .any(|g| g.code == f.code && g.severity <= f.severity && past(g) >= past(f) - 0.05)
    };
    let grave = |f: &Finding| (f.severity == Severity::Error, past(f));
    of.findings
        .iter()
        .filter(|f| !has(f))
        .max_by(|a, b| grave(a).partial_cmp(&grave(b)).unwrap_or(std::cmp::Ordering::Equal))
}

fn said(finding: &Finding) -> String {
    let grave = if finding.severity == Severity::Error { "error: " } else { "" };
    format!("{grave}{}", finding.message)
}

impl Neighbour {
    pub fn words(self) -> &'static str {
        match self {
            Neighbour::Usual => "The practice's sequence",
            Neighbour::LighterFirst => "A lighter wire first",
            Neighbour::HeavierFirst => "A heavier wire first",
            Neighbour::OneMore => "One wire more",
            Neighbour::OneLess => "One wire less",
            Neighbour::OtherSecond => "Another second wire",
            Neighbour::OtherCoil => "Another coil or wire under it",
            Neighbour::OtherWayIn => "Taken in another way",
        }
    }
}
