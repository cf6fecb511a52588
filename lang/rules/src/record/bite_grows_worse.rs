//! An overjet or an overbite measured much worse than the time before.

use crate::prelude::*;
use springline_model::case::{Bite, say_overjet};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "record/bite-grows-worse",
    severity: Severity::Warning,
    page: include_str!("bite_grows_worse.md"),
    check,
    ..Rule::PLAIN
};

/// More than two people measure apart, and more than comes of itself (common practice, no source), mm.
const WORSE_MM: f64 = 1.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let mut visits: Vec<_> = case.visits.iter().collect();
    visits.sort_by_key(|v| v.on);
    let measures = [("overjet", overjet as WorseMeasure), ("overbite", overbite as WorseMeasure)];
    for (name, of) in measures {
        let mut before = of(&case.bite).map(|(mm, _)| (mm, None));
        for visit in &visits {
            let Some((now, place)) = of(&visit.bite) else { continue };
            let was = before.replace((now, Some(visit.on)));
            let Some((was, on)) = was.filter(|(was, _)| now - was > WORSE_MM + 1e-9) else {
                continue;
            };
            let when = on.map_or("at the start".to_owned(), |day| format!("on {day}"));
            let message = format!(
                "The {name} is {} on {}; it was {} {when}.",
                say_overjet(tenth(now)),
                visit.on,
                say_overjet(tenth(was))
            );
            out.push(
                Finding::new(RULE.code, RULE.severity, place, message)
                    .why("It grows worse under treatment, or one of the two figures is a slip.")
                    .figure(tenth(now - was), WORSE_MM, Unit::Mm)
                    .note("Measure again; if it is so, look for what pulls the wrong way."),
            );
        }
    }
}

type WorseMeasure = fn(&Bite) -> Option<(f64, Place)>;

/// Positive: in front.
fn overjet(bite: &Bite) -> Option<(f64, Place)> {
    bite.overjet.map(|(jet, place)| (jet.mm(), place)).filter(|(mm, _)| *mm >= 0.0)
}

fn overbite(bite: &Bite) -> Option<(f64, Place)> {
    bite.overbite.map(|(length, place)| (mm(length), place))
}
