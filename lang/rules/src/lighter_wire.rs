//! Fixes for a wire that asks too much of teeth: a lighter wire from the drawer, more time for the one
//! before it, a step between the two, the worst tooth left out for now.
//!
//! These are candidates. `lang/src/fixes` recomputes each before it is shown and withdraws one that does not
//! help; only what cannot help is left out here.

use super::RuleContext;
use super::plan_fix::PlanFix;
use super::view::{StepView, width_mm};
use super::wording::tenth;
use crate::support::strength::{is_rigid_alloy, rigidity};
use springline_finding::Fix;
use springline_model::Wire;
use springline_model::departure::end_text;
use springline_model::step::{ActKind, End, NextVisit, Step, StepKind, Term, Wing, WireUse};
use springline_syntax::ClauseKind;
use springline_units::quantity::{mm, plain};
use springline_units::tooth::{Side, Tooth};

/// What may be tried, the least change first.
pub fn lighter_wire_fixes(context: &RuleContext<'_>, view: &StepView<'_>) -> Vec<Fix> {
    let cornered = !view.wire().wire.section.is_round();
    let less_deep = cornered.then(|| less_deep(context, view)).flatten();
    [lighter(context, view), less_deep, wait_longer(context, view), split(context, view)]
        .into_iter()
        .flatten()
        .collect()
}

fn alone(wire: &std::sync::Arc<Wire>) -> WireUse {
    WireUse { wire: wire.clone(), tandem: None, kept: false }
}

/// Wires in stock that are superelastic in the mouth and fit every slot, most flexible first, with their stiffness.
fn flexible(context: &RuleContext<'_>, view: &StepView<'_>) -> Vec<(f64, std::sync::Arc<Wire>)> {
    let mut out: Vec<(f64, std::sync::Arc<Wire>)> = context
        .case
        .house
        .wires
        .values()
        .filter(|w| w.alloy.is_niti() && w.soft_in_mouth().is_none())
        .filter(|w| view.goes_in(w.section, 0.0))
        .map(|w| (rigidity(&alone(w)), w.clone()))
        .collect();
    out.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.name.cmp(&b.1.name)));
    out
}

