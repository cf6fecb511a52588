//! An overjet or an overbite measured worse than the time before.

use crate::prelude::*;
use springline_model::case::{Bite, ElasticsKind, Visit, say_overjet};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "record/bite-grows-worse",
    severity: Severity::Warning,
    page: include_str!("bite_grows_worse.md"),
    check,
    ..Rule::PLAIN
};

/// Where a goal does not say it, overjet and overbite are to end there (common practice, no source), mm.
const USUAL_MM: f64 = 2.5;
/// More than two people measure apart, and more than comes of itself (common practice, no source), mm. What is past
/// counts from more on: what is done about it stands in the records since.
const OVERJET_MM: f64 = 1.0;
const PAST_MM: f64 = 1.5;
/// A bite that opens while elastics are worn to close it (common practice, no source), mm.
const OPENS_MM: f64 = 0.5;

/// One figure of the bite that is measured again and again.
struct Measured {
    name: &'static str,
    of: fn(&Bite) -> Option<(f64, Place)>,
    say: fn(f64) -> String,
    /// So much worse is reported of the last visit, mm.
    last_mm: f64,
}

const OVERJET: Measured =
    Measured { name: "overjet", of: overjet, say: say_overjet, last_mm: OVERJET_MM };
const OVERBITE: Measured =
    Measured { name: "overbite", of: overbite, say: say_overbite, last_mm: PAST_MM };

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut visits: Vec<&Visit> = context.case.visits.iter().collect();
    visits.sort_by_key(|v| v.on);
    for measured in [OVERJET, OVERBITE] {
        grown(context, &measured, &visits, out);
    }
}

fn grown(
    context: &RuleContext<'_>,
    measured: &Measured,
    visits: &[&Visit],
    out: &mut Vec<Finding>,
) {
    let case = context.case;
    let goal = case.goal.as_ref().and_then(|g| (measured.of)(&g.bite)).map(|(mm, _)| mm);
    let aim = goal.unwrap_or(USUAL_MM);
    let mut before = (measured.of)(&case.bite).map(|(mm, _)| (mm, None));
    for (index, visit) in visits.iter().enumerate() {
        let Some((now, place)) = (measured.of)(&visit.bite) else { continue };
        let Some((was, on)) = before.replace((now, Some(visit.on))) else { continue };
        let is_last = index + 1 == visits.len();
        let opens = is_last && now < was && measured.name == "overbite" && is_vertical(context);
        let limit = match () {
            () if opens => OPENS_MM,
            () if is_last => measured.last_mm,
            () => PAST_MM,
        };
        let worse = (now - aim).abs() - (was - aim).abs();
        if worse < limit - 1e-9 {
            continue;
        }
        let when = on.map_or("at the start".to_owned(), |day| format!("on {day}"));
        let say = |mm: f64| (measured.say)(tenth(mm));
        let message = format!(
            "The {} is {} on {}; it was {} {when}.",
            measured.name,
            say(now),
            visit.on,
            say(was)
        );
        let why = match opens {
            true => "The elastics are not worn, or something holds the back teeth apart.",
            false => {
                "It grows worse under treatment, the elastics are not worn, or one of the two figures is a slip."
            }
        };
        let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
            .why(why)
            .figure(tenth(worse), limit, Unit::Mm)
            .note("Measure again; if it is so, look for what pulls the wrong way.");
        if let Some(goal) = goal {
            finding = finding.note(format!("The goal is {}.", say(goal)));
        }
        out.push(finding);
    }
}

/// Whether this is reported of the overjet of the last visit.
pub(super) fn overjet_is_worse(context: &RuleContext<'_>) -> bool {
    let Some(last) = context.case.visits.iter().max_by_key(|v| v.on) else { return false };
    let mut found = Vec::new();
    check(context, &mut found);
    let place = overjet(&last.bite).map(|(_, place)| place);
    found.iter().any(|f| Some(f.place) == place)
}

/// Elastics are worn that are to close the bite in front.
fn is_vertical(context: &RuleContext<'_>) -> bool {
    let kinds = [ElasticsKind::Triangle, ElasticsKind::Box];
    context.case.elastics.iter().any(|e| kinds.contains(&e.kind))
}

/// Positive: in front.
fn overjet(bite: &Bite) -> Option<(f64, Place)> {
    bite.overjet.map(|(jet, place)| (jet.mm(), place))
}

/// Negative: open.
fn overbite(bite: &Bite) -> Option<(f64, Place)> {
    let open = bite.open_bite.map(|(length, place)| (-mm(length), place));
    bite.overbite.map(|(length, place)| (mm(length), place)).or(open)
}

fn say_overbite(value: f64) -> String {
    if value < 0.0 { format!("open by {}", say_mm(-value)) } else { say_mm(value) }
}
