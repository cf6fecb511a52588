//! Fix: makes space before a tooth is engaged, in two steps, one with a coil and one that engages the
//! tooth.

use crate::prelude::*;
use crate::support::stock_wires::carrier;
use springline_finding::Fix;
use springline_model::stock::CoilKind;

/// What the space is made beyond the crown's width, mm.
const SPARE_MM: f64 = 0.5;
/// A bare span longer than this needs a sleeve, mm.
const BARE_MM: f64 = 8.0;
const LIGHT_G: f64 = 100.0;
/// As far as a coil of the trade is pressed together in one go, mm.
const MOST_MM: f64 = 4.0;

/// The tooth stays out until its space is there, and two steps after this one make it and bring it in.
/// `bypass`: the step does not leave it out yet.
pub fn make_space(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    tooth: Tooth,
    bypass: bool,
) -> Option<Fix> {
    let words = context.words();
    let beside = |way| neighbour(view, tooth, way);
    let (right, left) = (beside(Side::Right)?, beside(Side::Left)?);
    let wire = carrier(context)?;
    let coil = coil(context)?;
    let light = crate::support::stock_wires::lightest_in_drawer(context)?.name.to_string();
    let taken = |name: &str| view.arch.steps.iter().any(|s| *s.name == *name);
    if taken("make-space") || taken("bring-in") || view.is_in_mouth() {
        return None;
    }
    let width = width_mm(view.arch, tooth);
    let wanted = view.wanted_space(tooth).unwrap_or(width + SPARE_MM);
    let there = current_stand(view.case, view.arch, tooth).space.map(mm)?;
    // Pressed together by what is lacking, in half millimetres; more than a coil's stroke is no one step.
    let pressed = ((wanted - there).max(1.0) * 2.0).ceil() / 2.0;
    if pressed > MOST_MM {
        return None;
    }
    let wanted = plain(tenth(wanted));
    let (name, own) = (words.tooth(tooth), &view.step.name);
    let between = format!("between {} and {}", words.tooth(right), words.tooth(left));
    let ties: String = ties(view, tooth)
        .into_iter()
        .map(|(a, b)| format!("  tie {}..{} figure-eight\n", words.tooth(a), words.tooth(b)))
        .collect();
    let steps = [
        format!(
            "step make-space as align after {own}, wire {wire}, until space {wanted} mm at {name}, next 6 wk {{\n\
             {ties}  open-coil {between} with {coil}, activated {} mm each visit\n}}",
            plain(pressed)
        ),
        format!(
            "step bring-in as align after make-space, wire {light}, until passive, next computed {{\n  {}\n}}",
            take_in(view, &name, tooth)
        ),
    ];
    let mut first = Vec::new();
    if bypass {
        first.push(format!("bypass {name} until space {wanted} mm"));
        if view.layout.free_wire_mm(right, left).is_some_and(|mm| mm > BARE_MM) {
            first.push(format!("sleeve {between}"));
        }
    }
    let title =
        format!("leave {name} out, make space for it with {coil} on {wire}, then engage it");
    let fix = context.fix(title);
    let fix = match first.is_empty() {
        true => fix,
        false => fix.add_to_step(view.arch, view.step, &first),
    };
    steps.iter().fold(fix, |fix, step| fix.add_after_step(view.arch, view.step, step)).done()
}

/// `engage 12`, or `pick-up 12 with twin` where it has no bracket yet.
fn take_in(view: &StepView<'_>, name: &str, tooth: Tooth) -> String {
    let bracket = view.arch.bonded.values().find(|b| !b.bracket.is_tube).map(|b| &b.bracket.name);
    match bracket {
        Some(bracket) if !view.arch.bonded.contains_key(&tooth) => {
            format!("pick-up {name} with {bracket}")
        }
        _ => format!("engage {name}"),
    }
}

/// The next tooth in the wire, whether this one is in it or not.
fn neighbour(view: &StepView<'_>, tooth: Tooth, way: Side) -> Option<Tooth> {
    view.next_in_wire(tooth, way)
}

/// An open coil in stock for a lateral: the strongest up to 100 g.
fn coil(context: &RuleContext<'_>) -> Option<String> {
    context
        .case
        .house
        .coils
        .values()
        .filter(|c| c.kind == CoilKind::Open)
        .filter_map(|c| Some((grams(c.force?), c.name.to_string())))
        .filter(|(g, _)| *g <= LIGHT_G + 0.5)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}

/// Front teeth beside the coil that go together: those in the wire on each side that begins with an
/// incisor.
fn ties(view: &StepView<'_>, tooth: Tooth) -> Vec<(Tooth, Tooth)> {
    let mut out = Vec::new();
    for way in [Side::Right, Side::Left] {
        let begins = neighbour(view, tooth, way).is_some_and(Tooth::is_incisor);
        let group: Vec<Tooth> = view
            .in_wire()
            .into_iter()
            .filter(|t| t.is_incisor() && *t != tooth)
            .filter(|t| (t.place() < tooth.place()) == (way == Side::Right))
            .collect();
        if let (true, Some(first), Some(last)) = (begins, group.first(), group.last())
            && first != last
        {
            out.push((*first, *last));
        }
    }
    out
}
