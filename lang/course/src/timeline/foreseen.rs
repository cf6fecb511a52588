//! Whether a condition is forecast to hold on the day of a visit: read from the teeth, spaces and bite of
//! the timeline at that visit, of the median patient.

use jiff::civil::Date;

use crate::law::rules_of_thumb::SETTLE_DAYS;
use crate::mouth::bite_figures::BiteFigure;
use crate::plan::calendar::days_between;
use crate::plan::measures::{overbite_mm, passed, reached};
use crate::simulate::cross_pull::{OVER_THE_BITE_MM, way_over_mm};
use crate::timeline::expander_life::expander_life;
use crate::timeline::moment::{ArchMoment, BiteMoment, SpaceAt, ToothMoment};
use crate::timeline::phase::{ArchForecast, Phase};
use springline_model::Case;
use springline_model::step::{Act, ActKind, Condition, Term};
use springline_units::quantity::mm;
use springline_units::tooth::Tooth;

/// The mouth as the patient comes to a visit.
pub(crate) struct MouthForecast<'a> {
    pub case: &'a Case,
    pub forecasts: &'a [ArchForecast],
    pub arches: &'a [ArchMoment],
    pub bite: &'a BiteMoment,
    pub on: Date,
}

impl MouthForecast<'_> {
    /// By records, or by the forecast. `since`: from when a time counts.
    pub fn meets(&self, condition: &Condition, since: Option<Date>) -> bool {
        let holds = |term: &Term| reached(self.case, term, self.on) || self.foresees(term, since);
        match condition.terms.as_slice() {
            [] => false,
            terms if condition.all => terms.iter().all(holds),
            terms => terms.iter().any(holds),
        }
    }

    fn foresees(&self, term: &Term, since: Option<Date>) -> bool {
        let over = |days: f64| since.is_some_and(|since| days_between(since, self.on) >= days);
        match term {
            Term::Time { period } => over(period.days()),
            Term::Settled => over(SETTLE_DAYS),
            Term::Overjet { overjet } => {
                let start = self.case.bite.overjet.map(|(jet, _)| jet.mm());
                self.bite_passes(BiteFigure::Overjet, start, overjet.mm())
            }
            Term::Overbite { length } => {
                self.bite_passes(BiteFigure::Overbite, overbite_mm(&self.case.bite), mm(*length))
            }
            Term::OverTheBite { teeth } => teeth.iter().all(|t| self.is_over_the_bite(*t)),
            Term::Within { length, teeth } => {
                let moved = |t: Tooth| self.engaged(t).or_else(|| self.drawn(t));
                let near = |m: &ToothMoment| m.pose.value.off_mm() <= mm(*length);
                teeth.iter().all(|t| moved(*t).is_some_and(near))
            }
            Term::Gap { length, first, second } => {
                let pair = crate::mouth::pair::pair(*first, *second);
                let gaps = self.case.arch(pair.0.arch()).into_iter().flat_map(|a| &a.gaps);
                let mut here = gaps.filter(|g| crate::mouth::pair::pair(g.first, g.second) == pair);
                let start = here.next().map(|g| mm(g.length));
                let now = self.space(SpaceAt::Between(pair.0, pair.1));
                start.is_some() && passed(start, now, mm(*length))
            }
            Term::Space { length, teeth } => {
                let wide = |t: &Tooth| {
                    self.space(SpaceAt::Tooth(*t)).is_some_and(|now| now >= mm(*length) - 0.05)
                };
                !teeth.is_empty() && teeth.iter().all(wide)
            }
            Term::Passive | Term::Decided | Term::Midline { .. } => false,
        }
    }

    fn bite_passes(&self, figure: BiteFigure, start: Option<f64>, aim: f64) -> bool {
        let now = self.bite.forecast.iter().find(|b| b.figure == figure).map(|b| b.value_mm);
        start.is_some() && now.is_some() && passed(start, now, aim)
    }

    fn engaged(&self, tooth: Tooth) -> Option<&ToothMoment> {
        let arch = self.arches.iter().find(|a| a.arch == tooth.arch())?;
        arch.arrives.as_ref()?.tooth(tooth).filter(|m| m.hold.is_engaged())
    }

    /// A tooth under traction.
    fn drawn(&self, tooth: Tooth) -> Option<&ToothMoment> {
        let arch = self.arches.iter().find(|a| a.arch == tooth.arch())?.arrives.as_ref()?;
        let forecast = self.forecasts.iter().find(|f| f.arch == tooth.arch())?;
        let acts = &forecast.phases.get(arch.phase)?.state.acts;
        let pulled = |act: &Act| matches!(&act.kind, ActKind::Traction { teeth, .. } if teeth.contains(&tooth));
        arch.tooth(tooth).filter(|_| acts.iter().any(pulled))
    }

    /// A tooth of which nothing was said cannot be foreseen to come over the bite.
    fn is_over_the_bite(&self, tooth: Tooth) -> bool {
        let forecast = self.forecasts.iter().find(|f| f.arch == tooth.arch());
        let first = forecast.and_then(|f| f.phases.first()).and_then(|p| p.tooth(tooth));
        let began_behind = first.is_some_and(|t| t.entry.lingual_mm > OVER_THE_BITE_MM);
        let now = self.engaged(tooth).map(|m| m.pose.value.lingual_mm);
        let behind = now.map(|now| now - self.beside_mm(tooth).unwrap_or(0.0).max(0.0));
        let lives = self.case.arches.iter().filter_map(|arch| expander_life(self.case, arch));
        let widened = !tooth.is_anterior() && lives.into_iter().any(|life| life.turned <= self.on);
        self.bite.over_the_bite.contains(&tooth)
            || self.is_carried_over(tooth)
            || widened
            || began_behind && behind.is_some_and(|behind| behind <= OVER_THE_BITE_MM)
    }

    /// Cross elastics have carried it over by then.
    fn is_carried_over(&self, tooth: Tooth) -> bool {
        let forecast = self.forecasts.iter().find(|f| f.arch == tooth.arch());
        let phases = || forecast.into_iter().flat_map(|f| &f.phases);
        let done = |phase: &Phase| -> f64 {
            let pulls = phase.way.across.iter().filter(|p| p.tooth == tooth);
            let days = phase.date_in.map_or(0.0, |from| days_between(from, self.on));
            pulls.map(|p| p.done_mm(0.0, days.min(phase.way.exit_days))).sum()
        };
        let first = phases().find_map(|p| p.tooth(tooth));
        let way = first.map(|t| way_over_mm(tooth, &t.entry));
        way.is_some_and(|way| phases().map(done).sum::<f64>() >= way)
    }

    /// How far lingual the neighbours in the wire stand: where the wire pulls them in as it brings the tooth
    /// out, the line of the arch goes with them.
    fn beside_mm(&self, tooth: Tooth) -> Option<f64> {
        let arch = self.arches.iter().find(|a| a.arch == tooth.arch())?.arrives.as_ref()?;
        let at = arch.teeth.iter().position(|t| t.tooth == tooth)?;
        let held = |t: &&ToothMoment| t.hold.is_engaged();
        let before = arch.teeth[..at].iter().rev().find(held)?;
        let after = arch.teeth[at + 1..].iter().find(held)?;
        Some(0.5 * (before.pose.value.lingual_mm + after.pose.value.lingual_mm))
    }

    fn space(&self, at: SpaceAt) -> Option<f64> {
        let mut all = self.arches.iter().filter_map(|a| a.arrives.as_ref()).flat_map(|m| &m.spaces);
        all.find(|s| s.at == at).map(|s| s.length_mm.value)
    }
}
