//! Staff card: what comes off today whether or not the wire is changed, elastics that end, and what goes
//! with the whole appliance.

use super::{ActionLine, ArchActions};
use crate::plan::{ArchToday, Plan, VisitToday};
use crate::wording;
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
        let condition = ending(&act.kind).map(|c| super::test::condition_text(c, n));
        Some(match (why, condition) {
            (RemovalReason::Foreseen, Some(when)) => format!("{thing}: off if {when}."),
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

/// Elastics that the patient goes home without.
fn of_elastics(plan: &Plan<'_>, today: &VisitToday<'_>) -> Option<ArchActions> {
    let n = plan.notation();
    let lines = today.moment.elastics_off.iter().filter_map(|ended| {
        let block = plan.case.elastics.get(ended.block)?;
        let until = block.until.as_ref().map(|(c, _)| super::test::condition_text(c, n));
        let name = named(block, n);
        let text = match (ended.reason, until) {
            (RemovalReason::Foreseen, Some(when)) => {
                format!("{name}: off if {when}; if not, worn on.")
            }
            (RemovalReason::Recorded, Some(when)) => format!("{name}: off, {when} (recorded)."),
            (RemovalReason::LongestTime, when) => {
                let life = plan.forecast.timeline.elastics().get(ended.block)?;
                let worn = days_between(life.first_day?, today.visit.date);
                let weeks = (worn / 7.0).round();
                let aim = when.map(|w| format!(" Not foreseen by now: {w}. Ask the doctor."));
                format!("{name}: off, {weeks} weeks are over.{}", aim.unwrap_or_default())
            }
            (RemovalReason::ReplacedBy(_), _) => {
                format!("{name}: off, the new ones take their place.")
            }
            (RemovalReason::StepBegins, _) => {
                format!("{name}: off with the change of step.")
            }
            _ => format!("{name}: off."),
        };
        Some(ActionLine::usual(text))
    });
    let lines: Vec<ActionLine> = lines.collect();
    let arch = today.arches.first().map_or(Arch::Upper, |a| a.arch.arch);
    (!lines.is_empty()).then(|| ArchActions { arch, heading: "Elastics: end".to_owned(), lines })
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

/// What comes off with the whole appliance, beside wire, brackets and tubes.
pub fn with_appliance<'p>(
    plan: &'p Plan<'_>,
    arch: &'p ArchToday<'_>,
) -> impl Iterator<Item = String> + 'p {
    let n = plan.notation();
    // What sits on the wire goes with it.
    let on_teeth = arch.off_today().filter(|(act, _)| act.kind.lasts() != Lasts::Wire);
    let things = on_teeth.filter_map(move |(act, _)| wording::thing(&act.kind, n));
    let buttons =
        arch.arch.buttons.iter().map(move |(t, way, _)| {
            format!("Button {} on {}", wording::in_out(*way, *t), t.write(n))
        });
    let bars = arch.arch.bars.iter().map(move |(a, b, _)| {
        let name = if arch.arch.arch == Arch::Upper { "Palatal arch" } else { "Lingual arch" };
        format!("{name} {} to {}", a.write(n), b.write(n))
    });
    let screws = arch.arch.screws.iter();
    let screws = screws.map(move |(a, b, _)| format!("Mini-screw {}", wording::pair(*a, *b, n)));
    things.chain(buttons).chain(bars).chain(screws).map(|thing| format!("{thing}: off."))
}
