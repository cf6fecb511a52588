//! Separators where no band follows.

use crate::prelude::*;
use springline_model::step::Act;

pub const RULE: Rule = Rule {
    code: "order/separators-without-band",
    severity: Severity::Warning,
    page: include_str!("separators_without_band.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in &context.case.arches {
        let in_steps = arch.steps.iter().flat_map(|s| &s.acts);
        let written = arch.extras.iter().chain(in_steps);
        for act in written.filter(|a| a.place.file == arch.place.file) {
            let ActKind::Separators { teeth, .. } = &act.kind else { continue };
            let banded = |t: &&Tooth| arch.bonded.get(t).is_some_and(|b| b.bracket.on_band);
            let bare: Vec<Tooth> = teeth.iter().filter(|t| !banded(t)).copied().collect();
            // A range over several teeth is for the bands among them.
            if bare.len() < teeth.len() || bare.is_empty() {
                continue;
            }
            let which = words.teeth(&bare);
            let message = format!("Separators are placed at {which}, and no band follows there.");
            let mut finding = Finding::new(RULE.code, RULE.severity, act.place, message)
                .why("They open contacts for a band; a tube or bracket needs none.")
                .teeth(bare.iter().copied());
            finding.fixes.extend(banded_instead(context, arch, &bare));
            finding.fixes.extend(without(context, act));
            out.push(finding);
        }
    }
}

fn without(context: &RuleContext<'_>, act: &Act) -> Option<springline_finding::Fix> {
    context.fix(format!("without `{}`", act.text)).remove(act.place).done()
}

/// Bands in the place of the tubes, where one statement has just these teeth.
fn banded_instead(
    context: &RuleContext<'_>,
    arch: &springline_model::case::ArchCase,
    teeth: &[Tooth],
) -> Option<springline_finding::Fix> {
    let words = context.words();
    let bonding = arch.bonded.get(teeth.first()?).filter(|b| b.bracket.is_tube)?;
    let alike: Vec<Tooth> =
        arch.bonded.iter().filter(|(_, b)| b.place == bonding.place).map(|(t, _)| *t).collect();
    let same = alike.len() == teeth.len() && alike.iter().all(|t| teeth.contains(t));
    let line = format!("banded {} with {}", words.list(teeth), bonding.bracket.name);
    same.then(|| context.fix(line.clone()).replace_statement(bonding.place, &[line]).done())
        .flatten()
}
