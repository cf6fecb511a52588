//! A strongly turned tooth with both wings in the wire.

use crate::prelude::*;
use springline_course::ToothStatus;
use springline_finding::Fix;
use springline_model::step::Wing;

pub const RULE: Rule = Rule {
    code: "space/severe-rotation-engaged",
    severity: Severity::Error,
    page: include_str!("severe_rotation_engaged.md"),
    check,
    ..Rule::PLAIN
};

/// Free wire beside a tooth from which its neighbours are no longer close, mm.
const LONG_SPAN_MM: f64 = 8.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        if view.is_in_mouth() || !view.knows_poses() {
            continue;
        }
        let wire = &view.wire().wire;
        let lightest = wire.alloy.is_niti()
            && wire.section.is_round()
            && mm(wire.section.height()) <= 0.012 * 25.4 + 1e-6;
        let (warns, stops) = if lightest { (45.0, 60.0) } else { (30.0, 45.0) };
        let mut turned: Vec<(Tooth, f64)> = view
            .state
            .teeth
            .iter()
            .filter(|t| t.status == ToothStatus::Engaged)
            .map(|t| (t.tooth, view.pose(t.tooth).rotated_rad.abs().to_degrees()))
            // In whole degrees, as it is shown.
            .filter(|(t, deg)| deg.round() > warns && !has_long_span(&view, *t))
            .collect();
        turned.sort_by(|a, b| b.1.total_cmp(&a.1));
        // Only where it goes in first; afterwards it is the same fault once more.
        turned.retain(|(t, _)| !view.was_in_wire(*t));
        let Some(&(tooth, deg)) = turned.first() else { continue };
        let (severity, limit) =
            if deg.round() > stops { (Severity::Error, stops) } else { (Severity::Warning, warns) };
        let place = described(view.arch, tooth).unwrap_or(view.case_place());
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                place,
                format!(
                    "{} is rotated {} with both wings engaged in {} in {}; limit {}.",
                    words.tooth(tooth),
                    say_deg(deg),
                    wire.label(),
                    view.step.name,
                    say_deg(limit)
                ),
            )
            .why("The wire would have to turn back on itself within a few millimetres; the neighbours rotate \
                instead.")
            .figure(deg.round(), limit, Unit::Deg)
            .teeth(turned.iter().map(|t| t.0));
        let teeth: Vec<Tooth> = turned.iter().map(|t| t.0).collect();
        if let Some(fix) = one_wing(context, &view, &teeth) {
            finding = finding.fix(fix).note(
                "The slide of a partly engaged tooth stays open; a steel ligature holds the wing. A later step \
                 engages the other wing.",
            );
        }
        list.push(Candidate::new(view.side(), deg / limit, finding));
    }
    merge_per_arch(words, list, out);
}

/// One wing each: in place of the statement that takes them in whole, or in the step where none does.
fn one_wing(context: &RuleContext<'_>, view: &StepView<'_>, teeth: &[Tooth]) -> Option<Fix> {
    let words = context.words();
    let line = |t: &Tooth| format!("engage {} mesial-wing", words.tooth(*t));
    let title = teeth.iter().map(line).collect::<Vec<_>>().join("; ");
    let whole = |act: &&Act| match &act.kind {
        ActKind::Engage { teeth: taken, wing: Wing::Both } => {
            teeth.iter().any(|t| taken.contains(t))
        }
        _ => false,
    };
    let acts: Vec<&Act> = view.step.acts.iter().filter(whole).collect();
    let mut fix = context.fix(title);
    let mut named: Vec<Tooth> = Vec::new();
    for act in acts {
        let taken = act.kind.teeth();
        let (turned, rest): (Vec<Tooth>, Vec<Tooth>) =
            taken.iter().partition(|t| teeth.contains(t));
        let mut lines: Vec<String> = turned.iter().map(line).collect();
        if !rest.is_empty() {
            lines.insert(0, format!("engage {}", words.list(&rest)));
        }
        fix = fix.replace_statement(act.place, &lines);
        named.extend(turned);
    }
    let lines: Vec<String> = teeth.iter().filter(|t| !named.contains(t)).map(line).collect();
    if !lines.is_empty() {
        fix = fix.add_to_step(view.arch, view.step, &lines);
    }
    let later = view.arch.steps.iter().skip(view.index + 1).flat_map(|s| &s.acts);
    let engaged = later.filter_map(|a| match &a.kind {
        ActKind::Engage { teeth, wing: Wing::Both } => Some(teeth),
        _ => None,
    });
    let engaged: Vec<&Tooth> = engaged.flatten().collect();
    let open: Vec<Tooth> = teeth.iter().filter(|t| !engaged.contains(t)).copied().collect();
    match open.is_empty() {
        true => fix.done(),
        false => lighter_wire::both_wings_steps(fix, context, view, &open)?.done(),
    }
}

fn has_long_span(view: &StepView<'_>, tooth: Tooth) -> bool {
    let beside = [Side::Right, Side::Left]
        .into_iter()
        .map(|way| view.next_in_wire(tooth, way).and_then(|n| view.layout.free_wire_mm(tooth, n)));
    beside.flatten().all(|free| free > LONG_SPAN_MM)
}
