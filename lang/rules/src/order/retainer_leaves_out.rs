//! Retainers that leave out what was moved.

use crate::prelude::*;
use springline_model::case::{ArchCase, Retention};
use springline_model::case::{Bite, ToothState};

pub const RULE: Rule = Rule {
    code: "order/retainer-leaves-out",
    severity: Severity::Warning,
    page: include_str!("retainer_leaves_out.md"),
    check,
    ..Rule::PLAIN
};

/// Turned by this much or more, a tooth turns back unless it is held (common practice, no source), deg.
const TURNED_DEG: f64 = 30.0;
/// A gap as large as this was closed by treatment and not by chance, mm.
const CLOSED_MM: f64 = 1.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(retention) = &case.retention else { return };
    let Some(place) = retention.place else { return };
    for arch in case.arches.iter().filter(|a| !a.steps.is_empty() && !a.is_unread()) {
        let at_night = retention.night.iter().any(|(a, _)| *a == arch.arch);
        // A retainer of the whole arch holds all of it; an arch without any has a rule of its own.
        if at_night || !is_held(retention, arch.arch) {
            continue;
        }
        let Some((what, teeth)) = left_out(context, arch, retention) else { continue };
        let them = if what.many { "them" } else { "it" };
        let message =
            format!("{}, and no retainer of the {} arch holds {them}.", what.said, arch.arch);
        let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
            .why("What was moved goes back unless it is held.")
            .teeth(teeth);
        let line = format!("night-time {}", arch.arch);
        finding.fixes.extend(context.fix(line.clone()).add_inside(place, &line).done());
        out.push(finding);
    }
    out.extend(open_bite(context, &case.bite, retention));
}

fn is_held(retention: &Retention, arch: Arch) -> bool {
    retention.fixed.iter().any(|(teeth, _)| teeth.iter().any(|t| t.arch() == arch))
}

/// A bonded retainer joins these two.
fn joins(retention: &Retention, a: Tooth, b: Tooth) -> bool {
    retention.fixed.iter().any(|(teeth, _)| {
        let ends = teeth.iter().map(|t| t.place()).min().zip(teeth.iter().map(|t| t.place()).max());
        let here = teeth.first().is_some_and(|t| t.arch() == a.arch());
        here && ends.is_some_and(|(first, last)| {
            first <= a.place().min(b.place()) && a.place().max(b.place()) <= last
        })
    })
}

/// What was moved, as a message begins with it.
struct MovedTeeth {
    said: String,
    many: bool,
}

fn left_out(
    context: &RuleContext<'_>,
    arch: &ArchCase,
    retention: &Retention,
) -> Option<(MovedTeeth, Vec<Tooth>)> {
    let words = context.words();
    let closed = arch.gaps.iter().find(|g| {
        let site = |t: &Tooth| {
            g.first.place().min(g.second.place()) < t.place()
                && t.place() < g.first.place().max(g.second.place())
        };
        let taken =
            |s: ToothState| matches!(s, ToothState::Extracted { .. } | ToothState::Extract { .. });
        let to_close = context.case.goal.as_ref().is_some_and(|goal| goal.spaces_closed)
            || arch.states.iter().any(|(t, (s, _))| site(t) && taken(*s));
        to_close && mm(g.length) >= CLOSED_MM - 1e-9 && !joins(retention, g.first, g.second)
    });
    if let Some(gap) = closed {
        let said = format!(
            "The space between {} and {} is closed",
            words.tooth(gap.first),
            words.tooth(gap.second)
        );
        return Some((MovedTeeth { said, many: false }, vec![gap.first, gap.second]));
    }
    let turned = arch.stands.iter().filter_map(|(tooth, stand)| {
        let deg = stand.value.rotated.map(|(a, _)| degrees(a.angle()))?;
        let held = retention.fixed.iter().any(|(teeth, _)| teeth.contains(tooth));
        (deg >= TURNED_DEG - 1e-9 && !held).then_some((*tooth, deg))
    });
    let turned: Vec<(Tooth, f64)> = turned.collect();
    let by: Vec<String> = turned.iter().map(|(_, deg)| say_deg(*deg)).collect();
    let teeth: Vec<Tooth> = turned.iter().map(|(tooth, _)| *tooth).collect();
    let many = teeth.len() > 1;
    let verb = if many { "are" } else { "is" };
    let said = format!("{} {verb} derotated by {}", words.teeth(&teeth), listed(&by));
    (!teeth.is_empty()).then_some((MovedTeeth { said, many }, teeth))
}

/// An open bite that was closed opens again between the front teeth, which a bonded retainer does not keep.
fn open_bite(context: &RuleContext<'_>, bite: &Bite, retention: &Retention) -> Option<Finding> {
    let (open, _) = bite.open_bite?;
    let place = retention.place?;
    if !retention.night.is_empty() || retention.fixed.is_empty() {
        return None;
    }
    let message = format!(
        "An open bite of {} is closed, and only bonded retainers are planned.",
        say_mm(mm(open))
    );
    let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
        .why("It opens again between the arches; a retainer over the back teeth keeps them down.");
    let fix = context.fix("night-time retainers").add_inside(place, "night-time both");
    finding.fixes.extend(fix.done());
    Some(finding)
}
