//! Spaces closed on a wire that lets the teeth tip.

use crate::prelude::*;
use crate::support::strength::is_at_least;
use springline_model::stock::Alloy;

pub const RULE: Rule = Rule {
    code: "order/closing-wire-too-light",
    severity: Severity::Error,
    page: include_str!("closing_wire_too_light.md"),
    check,
    ..Rule::PLAIN
};

/// The lightest steel that holds teeth upright as they close; a size less where it fills a small slot (common practice,
/// no source).
struct LeastWire {
    height_in: f64,
    depth_in: f64,
    round_in: f64,
}

impl LeastWire {
    fn of(view: &StepView<'_>) -> LeastWire {
        /// Slots of 0.018 and 0.022 in are sold, as milled.
        const SMALL_IN: f64 = 0.020;
        let brackets = view.in_wire().into_iter().filter_map(|t| view.bracket(t));
        let mut heights = brackets.filter(|b| !b.is_tube).map(|b| mm(b.slot_height)).peekable();
        let small = heights.peek().is_some() && heights.all(|h| h < SMALL_IN * 25.4);
        match small {
            true => LeastWire { height_in: 0.016, depth_in: 0.022, round_in: 0.016 },
            false => LeastWire { height_in: 0.019, depth_in: 0.025, round_in: 0.018 },
        }
    }
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let Some(act) = view.acts().find(|a| matches!(a.kind, ActKind::ClosingCoil { .. })) else {
            list.extend(chained(context, &view));
            continue;
        };
        let wire = &view.wire().wire;
        let steel = matches!(wire.alloy, Alloy::Steel | Alloy::CobaltChromium);
        let round = wire.section.is_round();
        let needed = LeastWire::of(&view);
        let enough = steel
            && match round {
                true => is_at_least(wire, needed.round_in, needed.round_in),
                false => is_at_least(wire, needed.height_in, needed.depth_in),
            };
        if enough {
            continue;
        }
        let weak = (wire.alloy.is_niti() && round) || view.step.kind == StepKind::Align;
        let severity = if weak { Severity::Error } else { Severity::Warning };
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                view.case_place(),
                format!(
                    "Spaces are closed in {} on {}; at least {} × {} in, or {} in round steel, is needed.",
                    view.step.name,
                    view.wire().label(),
                    needed.height_in,
                    needed.depth_in,
                    needed.round_in
                ),
            )
            .why("The wire bows and the teeth tip into the space.")
            .related(view.act_place(act), "closed with this");
        let steel = context.case.house.wires.values().find(|w| {
            w.alloy == Alloy::Steel
                && !w.section.is_round()
                && is_at_least(w, needed.height_in, needed.depth_in)
                && view.in_wire().into_iter().filter_map(|t| view.bracket(t)).all(|b| {
                    let (h, d) = sizes_mm(w.section);
                    h <= mm(b.slot_height) - 0.02 && d <= mm(b.slot_depth) - 0.02
                })
        });
        if let Some(steel) = steel
            && let Some(fix) = context
                .fix(format!("{} in {}", steel.name, view.step.name))
                .set_clause(view.arch, view.step, ClauseKind::Wire, &steel.name)
                .done()
        {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// A chain pulls on teeth that a round or aligning wire cannot keep upright.
fn chained(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<Candidate> {
    let words = context.words();
    let act = view.acts().find(|a| matches!(a.kind, ActKind::Chain { .. }))?;
    let wire = &view.wire().wire;
    let weak =
        (wire.alloy.is_niti() && wire.section.is_round()) || view.step.kind == StepKind::Align;
    let ActKind::Chain { teeth, .. } = &act.kind else { return None };
    let own = view.step.acts.iter().any(|a| a.place == act.place);
    if !weak || !own {
        return None;
    }
    let (first, last) = (teeth.iter().min()?, teeth.iter().max()?);
    let off = teeth.iter().map(|t| (*t, view.pose(*t).off_mm())).max_by(|a, b| a.1.total_cmp(&b.1));
    let stands = off.filter(|o| o.1 >= 0.5).map_or(String::new(), |(tooth, by)| {
        format!(", and {} is {} out of line", words.tooth(tooth), say_mm(by))
    });
    let mut finding = view
        .finding(
            RULE.code,
            Severity::Warning,
            view.act_place(act),
            format!(
                "A chain pulls from {} to {} in {} on {}{stands}.",
                words.tooth(*first),
                words.tooth(*last),
                view.step.name,
                view.wire().label()
            ),
        )
        .why("On such a wire the teeth tip and rotate before they are in line.")
        .teeth([*first, *last]);
    let tie = format!("tie {}..{} figure-eight", words.tooth(*first), words.tooth(*last));
    finding.fixes.extend(
        context.fix(format!("hold them with a tie: {tie}")).replace(act.place, &tie).done(),
    );
    finding.fixes.extend(context.fix("remove the chain here").remove(act.place).done());
    Some(Candidate::new(view.side(), 0.5, finding))
}
