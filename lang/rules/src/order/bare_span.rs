//! A long stretch of bare wire.

use crate::prelude::*;

pub const RULE: Rule = Rule {
    code: "order/bare-span",
    severity: Severity::Warning,
    page: include_str!("bare_span.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limit = context.case.house.limits.of(Limit::Span).value.warn;
    for view in context.views() {
        let wire = &view.wire().wire;
        if wire.alloy == springline_model::Alloy::Steel && !wire.section.is_round()
            || view.is_in_mouth()
        {
            continue;
        }
        let teeth = view.in_wire();
        let mut bare: Vec<(Tooth, Tooth, f64)> = teeth
            .windows(2)
            .map(|w| (w[0], w[1]))
            .filter(|(a, b)| b.place() > a.place() + 1)
            .filter(|(a, b)| !is_covered(&view, *a, *b) && !is_forgotten(&view, *a, *b))
            .filter_map(|(a, b)| Some((a, b, view.layout.free_wire_mm(a, b)?)))
            .filter(|(_, _, free)| *free > limit + 1e-6)
            .collect();
        bare.sort_by(|x, y| y.2.total_cmp(&x.2));
        let Some(&(a, b, free)) = bare.first() else { continue };
        let spans: Vec<String> = bare
            .iter()
            .map(|(a, b, _)| format!("between {} and {}", words.tooth(*a), words.tooth(*b)))
            .collect();
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "{} of bare wire between {} and {} in {} has no sleeve; limit {}.",
                    say_mm(free),
                    words.tooth(a),
                    words.tooth(b),
                    view.step.name,
                    say_mm(limit)
                ),
            )
            .why("A long bare span lacerates the lip and is pulled out of the adjacent brackets.")
            .figure(tenth(free), limit, Unit::Mm)
            .teeth([a, b]);
        let line = format!("sleeve {}", spans.join(", "));
        if let Some(fix) =
            context.fix(line.clone()).add_to_step(view.arch, view.step, &[line]).done()
        {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), free, finding));
    }
    merge_per_arch(words, list, out);
}

/// Whether a sleeve or a coil covers the span.
fn is_covered(view: &StepView<'_>, a: Tooth, b: Tooth) -> bool {
    let over = |x: Tooth, y: Tooth| {
        x.place().min(y.place()) <= a.place() && x.place().max(y.place()) >= b.place()
    };
    view.acts().any(|act| match &act.kind {
        ActKind::Sleeve { spans } => spans.iter().any(|(x, y)| over(*x, *y)),
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            over(*first, *second)
        }
        _ => false,
    })
}

/// A permanent bypass is reported elsewhere.
fn is_forgotten(view: &StepView<'_>, a: Tooth, b: Tooth) -> bool {
    let inside = |t: &Tooth| a.place() < t.place() && t.place() < b.place();
    view.acts().any(|act| match &act.kind {
        ActKind::Bypass { teeth, until: None, .. } => teeth.iter().filter(|t| inside(t)).any(|t| {
            !view.arch.steps.iter().skip(view.index + 1).any(|s| {
                s.acts.iter().any(|x| match &x.kind {
                    ActKind::Engage { teeth, .. } | ActKind::PickUp { teeth, .. } => {
                        teeth.contains(t)
                    }
                    ActKind::Piggyback { within, .. } => within.contains(t),
                    _ => false,
                })
            })
        }),
        _ => false,
    })
}
