//! Both arches together: each is drafted alone, then the cheapest sequences of both are tried in pairs, since a
//! patient comes once for both.

use std::sync::Arc;

use serde::Serialize;

use super::choice::NOTICED_WEEKS;
use super::expected::PATIENTS;
use super::plan_cost::{VISIT_DAYS, WEEK_DAYS};
use super::tried_plan::TriedPlan;
use crate::fixes::Trial;
use springline_course::{Forecast, PlannedVisit};
use springline_model::Case;
use springline_rules::Trees;

/// What two sequences take together, up to the later of both working wires.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PairCost {
    pub errors: u32,
    pub warnings: u32,
    pub excess: f64,
    pub booked_visits: u32,
    pub booked_weeks: f64,
    /// Over fast and slow patients.
    pub visits: f64,
    pub weeks: f64,
    /// Expected days and visits as one figure, with the times that a wire is put off.
    #[serde(skip)]
    worth_days: f64,
    #[serde(skip)]
    minutes: f64,
}

/// Sequences of the upper and the lower arch, and what they take together.
#[derive(Debug, Clone)]
pub struct PairedDraft {
    pub plans: [Arc<TriedPlan>; 2],
    pub cost: PairCost,
    /// What the two take that come first alone, where others are taken.
    pub instead_of: Option<PairCost>,
}

impl PairCost {
    fn weeks_worth(&self) -> i64 {
        (self.worth_days / WEEK_DAYS).round() as i64
    }

    fn key(&self) -> [i64; 4] {
        let excess = (self.excess * 10.0).round() as i64;
        [i64::from(self.errors), excess, self.weeks_worth(), self.minutes.round() as i64]
    }

    fn words(&self) -> String {
        format!(
            "{} visits and {:.0} wk until both working wires are in; with those who come again {:.1} visits and {:.0} wk \
             on the mean",
            self.booked_visits, self.booked_weeks, self.visits, self.weeks
        )
    }
}

/// The pair of these sequences that costs least, the first of each list being what comes first alone: that pair
/// stands unless another has an error or a warning less, or is noticeably quicker. `None` where no day is known.
pub fn together(
    trial: &mut Trial<'_>,
    [upper, lower]: [&[Arc<TriedPlan>]; 2],
    proceed: &mut dyn FnMut(usize) -> bool,
) -> Option<PairedDraft> {
    let alone = [upper.first()?.clone(), lower.first()?.clone()];
    let own = pair_cost(trial, &alone)?;
    let mut least = (own, alone.clone());
    let pairs = upper.iter().flat_map(|a| lower.iter().map(move |b| [a.clone(), b.clone()]));
    for (tried, pair) in pairs.enumerate() {
        if pair.iter().zip(&alone).all(|(p, own)| p.steps == own.steps) {
            continue;
        }
        if !proceed(tried) {
            break;
        }
        let Some(cost) = pair_cost(trial, &pair) else { continue };
        if cost.key() < least.0.key() {
            least = (cost, pair);
        }
    }
    let (cost, plans) = least;
    let fewer = (cost.errors, cost.warnings) < (own.errors, own.warnings);
    Some(match fewer || own.weeks_worth() - cost.weeks_worth() >= NOTICED_WEEKS {
        true => PairedDraft { plans, cost, instead_of: Some(own) },
        false => PairedDraft { plans: alone, cost: own, instead_of: None },
    })
}

fn pair_cost(trial: &mut Trial<'_>, [upper, lower]: &[Arc<TriedPlan>; 2]) -> Option<PairCost> {
    let mut case = (*upper.case).clone();
    case.arches.extend(lower.case.arches.iter().cloned());
    let (forecast, _) = trial.judgements.judge_part(&case, &Trees::new([]), trial.options);
    let merged = booked(&case, &forecast, [upper, lower])?;
    // Who is slow is slow in both arches, and comes once for both.
    let later = |of: fn(&TriedPlan) -> &[f64; PATIENTS.len()]| {
        let both = of(upper).iter().zip(of(lower));
        both.map(|(a, b)| a.max(*b)).sum::<f64>() / PATIENTS.len() as f64
    };
    let days = merged.days + later(|p| &p.expected.late_days);
    let visits = f64::from(merged.visits) + later(|p| &p.expected.returns);
    let put_off =
        |p: &TriedPlan| p.cost.worth_days() - p.expected.days - VISIT_DAYS * p.expected.visits;
    Some(PairCost {
        errors: upper.cost.errors + lower.cost.errors,
        warnings: upper.cost.warnings + lower.cost.warnings,
        excess: upper.cost.excess + lower.cost.excess,
        booked_visits: merged.visits,
        booked_weeks: merged.days / WEEK_DAYS,
        visits,
        weeks: days / WEEK_DAYS,
        worth_days: days + VISIT_DAYS * visits + put_off(upper).max(put_off(lower)),
        minutes: merged.minutes,
    })
}

/// Visits to come until both working wires are in.
struct MergedVisits {
    visits: u32,
    minutes: f64,
    days: f64,
}

fn booked(case: &Case, forecast: &Forecast, plans: [&Arc<TriedPlan>; 2]) -> Option<MergedVisits> {
    let mut last = None;
    for (arch, plan) in case.arches.iter().zip(plans) {
        let phase = forecast.arch(arch.arch)?.latest_phase_of_step(plan.working_step)?;
        last = last.max(Some(phase.date_in?));
    }
    let last = last?;
    let recorded = forecast.visits.iter().filter(|v| v.recorded.is_some()).map(|v| v.date).max();
    let begins = recorded.or(forecast.visits.first().map(|v| v.date))?;
    // The bond-up is the same whatever is drafted.
    let change = |v: &&PlannedVisit| v.date > begins && v.date <= last;
    let visits: Vec<&PlannedVisit> = forecast.visits.iter().filter(change).collect();
    Some(MergedVisits {
        visits: visits.len() as u32,
        minutes: visits.iter().map(|v| v.minutes).sum(),
        days: springline_course::calendar::days_between(begins, last),
    })
}

impl PairedDraft {
    /// What both arches take together, for staff.
    pub fn words(&self) -> Vec<String> {
        let mut out = vec![format!("Both arches together: {}.", self.cost.words())];
        out.extend(self.instead_of.map(|own| {
            format!("The sequences that come first in each arch alone: {}.", own.words())
        }));
        out
    }
}
