//! A tooth taken into the wire with too little space.

use crate::prelude::*;
use crate::support::account::{enamel_near_mm, gap_beside_mm, space_at};
use springline_course::ToothStatus;

pub const RULE: Rule = Rule {
    code: "space/engaged-without-space",
    severity: Severity::Error,
    page: include_str!("engaged_without_space.md"),
    check,
    ..Rule::PLAIN
};

const WARNS_MM: f64 = 1.5;
const STOPS_MM: f64 = 2.5;
const STOPS_SHARE: f64 = 0.4;
/// What is wanted beyond the crown's width, mm.
const SPARE_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let mut short: Vec<(Tooth, f64, f64, f64)> = Vec::new();
        for state in view.state.teeth.iter().filter(|t| t.status == ToothStatus::Engaged) {
            let tooth = state.tooth;
            if !is_taken_in(&view, tooth) {
                continue;
            }
            let Some(space) = space_at(&view, tooth) else { continue };
            let width = width_mm(view.arch, tooth);
            let helped = enamel_near_mm(&view, tooth) + gap_beside_mm(&view, tooth);
            let missing = width - space - helped;
            if missing > WARNS_MM + 1e-9 {
                short.push((tooth, missing, width, space));
            }
        }
        short.sort_by(|a, b| b.1.total_cmp(&a.1));
        let Some(&(tooth, missing, width, space)) = short.first() else { continue };
        let stops = missing >= STOPS_MM - 1e-9 || missing > STOPS_SHARE * width;
        let severity = if stops { Severity::Error } else { Severity::Warning };
        let limit = match stops {
            true if missing >= STOPS_MM - 1e-9 => STOPS_MM,
            true => STOPS_SHARE * width,
            false => WARNS_MM,
        };
        let by_act = view.step.acts.iter().find(|a| match &a.kind {
            ActKind::Engage { teeth, .. } | ActKind::PickUp { teeth, .. } => teeth.contains(&tooth),
            _ => false,
        });
        let place = by_act
            .map(|a| view.act_place(a))
            .or_else(|| described(view.arch, tooth))
            .unwrap_or(view.case_place());
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                place,
                format!(
                    "{} is in the wire from {} onwards with {} of space for a crown of {}: {} short; limit {}.",
                    words.tooth(tooth),
                    view.step.name,
                    say_mm(space),
                    say_mm(width),
                    say_mm(missing),
                    say_mm(limit)
                ),
            )
            .why("Without space it cannot align: it rotates, or it drives the incisors forward.")
            .figure(tenth(missing), tenth(limit), Unit::Mm)
            .teeth(short.iter().map(|s| s.0));
        for (other, missing, ..) in short.iter().skip(1) {
            finding = finding.note(format!("{} lacks {}.", words.tooth(*other), say_mm(*missing)));
        }
        let lines: Vec<String> = short
            .iter()
            .map(|(t, _, width, _)| {
                format!(
                    "bypass {} until space {} mm",
                    words.tooth(*t),
                    plain(tenth(width + SPARE_MM))
                )
            })
            .collect();
        if by_act.is_none()
            && let Some(fix) =
                context.fix(lines.join("; ")).add_to_step(view.arch, view.step, &lines).done()
        {
            finding = finding.fix(fix).note("Then make the space: a coil, IPR, or an extraction.");
        }
        if short.len() == 1 && by_act.is_none() {
            finding
                .fixes
                .extend(crate::support::make_space::make_space(context, &view, tooth, true));
        }
        list.push(Candidate::new(view.side(), missing, finding));
    }
    merge_per_arch(words, list, out);
}

/// The tooth comes into the wire with this step: it was not in it before.
fn is_taken_in(view: &StepView<'_>, tooth: Tooth) -> bool {
    if view.is_in_mouth() {
        return false;
    }
    let Some(before) = view.index.checked_sub(1) else { return true };
    let earlier = view.context.forecast.state_of_step(view.side(), before);
    !earlier.is_some_and(|s| s.status(tooth).is_in_wire())
}
