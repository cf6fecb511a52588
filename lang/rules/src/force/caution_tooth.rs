//! A tooth that bears only half.

use super::verdict::insertion;
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/caution-tooth",
    severity: Severity::Warning,
    page: include_str!("caution_tooth.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::Delivered, unsaid: Unsaid::Never }),
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let Some(insertion) = insertion(&view).filter(|_| !view.follows_done_work()) else {
            continue;
        };
        if RULE.yields(&view, RULE.severity) {
            continue;
        }
        for caution in &view.arch.cautions {
            let Some(load) = insertion.tooth(caution.tooth) else { continue };
            let limit =
                context.case.house.limits.for_tooth(Limit::Bodily, caution.tooth).value.warn / 2.0;
            let grams = newtons_to_grams(load.delivered_n);
            if grams <= limit {
                continue;
            }
            let (said, most) = apart(grams, limit);
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    caution.place,
                    format!(
                        "{} delivers {} g on {} in {}; limit for this tooth ({}) {} g, half the usual.",
                        view.wire().label(),
                        plain(said),
                        words.tooth(caution.tooth),
                        view.step.name,
                        caution.why,
                        plain(most)
                    ),
                )
                .why("Limits are halved for this tooth.")
                .figure(said, most, Unit::G)
                .teeth([caution.tooth]);
            finding.fixes.extend(lighter_wire_fixes(context, &view));
            finding.fixes.extend(lighter_wire::one_wing(context, &view, caution.tooth));
            finding.fixes.extend(lighter_wire::leave_out(context, &view, caution.tooth));
            list.push(Candidate::new(view.side(), grams / limit, finding));
        }
    }
    merge_per_arch(words, list, out);
}
