//! A tooth that the plan leaves out of the wire although nothing keeps it out.

use crate::prelude::*;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "space/left-out-without-need",
    severity: Severity::Warning,
    page: include_str!("left_out_without_need.md"),
    check,
    ..Rule::PLAIN
};

/// Lacking space under this counts as none.
const SHORT_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limits = &context.case.house.limits;
    for view in context.views() {
        if view.is_in_mouth() {
            continue;
        }
        for act in &view.step.acts {
            let ActKind::Bypass { teeth, unbonded: false, until } = &act.kind else { continue };
            let by_time = |t: &Term| matches!(t, Term::Time { .. } | Term::Passive);
            // One that waits for space or for the bite has its reason in the condition.
            if until.as_ref().is_some_and(|u| !u.terms.iter().all(by_time)) {
                continue;
            }
            let needless: Vec<Tooth> =
                teeth.iter().copied().filter(|t| !needs_it(&view, *t)).collect();
            if needless.is_empty() {
                continue;
            }
            let which = words.teeth(&needless);
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.act_place(act),
                    format!(
                        "{which} {} left out of the wire in {}: it has its space, stands within {} and is rotated by no more than {}.",
                        if needless.len() == 1 { "is" } else { "are" },
                        view.step.name,
                        say_mm(limits.warn(Limit::LeftOut)),
                        say_deg(limits.warn(Limit::LeftOutTurn))
                    ),
                )
                .why("A tooth that the wire could take from the start loses the weeks of that wire, and its neighbours drift.")
                .teeth(needless.iter().copied());
            if needless.len() == teeth.len() {
                let fix = context.fix(format!("take {which} into the wire")).remove(act.place);
                finding.fixes.extend(fix.done());
            }
            list.push(Candidate::new(view.side(), needless.len() as f64, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// Space, place, rotation, bite or a doctor's caution keep it out.
fn needs_it(view: &StepView<'_>, tooth: Tooth) -> bool {
    let pose = view.pose(tooth);
    let stand = current_stand(view.case, view.arch, tooth);
    let short = stand.space.map(|space| width_mm(view.arch, tooth) - mm(space));
    let unknown = short.is_none() && view.arch.crowding.is_some();
    let bite = view.context.bite();
    let limit = |limit: Limit| view.case.house.limits.for_tooth(limit, tooth).value.warn;
    let behind = bite.crossbite.contains(&tooth) && !bite.over_the_bite.contains(&tooth);
    short.is_some_and(|s| s > SHORT_MM)
        || unknown
        || behind
        || pose.off_mm() > limit(Limit::LeftOut)
        || pose.off_deg() > limit(Limit::LeftOutTurn)
        || view.arch.cautions.iter().any(|c| c.tooth == tooth)
}
