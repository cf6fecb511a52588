//! Visits of a case that began on no day.

use crate::prelude::*;
use springline_model::case::{ArchCase, Case};

pub const RULE: Rule = Rule {
    code: "time/no-start",
    severity: Severity::Warning,
    page: include_str!("no_start.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    out.extend(case.arches.iter().filter_map(|arch| not_in_place(context, arch)));
    out.extend(case.arches.iter().find_map(|arch| arch_without_day(context, arch)));
    let begins = case.start.is_some()
        || case.in_place.is_some()
        || case.arches.iter().any(|a| a.start.is_some());
    if !begins && case.visits.is_empty() {
        out.extend(begins_in_the_middle(context));
    }
    let Some(first) = case.visits.iter().min_by_key(|v| v.on).filter(|_| !begins) else { return };
    let message =
        format!("The first visit is recorded on {}, and the case says no start.", first.on);
    let mut finding = Finding::new(RULE.code, RULE.severity, case.chart_place, message)
        .why("Without the day on which the first wire went in nothing is dated and nothing falls due.")
        .related(first.place, "the first visit");
    // Who was bonded up at a visit began on its day; of any other nobody knows when.
    if first.kind == Some(springline_model::house::Task::BondUp) {
        let line = format!("start {}", first.on);
        let arch = case.arches.first().map(|a| a.place);
        finding
            .fixes
            .extend(arch.and_then(|at| context.fix(line.clone()).add_before(at, &line).done()));
    }
    out.push(
        finding
            .note("Write `start` with the day of the bond-up, or `in-place` with what was found."),
    );
}

/// Its first record puts a wire in and found none before it.
fn first_seen_without_a_wire(case: &Case, arch: &ArchCase) -> bool {
    let mut seen: Vec<_> = case.visits.iter().map(|v| (v.on, &v.arches)).collect();
    seen.sort_by_key(|(on, _)| *on);
    let mut seen = seen.into_iter().flat_map(|(_, arches)| arches);
    let first = seen.find(|a| a.arch == arch.arch && (a.found.is_some() || a.done.is_some()));
    first.is_some_and(|a| a.found.is_none())
}

/// One arch says when it begins, and of the other nobody does, though its first record found a wire.
fn arch_without_day(context: &RuleContext<'_>, arch: &ArchCase) -> Option<Finding> {
    let case = context.case;
    let other = case.arches.iter().any(|a| a.start.is_some());
    let dated = case.start.is_some() || case.in_place.is_some() || arch.start.is_some();
    if !other || dated || arch.is_unread() || first_seen_without_a_wire(case, arch) {
        return None;
    }
    let first = case.visits.iter().filter(|v| v.arches.iter().any(|a| a.arch == arch.arch));
    let first = first.min_by_key(|v| v.on)?;
    let message = format!(
        "A wire of the {} arch is recorded on {}, and nothing says when that arch started.",
        arch.arch, first.on
    );
    let finding = Finding::new(RULE.code, RULE.severity, case.chart_place, message)
        .why("Without the day on which the first wire went in nothing in that arch is dated.")
        .related(first.place, "the first visit");
    Some(finding.note("Write `start` for the case, or in that arch."))
}

/// A plan that goes on in the middle of a sequence, of a case of which nobody says what is in the mouth.
fn begins_in_the_middle(context: &RuleContext<'_>) -> Option<Finding> {
    let follows = context.case.arches.iter().filter_map(|a| a.follows.as_ref());
    let (name, place) = follows.into_iter().find(|(_, place)| {
        let line = context.trees.statement(*place);
        line.is_some_and(|line| line.items().iter().any(|i| i.keyword() == Some("from")))
    })?;
    let message = format!(
        "`{name}` is followed from a later step on, and nothing says which wire is in the mouth before it."
    );
    Some(
        Finding::new(RULE.code, RULE.severity, *place, message)
            .why("The first wire of the plan is judged by what the one before it has done.")
            .note("Write `in-place` with what was found, or `start` and the whole sequence."),
    )
}

/// A case entered under way, and an arch of it of which nobody says what is in or when it begins.
fn not_in_place(context: &RuleContext<'_>, arch: &ArchCase) -> Option<Finding> {
    let case = context.case;
    let entered = case.in_place.as_ref().filter(|_| case.start.is_none())?;
    let begun = arch.start.is_some()
        || entered.wires.contains_key(&arch.arch)
        || first_seen_without_a_wire(case, arch);
    if begun || arch.steps.is_empty() || arch.is_unread() {
        return None;
    }
    let message = format!(
        "The case is entered under way, and nothing says which wire the {} arch has or when it starts.",
        arch.arch
    );
    let finding = Finding::new(RULE.code, RULE.severity, entered.place, message)
        .why("Without the day on which its first wire went in nothing in that arch is dated.");
    Some(
        finding
            .note(format!("Write its wire in `in-place`, or `start` in the {} arch.", arch.arch)),
    )
}
