//! A round stop on a wire with corners.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "slide/stop-slips",
    severity: Severity::Warning,
    page: include_str!("stop_slips.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let stops: Vec<Option<bool>> = context.case.house.stops.values().map(|s| s.for_round).collect();
    if stops.is_empty() {
        return;
    }
    for view in context.views() {
        let round = view.wire().wire.section.is_round();
        let fits = stops.iter().any(|s| s.is_none_or(|for_round| for_round == round));
        let Some((spot, act)) = view.state.stops().next() else { continue };
        if fits || view.step.carried.iter().any(|a| a.place == act.place) {
            continue;
        }
        let (on, made) = if round { ("round", "rectangular") } else { ("rectangular", "round") };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.act_place(act),
                format!(
                    "The stop {} in {} is on a {on} wire; every stop in the practice file is for {made} wires.",
                    words.spot(spot.along, spot.tooth),
                    view.step.name
                ),
            )
            .why("A stop for the other section slips and holds nothing.")
            .teeth([spot.tooth]);
        finding.fixes.extend(context.fix("remove the stop").remove(act.place).done());
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(words, list, out);
}
