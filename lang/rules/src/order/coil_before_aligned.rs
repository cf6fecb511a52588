//! A coil on the first wire of an arch that is not aligned.

use crate::prelude::*;
use crate::support::out_of_line::far_off;
use springline_model::step::Activation;

pub const RULE: Rule = Rule {
    code: "order/coil-before-aligned",
    severity: Severity::Warning,
    page: include_str!("coil_before_aligned.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        if view.index > 0 || context.case.in_place.is_some() || view.is_in_mouth() {
            continue;
        }
        let pushes = |a: &&Act| matches!(&a.kind, ActKind::OpenCoil { activation, .. } if *activation != Activation::Passive);
        let Some(act) = view.step.acts.iter().find(pushes) else { continue };
        let far = far_off(&view);
        let Some(&(tooth, value, limit, unit)) = far.first() else { continue };
        let say = |v: f64| if unit == Unit::Mm { say_mm(v) } else { say_deg(v) };
        let finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.act_place(act),
                format!(
                    "A coil is placed on the first wire, {}, while {} is {} out of line; limit {}.",
                    view.wire().label(),
                    words.tooth(tooth),
                    say(value),
                    say(limit)
                ),
            )
            .why("A wire that bends from slot to slot neither guides what the coil pushes nor keeps it from turning.")
            .figure(if unit == Unit::Mm { tenth(value) } else { value.round() }, limit, unit)
            .teeth(far.iter().map(|f| f.0));
        list.push(Candidate::new(view.side(), value / limit, finding));
    }
    merge_per_arch(words, list, out);
}
