//! A first round wire thicker than the practice begins with where teeth are out of line.

use crate::prelude::*;
use crate::support::out_of_line::far_off;
use crate::support::stock_wires::lightest;

pub const RULE: Rule = Rule {
    code: "order/first-wire-too-thick",
    severity: Severity::Warning,
    page: include_str!("first_wire_too_thick.md"),
    check,
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

const INCH: f64 = 25.4;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let most_in = context.case.house.limits.warn(Limit::FirstRound);
    for view in context.views() {
        let wire = &view.wire().wire;
        // A wire that was in place when the case was entered has its own history.
        if view.index > 0 || context.case.in_place.is_some() || !view.knows_poses() {
            continue;
        }
        let size_in = mm(wire.section.height()) / INCH;
        let superelastic_round = wire.alloy.is_niti() && wire.section.is_round();
        if !superelastic_round || size_in <= most_in + 1e-6 {
            continue;
        }
        let far = far_off(&view);
        let Some(&(tooth, value, _, unit)) = far.first() else { continue };
        // How much it keeps on a tooth is the graver word.
        if RULE.yields(&view, RULE.severity) {
            continue;
        }
        let off = if unit == Unit::Mm { say_mm(value) } else { say_deg(value) };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "{} is the first wire, while {} is {off} out of line; limit {} in.",
                    view.wire().label(),
                    words.tooth(tooth),
                    plain(most_in)
                ),
            )
            .why("The thicker a round wire is, the more it binds in the slots of an arch that is out of line, and \
                the less it slides on.")
            .figure((size_in * 10_000.0).round() / 10_000.0, most_in, Unit::In)
            .teeth(far.iter().map(|f| f.0));
        if let Some(name) = lightest(context) {
            let fix = context
                .fix(format!("{name} in {}", view.step.name))
                .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                .done();
            finding.fixes.extend(fix);
        }
        list.push(Candidate::new(view.side(), size_in / most_in, finding));
    }
    merge_per_arch(words, list, out);
}
