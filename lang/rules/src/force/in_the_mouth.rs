//! A wire that is in already, and is not the one of the plan.

use super::verdict::lightest_g;
use crate::prelude::*;
use crate::support::strength::is_rigid_alloy;
use springline_course::{Phase, ToothLoad, ToothPose};
use springline_model::case::{ArchCase, ArchSeen, Done, Visit};

pub const RULE: Rule = Rule {
    code: "force/in-the-mouth",
    severity: Severity::Error,
    page: include_str!("in_the_mouth.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::NoForce, unsaid: Unsaid::Never }),
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let mut list = Vec::new();
    list.extend(context.case.arches.iter().filter_map(|arch| found_in_place(context, arch)));
    let Some(visit) = context.case.visits.last() else {
        merge_per_arch(words, list, out);
        return;
    };
    list.extend(visit.arches.iter().filter_map(|seen| measured_off(context, visit, seen)));
    for seen in &visit.arches {
        let Some(Done::Now { step, wire, tandem }) = &seen.done else { continue };
        let arch = context.case.arch(seen.arch);
        let planned = arch.and_then(|a| a.steps.iter().find(|s| s.name == *step));
        let Some(planned) = planned.map(|s| &s.wire.value) else { continue };
        if planned.wire.name == wire.name && planned.tandem.is_some() == tandem.is_some() {
            continue;
        }
        // A step may have two phases: the current wire counts.
        let phases = context.forecast.arch(seen.arch).map(|f| f.phases.iter().rev());
        let now = phases.and_then(|mut p| p.find(|p| p.begun && p.name == *step));
        let Some(phase) = now else { continue };
        let Some((tooth, value, limit, unit)) = heavy(context, phase) else { continue };
        let left = if unit == Unit::G {
            format!("leaves {} g on {}", plain(value.round()), words.tooth(tooth))
        } else {
            let by = if unit == Unit::Mm { say_mm(value) } else { say_deg(value) };
            format!("was placed with {} {by} out of line", words.tooth(tooth))
        };
        let finding = Finding::new(
            RULE.code,
            Severity::Warning,
            seen.place,
            format!(
                "{} has been in the {} arch since {} and {left}; limit {} {unit}.",
                phase.wire.label(),
                seen.arch,
                visit.on,
                plain(tenth(limit))
            ),
        )
        .why("It acts every hour, whatever the plan says.")
        .figure(tenth(value), tenth(limit), unit)
        .step(step.clone())
        .teeth([tooth]);
        list.push(Candidate::new(seen.arch, value / limit, finding));
    }
    merge_per_arch(words, list, out);
}

/// A tooth that the last visit measured off its place, in the stiff wire that was left in: what was measured counts
/// in full, whatever wire the plan has.
fn measured_off(context: &RuleContext<'_>, visit: &Visit, seen: &ArchSeen) -> Option<Candidate> {
    let words = context.words();
    let phases = context.forecast.arch(seen.arch)?.phases.iter().rev();
    let phase = phases.into_iter().find(|p| p.begun)?;
    if seen.done == Some(Done::Out) || !is_rigid_alloy(&phase.wire.wire) {
        return None;
    }
    let measured = visit.stands.iter().filter(|(t, _)| phase.state.status(**t).is_in_wire());
    let (tooth, place, value, limit, unit) = measured
        .flat_map(|(tooth, (stand, place))| {
            let pose = ToothPose::from_stand(*tooth, stand);
            let turned = pose.rotated_rad.abs().to_degrees();
            [(Limit::Misfit, pose.off_mm(), Unit::Mm), (Limit::Turn, turned, Unit::Deg)].map(
                |(limit, value, unit)| (*tooth, *place, value, stop(context, limit, *tooth), unit),
            )
        })
        .filter(|(.., value, limit, _)| *value > limit + 1e-6)
        .max_by(|a, b| (a.2 / a.3).total_cmp(&(b.2 / b.3)))?;
    let placed = matches!(seen.done, Some(Done::Now { .. }));
    let by = if unit == Unit::Mm { say_mm(value) } else { say_deg(value) };
    let message = format!(
        "{} {} the {} arch on {}, and {} was measured {by} out of line; limit {} {unit}.",
        phase.wire.label(),
        if placed { "went into" } else { "was left in" },
        seen.arch,
        visit.on,
        words.tooth(tooth),
        plain(tenth(limit))
    );
    let severity = if placed { Severity::Error } else { Severity::Warning };
    let finding = Finding::new(RULE.code, severity, place, message)
        .why("It acts every hour, whatever the plan says.")
        .figure(tenth(value), tenth(limit), unit)
        .step(phase.name.clone())
        .teeth([tooth]);
    Some(Candidate::new(seen.arch, value / limit, finding))
}

/// Whether a running case's first step is the wire found in the mouth, without a recorded visit since.
fn found_in_place(context: &RuleContext<'_>, arch: &ArchCase) -> Option<Candidate> {
    let words = context.words();
    let (wire, since, place) = context.case.in_place.as_ref()?.wires.get(&arch.arch)?;
    let step = arch.steps.first().filter(|s| s.wire.wire.name == wire.name)?;
    let seen = context.case.visits.iter().any(|v| v.arches.iter().any(|a| a.arch == arch.arch));
    let phase = context.forecast.arch(arch.arch)?.latest_phase_of_step(0).filter(|_| !seen)?;
    let (tooth, value, limit, unit) = heavy(context, phase)?;
    let left = match unit {
        Unit::G => format!("leaves {} g on {}", plain(value.round()), words.tooth(tooth)),
        Unit::Mm => {
            format!("is in place with {} {} out of line", words.tooth(tooth), say_mm(value))
        }
        _ => format!("is in place with {} {} out of line", words.tooth(tooth), say_deg(value)),
    };
    let finding = Finding::new(
        RULE.code,
        Severity::Warning,
        described(arch, tooth).unwrap_or(*place),
        format!(
            "{} has been in the {} arch since {since} and {left}; limit {} {unit}.",
            wire.label(),
            arch.arch,
            plain(tenth(limit))
        ),
    )
    .why("It acts every hour, whatever the plan says.")
    .figure(tenth(value), tenth(limit), unit)
    .step(step.name.clone())
    .teeth([tooth]);
    Some(Candidate::new(arch.arch, value / limit, finding))
}

/// The figure of a limit that stops.
fn stop(context: &RuleContext<'_>, limit: Limit, tooth: Tooth) -> f64 {
    let figures = context.case.house.limits.for_tooth(limit, tooth).value;
    figures.stop.unwrap_or(figures.warn)
}

/// The tooth on which the wire in the mouth is past a figure that stops: value, limit, unit.
fn heavy(context: &RuleContext<'_>, phase: &Phase) -> Option<(Tooth, f64, f64, Unit)> {
    let stop = |limit: Limit, tooth: Tooth| stop(context, limit, tooth);
    let by_share = |a: &(Tooth, f64, f64, Unit), b: &(Tooth, f64, f64, Unit)| {
        (a.1 / a.2).total_cmp(&(b.1 / b.2))
    };
    if is_rigid_alloy(&phase.wire.wire) {
        let in_wire = phase.teeth.iter().filter(|t| t.status.is_in_wire());
        return in_wire
            .flat_map(|t| {
                let deg = t.entry.rotated_rad.abs().to_degrees();
                [
                    (t.tooth, t.entry.off_mm(), stop(Limit::Misfit, t.tooth), Unit::Mm),
                    (t.tooth, deg, stop(Limit::Turn, t.tooth), Unit::Deg),
                ]
            })
            .filter(|(_, value, limit, _)| *value > limit + 1e-6)
            .max_by(by_share);
    }
    // The lightest wire is asked for only where the limit in grams is passed.
    let past =
        |t: &&ToothLoad| newtons_to_grams(t.sustained_n) > stop(Limit::Sustained, t.tooth) + 1e-6;
    phase
        .insertion
        .teeth
        .iter()
        .filter(past)
        .map(|t| {
            let ratio = lightest_g(&phase.insertion)
                .map_or(0.0, |l| l * stop(Limit::SustainedRatio, t.tooth));
            let limit = stop(Limit::Sustained, t.tooth).max(ratio);
            (t.tooth, newtons_to_grams(t.sustained_n), limit, Unit::G)
        })
        .filter(|(_, value, limit, _)| *value > limit + 1e-6)
        .max_by(by_share)
}
