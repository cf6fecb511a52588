//! A superelastic wire that goes on pushing.

use super::verdict::{insertion, lightest_g, others, sustained};
use crate::rules::order::strength::is_rigid_alloy;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/sustained",
    severity: Severity::Error,
    title: "wire keeps too much force on a tooth",
    finds: "The force a superelastic wire still has on a tooth after the worst tooth has given half a millimetre, \
            against two things at once: the house's figure (60 g warns, 300 g stops) and the same figure of 0.014 in \
            the same arch (1.2 times warns, 2.5 times stops). Both must be passed. The force when the wire goes in \
            is higher and is judged apart, as a backstop.",
    why: "In a crowded arch a heavy wire goes on pushing for millimetres, where 0.014 lets go. After aligning even a \
          full wire has a high peak and nothing after half a millimetre.",
    what_to_do: "A lighter wire first; often one visit more on 0.014 is all it takes.",
    source: SIMULATION,
    accept_when: "It is the only tooth out of line, and the figure is near the limit.",
    failing: r#"springline 1
case "SM-9101"
use saltmarsh
start 2026-11-23
patient growing
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.5 mm, rotated 15 deg mesial-in
  tooth 41 labial 1 mm
  tooth 32 lingual 1.5 mm, rotated 10 deg mesial-in
  follow usual
  change align, wire niti-16x22 // <- here
}
retain {
  fixed 43..33
}
"#,
    passing: r#"springline 1
case "SM-9101"
use saltmarsh
start 2026-11-23
patient growing
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.5 mm, rotated 15 deg mesial-in
  tooth 41 labial 1 mm
  tooth 32 lingual 1.5 mm, rotated 10 deg mesial-in
  follow usual
}
retain {
  fixed 43..33
}
"#,
    check,
};

/// Below this a warning is worded as on the edge, g.
const EDGE_G: f64 = 100.0;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        let heavy = sustained(&view);
        let Some(worst) = heavy.first() else { continue };
        if worst.severity == Severity::Warning
            && crate::rules::order::level_before_aligned::is_due(&view)
        {
            continue;
        }
        let Some(insertion) = insertion(&view) else { continue };
        let reference = lightest_g(insertion);
        let name = view.wire().label();
        let light = lightest_in_drawer(judged).map(|w| w.name.to_string());
        let light_name = light.clone().unwrap_or_else(|| "0.014 in superelastic".to_owned());
        let tooth = words.tooth(worst.tooth);
        let grams = plain(worst.value.round());
        let message = match reference {
            Some(r) if worst.severity == Severity::Warning && worst.value < EDGE_G => format!(
                "On the edge: {name} keeps {grams} g on {tooth} in {} after half a millimetre; {light_name} would keep \
                 {} g.",
                view.step.name,
                plain(r.round())
            ),
            Some(r) if r >= 1.0 => format!(
                "{name} keeps {grams} g on {tooth} in {} after half a millimetre, {} your {light_name}.",
                view.step.name,
                say_times(worst.value / r)
            ),
            _ => format!(
                "{name} keeps {grams} g on {tooth} in {} after half a millimetre; {light_name} keeps nothing there.",
                view.step.name
            ),
        };
        let why = if worst.value < EDGE_G {
            "Fine if that is the only tooth out of line; else one visit more on the lighter wire."
        } else {
            "It goes on pushing for millimetres, where the lightest wire lets go."
        };
        let mut finding = view
            .finding(RULE.code, worst.severity, view.case_place(), message)
            .why(why)
            .figure(worst.value.round(), worst.limit.round(), "g")
            .teeth(heavy.iter().map(|p| p.tooth));
        if let Some(note) = others(&view, &heavy, "g") {
            finding = finding.note(note);
        }
        if let Some(name) = light
            && let Some(fix) = judged.texts.clinical(
                format!("{name} in {}", view.step.name),
                judged.texts.set_clause(view.arch, view.step, &format!("wire {name}")),
            )
        {
            let then = reference.map_or("lets go at once".to_owned(), |r| {
                format!("{} g at most", plain(r.round()))
            });
            finding = finding.fix(fix.outcome(format!("with {name}: {then}")));
        }
        let more = [gentler::wait_longer(judged, &view), gentler::split(judged, &view)];
        finding.fixes.extend(more.into_iter().flatten());
        list.push(Candidate::new(view.side(), worst.value / worst.limit.max(1.0), finding));
    }
    settle(words, list, out);
}

/// The drawer's 0.014 superelastic round wire.
pub(in crate::rules) fn lightest_in_drawer<'a>(
    judged: &Judged<'a>,
) -> Option<&'a crate::model::Wire> {
    let is_014 = |w: &crate::model::Wire| (mm(w.section.height()) - 0.014 * 25.4).abs() < 0.013;
    judged
        .case
        .house
        .wires
        .values()
        .map(|w| w.as_ref())
        .find(|w| !is_rigid_alloy(w) && w.section.is_round() && is_014(w))
}
