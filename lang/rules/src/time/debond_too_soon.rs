//! The appliance off before the last wire has done its work.

use crate::prelude::*;
use springline_model::case::Debond;

pub const RULE: Rule = Rule {
    code: "time/debond-too-soon",
    severity: Severity::Warning,
    page: include_str!("debond_too_soon.md"),
    check,
    ..Rule::PLAIN
};

const HELD_DAYS: f64 = 42.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(Debond { on: Some(debond), place, because }) = &context.case.debond else { return };
    let last = context.forecast.arches.iter().filter_map(|arch| {
        let planned = context.case.arch(arch.arch)?.steps.len();
        let phase = arch.phases.last().filter(|p| p.step + 1 == planned)?;
        let undone = context.forecast.undone.iter().rev();
        let mut undone = undone.filter(|u| u.arch == arch.arch && u.step == phase.step);
        let would = undone.next().map(|u| u.would_begin);
        Some((arch.arch, phase, phase.date_in.or(would)?))
    });
    let Some((arch, phase, on)) = last.max_by_key(|(_, _, on)| *on) else { return };
    let Ok(held) = on.until(*debond) else { return };
    let held = f64::from(held.get_days());
    if held >= HELD_DAYS - 3.0 {
        return;
    }
    let message = if held < 0.0 {
        format!(
            "The debond is on {debond}; {}, the last wire of the {arch} arch, is forecast to be placed on {on}.",
            phase.wire.label()
        )
    } else {
        format!(
            "The debond is on {debond}, {} after {} is forecast to be placed in the {arch} arch; minimum {}.",
            say_weeks(held),
            phase.wire.label(),
            say_weeks(HELD_DAYS)
        )
    };
    let mut finding = Finding::new(RULE.code, RULE.severity, *place, message)
        .why("What the last wire has not held for six weeks relapses.")
        .figure(weeks(held), weeks(HELD_DAYS), Unit::Wk)
        .step(phase.name.clone());
    let left = undone_steps(context);
    if !left.is_empty() {
        finding = finding.note(format!("Left undone on that day: {}.", listed(&left)));
    }
    if let Some(because) = because {
        finding = finding.note(format!("The plan says why: \u{201c}{because}\u{201d}."));
    }
    let from = on.saturating_add(jiff::Span::new().days(HELD_DAYS as i64));
    let open = (0..90)
        .map(|d| from.saturating_add(jiff::Span::new().days(d)))
        .find(|d| context.case.house.is_open(*d));
    if let Some(day) = open {
        let fix = context.fix(format!("debond on {day}"));
        let fix = fix.set_field(
            *place,
            |line| line.holes(PlaceholderKind::Date).next(),
            &day.to_string(),
        );
        finding.fixes.extend(fix.done());
    }
    out.push(finding);
}

/// "work (upper)": steps that never begin.
fn undone_steps(context: &RuleContext<'_>) -> Vec<String> {
    let each = context.forecast.undone.iter().filter_map(|u| {
        let step = context.case.arch(u.arch)?.steps.get(u.step)?;
        Some(format!("{} ({})", step.name, u.arch))
    });
    each.collect()
}
