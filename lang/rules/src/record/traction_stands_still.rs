//! A tooth under traction that the records show not to move.

use crate::prelude::*;
use springline_course::ToothPose;
use springline_course::calendar::days_between;
use springline_model::case::{Case, Visit};

pub const RULE: Rule = Rule {
    code: "record/traction-stands-still",
    severity: Severity::Error,
    page: include_str!("traction_stands_still.md"),
    check,
    ..Rule::PLAIN
};

/// Less than this in a look apart is none: what a chair can measure (common practice, no source).
const STILL_MM: f64 = 0.3;
/// Looks nearer to each other than this tell nothing.
const APART_DAYS: f64 = 21.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in &context.case.arches {
        let Some(forecast) = context.forecast.arch(arch.arch) else { continue };
        let pulled = forecast.phases.iter().filter(|p| p.begun).flat_map(|p| {
            p.state.acts.iter().filter_map(move |act| match &act.kind {
                ActKind::Traction { teeth, .. } => Some((p, teeth)),
                _ => None,
            })
        });
        let mut told: Vec<Tooth> = Vec::new();
        for (phase, teeth) in pulled {
            let Some(from) = phase.date_in else { continue };
            for tooth in teeth.iter().filter(|t| !told.contains(t)).copied().collect::<Vec<_>>() {
                let Some((times, visit)) = still(context.case, tooth, from) else { continue };
                told.push(tooth);
                let name = words.tooth(tooth);
                let (severity, message) = match times {
                    1 => (
                        Severity::Warning,
                        format!("{name} has not moved under traction since the last look."),
                    ),
                    _ => (
                        RULE.severity,
                        format!("{name} has not moved under traction over {times} looks: stop."),
                    ),
                };
                let finding = Finding::new(RULE.code, severity, visit.place, message)
                    .why("A tooth that stays under traction may be fused to the bone; its neighbours go to it.")
                    .note("A film, and the surgeon; until then no pull.")
                    .teeth([tooth])
                    .step(phase.name.clone());
                out.push(finding);
            }
        }
    }
}

/// Over how many of the last looks in a row a tooth stood still, and the last of them; `None` where it moved.
fn still(case: &Case, tooth: Tooth, from: jiff::civil::Date) -> Option<(usize, &Visit)> {
    let mut seen: Vec<(&Visit, f64)> = Vec::new();
    let mut visits: Vec<&Visit> = case.visits.iter().filter(|v| v.on >= from).collect();
    visits.sort_by_key(|v| v.on);
    for visit in visits {
        let Some((stand, _)) = visit.stands.get(&tooth) else { continue };
        let apart =
            seen.last().is_none_or(|(last, _)| days_between(last.on, visit.on) >= APART_DAYS);
        let said = stand.up_down.is_some() || stand.in_out.is_some();
        if said && apart {
            seen.push((visit, ToothPose::from_stand(tooth, stand).off_mm()));
        }
    }
    let pairs = seen.windows(2).rev();
    let times = pairs.take_while(|pair| pair[0].1 - pair[1].1 < STILL_MM).count();
    let (visit, _) = seen.last()?;
    (times > 0).then_some((times, *visit))
}
