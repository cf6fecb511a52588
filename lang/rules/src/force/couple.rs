//! A couple that turns roots harder than they bear.

use super::verdict::insertion;
use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "force/couple",
    severity: Severity::Warning,
    page: include_str!("couple.md"),
    check,
    figure: Some(ToothFigure {
        judges: Judges::Couple,
        unsaid: Unsaid::Past(&[Limit::Couple, Limit::Torque]),
    }),
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limits = &context.case.house.limits;
    for view in context.views() {
        let asked = view
            .step
            .acts
            .iter()
            .any(|a| matches!(a.kind, ActKind::Torque { .. } | ActKind::Bend { .. }));
        if view.follows_done_work() && !asked {
            continue;
        }
        let Some(insertion) = insertion(&view) else { continue };
        if RULE.yields(&view, RULE.severity) {
            continue;
        }
        let worst = insertion
            .teeth
            .iter()
            .flat_map(|t| {
                let stop = |l: Limit| {
                    let f = limits.for_tooth(l, t.tooth).value;
                    f.stop.unwrap_or(f.warn)
                };
                let d = &t.delivered;
                [
                    (t.tooth, "rotation", d.rotation_nmm.abs(), stop(Limit::Couple)),
                    (t.tooth, "tip", d.tip_nmm.abs(), stop(Limit::Couple)),
                    (t.tooth, "torque", d.torque_nmm.abs(), stop(Limit::Torque)),
                ]
            })
            .max_by(|a, b| (a.2 / a.3).total_cmp(&(b.2 / b.3)));
        let Some((tooth, what, value, limit)) = worst.filter(|w| w.2 > w.3) else { continue };
        let act = view.step.acts.iter().find(|a| match &a.kind {
            ActKind::Torque { teeth, .. } | ActKind::Bend { teeth, .. } => teeth.contains(&tooth),
            _ => false,
        });
        let place = act.map_or(view.case_place(), |a| view.act_place(a));
        let (said, most) = apart(value, limit);
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                place,
                format!(
                    "{} applies a {} N·mm {what} moment to {} in {} after 0.2 mm of movement; limit {} N·mm.",
                    view.wire().label(),
                    plain(said),
                    words.tooth(tooth),
                    view.step.name,
                    plain(most)
                ),
            )
            .why("A moment moves the root; too much of it causes root resorption.")
            .figure(said, most, Unit::Nmm)
            .teeth([tooth]);
        match act.map(|a| (a, &a.kind)) {
            // What was asked for by hand is taken back by hand.
            Some((act, ActKind::Torque { angle, .. })) => {
                let asked = degrees(*angle);
                let less = (asked * limit / value).floor();
                if less > 0.0 {
                    finding.fixes.extend(context.less_now(act.place, asked, less, Unit::Deg));
                }
            }
            Some(_) => {}
            None => finding.fixes.extend(lighter_wire_fixes(context, &view)),
        }
        list.push(Candidate::new(view.side(), value / limit, finding));
    }
    merge_per_arch(words, list, out);
}
