//! A device or elastics that wait for something the forecast does not bring in the longest time they are
//! usually left on.

use crate::prelude::*;
use springline_course::calendar::days_between;
use springline_course::{ArchMoment, BiteFigure, ElasticsRemoval, RemovalReason, VisitMoment};
use springline_model::step::{Condition, Term};

pub const RULE: Rule = Rule {
    code: "time/past-longest",
    severity: Severity::Warning,
    page: include_str!("past_longest.md"),
    check,
    ..Rule::PLAIN
};

/// A figure of the bite this near to its aim counts as reached: half a millimetre is what a chair can measure, and
/// less than what patients differ by (common practice, no source).
const NEAR_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for visit in context.forecast.timeline.visits() {
        out.extend(visit.arches.iter().flat_map(|arch| devices(context, visit, arch)));
        out.extend(visit.elastics_off.iter().filter_map(|e| elastics(context, visit, *e)));
    }
}

/// Only what the forecast computes can be missed by it.
fn is_forecast(condition: &Condition) -> bool {
    let computed = |t: &Term| {
        matches!(
            t,
            Term::Overjet { .. }
                | Term::Overbite { .. }
                | Term::OverTheBite { .. }
                | Term::Within { .. }
                | Term::Gap { .. }
                | Term::Space { .. }
        )
    };
    condition.terms.iter().any(computed)
}

/// The forecast of that day comes close to an aim in the bite.
fn is_near(condition: &Condition, visit: &VisitMoment) -> bool {
    let forecast = |figure: BiteFigure| {
        visit.bite.forecast.iter().find(|f| f.figure == figure).map(|f| f.value_mm)
    };
    condition.terms.iter().any(|term| {
        let (figure, aim_mm) = match term {
            Term::Overjet { overjet } => (BiteFigure::Overjet, overjet.mm()),
            Term::Overbite { length } => (BiteFigure::Overbite, mm(*length)),
            _ => return false,
        };
        forecast(figure).is_some_and(|value| (value - aim_mm).abs() <= NEAR_MM)
    })
}

/// The bite is no deeper that day than bite raisers are to open it.
fn is_open_enough(condition: &Condition, visit: &VisitMoment) -> bool {
    let mut forecast = visit.bite.forecast.iter();
    let overbite = forecast.find(|f| f.figure == BiteFigure::Overbite).map(|f| f.value_mm);
    condition.terms.iter().any(|term| match term {
        Term::Overbite { length } => overbite.is_some_and(|now| now <= mm(*length) + 1e-6),
        _ => false,
    })
}

fn devices(context: &RuleContext<'_>, visit: &VisitMoment, arch: &ArchMoment) -> Vec<Finding> {
    let words = context.words();
    let over = arch.off_today.iter().filter(|r| r.reason == RemovalReason::LongestTime);
    let found = over.filter_map(|removal| {
        let here = arch.arrives.as_ref()?;
        let device = here.devices.iter().find(|d| d.what == removal.what)?;
        let condition = device.until.condition().filter(|c| is_forecast(c))?;
        let (_, act) = here.act_of(context.forecast, arch.arch, removal.what)?;
        if matches!(act.kind, ActKind::BiteRaisers { .. }) && is_open_enough(condition, visit) {
            return None;
        }
        let days = days_between(device.since?, visit.date);
        let longest = device.longest_days?;
        let view = context.step_view(arch.arch, here.step)?;
        let teeth = act.kind.teeth();
        let what = act.kind.keyword().replace('-', " ");
        let message = format!(
            "The {what} on {} will have been on for {} by {}, longest {}: {} is not forecast by then.",
            words.teeth(&teeth),
            say_weeks(days),
            visit.date,
            say_weeks(longest),
            condition.text.trim_start_matches("until ")
        );
        let finding = view
            .finding(RULE.code, RULE.severity, view.act_place(act), message)
            .why("What is left on without an end does harm where it is not looked at.")
            .figure(weeks(days), weeks(longest), Unit::Wk);
        Some(finding.teeth(teeth))
    });
    found.collect()
}

fn elastics(
    context: &RuleContext<'_>,
    visit: &VisitMoment,
    ended: ElasticsRemoval,
) -> Option<Finding> {
    let block = context.case.elastics.get(ended.block)?;
    let (condition, place) = block.until.as_ref().filter(|(c, _)| is_forecast(c))?;
    let life = context.forecast.timeline.elastics().get(ended.block)?;
    if is_near(condition, visit) {
        return None;
    }
    if ended.reason != RemovalReason::LongestTime {
        return None;
    }
    let (first, last) = (life.first_day?, life.last_day?);
    let longest = days_between(first, last);
    let days = days_between(first, visit.date);
    let message = format!(
        "The {} elastics will have been worn for {} by {}, longest {}: {} is not forecast by then.",
        block.kind.word(),
        say_weeks(days),
        visit.date,
        say_weeks(longest),
        condition.text.trim_start_matches("until ")
    );
    let finding = Finding::new(RULE.code, RULE.severity, *place, message)
        .why("They end on that day, and what they were for is not reached.")
        .figure(weeks(days), weeks(longest), Unit::Wk);
    Some(match &block.from {
        Some((from, ..)) => finding.step(from.clone()),
        None => finding,
    })
}
