//! Spaces that do not close, or not on both sides.

use jiff::civil::Date;

use crate::prelude::*;
use springline_course::calendar::days_between;
use springline_model::case::Visit;

pub const RULE: Rule = Rule {
    code: "order/closing-stalled",
    severity: Severity::Warning,
    page: include_str!("closing_stalled.md"),
    check,
    ..Rule::PLAIN
};

const WAIT_DAYS: f64 = 53.0;
const LEAST_MM: f64 = 0.5;
const UNEVEN_MM: f64 = 1.5;
/// A gap this small counts as closed, mm.
const CLOSED_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views().into_iter().filter(StepView::is_in_mouth) {
        let closing: Vec<&Act> = view
            .acts()
            .filter(|a| matches!(a.kind, ActKind::ClosingCoil { .. } | ActKind::Chain { .. }))
            .collect();
        let Some(since) = view.phase.and_then(|p| p.date_in).filter(|_| !closing.is_empty()) else {
            continue;
        };
        list.extend(stalled(context, &view, since).or_else(|| uneven(context, &view)));
    }
    merge_per_arch(context.words(), list, out);
}

type GapMeasurement<'a> = (Date, &'a springline_model::case::Gap);

/// Every measurement of gaps in this arch, oldest first.
fn measured<'a>(context: &'a RuleContext<'_>, arch: Arch) -> Vec<GapMeasurement<'a>> {
    let of = |v: &'a Visit| v.gaps.iter().map(move |g| (v.on, g));
    context.case.visits.iter().flat_map(of).filter(|(_, g)| g.first.arch() == arch).collect()
}

fn same(a: &springline_model::case::Gap, b: &springline_model::case::Gap) -> bool {
    (a.first, a.second) == (b.first, b.second) || (a.first, a.second) == (b.second, b.first)
}

fn stalled(context: &RuleContext<'_>, view: &StepView<'_>, since: Date) -> Option<Candidate> {
    let words = context.words();
    let all = measured(context, view.side());
    let last_day = all.iter().map(|(on, _)| *on).max()?;
    let (gap, now, was, weeks_gone) =
        all.iter().filter(|(on, _)| *on == last_day).find_map(|(_, gap)| {
            let early = all.iter().find(|(on, g)| {
                same(g, gap) && *on >= since && days_between(*on, last_day) >= WAIT_DAYS
            })?;
            let (now, was) = (mm(gap.length), mm(early.1.length));
            let still = was - now < LEAST_MM - 1e-9 && now > CLOSED_MM;
            still.then_some((*gap, now, was, days_between(early.0, last_day)))
        })?;
    let finding = view
        .finding(
            RULE.code,
            RULE.severity,
            gap.place,
            format!(
                "The gap between {} and {} was {} and is {} after {} of closing.",
                words.tooth(gap.first),
                words.tooth(gap.second),
                say_mm(was),
                say_mm(now),
                say_weeks(weeks_gone)
            ),
        )
        .why("Closure is obstructed; more force does not free it.")
        .figure(tenth(was - now), LEAST_MM, Unit::Mm)
        .teeth([gap.first, gap.second])
        .note("Check the wire end behind the last tube, the brackets beside the gap and the occlusion.");
    Some(Candidate::new(view.side(), 2.0, finding))
}

fn uneven(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<Candidate> {
    let words = context.words();
    if matches!(
        crate::support::midline::wanted(context, view.arch),
        crate::support::midline::MidlineTarget::Go(..)
    ) {
        return None;
    }
    let all = measured(context, view.side());
    let last_day = all.iter().map(|(on, _)| *on).max()?;
    let of = |list: &[GapMeasurement<'_>], side: Side| -> Option<f64> {
        let here: Vec<f64> = list
            .iter()
            .filter(|(_, g)| g.first.side() == side && g.second.side() == side)
            .map(|(_, g)| mm(g.length))
            .collect();
        (!here.is_empty()).then(|| here.iter().sum())
    };
    let now: Vec<GapMeasurement<'_>> =
        all.iter().copied().filter(|(on, _)| *on == last_day).collect();
    let entered: Vec<GapMeasurement<'_>> = view.arch.gaps.iter().map(|g| (last_day, g)).collect();
    let apart = |list: &[GapMeasurement<'_>]| Some(of(list, Side::Right)? - of(list, Side::Left)?);
    let (now_apart, was_apart) = (apart(&now)?, apart(&entered)?);
    let grown = (now_apart - was_apart).abs();
    if grown <= UNEVEN_MM + 1e-9 {
        return None;
    }
    let slow = if now_apart > was_apart { Side::Right } else { Side::Left };
    let (_, gap) = now.iter().find(|(_, g)| g.first.side() == slow)?;
    let finding = view
        .finding(
            RULE.code,
            RULE.severity,
            gap.place,
            format!(
                "Spaces are closing asymmetrically: {} remains on the right and {} on the left, and the midline \
                 is to stay.",
                say_mm(of(&now, Side::Right)?),
                say_mm(of(&now, Side::Left)?)
            ),
        )
        .why("The midline shifts to the side that closes faster.")
        .figure(tenth(grown), UNEVEN_MM, Unit::Mm)
        .teeth([gap.first, gap.second])
        .note(format!("The slower side is between {} and {}.", words.tooth(gap.first), words.tooth(gap.second)));
    Some(Candidate::new(view.side(), 1.0, finding))
}
