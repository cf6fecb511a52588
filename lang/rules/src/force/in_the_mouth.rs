//! A wire that is in already, and is not the one of the plan.

use super::verdict::{LeftOver, LimitExceeded, lightest_g, misfit};
use crate::prelude::*;
use crate::support::strength::is_rigid_alloy;
use springline_course::{Insertion, Phase, ToothPose};
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
        let Some(LeftOver { past, unit }) = heavy(context, phase) else { continue };
        let LimitExceeded { tooth, value, limit, .. } = past;
        let left = match unit {
            Unit::G => format!("leaves {} g on {}", plain(value.round()), words.tooth(tooth)),
            _ => format!("was placed with {} {} out of line", words.tooth(tooth), by(value, unit)),
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

/// A tooth that the last visit measured off its place, in the wire that it left in: what was measured counts in full,
/// whatever wire the plan has. A stiff wire is judged by what it meets; a superelastic one that stayed by the force
/// that it gives there now, for one that went in that day has been judged by its step.
fn measured_off(context: &RuleContext<'_>, visit: &Visit, seen: &ArchSeen) -> Option<Candidate> {
    let words = context.words();
    let phases = context.forecast.arch(seen.arch)?.phases.iter().rev();
    let phase = phases.into_iter().find(|p| p.begun)?;
    if seen.done == Some(Done::Out) {
        return None;
    }
    let placed = matches!(seen.done, Some(Done::Now { .. }));
    let measured = visit.stands.iter().filter(|(t, _)| phase.state.status(**t).is_in_wire());
    let is_rigid = is_rigid_alloy(&phase.wire.wire);
    let (place, off) = measured
        .filter_map(|(tooth, (stand, place))| {
            let off = if is_rigid {
                let pose = ToothPose::from_stand(*tooth, stand);
                misfit(&context.case.house.limits, *tooth, pose.off_mm(), pose.turned_deg())
            } else {
                let insertion = phase.insertion_since.as_ref().filter(|_| !placed)?;
                too_heavy(context, insertion, *tooth)
            };
            Some((*place, off.filter(stops)?))
        })
        .max_by(|a, b| a.1.past.share().total_cmp(&b.1.past.share()))?;
    let LeftOver { past, unit } = off;
    let wire = phase.wire.label();
    let (done, arch) = (if placed { "went into" } else { "was left in" }, seen.arch);
    let message = match unit {
        Unit::G => format!(
            "{wire} {done} the {arch} arch on {}, and gives {} {} where it was measured; limit {}.",
            visit.on,
            words.tooth(past.tooth),
            by(past.value, unit),
            by(past.limit, unit)
        ),
        _ => format!(
            "{wire} {done} the {arch} arch on {}, and {} was measured {} out of line; limit {} {unit}.",
            visit.on,
            words.tooth(past.tooth),
            by(past.value, unit),
            plain(tenth(past.limit))
        ),
    };
    let severity = if placed { Severity::Error } else { Severity::Warning };
    let finding = Finding::new(RULE.code, severity, place, message)
        .why("It acts every hour, whatever the plan says.")
        .figure(tenth(past.value), tenth(past.limit), unit)
        .step(phase.name.clone())
        .teeth([past.tooth]);
    Some(Candidate::new(seen.arch, past.share(), finding))
}

fn by(value: f64, unit: Unit) -> String {
    match unit {
        Unit::Mm => say_mm(value),
        Unit::G => format!("{} g", plain(value.round())),
        _ => say_deg(value),
    }
}

fn stops(off: &LeftOver) -> bool {
    off.past.severity == Severity::Error
}

/// Whether a running case's first step is the wire found in the mouth, without a recorded visit since.
fn found_in_place(context: &RuleContext<'_>, arch: &ArchCase) -> Option<Candidate> {
    let words = context.words();
    let (wire, since, place) = context.case.in_place.as_ref()?.wires.get(&arch.arch)?;
    let step = arch.steps.first().filter(|s| s.wire.wire.name == wire.name)?;
    let seen = context.case.visits.iter().any(|v| v.arches.iter().any(|a| a.arch == arch.arch));
    let phase = context.forecast.arch(arch.arch)?.latest_phase_of_step(0).filter(|_| !seen)?;
    let LeftOver { past, unit } = heavy(context, phase)?;
    let LimitExceeded { tooth, value, limit, .. } = past;
    let left = match unit {
        Unit::G => format!("leaves {} g on {}", plain(value.round()), words.tooth(tooth)),
        _ => format!("is in place with {} {} out of line", words.tooth(tooth), by(value, unit)),
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

/// The tooth on which the wire in the mouth is past a figure that stops.
fn heavy(context: &RuleContext<'_>, phase: &Phase) -> Option<LeftOver> {
    let limits = &context.case.house.limits;
    let in_wire = phase.teeth.iter().filter(|t| t.status.is_in_wire());
    let off = in_wire.filter_map(|t| match is_rigid_alloy(&phase.wire.wire) {
        true => misfit(limits, t.tooth, t.entry.off_mm(), t.entry.turned_deg()),
        false => too_heavy(context, &phase.insertion, t.tooth),
    });
    off.filter(stops).max_by(|a, b| a.past.share().total_cmp(&b.past.share()))
}

/// A tooth on which a superelastic wire sustains more than the figure that stops, and than the lightest wire by far.
fn too_heavy(context: &RuleContext<'_>, insertion: &Insertion, tooth: Tooth) -> Option<LeftOver> {
    let stop = |limit: Limit| {
        let figures = context.case.house.limits.for_tooth(limit, tooth).value;
        figures.stop.unwrap_or(figures.warn)
    };
    let value = newtons_to_grams(insertion.tooth(tooth)?.sustained_n);
    // The lightest wire is asked for only where the limit in grams is passed.
    let most = Some(stop(Limit::Sustained)).filter(|most| value > most + 1e-6)?;
    let ratio = lightest_g(insertion).map_or(0.0, |light| light * stop(Limit::SustainedRatio));
    let limit = most.max(ratio);
    let past = LimitExceeded { severity: Severity::Error, tooth, value, limit };
    (value > limit + 1e-6).then_some(LeftOver { past, unit: Unit::G })
}
