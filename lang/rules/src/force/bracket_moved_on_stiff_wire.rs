//! A bracket placed anew, or a tooth taken in or bonded again, on a stiff wire that cannot follow.

use super::verdict::{LeftOver, misfit};
use crate::prelude::*;
use crate::support::strength::is_rigid_alloy;
use springline_course::ToothPose;
use springline_model::stand::Stand;
use springline_model::step::Wing;

pub const RULE: Rule = Rule {
    code: "force/bracket-moved-on-stiff-wire",
    severity: Severity::Error,
    page: include_str!("bracket_moved_on_stiff_wire.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::NoForce, unsaid: Unsaid::Never }),
    ..Rule::PLAIN
};

/// A bracket is placed anew for half a millimetre or five degrees at least (common practice, no source).
const UNSAID_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let stiff = |v: &StepView<'_>| !v.is_in_mouth() && is_rigid_alloy(&v.wire().wire);
    for view in context.views().into_iter().filter(stiff) {
        for act in &view.step.acts {
            let Some((LeftOver { past, unit }, what)) = moved(&view, &act.kind) else { continue };
            let say = |v: f64| if unit == Unit::Mm { say_mm(v) } else { say_deg(v) };
            let message = format!(
                "{} {what} in {} on {}: {} off the wire, limit {}.",
                words.tooth(past.tooth),
                view.step.name,
                view.wire().label(),
                say(past.value),
                say(past.limit)
            );
            let mut finding = view
                .finding(RULE.code, past.severity, view.act_place(act), message)
                .why("A stiff wire bent into the slot puts its whole force on that tooth: go down with the wire first.")
                .figure(tenth(past.value), past.limit, unit)
                .teeth([past.tooth]);
            finding.fixes.extend(lighter_wire::lighter(context, &view));
            list.push(Candidate::new(view.side(), past.share(), finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// The worst tooth of an act whose slot the wire of the step does not reach.
fn moved(view: &StepView<'_>, act: &ActKind) -> Option<(LeftOver, &'static str)> {
    match act {
        ActKind::Reposition { teeth, to } => {
            let off = by_stand(view, *teeth.first()?, to)?;
            Some((off, "gets its bracket placed anew"))
        }
        // Nothing has held it since its bracket came off.
        ActKind::Rebond { teeth, .. } => {
            let off = |t: &Tooth| view.index > 0 && !view.was_in_wire(*t);
            let off = worst(view, teeth.iter().copied().filter(off))?;
            Some((off, "is bonded again as it was left"))
        }
        // A wire that goes in new is judged by what is left for it.
        ActKind::PickUp { teeth, .. } | ActKind::Engage { teeth, wing: Wing::Both }
            if !view.wire_goes_in() =>
        {
            let new = teeth.iter().copied().filter(|t| view.is_new_to_wires(*t));
            Some((worst(view, new)?, "is taken in"))
        }
        _ => None,
    }
}

fn by_stand(view: &StepView<'_>, tooth: Tooth, to: &Stand) -> Option<LeftOver> {
    let pose = ToothPose::from_stand(tooth, to);
    let said = pose.off_mm() > 1e-9 || pose.off_deg() > 1e-9;
    let mm = if said { pose.off_mm() } else { UNSAID_MM };
    misfit(&view.case.house.limits, tooth, mm, pose.turned_deg())
}

fn worst(view: &StepView<'_>, teeth: impl Iterator<Item = Tooth>) -> Option<LeftOver> {
    let limits = &view.case.house.limits;
    let off = teeth.filter_map(|tooth| {
        let pose = view.pose(tooth);
        misfit(limits, tooth, pose.off_mm(), pose.turned_deg())
    });
    off.max_by(|a, b| a.past.share().total_cmp(&b.past.share()))
}
