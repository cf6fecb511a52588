//! An expander that cannot widen the arch, or not safely.

use crate::prelude::*;
use springline_course::expander_life;
use springline_model::case::{ArchCase, Growth};
use springline_model::expander::Expander;

pub const RULE: Rule = Rule {
    code: "order/expander-unsound",
    severity: Severity::Error,
    page: include_str!("expander_unsound.md"),
    check,
    ..Rule::PLAIN
};

/// From this age on the suture rarely opens by teeth alone (common practice, no source).
const ADULT_YEARS: u32 = 16;
/// Faster than this is more than bone and gum follow; slower than the other nobody can turn and look (common practice,
/// no source).
const FASTEST_MM_A_DAY: f64 = 1.0;
/// The usual screws and the usual lack of width (common practice, no source), mm.
const WIDEST_MM: f64 = 10.0;
/// Locked for less, the width runs back (common practice, no source: 3 to 6 months).
const LOCKED_DAYS: f64 = 90.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in &context.case.arches {
        let Some(expander) = &arch.expander else { continue };
        for (severity, message, why) in faults(context, arch, expander) {
            out.push(
                Finding::new(RULE.code, severity, expander.place, message)
                    .why(why)
                    .teeth(expander.teeth.iter().copied()),
            );
        }
    }
}

type ExpanderFault = (Severity, String, &'static str);

fn faults(context: &RuleContext<'_>, arch: &ArchCase, expander: &Expander) -> Vec<ExpanderFault> {
    let mut out: Vec<ExpanderFault> = Vec::new();
    let words = context.words();
    let mut add = |severity, message: String, why| out.push((severity, message, why));
    if !arch.bars.is_empty() {
        let message = format!("An expander and a palatal arch on the {} molars.", arch.arch);
        add(Severity::Error, message, "One opens what the other holds, on the same bands.");
    }
    let on_side = |side| expander.teeth.iter().any(|t| t.side() == side);
    if !(on_side(Side::Right) && on_side(Side::Left)) {
        let message = format!("An expander on {} alone.", words.teeth(&expander.teeth));
        add(
            Severity::Error,
            message,
            "It pushes one side away from the other: it needs teeth on both.",
        );
    }
    let banded = |t: &&Tooth| arch.bonded.get(*t).is_some_and(|b| b.bracket.on_band);
    if let Some(tooth) = expander.teeth.iter().find(|t| !banded(t)) {
        let message = format!("{} carries the expander and no band.", words.tooth(*tooth));
        add(Severity::Warning, message, "Only a cemented band holds a screw.");
    }
    let age = context.case.age.map(|(years, _)| years);
    let grown =
        context.case.growth == Growth::Adult || age.is_some_and(|years| years >= ADULT_YEARS);
    if grown {
        let message = "An expander in a patient who is grown: the doctor decides.".to_owned();
        add(
            Severity::Warning,
            message,
            "Without help of the surgeon the teeth tip out and the suture stays.",
        );
    }
    let width = mm(expander.width);
    if width > WIDEST_MM + 1e-9 {
        let message =
            format!("The expander is to open {}; at most {}.", say_mm(width), say_mm(WIDEST_MM));
        add(
            Severity::Warning,
            message,
            "No usual screw opens so far, and the molars bite outside.",
        );
    }
    let rate = expander.mm_per_day();
    if expander.turning_days().is_none() {
        add(
            Severity::Error,
            "The expander is never turned.".to_owned(),
            "Nothing is widened by it.",
        );
    } else if rate > FASTEST_MM_A_DAY + 1e-9 {
        let message = format!(
            "The expander opens {} a day; at most {}.",
            say_mm(rate),
            say_mm(FASTEST_MM_A_DAY)
        );
        add(Severity::Warning, message, "Bone and gum do not follow, and it hurts.");
    }
    let locked = expander.locked.days();
    if locked < LOCKED_DAYS - 1.0 {
        let message = format!(
            "The expander is locked for {}; at least {}.",
            say_weeks(locked),
            say_weeks(LOCKED_DAYS)
        );
        add(Severity::Warning, message, "Until bone has filled the gap the width runs back.");
    }
    let debond = context.case.debond.as_ref().and_then(|d| d.on);
    if let (Some(life), Some(debond)) = (expander_life(context.case, arch), debond)
        && life.off > debond
    {
        let message =
            format!("The expander comes off on {}, after the debond on {debond}.", life.off);
        add(Severity::Error, message, "What holds it is taken off before it.");
    }
    let most = context.case.visits.iter().flat_map(|v| &v.expanded);
    let most = most.filter(|(teeth, ..)| teeth.iter().any(|t| expander.teeth.contains(t)));
    let most = most.map(|(_, open, _)| mm(*open)).fold(0.0, f64::max);
    if most > mm(expander.width) + 2.0 {
        let message = format!(
            "The expander was open {}, planned are {}.",
            say_mm(most),
            say_mm(mm(expander.width))
        );
        add(
            Severity::Warning,
            message,
            "Two millimetres over the aim are the most that run back: stop turning.",
        );
    }
    out
}
