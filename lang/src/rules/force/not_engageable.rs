//! A wire that cannot be brought into a slot.

use crate::mechanics::Refusal;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/not-engageable",
    severity: Severity::Error,
    title: "wire cannot be engaged",
    finds: "A wire for which there is no solution: it would be strained beyond what any wire tolerates, the \
           slot is rotated too far to the wire, or two brackets leave no free wire between them. Where only the \
           computation fails, a warning says that forces were not checked.",
    why: "At the chair the slide will not close, or the wire is permanently bent.",
    what_to_do: "Engage one wing, leave the tooth out, or use the lightest wire.",
    source: "the refusals of the mechanics",
    accept_when: "It was tried at the chair and could be engaged.",
    failing: r#"springline 1
case "SM-9106"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 15 rotated 75 deg mesial-in // <- here
  follow usual
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9106"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 15 rotated 15 deg mesial-in
  follow usual
}
retain {
  night-time upper
}
"#,
    check,
};

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        if !view.wire_goes_in() {
            continue;
        }
        let Some(refused) = view.phase.and_then(|p| p.insertion.refused.as_ref()) else { continue };
        let at = refused.tooth.map_or("there".to_owned(), |t| words.tooth(t));
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
                Some(((strain * 100.0).round(), (limit * 100.0).round(), "%")),
            ),
            Refusal::Turn { turn_rad, limit_rad, .. } => (
                Severity::Error,
                format!(
                    "{wire} cannot be engaged at {at} in {}: slot is rotated {} to the wire; limit {}.",
                    view.step.name,
                    say_deg(turn_rad.to_degrees()),
                    say_deg(limit_rad.to_degrees())
                ),
                Some((turn_rad.to_degrees().round(), limit_rad.to_degrees().round(), "deg")),
            ),
            Refusal::LetsGo { .. } => (
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
            // Said by the rule about the slot.
            _ => continue,
        };
        let place = refused
            .tooth
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
        if let Some(tooth) = refused.tooth {
            finding = finding.teeth([tooth]);
            let line = format!("bypass {} until doctor-decides", words.tooth(tooth));
            if severity == Severity::Error
                && let Some(fix) = judged.texts.clinical(
                    format!("leave {} out of the wire", words.tooth(tooth)),
                    judged.texts.add_to_step(view.arch, view.step, &[line]),
                )
            {
                finding = finding.fix(fix);
            }
        }
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    settle(words, list, out);
}
