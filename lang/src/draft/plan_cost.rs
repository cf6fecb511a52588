//! What a sequence of wires costs: figures in the order in which they decide.

use serde::Serialize;

/// What one more visit is worth, days of treatment: as the search for the days of visits has it.
pub const VISIT_DAYS: f64 = springline_course::visit_optimizer::VISIT_COST as f64;

/// Two sequences are told apart in whole weeks: patients come on clinic days.
pub const WEEK_DAYS: f64 = 7.0;

/// Figures of a sequence up to the day its working wire goes in, the gravest first. Sums of what each step
/// costs, none of them negative, so that a longer sequence never costs less than its beginning.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct PlanCost {
    /// Errors that the doctor has not accepted.
    pub errors: u32,
    /// Warnings that the doctor has not accepted.
    pub warnings: u32,
    /// How far errors and warnings are past their limits: figure over limit less 1, summed; 1 where a finding
    /// has no figure.
    pub excess: f64,
    /// Expected days over patients, those for which a wire is put off included.
    pub days: f64,
    /// Expected visits likewise, the change to the working wire included.
    pub visits: f64,
    /// Chair time of the visits as booked.
    pub minutes: f64,
    /// Different wires.
    pub wires: u32,
    /// Lines by which it departs from the practice's sequence.
    pub departures: u32,
}

/// A cost in the figures that are compared, in their order: errors, excess to 0.1, weeks, minutes, wires,
/// departures.
pub type CostKey = [i64; 6];

impl PlanCost {
    /// Expected days and visits as one figure, days.
    pub fn worth_days(&self) -> f64 {
        self.days + VISIT_DAYS * self.visits
    }

    /// The same in whole weeks.
    pub fn weeks(&self) -> i64 {
        whole(self.worth_days() / WEEK_DAYS)
    }

    pub fn key(&self) -> CostKey {
        [
            i64::from(self.errors),
            whole(self.excess * 10.0),
            self.weeks(),
            whole(self.minutes),
            i64::from(self.wires),
            i64::from(self.departures),
        ]
    }

    /// The figures by which sequences are alike to a patient: errors, excess, weeks.
    pub fn for_the_patient(&self) -> [i64; 3] {
        let [errors, excess, weeks, ..] = self.key();
        [errors, excess, weeks]
    }

    /// Rounded to what a reader can use.
    #[must_use]
    pub fn shown(self) -> PlanCost {
        let hundredth = |v: f64| (v * 100.0).round() / 100.0;
        PlanCost {
            excess: hundredth(self.excess),
            days: self.days.round(),
            visits: hundredth(self.visits),
            ..self
        }
    }

    /// The sum of both.
    #[must_use]
    pub fn and(self, rest: PlanCost) -> PlanCost {
        PlanCost {
            errors: self.errors + rest.errors,
            warnings: self.warnings + rest.warnings,
            excess: self.excess + rest.excess,
            days: self.days + rest.days,
            visits: self.visits + rest.visits,
            minutes: self.minutes + rest.minutes,
            wires: self.wires + rest.wires,
            departures: self.departures + rest.departures,
        }
    }
}

/// Rounded; what is no number counts as more than any.
fn whole(value: f64) -> i64 {
    if value.is_finite() { value.round() as i64 } else { i64::MAX / 4 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn graver_figures_decide_before_lighter_ones() {
        let sound = PlanCost { days: 700.0, visits: 9.0, ..PlanCost::default() };
        let quick = PlanCost { errors: 1, days: 7.0, ..PlanCost::default() };
        let over = PlanCost { excess: 0.1, days: 7.0, ..PlanCost::default() };
        assert!(sound.key() < over.key());
        assert!(over.key() < quick.key());
        assert_eq!(
            PlanCost { excess: 0.04, ..PlanCost::default() }.key(),
            PlanCost::default().key()
        );
    }

    #[test]
    fn a_visit_counts_as_three_weeks() {
        let a = PlanCost { days: 100.0, visits: 4.0, ..PlanCost::default() };
        let b = PlanCost { days: 121.0, visits: 3.0, ..PlanCost::default() };
        assert_eq!(a.weeks(), b.weeks());
        assert!(a.key() <= a.and(PlanCost { days: 1.0, ..PlanCost::default() }).key());
    }
}
