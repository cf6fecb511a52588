//! A wire whose end is to be turned in or cinched behind a tooth that has no tube.

use crate::prelude::*;
use springline_model::step::EndKind;

pub const RULE: Rule = Rule {
    code: "order/no-tube-at-the-end",
    severity: Severity::Warning,
    page: include_str!("no_tube_at_the_end.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in context.case.arches.iter().filter(|a| !a.is_unread()) {
        let views = context.views();
        let bent = |v: &&StepView<'_>| {
            v.side() == arch.arch && !v.acts().any(|a| matches!(a.kind, ActKind::Sectional { .. }))
        };
        let Some((view, teeth)) = views.iter().filter(bent).find_map(|v| {
            let bare = bare_ends(v);
            (!bare.is_empty()).then_some((v, bare))
        }) else {
            continue;
        };
        let named = words.teeth(&teeth);
        let verb = if teeth.len() > 1 { "have" } else { "has" };
        let message = format!(
            "The wire of {} ends behind {named}, which {verb} a bracket and no tube.",
            view.step.name
        );
        let place = arch.bonded.get(&teeth[0]).map_or(arch.place, |b| b.place);
        let mut finding = view
            .finding(RULE.code, RULE.severity, place, message)
            .why("The end slips out of a bracket, and what was to be held there is not.")
            .teeth(teeth.iter().copied());
        finding.fixes.extend(molars(context, view, &teeth));
        out.push(finding);
    }
}

/// Last teeth of the wire with an open slot, on sides on which the end is bent.
fn bare_ends(view: &StepView<'_>) -> Vec<Tooth> {
    let wire = view.in_wire();
    let ends = [(Side::Right, wire.first()), (Side::Left, wire.last())];
    let bare = ends.into_iter().filter_map(|(side, tooth)| {
        let tooth = *tooth?;
        let kind = view.step.ends.of(side).kind;
        let held = matches!(kind, EndKind::TurnedIn | EndKind::Cinched);
        let slot = view.bracket(tooth).is_some_and(|b| !b.is_tube);
        (held && slot && tooth.position() < 7).then_some(tooth)
    });
    bare.collect()
}

/// Tubes on the first molars behind, where these are there and not bonded.
fn molars(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    ends: &[Tooth],
) -> Option<springline_finding::Fix> {
    let tube = context.case.house.first_bracket(true)?;
    let six = |end: &Tooth| {
        let molar = Tooth::iso(end.code() / 10 * 10 + 6)?;
        let free = !view.arch.bonded.contains_key(&molar) && !view.arch.states.contains_key(&molar);
        (end.position() < 6 && free).then_some(molar)
    };
    let molars: Vec<Tooth> = ends.iter().map(six).collect::<Option<_>>()?;
    let line = format!("tubes {} with {}", context.words().list(&molars), tube.name);
    context.fix(line.clone()).add_inside(view.arch.place, &line).done()
}
