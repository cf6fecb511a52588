//! A wire that does not go into the slot.

use crate::prelude::*;
use springline_model::stock::{Bracket, Wire};

pub const RULE: Rule = Rule {
    code: "order/wire-does-not-fit",
    severity: Severity::Error,
    page: include_str!("wire_does_not_fit.md"),
    check,
    ..Rule::PLAIN
};

/// Slots are cut a little large and wires rolled a little small; less than this is no misfit, mm.
const EXACT_MM: f64 = 1e-3;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let wire = view.wire().clone();
        let mut tight: Vec<(Tooth, f64, f64, &'static str, String)> = Vec::new();
        for tooth in view.in_wire() {
            let Some(bracket) = view.bracket(tooth) else { continue };
            if let Some((value, limit, what)) = excess(&wire.wire, wire.tandem.as_deref(), bracket)
            {
                tight.push((
                    tooth,
                    value,
                    limit,
                    what,
                    springline_model::stock::printed(&bracket.slot_text),
                ));
            }
        }
        let Some((tooth, value, limit, what, slot)) =
            tight.iter().max_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2))).cloned()
        else {
            continue;
        };
        let inches = |x: f64| (x / 25.4 * 1000.0).round() / 1000.0;
        let many = if tight.len() > 1 {
            format!("{} and {} more", words.tooth(tooth), tight.len() - 1)
        } else {
            words.tooth(tooth)
        };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.clause_place(view.step.wire.place),
                format!(
                    "{} in {} does not fit the slot of {many} ({slot}): {:.3} in {what}; slot {:.3} in.",
                    wire.label(),
                    view.step.name,
                    inches(value),
                    inches(limit)
                ),
            )
            .why("Slide cannot close; forcing it may break the bond.")
            .figure(inches(value), inches(limit), Unit::In)
            .teeth(tight.iter().map(|t| t.0));
        let instead = match &wire.tandem {
            Some(_) => Some(wire.wire.name.to_string()),
            None => largest_that_fits(context, &view, &wire.wire),
        };
        if let Some(name) = instead
            && let Some(fix) = context
                .fix(format!("{name} in {}", view.step.name))
                .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                .done()
        {
            finding = finding.fix(fix);
        }
        list.push(Candidate::new(view.side(), value / limit, finding));
    }
    merge_per_arch(words, list, out);
}

/// Size, room and word for what does not fit; `None` where it goes in.
fn excess(
    wire: &Wire,
    tandem: Option<&Wire>,
    bracket: &Bracket,
) -> Option<(f64, f64, &'static str)> {
    let (slot_h, slot_d) = (bracket.room_mm(), mm(bracket.slot_depth));
    let (h, d) = sizes_mm(wire.section);
    let Some(second) = tandem else {
        if h > slot_h + EXACT_MM {
            return Some((h, slot_h, "high"));
        }
        return (d > slot_d + EXACT_MM).then_some((d, slot_d, "deep"));
    };
    let (h2, d2) = sizes_mm(second.section);
    let beside = h.max(h2) <= slot_h + EXACT_MM && d + d2 <= slot_d + EXACT_MM;
    let over = h + h2 <= slot_h + EXACT_MM && d.max(d2) <= slot_d + EXACT_MM;
    (!beside && !over).then_some((d + d2, slot_d, "deep"))
}

/// The largest wire of the same alloy that goes into every slot.
fn largest_that_fits(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    like: &Wire,
) -> Option<String> {
    let fits = |w: &Wire| {
        view.in_wire()
            .into_iter()
            .filter_map(|t| view.bracket(t))
            .all(|b| excess(w, None, b).is_none())
    };
    context
        .case
        .house
        .wires
        .values()
        .filter(|w| w.alloy == like.alloy && fits(w))
        .filter(|w| w.section.is_round() == like.section.is_round())
        .max_by(|a, b| mm(a.section.height()).total_cmp(&mm(b.section.height())))
        .map(|w| w.name.to_string())
}
