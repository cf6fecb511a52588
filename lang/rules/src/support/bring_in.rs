//! Fix: a tooth too far out for any wire is bypassed at first, moved by a light overlay wire on a base
//! wire that holds its neighbours, then engaged.

use crate::prelude::*;
use crate::support::stock_wires::carrier;
use crate::support::stock_wires::lightest_round;
use springline_finding::Fix;

/// This step leaves the tooth out, and two steps after it bring it in.
pub fn bring_in(context: &RuleContext<'_>, view: &StepView<'_>, tooth: Tooth) -> Option<Fix> {
    let words = context.words();
    let (right, left) =
        (view.next_in_wire(tooth, Side::Right)?, view.next_in_wire(tooth, Side::Left)?);
    let (base, over) = (carrier(context)?, lightest_round(context)?);
    let light = crate::support::stock_wires::lightest_in_drawer(context)?.name.to_string();
    let named = view.step.acts.iter().any(|a| a.kind.teeth().contains(&tooth));
    if named || view.is_in_mouth() || view.step.kind != StepKind::Align {
        return None;
    }
    let (bring, take) =
        (lighter_wire::free_name(view, "bring-in")?, lighter_wire::free_name(view, "take-in")?);
    let (name, own, ends) = (words.tooth(tooth), &view.step.name, lighter_wire::ends(view));
    let (right_name, left_name) = (words.tooth(right), words.tooth(left));
    let sleeve = lighter_wire::sleeve_over(context, view, tooth);
    let covered = sleeve.as_ref().map_or(String::new(), |line| format!("  {line}\n"));
    let steps = [
        format!(
            "step {bring} as align after {own}, wire {base}, {ends}, until within 1 mm at {name}, next 6 wk {{\n\
             {covered}  piggyback {over} in {name}, over {right_name}, {left_name}\n}}"
        ),
        format!(
            "step {take} as align after {bring}, wire {light}, {ends}, until passive, next computed {{\n  \
             engage {name}\n}}"
        ),
    ];
    let mut first = vec![format!("bypass {name}")];
    first.extend(sleeve);
    let title = format!("leave {name} out, bring it close with {over} over {base}, then engage it");
    steps
        .iter()
        .fold(context.fix(title).add_to_step(view.arch, view.step, &first), |fix, step| {
            fix.add_after_step(view.arch, view.step, step)
        })
        .done()
}
