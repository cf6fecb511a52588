//! A coil against front teeth that are not tied.

use super::coil::open_coils;
use crate::rules::prelude::*;

pub const RULE: Rule = Rule {
    code: "space/coil-without-ties",
    severity: Severity::Warning,
    title: "open coil against an untied or rotated tooth",
    finds: "An active open coil against an incisor that no tie, chain or pair of stops joins to its neighbour \
           on the far side, or against a tooth rotated by more than 20 deg.",
    why: "The coil rotates the one tooth it touches and moves it alone; the incisors should move together.",
    what_to_do: "Tie the incisors with a figure-eight ligature for as long as the coil is active; align a \
                rotated tooth first.",
    source: "common practice, no source",
    accept_when: "An active coil of 50 g or less, checked within weeks.",
    failing: r#"springline 1
case "SM-9211"
use saltmarsh
start 2026-11-23
goal {
  incisors forward
}
upper {
  bonded 15..13, 11..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 2 mm, space 5.5 mm
  follow usual
  change align, wire niti-18 {
    bypass 12 unbonded until space 7 mm
    open-coil between 13 and 11 with open-100, activated 3 mm each visit // <- here
  }
  step bring-in as align after align, wire niti-14, until passive, next 8 wk {
    pick-up 12 with twin
  }
}
retain {
  night-time upper
}
"#,
    passing: r#"springline 1
case "SM-9211"
use saltmarsh
start 2026-11-23
goal {
  incisors forward
}
upper {
  bonded 15..13, 11..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 2 mm, space 5.5 mm
  follow usual
  change align, wire niti-18 {
    bypass 12 unbonded until space 7 mm
    tie 11..22 figure-eight
    open-coil between 13 and 11 with open-100, activated 3 mm each visit
  }
  step bring-in as align after align, wire niti-14, until passive, next 8 wk {
    pick-up 12 with twin
  }
}
retain {
  night-time upper
}
"#,
    check,
};

/// So light a coil needs no tie, g.
const LIGHT_G: f64 = 50.0;
const TURNED_DEG: f64 = 20.0;

fn check(judged: &Judged<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = judged.words();
    for view in judged.views() {
        for coil in open_coils(&view).into_iter().filter(|c| c.new) {
            let force = coil.force_g().unwrap_or(0.0);
            if force <= LIGHT_G || !view.knows_poses() && coil.is_passive() {
                continue;
            }
            let between = format!("{} and {}", words.tooth(coil.right), words.tooth(coil.left));
            let pushed = [(coil.right, Side::Right), (coil.left, Side::Left)];
            let turned = pushed
                .iter()
                .map(|(t, _)| (*t, view.pose(*t).rotated_rad.abs().to_degrees()))
                .find(|(_, deg)| *deg > TURNED_DEG);
            let untied = pushed.iter().find_map(|(tooth, way)| {
                let beyond = view.next_in_wire(*tooth, *way)?;
                let loose = tooth.is_incisor()
                    && beyond.is_anterior()
                    && !view.are_tied(*tooth, beyond)
                    && !has_pair_of_stops(&view, *tooth, beyond);
                loose.then_some((*tooth, beyond))
            });
            let finding = if let Some((tooth, beyond)) = untied {
                let last = [1u32, 2]
                    .iter()
                    .rev()
                    .filter_map(|p| {
                        let quadrant = beyond.code() / 10;
                        Tooth::iso(quadrant * 10 + p)
                    })
                    .find(|t| view.is_in_wire(*t))
                    .unwrap_or(beyond);
                let line =
                    format!("tie {}..{} figure-eight", words.tooth(tooth), words.tooth(last));
                let mut finding = view
                    .finding(
                        RULE.code,
                        RULE.severity,
                        view.act_place(coil.act),
                        format!(
                            "The coil between {between} in {} pushes {} with {} g, and no tie joins it to {}.",
                            view.step.name,
                            words.tooth(tooth),
                            plain(force.round()),
                            words.tooth(beyond)
                        ),
                    )
                    .why("The tooth it touches rotates and moves alone; tied, the incisors move together.")
                    .figure(force.round(), LIGHT_G, "g")
                    .teeth([tooth]);
                if turned.is_none()
                    && let Some(fix) = judged.texts.clinical(
                        line.clone(),
                        judged.texts.add_to_step(view.arch, view.step, &[line]),
                    )
                {
                    finding = finding.fix(fix);
                }
                finding
            } else if let Some((tooth, deg)) = turned {
                view.finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(coil.act),
                    format!(
                        "The coil between {between} in {} pushes on {}, which is rotated {}.",
                        view.step.name,
                        words.tooth(tooth),
                        say_deg(deg)
                    ),
                )
                .why("A coil against a rotated tooth rotates it further.")
                .figure(deg.round(), TURNED_DEG, "deg")
                .teeth([tooth])
            } else {
                continue;
            };
            list.push(Candidate::new(view.side(), force, finding));
        }
    }
    settle(words, list, out);
}

/// Stops in the gap between two teeth, one against each: the wire holds them together.
fn has_pair_of_stops(view: &View<'_>, a: Tooth, b: Tooth) -> bool {
    use crate::rules::slide::travel::{Sliding, StopUse};
    let (right, left) = (a.min(b), a.max(b));
    Sliding::of(view).uses().contains(&StopUse::KeepsTogether(right, left))
}
