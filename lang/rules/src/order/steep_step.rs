//! From an aligning wire straight to a full or stiff one.

use crate::prelude::*;
use crate::support::role::{WireRole, role};
use crate::support::strength::{is_at_least, is_rigid_alloy, rigidity};
use springline_model::stock::Wire;

pub const RULE: Rule = Rule {
    code: "order/steep-step",
    severity: Severity::Warning,
    page: include_str!("steep_step.md"),
    check,
    yields_to: &["force/sustained", "force/left-over"],
    ..Rule::PLAIN
};

/// What a clinic day may take off the weeks that a rectangular superelastic wire levels before a full one.
const GRACE_DAYS: f64 = 7.0;

/// What the wire asks to have gone before it.
enum Asks {
    /// A light rectangular superelastic wire, for so long.
    Levelling,
    /// Anything heavier than the lightest round wire.
    HeavierRound,
}

fn asks(wire: &Wire) -> Option<Asks> {
    let rigid = is_rigid_alloy(wire);
    match wire.section.is_round() {
        true => (rigid && role(wire) == WireRole::Working).then_some(Asks::HeavierRound),
        false if rigid => is_at_least(wire, 0.016, 0.022).then_some(Asks::Levelling),
        false => is_at_least(wire, 0.018, 0.025).then_some(Asks::Levelling),
    }
}

fn levels(wire: &Wire) -> bool {
    !wire.section.is_round() && is_at_least(wire, 0.014, 0.022)
}

/// Days that earlier wires of this kind are in; `None` where there was none.
fn days_before(view: &StepView<'_>, levels_days: f64, kind: impl Fn(&Wire) -> bool) -> Option<f64> {
    let forecast = view.context.forecast.arch(view.side());
    let days = |index: usize| {
        let phase = forecast.and_then(|f| f.latest_phase_of_step(index))?;
        let (from, to) = (phase.date_in?, phase.end.date?);
        to.since(from).ok().map(|s| f64::from(s.get_days()))
    };
    let steps = view.arch.steps[..view.index].iter().enumerate();
    let such = steps.filter(|(_, s)| kind(&s.wire.wire));
    // Where there are no dates, a wire that goes in is taken to do its work.
    such.map(|(i, _)| days(i).unwrap_or(levels_days)).reduce(|a, b| a + b)
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let levels_days = 7.0 * context.case.house.limits.warn(Limit::Levelling);
    for view in context.views() {
        let wire = view.wire();
        let Some(before) = view.before().filter(|_| view.wire_goes_in()) else { continue };
        // A wire that was in place when the case was entered has its own history.
        if context.case.in_place.is_some() {
            continue;
        }
        let was = &before.wire.wire;
        let Some(asks) = asks(&wire.wire) else { continue };
        let heavier = |w: &Wire| levels(w) || mm(w.section.height()) > 0.0145 * 25.4;
        let says = match asks {
            Asks::HeavierRound if days_before(&view, levels_days, heavier).is_some() => continue,
            Asks::HeavierRound => "no wire thicker than 0.014 in has aligned before it.".to_owned(),
            Asks::Levelling => match days_before(&view, levels_days, levels) {
                Some(days) if days + GRACE_DAYS >= levels_days => continue,
                Some(days) => format!(
                    "a rectangular superelastic wire has levelled for {}; limit {}.",
                    say_weeks(days),
                    say_weeks(levels_days)
                ),
                None => "no rectangular superelastic wire has levelled before it.".to_owned(),
            },
        };
        // Teeth still out of line are the more serious error, reported elsewhere.
        if RULE.yields(&view, RULE.severity) {
            continue;
        }
        let times = rigidity(wire) / rigidity(&before.wire.value).max(1e-9);
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.case_place(),
                format!(
                    "{} in {} follows {} directly, and {says}",
                    wire.label(),
                    view.step.name,
                    was.label()
                ),
            )
            .why("A round wire leaves the roots where they were; the full one meets all of that torque and tip \
                at once.")
            .note(format!("It is {} as stiff.", say_times(times)));
        finding.fixes.extend(lighter_wire::split(context, &view));
        list.push(Candidate::new(view.side(), times, finding));
    }
    merge_per_arch(context.words(), list, out);
}
