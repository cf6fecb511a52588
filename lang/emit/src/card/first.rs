//! Staff card: open points that come before everything else, such as unrepaired brackets and a debond
//! outside the plan.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::plan::{Plan, VisitToday};
use crate::{dates, wording};
use springline_course::RemovalReason;
use springline_model::house::Task;
use springline_model::step::{Act, ActKind, Condition};
use springline_units::tooth::Tooth;

/// Only the next visit: what comes after it will have been printed again.
fn is_next(plan: &Plan<'_>, today: &VisitToday<'_>) -> bool {
    plan.coming().next().is_some_and(|(number, _)| number == today.number)
}

pub fn lines(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    loose: &BTreeMap<Tooth, Date>,
) -> Vec<String> {
    let mut out: Vec<String> = loose
        .iter()
        .map(|(tooth, since)| {
            format!(
                "Bracket off at {} since {}, no rebond recorded: ask the doctor what is done today.",
                tooth.write(plan.notation()),
                dates::long(*since)
            )
        })
        .collect();
    out.extend(super::left_over::lines(plan, today));
    if is_next(plan, today) {
        out.extend(poor_hygiene(today));
    }
    out.extend(off_by_record(plan, today));
    out.extend(surgery(plan, today));
    out.extend(debond(plan, today));
    out
}

fn poor_hygiene(today: &VisitToday<'_>) -> Option<String> {
    let visits = match today.moment.poor_hygiene {
        0 => return None,
        1 => "at the last visit".to_owned(),
        n => format!("at the last {n} visits"),
    };
    let wire = match today.visit.kind {
        Task::Debond | Task::RetainerCheck => "",
        _ => " before a new wire goes in",
    };
    Some(format!("Cleaning was poor {visits}: show the doctor the gums{wire}."))
}

/// Devices whose end the records show, with what they show.
fn off_by_record(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let n = plan.notation();
    let ended = today.arches.iter().flat_map(|a| a.off_today());
    let ended = ended.filter(|(_, why)| *why == RemovalReason::Recorded);
    ended
        .filter_map(|(act, _)| {
            let because =
                super::comes_off::ending(&act.kind).map(|c| super::condition::condition_text(c, n));
            let because = because.map(|text| format!(": {text} (recorded)")).unwrap_or_default();
            Some(match &act.kind {
                ActKind::BiteRaisers { teeth, .. } => {
                    format!("Take the bite raisers off {}{because}.", wording::list(teeth, n))
                }
                other => format!("Off today: {}{because}.", wording::thing(other, n)?),
            })
        })
        .collect()
}

/// Bite raisers that are on when the patient comes and stay, with their end.
pub fn raisers<'a>(today: &VisitToday<'a>) -> Vec<(&'a [Tooth], Option<&'a Condition>)> {
    let mut out = Vec::new();
    for arch in &today.arches {
        let off: Vec<&Act> = arch.off_today().map(|(act, _)| act).collect();
        let acts = arch.now.into_iter().flat_map(|m| m.acts());
        for act in acts.filter(|act| !off.iter().any(|o| std::ptr::eq(*o, *act))) {
            if let ActKind::BiteRaisers { teeth, until } = &act.kind {
                out.push((teeth.as_slice(), until.as_ref()));
            }
        }
    }
    out
}

/// The surgeon needs the room and the wire that this visit leaves.
fn surgery(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let said = today.exposed_before_next(plan).into_iter().map(|(on, teeth)| {
        format!(
            "Surgery on {}, before the next visit: {} is laid open. If its room or the wire for it is not there \
             today, call the doctor today: the surgeon has to be told.",
            dates::long(on),
            wording::list(&teeth, plan.notation())
        )
    });
    said.collect()
}

/// A day that the plan names for the debond, where this card is near it or past it.
fn debond(plan: &Plan<'_>, today: &VisitToday<'_>) -> Option<String> {
    let day = plan.case.debond.as_ref()?.on?;
    if matches!(today.visit.kind, Task::Debond | Task::RetainerCheck) {
        return None;
    }
    let (date, here) = (dates::long(day), today.visit.date);
    if here >= day {
        return Some(format!("Debond is planned for {date}: ask the doctor before any new wire."));
    }
    // Within the longest interval there is hardly a visit between.
    let near = plan.house().longest.value.after(here).is_some_and(|end| day <= end);
    near.then(|| {
        format!(
            "Debond is planned for {date}, in {}: ask the doctor whether a new wire still goes in.",
            dates::apart(here, day)
        )
    })
}
