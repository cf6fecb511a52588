//! Steel or beta-titanium where teeth are not in line yet.

use super::verdict::{judge_sustained, left_over, lightest_g};
use crate::course::{ToothLoad, put_in};
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/left-over",
    severity: Severity::Error,
    title: "too much misfit for steel or beta-titanium",
    finds: "How far the worst tooth is still out of line when a stiff wire is placed: a warning above 0.4 mm or \
           6 deg, an error above 0.9 mm or 12 deg (the practice limits for misfit and rotation). For a recorded \
           tooth it is the recorded figure; later, the misfit that the forecast expects to remain. Given in \
           millimetres rather than grams: with positions recorded to half a millimetre, grams would be \
           guesswork.",
    why: "A stiff wire puts its whole force on a tooth that is half a millimetre out of line, or is permanently \
         bent by it.",
    what_to_do: "A superelastic wire of that size first, or another visit on the wire before.",
    source: SIMULATION,
    accept_when: "It was measured at the chair and is less than recorded.",
    failing: r#"springline 1
case "SM-9102"
use saltmarsh
in-place 2026-11-23 {
  upper niti-18x25 since 2026-09-14
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 1 mm
  follow firm from work // <- here
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9102"
use saltmarsh
in-place 2026-11-23 {
  upper niti-18x25 since 2026-09-14
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 rotated 3 deg mesial-in
  follow firm from work
}
retain {
  night-time upper
}
"#,
    check,
};

/// Entries are made in half millimetres and five degrees: half of that each way.
const ENTRY_MM: f64 = 0.25;
const ENTRY_DEG: f64 = 2.5;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        let left = left_over(&view);
        let Some(worst) = left.first() else { continue };
        let tooth = worst.past.tooth;
        let (value, limit) = (worst.past.value, worst.past.limit);
        let (half, say): (f64, fn(f64) -> String) = match worst.unit {
            "mm" => (ENTRY_MM, say_mm),
            _ => (ENTRY_DEG, say_deg),
        };
        let entered = view.index == 0
            || view.phase.is_none_or(|p| {
                p.tooth(tooth).is_some_and(|t| t.origin == crate::model::Origin::Visit)
            });
        let how = if entered {
            format!(
                "{} is recorded {} out of line ({} to {})",
                words.tooth(tooth),
                say(value),
                plain(tenth((value - half).max(0.0))),
                say(value + half)
            )
        } else {
            format!("{} is expected to be still {} out of line", words.tooth(tooth), say(value))
        };
        let mut finding = view
            .finding(
                RULE.code,
                worst.past.severity,
                view.case_place(),
                format!(
                    "{how} when {} is placed for {}; limit {}.",
                    view.wire().label(),
                    view.step.name,
                    say(limit)
                ),
            )
            .why("A stiff wire puts its whole force on that tooth: check at the chair, or allow another visit.")
            .figure(
                if worst.unit == "mm" { (value * 100.0).round() / 100.0 } else { value.round() },
                limit,
                worst.unit,
            )
            .teeth(left.iter().map(|l| l.past.tooth));
        for other in left.iter().skip(1).take(3) {
            let text = if other.unit == "mm" {
                say_mm(other.past.value)
            } else {
                say_deg(other.past.value)
            };
            finding = finding.note(format!("{} {text}.", words.tooth(other.past.tooth)));
        }
        if let Some((name, grams)) = flexible_instead(judged, &view)
            && let Some(fix) = judged.texts.clinical(
                format!("{name} in {}", view.step.name),
                judged.texts.set_clause(view.arch, view.step, &format!("wire {name}")),
            )
        {
            finding = finding
                .fix(fix.outcome(format!("with {name}: {} g sustained", plain(grams.round()))));
        }
        let more = [gentler::wait_longer(judged, &view), gentler::split(judged, &view)];
        finding.fixes.extend(more.into_iter().flatten());
        list.push(Candidate::new(view.side(), value / limit, finding));
    }
    settle(words, list, out);
}

/// The stiffest superelastic wire of the drawer that sustains no more than its limits there, computed
/// with the teeth as they stand.
fn flexible_instead(judged: &Judged<'_>, view: &View<'_>) -> Option<(String, f64)> {
    let phase = view.phase?;
    let lightest = lightest_g(&phase.insertion);
    let mut drawer: Vec<_> = judged
        .case
        .house
        .wires
        .values()
        .filter(|w| w.alloy.is_niti() && !w.section.is_round())
        .collect();
    drawer.sort_by(|a, b| {
        let area = |w: &crate::model::Wire| {
            let (h, d) = sizes_mm(w.section);
            h * d
        };
        area(b).total_cmp(&area(a))
    });
    drawer.into_iter().take(4).find_map(|wire| {
        let insertion = put_in(&phase.setup.with_wire(wire));
        if insertion.refused.is_some() {
            return None;
        }
        let grams = |load: &ToothLoad| newtons_to_grams(load.sustained_n);
        let quiet = insertion
            .teeth
            .iter()
            .all(|load| judge_sustained(view, load.tooth, grams(load), lightest).is_none());
        let worst = insertion.worst_sustained().map_or(0.0, grams);
        quiet.then(|| (wire.name.to_string(), worst))
    })
}
