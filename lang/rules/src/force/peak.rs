//! The force when the wire goes in.

use super::verdict::{others, past};
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/peak",
    severity: Severity::Error,
    page: include_str!("peak.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::Peak, unsaid: Unsaid::Past(&[Limit::Peak]) }),
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let heavy = past(&view, Limit::Peak, |t| newtons_to_grams(t.peak_n));
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
                    "{} puts {} g on {} on insertion in {}; limit {} g.",
                    view.wire().label(),
                    plain(said),
                    words.tooth(worst.tooth),
                    view.step.name,
                    plain(most)
                ),
            )
            .why("Causes pain and may open slides before anything moves.")
            .figure(said, most, Unit::G)
            .teeth(heavy.iter().map(|p| p.tooth));
        if let Some(note) = others(&view, &heavy, Unit::G) {
            finding = finding.note(note);
        }
        finding.fixes.extend(lighter_wire_fixes(context, &view));
        finding.fixes.extend(lighter_wire::one_wing(context, &view, worst.tooth));
        list.push(Candidate::new(view.side(), worst.value / worst.limit, finding));
    }
    merge_per_arch(words, list, out);
}
