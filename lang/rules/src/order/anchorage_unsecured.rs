//! Maximum anchorage said, and nothing that gives it.

use crate::prelude::*;
use springline_model::case::{Anchorage, ArchCase};
use springline_model::step::Anchor;
use springline_syntax::vocabulary::direction_word;
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "order/anchorage-unsecured",
    severity: Severity::Warning,
    page: include_str!("anchorage_unsecured.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in &context.case.arches {
        let maximum = matches!(arch.anchorage, Some((Anchorage::Maximum, _)));
        let (place, step) = match (arch.anchorage, closing(context, arch)) {
            (Some((Anchorage::Maximum, place)), _) => (place, None),
            (None, Some((place, step))) => (place, Some(step)),
            _ => continue,
        };
        let held = !arch.bars.is_empty()
            || !arch.screws.is_empty()
            || arch.steps.iter().flat_map(|s| &s.acts).any(|a| match &a.kind {
                ActKind::Laceback { .. } => true,
                ActKind::Tie { teeth, .. } => {
                    teeth.iter().filter(|t| t.position() >= 5).count() >= 2
                }
                _ => false,
            });
        if held || arch.is_unread() {
            continue;
        }
        let words = context.words();
        let molars: Vec<Tooth> =
            arch.bonded.keys().copied().filter(|t| t.position() == 6).collect();
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            place,
            match &step {
                Some(step) => format!(
                    "Extraction spaces of the {} arch are closed in {step}, and nothing in the plan holds the \
                     posterior teeth.",
                    arch.arch
                ),
                None => format!(
                    "Maximum anchorage is planned in the {} arch, and nothing in the plan holds the posterior \
                     teeth.",
                    arch.arch
                ),
            },
        )
        .why("The posterior teeth come forward into the space meant for the anterior teeth.");
        if let [right, left] = molars.as_slice()
            && let Some(fix) = context
                .fix("transpalatal or lingual arch")
                .add_inside(
                    arch.place,
                    &format!(
                        "{} {} to {}",
                        direction_word("palatal-arch", &[*right, *left]),
                        words.tooth(*right),
                        words.tooth(*left)
                    ),
                )
                .done()
        {
            finding = finding.fix(fix);
        }
        if !maximum {
            // That effect may be intended; then the plan states it.
            finding.fixes.extend(
                context
                    .fix("state that the posterior teeth may come forward: anchorage minimum")
                    .add_inside(arch.place, "anchorage minimum")
                    .done(),
            );
        }
        if let Some(step) = step {
            finding = finding.step(step);
        }
        out.push(finding);
    }
}

/// A coming or running step in which coils pull the front back against single teeth behind an extraction
/// space.
fn closing(context: &RuleContext<'_>, arch: &ArchCase) -> Option<(Place, std::sync::Arc<str>)> {
    let extracted = arch.states.values().any(|(s, _)| crate::support::account::is_extraction(*s));
    if !extracted {
        return None;
    }
    context.views().into_iter().filter(|v| v.side() == arch.arch).find_map(|view| {
        let act = view.acts().find(|a| match &a.kind {
            ActKind::ClosingCoil { pulls, .. } => pulls.iter().any(|(a, b)| {
                let screw = |x: &Anchor| matches!(x, Anchor::Screw(_));
                !screw(a) && !screw(b) && a.tooth().position().max(b.tooth().position()) >= 5
            }),
            _ => false,
        })?;
        Some((view.act_place(act), view.step.name.clone()))
    })
}
