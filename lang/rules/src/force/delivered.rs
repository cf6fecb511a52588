//! The second opinion on steel and beta-titanium: the force once the teeth have given a little.

use super::verdict::{others, past};
use crate::prelude::*;
use crate::support::strength::is_rigid_alloy;

pub const RULE: Rule = Rule {
    code: "force/delivered",
    severity: Severity::Error,
    page: include_str!("delivered.md"),
    check,
    figure: Some(ToothFigure {
        judges: Judges::Delivered,
        unsaid: Unsaid::Past(&[Limit::Delivered]),
    }),
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        if !is_rigid_alloy(&view.wire().wire) {
            continue;
        }
        let heavy = past(&view, Limit::Delivered, |t| newtons_to_grams(t.delivered_n));
        let Some(worst) = heavy.first() else { continue };
        if RULE.yields(&view, worst.severity) {
            continue;
        }
        let (said, most) = apart(worst.value, worst.limit);
        let mut finding = view
            .finding(
                RULE.code,
                worst.severity,
                view.case_place(),
                format!(
                    "{} still delivers {} g on {} in {} after 0.2 mm of movement; limit {} g.",
                    view.wire().label(),
                    plain(said),
                    words.tooth(worst.tooth),
                    view.step.name,
                    plain(most)
                ),
            )
            .why("Small misfits side by side add up under a stiff wire.")
            .figure(said, most, Unit::G)
            .teeth(heavy.iter().map(|p| p.tooth));
        if let Some(note) = others(&view, &heavy, Unit::G) {
            finding = finding.note(note);
        }
        finding.fixes.extend(lighter_wire_fixes(context, &view));
        list.push(Candidate::new(view.side(), worst.value / worst.limit, finding));
    }
    merge_per_arch(words, list, out);
}
