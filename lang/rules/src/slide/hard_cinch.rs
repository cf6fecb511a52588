//! Ends bent tight while the front teeth need wire.

use crate::prelude::*;
use crate::support::role::purpose;
use springline_model::step::EndKind;
use springline_units::quantity::from_newtons;

pub const RULE: Rule = Rule {
    code: "slide/hard-cinch",
    severity: Severity::Error,
    page: include_str!("hard_cinch.md"),
    check,
    ..Rule::PLAIN
};

/// Crowding left alone, and crowding that a tight end must not meet, mm.
const SOME_MM: f64 = 1.0;
const MUCH_MM: f64 = 3.0;
/// Less pull than this on a molar is not worth a word, N.
const PULLS_N: f64 = 0.1;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let goal = context.case.goal.as_ref();
    if goal.is_some_and(|g| g.incisors_forward == Some(false)) {
        return;
    }
    for view in context.views() {
        if !matches!(purpose(&view), StepKind::Align | StepKind::Level) {
            continue;
        }
        let cinched: Vec<Side> = [Side::Right, Side::Left]
            .into_iter()
            .filter(|s| view.step.ends.of(*s).kind == EndKind::Cinched)
            .filter(|s| view.step.ends.of(*s).slack.is_none_or(|l| mm(l) < 1.0))
            .collect();
        if cinched.is_empty() || crate::support::account::has_extraction(&view) {
            continue;
        }
        let crowding = crate::support::account::crowding_mm(&view);
        if crowding <= SOME_MM {
            continue;
        }
        let severity = if crowding > MUCH_MM { Severity::Error } else { Severity::Warning };
        let limit = if crowding > MUCH_MM { MUCH_MM } else { SOME_MM };
        let on = match cinched.as_slice() {
            [one] => format!("on the {one}"),
            _ => "on both sides".to_owned(),
        };
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                view.clause_place(view.step.ends.of(cinched[0]).place),
                format!(
                    "The {} wire is cinched {on} in {}, and about {} of crowding needs arch length to resolve.",
                    view.side(),
                    view.step.name,
                    say_mm(crowding)
                ),
            )
            .why("A cinched end allows no arch lengthening: the crowding stays, or the molars come forward.")
            .figure(tenth(crowding), limit, Unit::Mm);
        let slack = |s: &Side| view.step.ends.of(*s).slack.map_or(0.0, mm);
        let slack_mm = cinched.iter().map(slack).sum();
        let drawn = (cinched.len() == 2).then_some(view.phase).flatten();
        if let Some(n) = drawn.and_then(|p| p.drawn_forward_n(slack_mm)).filter(|n| *n >= PULLS_N) {
            finding = finding.note(format!(
                "Bent before the crowded teeth are tied in, the wire draws the last tooth of each side forward with \
                 about {}.",
                say_force(from_newtons(n))
            ));
        }
        finding.fixes.extend(
            context
                .fix(format!("turn the ends in, 2 mm slack, in {}", view.step.name))
                .set_clause(view.arch, view.step, ClauseKind::Ends, "turned-in slack 2 mm")
                .done(),
        );
        list.push(Candidate::new(view.side(), crowding, finding));
    }
    merge_per_arch(context.words(), list, out);
}
