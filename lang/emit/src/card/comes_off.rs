//! Staff card: what comes off today whether or not the wire is changed, elastics that end, and what goes
//! with the whole appliance.

use super::{ActionLine, ArchActions};
use crate::elastics_today::WornIf;
use crate::plan::{ArchToday, Plan, VisitToday};
use crate::{dates, wording};
use springline_course::RemovalReason;
use springline_course::calendar::days_between;
use springline_model::case::Elastics;
use springline_model::house::Task;
use springline_model::step::{ActKind, Condition, Lasts};
use springline_units::tooth::{Arch, Notation};

pub fn comes_off(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<ArchActions> {
    let mut out: Vec<ArchActions> = Vec::new();
    if today.visit.kind != Task::Debond {
        out.extend(today.arches.iter().filter_map(|arch| of_arch(plan, arch)));
    }
    out.extend(of_elastics(plan, today));
    out
}

/// The measure that ends a device of its own accord.
pub fn ending(kind: &ActKind) -> Option<&Condition> {
    match kind {
        ActKind::BiteRaisers { until, .. } | ActKind::Traction { until, .. } => until.as_ref(),
        _ => None,
    }
}

fn of_arch(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Option<ArchActions> {
    let n = plan.notation();
    let line = |(act, why): (&springline_model::step::Act, RemovalReason)| {
        let thing = wording::thing(&act.kind, n)?;
        let condition = ending(&act.kind).map(|c| super::condition::condition_text(c, n));
        Some(match (why, condition) {
            (RemovalReason::Foreseen, Some(when)) => {
                format!("{thing}: off if {when}; if not, they stay.")
            }
            (RemovalReason::LongestTime, Some(when)) => {
                format!("{thing}: on longer than is usual. Off if {when}; if not, ask the doctor.")
            }
            (RemovalReason::SupportLost(tooth), _) if matches!(&act.kind, ActKind::Traction { teeth, .. } if teeth.contains(&tooth)) =>
            {
                format!(
                    "{thing}: what was bonded on the tooth is off. The surgeon; no pull meanwhile."
                )
            }
            (RemovalReason::SupportLost(tooth), _) => {
                let tooth = tooth.write(n);
                format!("{thing}: off, unless {tooth} gets its bracket back today.")
            }
            // Said before everything else.
            _ => return None,
        })
    };
    let lines: Vec<ActionLine> = arch.off_today().filter_map(line).map(ActionLine::usual).collect();
    let heading = format!("{}: may come off", wording::arch(arch.arch.arch));
    (!lines.is_empty()).then_some(ArchActions { arch: arch.arch.arch, heading, lines })
}

/// Elastics that the patient goes home without, for certain or if a test is passed.
fn of_elastics(plan: &Plan<'_>, today: &VisitToday<'_>) -> Option<ArchActions> {
    let n = plan.notation();
    let here = today.elastics_today(plan);
    let open = |block: usize| {
        here.iter().any(|e| e.index == block && matches!(e.worn, WornIf::NotPassed(_)))
    };
    let decided = today.moment.elastics_off.iter().filter(|ended| !open(ended.block));
    let decided = decided.filter_map(|ended| {
        let block = plan.case.elastics.get(ended.block)?;
        let until = block.until.as_ref().map(|(c, _)| super::condition::condition_text(c, n));
        let name = named(block, n);
        Some(match (ended.reason, until) {
            (RemovalReason::Foreseen, Some(when)) => {
                format!("{name}: off if {when}; if not, worn on.")
            }
            (RemovalReason::Recorded, Some(when)) => format!("{name}: off, {when} (recorded)."),
            (RemovalReason::LongestTime, when) => time_over(plan, today, ended.block, &name, when)?,
            (RemovalReason::ReplacedBy(_), _) => {
                format!("{name}: off, the new ones take their place.")
            }
            (RemovalReason::StepBegins, _) => {
                format!("{name}: off with the change of step.")
            }
            _ => format!("{name}: off."),
        })
    });
    let if_passed = here.iter().filter_map(|e| {
        let name = named(plan.case.elastics.get(e.index)?, n);
        let WornIf::NotPassed(gates) = &e.worn else { return None };
        let then = if e.replaced { ", the new ones take their place" } else { "" };
        Some(format!("{name}: off if {}{then}; if not, worn on.", today.passed(gates)))
    });
    let last = here.iter().filter(|e| !e.new).filter_map(|e| {
        let name = named(plan.case.elastics.get(e.index)?, n);
        let day = today.last_day_of(plan, e.index)?;
        Some(format!(
            "{name}: their last day is {}, before the next visit. Say so; it is on the patient\u{2019}s sheet.",
            dates::long(day)
        ))
    });
    let lines: Vec<ActionLine> =
        decided.chain(if_passed).chain(last).map(ActionLine::usual).collect();
    let arch = today.arches.first().map_or(Arch::Upper, |a| a.arch.arch);
    (!lines.is_empty()).then(|| ArchActions { arch, heading: "Elastics: end".to_owned(), lines })
}

/// Their longest time is over: today, or since a day that the patient was told.
fn time_over(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    block: usize,
    name: &str,
    aim: Option<String>,
) -> Option<String> {
    let life = plan.forecast.timeline.elastics().get(block)?;
    let ended = life.last_day.filter(|_| life.longest_said).unwrap_or(today.visit.date);
    let weeks = (days_between(life.first_day?, ended.min(today.visit.date)) / 7.0).round();
    let said = if ended < today.visit.date {
        format!("{name}: ended on {} after {weeks} weeks; none since?", dates::long(ended))
    } else {
        format!("{name}: off, {weeks} weeks are over.")
    };
    let aim = aim.map(|w| {
        format!(" By the forecast they have not done their work (until {w}): ask the doctor.")
    });
    Some(format!("{said}{}", aim.unwrap_or_default()))
}

/// "Elastics 13 to 46, 23 to 36 (3/16 in, 4.5 oz)".
fn named(block: &Elastics, n: Notation) -> String {
    let run = |run: &springline_model::case::ElasticRun| {
        let teeth: Vec<String> = run.teeth.iter().map(|t| t.write(n)).collect();
        teeth.join(" to ")
    };
    let runs: Vec<String> = block.runs.iter().map(run).collect();
    let what = block.runs.first().map(|r| format!(" ({})", wording::elastic(&r.elastic)));
    format!("Elastics {}{}", runs.join(", "), what.unwrap_or_default())
}

/// Coils and sleeves that go with the last wire: "the passive coil between 13 and 11".
pub fn with_the_wire(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Vec<String> {
    let n = plan.notation();
    let named = |act: &ActKind| match act {
        ActKind::OpenCoil { first, second, .. } => {
            Some(format!("the open coil {}", wording::pair(*first, *second, n)))
        }
        ActKind::ClosedCoil { first, second, .. } => {
            Some(format!("the passive coil {}", wording::pair(*first, *second, n)))
        }
        ActKind::Sleeve { spans } => {
            let all: Vec<String> = spans.iter().map(|(a, b)| wording::pair(*a, *b, n)).collect();
            Some(format!("the sleeve {}", wording::and(&all)))
        }
        _ => None,
    };
    arch.off_today().filter_map(|(act, _)| named(&act.kind)).collect()
}

/// What lies over the last wire, or is hung on it: "the closing springs".
pub fn over_the_wire(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Vec<String> {
    let n = plan.notation();
    let named = |act: &ActKind| match act {
        ActKind::Chain { teeth, .. } => Some(format!("the chain on {}", wording::list(teeth, n))),
        ActKind::ClosingCoil { .. } => Some("the closing springs".to_owned()),
        ActKind::Piggyback { wire, .. } => Some(format!("the piggyback {}", wire.name)),
        ActKind::Traction { teeth, .. } => {
            Some(format!("the traction on {}", wording::list(teeth, n)))
        }
        _ => None,
    };
    arch.off_today().filter_map(|(act, _)| named(&act.kind)).collect()
}

/// What is tied under the last wire.
pub fn under_the_wire(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Vec<String> {
    let n = plan.notation();
    let named = |act: &ActKind| match act {
        ActKind::Tie { teeth, .. } => Some(format!("the tie on {}", wording::list(teeth, n))),
        ActKind::Laceback { .. } => Some("the lacebacks".to_owned()),
        _ => None,
    };
    arch.off_today().filter_map(|(act, _)| named(&act.kind)).collect()
}

/// What comes off with the whole appliance, beside wire, brackets, tubes and bands.
pub fn on_teeth_and_bone(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Vec<String> {
    let n = plan.notation();
    let with_the_wire = |kind: &ActKind| {
        use ActKind::{Chain, ClosingCoil, Laceback, Piggyback, Tie, Traction};
        kind.lasts() == Lasts::Wire
            || matches!(
                kind,
                Chain { .. }
                    | ClosingCoil { .. }
                    | Laceback { .. }
                    | Piggyback { .. }
                    | Tie { .. }
                    | Traction { .. }
            )
    };
    let on_teeth = arch.off_today().filter(|(act, _)| !with_the_wire(&act.kind));
    let things = on_teeth.filter_map(|(act, _)| wording::thing(&act.kind, n));
    let buttons = arch
        .arch
        .buttons
        .iter()
        .map(|(t, way, _)| format!("Button {} on {}", wording::in_out(*way, *t), t.write(n)));
    let bars = arch.arch.bars.iter().map(|(a, b, _)| {
        let name = if arch.arch.arch == Arch::Upper { "Palatal arch" } else { "Lingual arch" };
        format!("{name} {} to {}", a.write(n), b.write(n))
    });
    let screws = arch.arch.screws.iter();
    let screws = screws.map(|(a, b, _)| {
        format!("Mini-screw {}: out, with its screw driver.", wording::pair(*a, *b, n))
    });
    let off = things.chain(buttons).chain(bars).map(|thing| format!("{thing}: off."));
    off.chain(screws).collect()
}
