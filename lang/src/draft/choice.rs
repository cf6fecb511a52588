//! Which of the finalists is drafted, and whether the usual sequence stands.

use std::sync::Arc;

use serde::Serialize;

use super::best_first::FINALISTS;
use super::draft_step::DraftStep;
use super::plan_cost::{CostKey, PlanCost};
use super::readings::{READINGS, reading};
use super::tried_plan::{PlanJudge, TriedPlan};

/// The usual sequence stands unless a draft is so many weeks better, or has an error or a warning less: a visit,
/// as a doctor would notice (common practice, no source).
pub const NOTICED_WEEKS: i64 = 3;

/// In how many readings of the same mouth the answer is the same sequence, or has the same first wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Steadiness {
    pub readings: usize,
    pub same_sequence: usize,
    pub same_first_wire: usize,
}

pub struct Choice {
    pub drafted: Arc<TriedPlan>,
    pub stands: bool,
    pub steadiness: Steadiness,
}

/// The finalists with what each costs in each reading of the mouth.
struct Finalists {
    plans: Vec<Arc<TriedPlan>>,
    /// Places in the drawer, for what costs the same.
    places: Vec<Vec<usize>>,
    /// As many as there was time for.
    by_reading: Vec<Vec<PlanCost>>,
    /// Which of them is the usual sequence.
    usual: Option<usize>,
}

/// The finalists over several readings of the mouth, and the usual sequence where none is noticeably better.
pub fn choose(
    judge: &mut PlanJudge<'_, '_, '_>,
    plans: &[Arc<TriedPlan>],
    usual: Option<&Arc<TriedPlan>>,
    proceed: &mut dyn FnMut(usize) -> bool,
) -> Option<Choice> {
    let finalists = Finalists::new(judge, plans, usual, proceed);
    let chosen = finalists.steady_answer()?;
    let given = &finalists.plans[chosen].steps;
    let readings = finalists.by_reading.len();
    let mut steadiness = Steadiness { readings, ..Steadiness::default() };
    for costs in &finalists.by_reading {
        let answer: &[DraftStep] = &finalists.plans[finalists.answer(costs)?].steps;
        steadiness.same_sequence += usize::from(answer == given.as_slice());
        steadiness.same_first_wire += usize::from(answer.first() == given.first());
    }
    let drafted = finalists.plans[chosen].clone();
    Some(Choice { drafted, stands: finalists.usual == Some(chosen), steadiness })
}

impl Finalists {
    fn new(
        judge: &mut PlanJudge<'_, '_, '_>,
        plans: &[Arc<TriedPlan>],
        usual: Option<&Arc<TriedPlan>>,
        proceed: &mut dyn FnMut(usize) -> bool,
    ) -> Finalists {
        let mut plans: Vec<Arc<TriedPlan>> = plans.iter().take(FINALISTS).cloned().collect();
        if let Some(usual) = usual
            && !plans.iter().any(|p| p.steps == usual.steps)
        {
            plans.push(usual.clone());
        }
        let mut by_reading = Vec::new();
        // Two readings side by side; they count once all of the finalists are computed in them.
        'readings: for number in (0..READINGS).step_by(2) {
            let mut costs = [Vec::new(), Vec::new()];
            for plan in &plans {
                if !proceed(judge.judged) {
                    break 'readings;
                }
                let [one, other] = [number, number + 1].map(|n| reading(&plan.case, n));
                let cost = judge.again(plan, [&one, &other]);
                costs.iter_mut().zip(cost).for_each(|(all, c)| all.push(c.unwrap_or(plan.cost)));
            }
            by_reading.extend(costs);
        }
        let places = plans.iter().map(|p| judge.frame.drawer.places(&p.steps)).collect();
        let usual = usual.and_then(|u| plans.iter().position(|p| p.steps == u.steps));
        Finalists { plans, places, by_reading, usual }
    }

    /// Each as entered, with its weeks over all readings.
    fn spread(&self) -> Vec<PlanCost> {
        let mean = |i: usize| match self.by_reading.len() {
            0 => self.plans[i].cost.worth_days(),
            n => self.by_reading.iter().map(|costs| costs[i].worth_days()).sum::<f64>() / n as f64,
        };
        let spread = |(i, plan): (usize, &Arc<TriedPlan>)| PlanCost {
            days: mean(i),
            visits: 0.0,
            ..plan.cost
        };
        self.plans.iter().enumerate().map(spread).collect()
    }

    /// The answer over all readings; a departure that gains nothing as entered, or that most readings do not bear
    /// out, is none.
    fn steady_answer(&self) -> Option<usize> {
        let answer = self.answer(&self.spread())?;
        let Some(own) = self.usual.filter(|own| *own != answer) else { return Some(answer) };
        let borne_out = |costs: &&Vec<PlanCost>| is_noticed(&costs[answer], &costs[own]);
        let readings = self.by_reading.iter().filter(borne_out).count();
        let as_entered = is_noticed(&self.plans[answer].cost, &self.plans[own].cost);
        // Where there was no time for other readings, only an error less is taken for certain.
        let borne_out = match self.by_reading.len() {
            0 => self.plans[answer].cost.errors < self.plans[own].cost.errors,
            n => 2 * readings > n,
        };
        let steady = as_entered && borne_out;
        Some(if steady { answer } else { own })
    }

    /// What is answered where they cost this: the cheapest, but the usual one where that is not noticeably dearer.
    fn answer(&self, costs: &[PlanCost]) -> Option<usize> {
        let order = |i: &usize| -> (CostKey, usize, &[usize]) {
            (costs[*i].key(), self.places[*i].len(), self.places[*i].as_slice())
        };
        let first = (0..self.plans.len()).min_by_key(order)?;
        let stands = self.usual.filter(|own| !is_noticed(&costs[first], &costs[*own]));
        Some(stands.unwrap_or(first))
    }
}

/// An error or a warning less, or so many weeks better that a doctor would notice.
pub fn is_noticed(draft: &PlanCost, usual: &PlanCost) -> bool {
    let fewer = (draft.errors, draft.warnings) < (usual.errors, usual.warnings);
    fewer || usual.weeks() - draft.weeks() >= NOTICED_WEEKS
}
