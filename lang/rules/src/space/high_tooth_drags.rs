//! A high tooth tied into a continuous wire.

use crate::prelude::*;
use crate::support::bring_in::bring_in;
use crate::support::make_space::make_space;
use crate::support::stock_wires::lightest_round;
use springline_course::ToothStatus;

pub const RULE: Rule = Rule {
    code: "space/high-tooth-drags",
    severity: Severity::Error,
    page: include_str!("high_tooth_drags.md"),
    check,
    ..Rule::PLAIN
};

const HIGH_MM: f64 = 3.0;
/// So high a tooth is brought near before a continuous wire holds it (common practice, no source).
const TOO_HIGH_MM: f64 = 5.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let wire = &view.wire().wire;
        let lightest = wire.alloy.is_niti()
            && wire.section.is_round()
            && mm(wire.section.height()) <= 0.012 * 25.4 + 1e-6;
        if lightest || view.is_in_mouth() || !view.knows_poses() {
            continue;
        }
        let mut high: Vec<(Tooth, f64)> = view
            .state
            .teeth
            .iter()
            .filter(|t| t.status == ToothStatus::Engaged)
            .filter_map(|t| Some((t.tooth, above_neighbours(&view, t.tooth)?)))
            .filter(|(_, by)| *by > HIGH_MM + 1e-6)
            .collect();
        high.retain(|(t, _)| view.index == 0 || !view.follows_done_work() || !view.was_in_wire(*t));
        high.sort_by(|a, b| b.1.total_cmp(&a.1));
        let Some(&(tooth, by)) = high.first() else { continue };
        let beside: Vec<Tooth> = [Side::Right, Side::Left]
            .into_iter()
            .filter_map(|way| view.next_in_wire(tooth, way))
            .collect();
        let (severity, limit) = match by > TOO_HIGH_MM + 1e-6 {
            true => (Severity::Error, TOO_HIGH_MM),
            false => (Severity::Warning, HIGH_MM),
        };
        let place = described(view.arch, tooth).unwrap_or(view.case_place());
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                place,
                format!(
                    "{} is {} gingival to {} and engaged in {} in {}; limit {}.",
                    words.tooth(tooth),
                    say_mm(by),
                    words.teeth(&beside),
                    wire.label(),
                    view.step.name,
                    say_mm(limit)
                ),
            )
            .why("Extruding it intrudes its neighbours, and a lateral open bite develops.")
            .figure(tenth(by), limit, Unit::Mm)
            .teeth(high.iter().map(|h| h.0));
        if let Some(light) = lightest_round(context) {
            let fix = context
                .fix(format!("{light} first, in {}", view.step.name))
                .set_clause(view.arch, view.step, ClauseKind::Wire, &light)
                .done();
            finding.fixes.extend(fix);
        }
        if severity == Severity::Error {
            finding.fixes.extend(bring_in(context, &view, tooth));
            finding.fixes.extend(make_space(context, &view, tooth, true));
        }
        list.push(Candidate::new(view.side(), by, finding));
    }
    merge_per_arch(words, list, out);
}

/// How much further gingival it is than the mean of its neighbours.
fn above_neighbours(view: &StepView<'_>, tooth: Tooth) -> Option<f64> {
    let beside: Vec<f64> = [Side::Right, Side::Left]
        .into_iter()
        .filter_map(|way| view.next_in_wire(tooth, way))
        .map(|n| view.pose(n).gingival_mm)
        .collect();
    let mean = beside.iter().sum::<f64>() / beside.len().max(1) as f64;
    (!beside.is_empty()).then(|| view.pose(tooth).gingival_mm - mean)
}
