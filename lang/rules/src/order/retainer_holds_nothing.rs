//! A bonded retainer on a tooth that is not there, or on one tooth alone.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/retainer-holds-nothing",
    severity: Severity::Error,
    page: include_str!("retainer_holds_nothing.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let Some(retention) = &context.case.retention else { return };
    let Some(place) = retention.place else { return };
    for (teeth, _) in &retention.fixed {
        let absent = |t: &Tooth| {
            let arch = context.case.arch(t.arch());
            let through = arch.is_some_and(|a| {
                let acts = a.steps.iter().flat_map(|s| &s.acts);
                acts.into_iter().any(
                    |act| matches!(&act.kind, ActKind::PickUp { teeth, .. } if teeth.contains(t)),
                )
            });
            !through && arch.and_then(|a| a.states.get(t)).is_some_and(|(s, _)| s.is_absent())
        };
        // Between the ends of a range a missing tooth is passed.
        let ends = [teeth.iter().min(), teeth.iter().max()].into_iter().flatten();
        let (severity, message, tooth) = if let Some(tooth) = ends.copied().find(absent) {
            let said =
                format!("The bonded retainer ends at {}, which is not there.", words.tooth(tooth));
            (RULE.severity, said, tooth)
        } else if let [tooth] = teeth.as_slice() {
            let said = format!("The bonded retainer is on {} alone.", words.tooth(*tooth));
            (Severity::Warning, said, *tooth)
        } else {
            continue;
        };
        out.push(
            Finding::new(RULE.code, severity, place, message)
                .why("A bonded retainer holds teeth to each other.")
                .note("Name the teeth that it joins, from one end to the other.")
                .teeth([tooth]),
        );
    }
}