/// For steel and beta-titanium the largest superelastic wire; else 0.014 in superelastic where this wire
/// is stiffer, or the next more flexible one in stock.
pub fn lighter(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<Fix> {
    let own = rigidity(view.wire());
    if is_rigid_alloy(&view.wire().wire) {
        let full = flexible(context, view);
        let name = &full.iter().rfind(|(r, w)| *r < own && !w.section.is_round())?.1.name;
        return context
            .fix(format!("{name} in {}", view.step.name))
            .set_clause(view.arch, view.step, ClauseKind::Wire, name)
            .done();
    }
    let usual = crate::support::stock_wires::lightest_in_drawer(context)
        .map(|w| w.name.clone())
        .filter(|n| flexible(context, view).iter().any(|(r, w)| w.name == *n && *r < own * 0.95));
    let name = usual.or_else(|| {
        flexible(context, view)
            .into_iter()
            .rfind(|(r, w)| *r < own * 0.95 && w.section.is_round())
            .map(|(_, w)| w.name.clone())
    })?;
    context
        .fix(format!("{name} in {}", view.step.name))
        .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
        .done()
}

/// For a wire with corners the superelastic one that bends most easily towards lip and tongue, where steel and beta-titanium do
/// not have it already as the largest.
fn less_deep(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<Fix> {
    let wire = shallowest(context, view)?;
    let full = flexible(context, view);
    let own = rigidity(view.wire());
    let largest = full.iter().rfind(|(r, w)| *r < own && !w.section.is_round());
    let rigid = is_rigid_alloy(&view.wire().wire);
    if rigid && largest.is_some_and(|(_, w)| w.name == wire.name) {
        return None;
    }
    context
        .fix(format!("{} in {}", wire.name, view.step.name))
        .set_clause(view.arch, view.step, ClauseKind::Wire, &wire.name)
        .done()
}

/// The superelastic wire with corners that is least deep.
fn shallowest(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<std::sync::Arc<Wire>> {
    let own = rigidity(view.wire());
    flexible(context, view)
        .into_iter()
        .filter(|(r, w)| *r < own && !w.section.is_round())
        .min_by(|a, b| mm(a.1.section.depth()).total_cmp(&mm(b.1.section.depth())))
        .map(|(_, wire)| wire)
}

/// The wire before this one stays in until it has done its work.
pub fn wait_longer(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<Fix> {
    until_passive(context, view, view.before()?)
}

/// This step lasts until its wire is passive, and until what it waits for besides; a stated time stood for
/// that. `None` where the wire is waited for already, or one of several things is enough.
pub fn until_passive(context: &RuleContext<'_>, view: &StepView<'_>, step: &Step) -> Option<Fix> {
    let until = &step.until.value;
    let timed = until.terms.iter().all(|t| matches!(t, Term::Time { .. }));
    let waits = until.terms.iter().any(|t| matches!(t, Term::Passive | Term::Space { .. }));
    let any = until.terms.len() > 1 && !until.all;
    if waits || step.incomplete.is_some() || (any && !timed) {
        return None;
    }
    let until = match timed {
        true => "passive".to_owned(),
        false => format!("passive and {}", until.text.trim_start_matches("until ")),
    };
    // A visit that was booked for the stated time would come too soon.
    let soon = matches!(step.next.value, NextVisit::Range { to, .. } if to.days() < LOOK_DAYS);
    let fix = context.fix(format!("leave {} until it is passive", step.name)).set_clause(
        view.arch,
        step,
        ClauseKind::Until,
        until,
    );
    let fix = match soon {
        true => fix.set_clause(view.arch, step, ClauseKind::Next, "computed"),
        false => fix,
    };
    fix.done()
}

/// From here on a visit that finds the wire at work was booked to look, days.
const LOOK_DAYS: f64 = 41.5;

/// One step becomes two: a wire between the two in stiffness goes in before this one.
pub fn split(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<Fix> {
    if view.is_in_mouth() {
        return None;
    }
    match view.before() {
        Some(before) => {
            let wire = between(context, view, rigidity(&before.wire.value))?;
            let name = free_name(view, &format!("before-{}", view.step.name))?;
            let kind = kind_of(&wire);
            let line = format!(
                "step {name} as {kind} before {}, wire {}, {}, until passive, next computed",
                view.step.name,
                wire.name,
                ends(view)
            );
            context
                .fix(format!(
                    "split the step: {} between {} and {}",
                    wire.name, before.name, view.step.name
                ))
                .add_after_step(view.arch, view.step, &line)
                .done()
        }
        None => split_first(context, view),
    }
}

/// Steps of their own for both wings, after the one that ties a turned tooth by one: the thinnest wire, which may
/// take a tooth that is still turned, then the usual first one.
pub fn both_wings_steps<'t>(
    fix: PlanFix<'t>,
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    teeth: &[Tooth],
) -> Option<PlanFix<'t>> {
    let thin = crate::support::stock_wires::thinnest_in_drawer(context)?;
    let usual = crate::support::stock_wires::lightest_in_drawer(context);
    let engage = format!(" {{\n  engage {}\n}}", view.words().list(teeth));
    let mut wires = vec![(thin, engage)];
    wires.extend(usual.filter(|w| w.name != thin.name).map(|w| (w, String::new())));
    let (mut fix, mut before) = (fix, view.step.name.to_string());
    for (n, (wire, inside)) in wires.into_iter().enumerate() {
        let name = free_name(view, &format!("{}-{}", view.step.name, n + 2))?;
        let line = format!(
            "step {name} as {} after {before}, wire {}, {}, until passive, next computed{inside}",
            kind_of(wire),
            wire.name,
            ends(view)
        );
        fix = fix.add_after_step(view.arch, view.step, &line);
        before = name;
    }
    Some(fix)
}

/// The ends as they are in the step that is split; the new wire has not been cut.
pub fn ends(view: &StepView<'_>) -> String {
    let end = |side| {
        let end = End { trimmed: false, ..view.step.ends.of(side).value };
        end_text(&end, side)
    };
    let (right, left) = (end(Side::Right), end(Side::Left));
    match (right.strip_suffix(" on right"), left.strip_suffix(" on left")) {
        (Some(right), Some(left)) if right == left => format!("ends {right}"),
        _ => format!("ends {right}, {left}"),
    }
}

/// The first wire: the lightest goes in first, or before a rigid one the lightest with corners, then the one that was planned.
fn split_first(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<Fix> {
    let heavy = view.step.wire.names();
    // Before a rigid wire one that controls the roots.
    let light = match is_rigid_alloy(&view.wire().wire) {
        true => shallowest(context, view)?.name.clone(),
        false => crate::support::stock_wires::lightest_in_drawer(context)?.name.clone(),
    };
    if rigidity(view.wire()) < rigidity_of(context, &light)? * 1.05 || view.wire().tandem.is_some()
    {
        return None;
    }
    let own = &view.step.name;
    let name = free_name(view, &format!("{own}-2"))?;
    let kind = kind_of(&view.wire().wire);
    let second = format!(
        "step {name} as {kind} after {own}, wire {heavy}, {}, until passive, next computed",
        ends(view)
    );
    context
        .fix(format!("split the step: {} first, then {heavy}", light))
        .set_clause(view.arch, view.step, ClauseKind::Wire, &light)
        .add_after_step(view.arch, view.step, &second)
        .done()
}

fn rigidity_of(context: &RuleContext<'_>, name: &str) -> Option<f64> {
    context.case.house.wires.get(name).map(|w| rigidity(&alone(w)))
}

/// A wire of intermediate stiffness, as close to the middle as the stock allows. Before a rigid wire a
/// rectangular one, which controls the roots.
fn between(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    from: f64,
) -> Option<std::sync::Arc<Wire>> {
    let to = rigidity(view.wire());
    let middle = (from.max(1e-9) * to.max(1e-9)).sqrt().ln();
    let rigid = is_rigid_alloy(&view.wire().wire);
    flexible(context, view)
        .into_iter()
        .filter(|(r, w)| *r > from * 1.05 && *r < to * 0.95 && !(rigid && w.section.is_round()))
        .min_by(|a, b| (a.0.ln() - middle).abs().total_cmp(&(b.0.ln() - middle).abs()))
        .map(|(_, w)| w)
}

fn kind_of(wire: &Wire) -> &'static str {
    let kind = if wire.section.is_round() { StepKind::Align } else { StepKind::Level };
    kind.word()
}

/// A step's name that the arch does not have yet.
pub fn free_name(view: &StepView<'_>, wish: &str) -> Option<String> {
    let taken = |name: &str| view.arch.steps.iter().any(|s| *s.name == *name);
    let mut tries = (1..9).map(|n| if n == 1 { wish.to_owned() } else { format!("{wish}-{n}") });
    tries.find(|name| !taken(name))
}

/// Engages one wing only: half the movement at half the force.
pub fn one_wing(context: &RuleContext<'_>, view: &StepView<'_>, tooth: Tooth) -> Option<Fix> {
    let words = context.words();
    let named = view.step.acts.iter().any(|a| a.kind.teeth().contains(&tooth));
    let tube = view.bracket(tooth).is_none_or(|b| b.is_tube);
    if named || tube || view.is_in_mouth() {
        return None;
    }
    let line = format!("engage {} mesial-wing", words.tooth(tooth));
    let fix = context
        .fix(format!("one wing of {} for now: {line}", words.tooth(tooth)))
        .add_to_step(view.arch, view.step, &[line]);
    both_wings_later(fix, view, &[tooth]).done()
}

/// Adds to a fix that ties teeth by one wing the step that takes in both: the next, unless a later one says so.
pub fn both_wings_later<'t>(fix: PlanFix<'t>, view: &StepView<'_>, teeth: &[Tooth]) -> PlanFix<'t> {
    let later = view.arch.steps.iter().skip(view.index + 1);
    let engaged: Vec<Tooth> = later
        .flat_map(|s| &s.acts)
        .filter_map(|act| match &act.kind {
            ActKind::Engage { teeth, wing: Wing::Both } => Some(teeth),
            _ => None,
        })
        .flatten()
        .copied()
        .collect();
    let open: Vec<Tooth> = teeth.iter().copied().filter(|t| !engaged.contains(t)).collect();
    match view.after().filter(|_| !open.is_empty()) {
        Some(next) => {
            let line = format!("engage {}", view.words().list(&open));
            fix.add_to_step(view.arch, next, &[line])
        }
        None => fix,
    }
}

/// The tooth stays out of the wire until it has its space, where that was measured.
pub fn leave_out(context: &RuleContext<'_>, view: &StepView<'_>, tooth: Tooth) -> Option<Fix> {
    let words = context.words();
    let named = view.step.acts.iter().any(|a| a.kind.teeth().contains(&tooth));
    if named || view.is_in_mouth() {
        return None;
    }
    let crown = width_mm(view.arch, tooth);
    let space = super::view::current_stand(view.case, view.arch, tooth).space.map(mm);
    let until = match space {
        Some(space) if space < crown => format!("space {} mm", plain(tenth(crown + 0.5))),
        _ => return None,
    };
    let line = format!("bypass {} until {until}", words.tooth(tooth));
    context.fix(line.clone()).add_to_step(view.arch, view.step, &[line]).done()
}

/// A longer bare span needs a sleeve, mm.
const BARE_MM: f64 = 8.0;

/// The sleeve that covers the wire where this tooth is left out; `None` where the span is short.
pub fn sleeve_over(context: &RuleContext<'_>, view: &StepView<'_>, tooth: Tooth) -> Option<String> {
    let words = context.words();
    let (right, left) =
        (view.next_in_wire(tooth, Side::Right)?, view.next_in_wire(tooth, Side::Left)?);
    let bare = view.layout.free_wire_mm(right, left)?;
    (bare > BARE_MM)
        .then(|| format!("sleeve between {} and {}", words.tooth(right), words.tooth(left)))
}
