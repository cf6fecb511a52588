//! A space kept at another length than the plan gives it: by a keeper, or for a later tooth.

use crate::prelude::*;
use springline_course::{SpaceAt, SpaceMoment};
use springline_model::case::ArchCase;
use springline_model::step::Term;

pub const RULE: Rule = Rule {
    code: "space/another-length-held",
    severity: Severity::Warning,
    page: include_str!("another_length_held.md"),
    check,
    ..Rule::PLAIN
};

/// A keeper is cut to the space within this (common practice, no source), mm.
const NEAR_MM: f64 = 1.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::ClosedCoil { first, second, hold: Some(hold), .. } = &act.kind else {
                continue;
            };
            let (hold, pair) = (mm(*hold), (*first.min(second), *first.max(second)));
            let Some((length, what)) = wanted(&view, pair) else { continue };
            if (hold - length).abs() <= NEAR_MM + 1e-9 {
                continue;
            }
            let (a, b) = (words.tooth(*first), words.tooth(*second));
            let message = format!(
                "The coil between {a} and {b} is to hold {} in {}; {what} is {}.",
                say_mm(hold),
                view.step.name,
                say_mm(length)
            );
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.act_place(act), message)
                .why(
                    "A keeper that is too long pushes, one that is too short lets the space close.",
                )
                .figure(tenth((hold - length).abs()), NEAR_MM, Unit::Mm)
                .teeth([*first, *second]);
            finding.fixes.extend(context.less_now(act.place, hold, length, Unit::Mm));
            list.push(Candidate::new(view.side(), (hold - length).abs(), finding));
        }
    }
    merge_per_arch(words, list, out);
    let arches = context.case.arches.iter().filter(|a| !a.is_unread());
    out.extend(arches.filter_map(|arch| kept_for_later(context, arch)));
}

/// A space that is to be kept for a later tooth, and that is forecast to have another length when the appliance comes
/// off: nothing in the plan opens it so far, or closes it.
fn kept_for_later(context: &RuleContext<'_>, arch: &ArchCase) -> Option<Finding> {
    let end = context.forecast.timeline.debond()?;
    let spaces = &end.arch(arch.arch)?.arrives.as_ref()?.spaces;
    let acts = arch.extras.iter().chain(arch.steps.iter().flat_map(|s| &s.acts));
    acts.filter_map(|act| match &act.kind {
        ActKind::Hold { teeth, length } => Some((act, teeth.first()?, mm(*length))),
        _ => None,
    })
    .find_map(|(act, tooth, hold)| {
        let left = spaces.iter().find(|s| is_of(s, *tooth))?.length_mm.value;
        let by = (hold - left).abs();
        if by <= NEAR_MM + 1e-9 {
            return None;
        }
        let named = context.words().tooth(*tooth);
        let message = format!(
            "The space of {named} is to be kept at {}, and it is forecast {} at the debond on {}.",
            say_mm(hold),
            say_mm(left),
            end.date
        );
        let why = match hold > left {
            true => "Nothing in the plan makes it so long: the later tooth does not fit.",
            false => "Nothing in the plan closes the rest: it stays beside the later tooth.",
        };
        let finding = Finding::new(RULE.code, RULE.severity, act.place, message)
            .why(why)
            .figure(tenth(by), NEAR_MM, Unit::Mm)
            .note("Open or close it so far, or write the length that is meant.");
        Some(finding.teeth([*tooth]))
    })
}

fn is_of(space: &SpaceMoment, tooth: Tooth) -> bool {
    match space.at {
        SpaceAt::Tooth(of) => of == tooth,
        SpaceAt::Between(a, b) => {
            let (a, b) = (a.place().min(b.place()), a.place().max(b.place()));
            b - a == 2 && a < tooth.place() && tooth.place() < b
        }
    }
}

/// What the plan makes of this space: as a step before waits for it, as the arch keeps it, or as it is entered.
fn wanted(view: &StepView<'_>, (first, second): (Tooth, Tooth)) -> Option<(f64, &'static str)> {
    let here = |a: &Tooth, b: &Tooth| (*a.min(b), *a.max(b)) == (first, second);
    let before = view.arch.steps.iter().take(view.index).rev().flat_map(|s| &s.until.value.terms);
    let waited = before.into_iter().find_map(|t| match t {
        Term::Gap { length, first, second } if here(first, second) => Some(mm(*length)),
        _ => None,
    });
    if let Some(length) = waited {
        return Some((length, "the space waited for"));
    }
    let kept = view.arch.extras.iter().find_map(|act| match &act.kind {
        ActKind::Hold { teeth, length } => {
            let inside = |t: &Tooth| first.place() < t.place() && t.place() < second.place();
            teeth.iter().any(inside).then_some(mm(*length))
        }
        _ => None,
    });
    kept.map(|length| (length, "the space to be kept"))
}
