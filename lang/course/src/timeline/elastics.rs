//! Which elastics are worn from a visit on.

use jiff::civil::Date;

use crate::plan::calendar::days_between;
use crate::plan::elastics::settle_days;
use crate::timeline::device::ElasticsLife;
use crate::timeline::moment::ArchMoment;
use crate::timeline::phase::ArchForecast;
use crate::timeline::records::is_met;
use springline_model::Case;
use springline_model::case::Elastics;
use springline_units::quantity::Period;

/// The first and the last day of every block of the case.
pub(crate) fn lives(case: &Case, arches: &[ArchForecast]) -> Vec<ElasticsLife> {
    let life = |block: &Elastics| {
        let first_day = first_day(case, arches, block);
        let longest = block.longest.as_ref().map(|(longest, _)| longest);
        let last_day = longest.zip(first_day).and_then(|(longest, first)| longest.after(first));
        ElasticsLife { kind: block.kind, first_day, last_day }
    };
    case.elastics.iter().map(life).collect()
}

/// The date on which the later arch reached the step they are worn from, with its wire expressed where
/// required.
fn first_day(case: &Case, arches: &[ArchForecast], block: &Elastics) -> Option<Date> {
    let (from, settled, _) = block.from.as_ref()?;
    let days = case.arches.iter().filter_map(|arch| {
        let step = arch.steps.iter().position(|s| s.name == *from)?;
        let wait = if *settled { settle_days(&arch.steps[step]) } else { 0.0 };
        let forecast = arches.iter().find(|a| a.arch == arch.arch)?;
        let day = forecast.phase_of_step(step)?.date_in?;
        Some(Period::days_of(wait.max(0.0).round()).after(day).unwrap_or(day))
    });
    days.max()
}

/// The blocks that are on when the patient leaves a visit; none once the appliance is off.
pub(crate) fn worn_after(
    case: &Case,
    arches: &[ArchMoment],
    lives: &[ElasticsLife],
    on: Date,
) -> Vec<usize> {
    let is_on = |(block, life): (&Elastics, &ElasticsLife)| {
        let reached = block.until.as_ref().is_some_and(|(c, _)| is_met(case, c, on));
        let over = life.last_day.is_some_and(|end| on >= end);
        has_begun(case, arches, block, on) && !reached && !over
    };
    let blocks = case.elastics.iter().zip(lives).enumerate();
    blocks.filter(|(_, both)| is_on(*both)).map(|(i, _)| i).collect()
}

/// Whether both arches have reached the step they are worn from, with its wire expressed where required.
fn has_begun(case: &Case, arches: &[ArchMoment], block: &Elastics, on: Date) -> bool {
    let Some((from, settled, _)) = &block.from else { return true };
    arches.iter().all(|moment| {
        let Some(arch) = case.arch(moment.arch) else { return true };
        let Some(first) = arch.steps.iter().position(|s| s.name == *from) else { return true };
        let here = if *settled { moment.arrives.as_ref() } else { moment.with_work_done() };
        let Some(here) = here else { return false };
        if here.step < first {
            return false;
        }
        if !*settled || here.step > first {
            return true;
        }
        let days = settle_days(&arch.steps[first]);
        here.begun.is_some_and(|day| days_between(day, on) >= days - 0.5)
    })
}
