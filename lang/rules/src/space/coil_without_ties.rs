//! A coil against front teeth that are not tied.

use super::coil::open_coils;
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "space/coil-without-ties",
    severity: Severity::Warning,
    page: include_str!("coil_without_ties.md"),
    check,
    ..Rule::PLAIN
};

/// So light a coil needs no tie, g.
const LIGHT_G: f64 = 50.0;
const TURNED_DEG: f64 = 20.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
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
                    .figure(force.round(), LIGHT_G, Unit::G)
                    .teeth([tooth]);
                if turned.is_none()
                    && let Some(fix) =
                        context.fix(line.clone()).add_to_step(view.arch, view.step, &[line]).done()
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
                .figure(deg.round(), TURNED_DEG, Unit::Deg)
                .teeth([tooth])
            } else {
                continue;
            };
            list.push(Candidate::new(view.side(), force, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// Stops in the gap between two teeth, one against each: the wire holds them together.
fn has_pair_of_stops(view: &StepView<'_>, a: Tooth, b: Tooth) -> bool {
    use springline_course::sliding::StopUse;
    let (right, left) = (a.min(b), a.max(b));
    view.sliding().uses().contains(&StopUse::KeepsTogether(right, left))
}
