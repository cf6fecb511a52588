//! A wire that cannot be brought into a slot.

use super::far_tooth::off_line;
use crate::prelude::*;
use crate::support::bring_in::bring_in;
use crate::support::make_space::make_space;
use springline_course::Refusal;
use springline_finding::Fix;

pub const RULE: Rule = Rule {
    code: "force/not-engageable",
    severity: Severity::Error,
    page: include_str!("not_engageable.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::NoForce, unsaid: Unsaid::Never }),
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        if !view.wire_goes_in() {
            continue;
        }
        let Some(refused) = view.phase.and_then(|p| p.insertion.refused.as_ref()) else { continue };
        let blamed = refused.tooth.map(|t| keeps_it_out(&view, t, &refused.refusal));
        let at = blamed.map_or("there".to_owned(), |t| words.tooth(t));
        let wire = view.wire().label();
        let (severity, message, figure) = match &refused.refusal {
            Refusal::Strain { strain, limit, .. } => (
                Severity::Error,
                format!(
                    "{wire} cannot be engaged at {at} in {}: it would be strained {} %; limit {} %.",
                    view.step.name,
                    plain((strain * 100.0).round()),
                    plain((limit * 100.0).round())
                ),
                Some(((strain * 100.0).round(), (limit * 100.0).round(), Unit::Percent)),
            ),
            Refusal::Turn { turn_rad, limit_rad, .. } => (
                Severity::Error,
                format!(
                    "{wire} cannot be engaged at {at} in {}: slot is rotated {} to the wire; limit {}.",
                    view.step.name,
                    say_deg(turn_rad.to_degrees()),
                    say_deg(limit_rad.to_degrees())
                ),
                Some((turn_rad.to_degrees().round(), limit_rad.to_degrees().round(), Unit::Deg)),
            ),
            Refusal::SnapThrough { .. } => (
                Severity::Error,
                format!(
                    "{wire} cannot be engaged at {at} in {}: it would slip through the slots before reaching it.",
                    view.step.name
                ),
                None,
            ),
            Refusal::Overlap { next_id, span_mm, .. } => {
                let next =
                    Tooth::iso(u32::from(*next_id)).map_or(String::new(), |t| words.tooth(t));
                (
                    Severity::Warning,
                    format!(
                        "The brackets of {at} and {next} leave {} of free wire in {}, too little to compute.",
                        say_mm(*span_mm),
                        view.step.name
                    ),
                    None,
                )
            }
            Refusal::NotConverged { .. } => (
                Severity::Warning,
                format!(
                    "No equilibrium was found for {wire} in {} (near {at}): its forces are not checked.",
                    view.step.name
                ),
                None,
            ),
            Refusal::TooFewTeeth { engaged: 0 } => (
                Severity::Warning,
                format!("No tooth is in {wire} in {}: there is no force to check.", view.step.name),
                None,
            ),
            Refusal::TooFewTeeth { .. } => (
                Severity::Advice,
                format!(
                    "Only one tooth is in {wire} in {}: nothing bends the wire, so no force is checked.",
                    view.step.name
                ),
                None,
            ),
            Refusal::Input { .. } | Refusal::Unsolved { .. } => (
                Severity::Warning,
                format!("Forces in {} are not checked: {}.", view.step.name, refused.refusal),
                None,
            ),
            // Reported by the rule about the slot.
            _ => continue,
        };
        let place = blamed
            .filter(|_| severity == Severity::Error)
            .and_then(|t| described(view.arch, t))
            .unwrap_or(view.case_place());
        let why = match severity {
            Severity::Error => {
                "At the chair the slide will not close, or the wire is permanently bent."
            }
            _ => "A step without figures is a step that nobody has checked.",
        };
        let mut finding = view.finding(RULE.code, severity, place, message).why(why);
        if let Some((value, limit, unit)) = figure {
            finding = finding.figure(value, limit, unit);
        }
        if let (Some(tooth), Some(beside)) = (blamed, refused.tooth) {
            finding = finding.teeth([tooth]);
            if tooth != beside {
                finding = finding.note(format!(
                    "It gives way at {}, beside it: {} stands {} off the line of its neighbours.",
                    words.tooth(beside),
                    words.tooth(tooth),
                    say_mm(off_line(&view, tooth))
                ));
            }
            let earlier = list
                .iter()
                .find(|c: &&Candidate| c.arch == view.side() && c.finding.teeth == finding.teeth);
            // What takes the tooth out of the first step takes it out of those after it.
            finding.fixes = match earlier {
                Some(earlier) => earlier.finding.fixes.clone(),
                None if severity == Severity::Error => ways_out(context, &view, tooth),
                None => Vec::new(),
            };
        }
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(words, list, out);
}

/// The tooth that prevents insertion: the one at which the solver refuses, or its neighbour if that is
/// farther out of line.
fn keeps_it_out(view: &StepView<'_>, at: Tooth, refusal: &Refusal) -> Tooth {
    if !matches!(refusal, Refusal::Strain { .. } | Refusal::SnapThrough { .. }) {
        return at;
    }
    let beside = [Side::Right, Side::Left].into_iter().filter_map(|way| view.next_in_wire(at, way));
    let farther = beside.map(|t| (t, off_line(view, t))).max_by(|a, b| a.1.total_cmp(&b.1));
    farther.filter(|(_, off)| *off > off_line(view, at) + FARTHER_MM).map_or(at, |(t, _)| t)
}

/// Farther off than the other by so much, mm.
const FARTHER_MM: f64 = 1.0;

/// Fixes: the lightest wire, engaging one wing, or moving the tooth closer before it is engaged.
fn ways_out(context: &RuleContext<'_>, view: &StepView<'_>, tooth: Tooth) -> Vec<Fix> {
    [
        bring_in(context, view, tooth),
        make_space(context, view, tooth, true),
        lighter_wire::lighter(context, view),
        lighter_wire::one_wing(context, view, tooth),
    ]
    .into_iter()
    .flatten()
    .collect()
}
