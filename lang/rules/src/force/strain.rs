//! A wire bent beyond its elastic limit.

use super::verdict::{LimitExceeded, insertion, passes, worst_first};
use crate::prelude::*;
use springline_model::limits::SUPERELASTIC_STRAIN;

pub const RULE: Rule = Rule {
    code: "force/strain",
    severity: Severity::Error,
    page: include_str!("strain.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::NoForce, unsaid: Unsaid::Past(&[Limit::Strain]) }),
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limits = &context.case.house.limits;
    for view in context.views() {
        let Some(insertion) = insertion(&view).filter(|_| !view.follows_done_work()) else {
            continue;
        };
        let niti = view.wire().wire.alloy.is_niti();
        let mut bent: Vec<LimitExceeded> = insertion
            .teeth
            .iter()
            .filter_map(|t| {
                let share =
                    if niti { t.strain / SUPERELASTIC_STRAIN } else { t.strain_fraction } * 100.0;
                let figures = limits.for_tooth(Limit::Strain, t.tooth).value;
                let (severity, limit) = passes(share, figures)?;
                Some(LimitExceeded { severity, tooth: t.tooth, value: share, limit })
            })
            .collect();
        worst_first(&mut bent);
        let Some(worst) = bent.first() else { continue };
        if RULE.yields(&view, worst.severity) {
            continue;
        }
        let strain = insertion.tooth(worst.tooth).map_or(0.0, |t| t.strain * 100.0);
        let (of, why) = if niti {
            (
                format!("the {} % at which it is refused", plain(SUPERELASTIC_STRAIN * 100.0)),
                "It is published to recover from 6 to 8 %; any strain beyond that may be permanent.",
            )
        } else {
            (
                "its elastic limit".to_owned(),
                "Beyond its elastic limit the wire takes a permanent bend and no longer moves the tooth.",
            )
        };
        let mut finding = view
            .finding(
                RULE.code,
                worst.severity,
                view.case_place(),
                format!(
                    "{} is strained {} % beside {} in {}, {} % of {of}.",
                    view.wire().label(),
                    plain(tenth(strain)),
                    words.tooth(worst.tooth),
                    view.step.name,
                    plain(worst.value.round())
                ),
            )
            .why(why)
            .figure(worst.value.round(), worst.limit, Unit::Percent)
            .teeth(bent.iter().map(|p| p.tooth));
        finding.fixes.extend(lighter_wire_fixes(context, &view));
        finding.fixes.extend(lighter_wire::one_wing(context, &view, worst.tooth));
        list.push(Candidate::new(view.side(), worst.value / worst.limit, finding));
    }
    merge_per_arch(words, list, out);
}
