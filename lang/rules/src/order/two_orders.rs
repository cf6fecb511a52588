//! Two orders of one step for one place.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/two-orders",
    severity: Severity::Error,
    page: include_str!("two_orders.md"),
    check,
    ..Rule::PLAIN
};

/// Two acts that cannot both be done.
struct Clash {
    teeth: Vec<Tooth>,
    /// What happens to the teeth, after their names.
    said: &'static str,
    severity: Severity,
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        let acts = &view.step.acts;
        for (i, first) in acts.iter().enumerate() {
            for second in &acts[i + 1..] {
                let found = clash(&first.kind, &second.kind);
                let Some(clash) = found.or_else(|| clash(&second.kind, &first.kind)) else {
                    continue;
                };
                let mut finding = view
                    .finding(
                        RULE.code,
                        clash.severity,
                        view.act_place(second),
                        format!(
                            "{} in {}: {}.",
                            words.teeth(&clash.teeth),
                            view.step.name,
                            clash.said
                        ),
                    )
                    .related(first.place, "the other order")
                    .why(
                        "Both stand on the card, and whoever reads it has to guess which is meant.",
                    )
                    .teeth(clash.teeth.iter().copied());
                for act in [first, second] {
                    let whole = act.kind.teeth().iter().all(|t| clash.teeth.contains(t));
                    if whole && act.place.file == view.arch.place.file {
                        let fix = context.fix(format!("without `{}`", act.text));
                        finding.fixes.extend(fix.remove(act.place).done());
                    }
                }
                out.push(finding);
            }
        }
        out.extend(acts.iter().filter_map(|act| cut_and_left(&view, act)));
    }
}

/// What the two orders do to one place, in this order.
fn clash(a: &ActKind, b: &ActKind) -> Option<Clash> {
    use ActKind as K;
    let error = |teeth: Vec<Tooth>, said| {
        (!teeth.is_empty()).then_some(Clash { teeth, said, severity: Severity::Error })
    };
    let common = |x: &[Tooth], y: &[Tooth]| -> Vec<Tooth> {
        x.iter().copied().filter(|t| y.contains(t)).collect()
    };
    match (a, b) {
        (K::Bypass { teeth: x, .. }, K::Engage { teeth: y, .. } | K::PickUp { teeth: y, .. }) => {
            error(common(x, y), "left out of the wire and taken into it")
        }
        (K::Rebond { teeth: x, .. }, K::Reposition { teeth: y, .. }) => {
            error(common(x, y), "the bracket goes back where it was, and to a better place")
        }
        (K::OpenCoil { first, second, .. }, K::ClosedCoil { first: c, second: d, .. }) => {
            let same = span(*first, *second) == span(*c, *d);
            let said = "a coil between them that makes space, and one that keeps it";
            error(if same { vec![*first, *second] } else { Vec::new() }, said)
        }
        (K::Stop { spots: x }, K::Post { spots: y }) => {
            let same = x.iter().filter(|s| y.contains(s)).map(|s| s.tooth).collect();
            error(same, "a stop and a post on the wire in the same place")
        }
        (
            K::Sleeve { spans },
            K::OpenCoil { first, second, .. } | K::ClosedCoil { first, second, .. },
        ) => {
            let taken = spans.iter().any(|(a, b)| overlap((*a, *b), (*first, *second)));
            let said = "a coil between them, and a sleeve on the same wire";
            error(if taken { vec![*first, *second] } else { Vec::new() }, said)
        }
        (K::Laceback { pairs }, K::ClosingCoil { pulls, .. }) => {
            let same: Vec<Tooth> = pairs
                .iter()
                .filter(|p| pulls.iter().any(|(a, b)| overlap(**p, (a.tooth(), b.tooth()))))
                .flat_map(|(a, b)| [*a, *b])
                .collect();
            let said = "a laceback that holds, and a closing spring that pulls on the same side";
            error(same, said).map(|clash| Clash { severity: Severity::Warning, ..clash })
        }
        _ => None,
    }
}

/// From the patient's right to left.
fn span(a: Tooth, b: Tooth) -> (usize, usize) {
    (a.place().min(b.place()), a.place().max(b.place()))
}

/// They share a stretch of wire.
fn overlap(a: (Tooth, Tooth), b: (Tooth, Tooth)) -> bool {
    let (a, b) = (span(a.0, a.1), span(b.0, b.1));
    a.0 < b.1 && b.0 < a.1
}

/// The wire is cut back to its usual millimetre, where the same step leaves more behind the tube.
fn cut_and_left(view: &StepView<'_>, act: &Act) -> Option<Finding> {
    const LEFT_MM: f64 = 1.0;
    let ActKind::Trim { teeth } = &act.kind else { return None };
    let (tooth, slack) = teeth.iter().find_map(|t| {
        let end = view.step.ends.of(t.side());
        let here = end.place.is_some_and(|p| p.file == view.arch.place.file);
        let slack = end.slack.map(mm).filter(|s| here && *s > LEFT_MM + 1e-9)?;
        Some((*t, slack))
    })?;
    let message = format!(
        "The wire is cut behind {} in {}, and {} are to be left there.",
        view.words().tooth(tooth),
        view.step.name,
        say_mm(slack)
    );
    let finding = view.finding(RULE.code, Severity::Warning, view.act_place(act), message);
    Some(
        finding
            .why("The card says to leave the wire long and to cut it short.")
            .note("Write the slack that is meant, or leave `trim` out.")
            .teeth([tooth]),
    )
}
