//! Steps or elastics that wait for a figure of the bite short of the goal, or far beyond it.

use crate::prelude::*;
use crate::support::aimed_figures::{BEYOND_MM, FrontBite, OffGoal, SHORT_MM, off_goal};
use springline_model::case::say_overjet;

pub const RULE: Rule = Rule {
    code: "order/ends-short-of-goal",
    severity: Severity::Warning,
    page: include_str!("ends_short_of_goal.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    if context.case.arches.iter().any(|a| a.is_unread()) {
        return;
    }
    for measure in [FrontBite::Overjet, FrontBite::Overbite] {
        out.extend(off_goal(context, measure).iter().map(|off| finding(off, measure)));
    }
}

fn finding(off: &OffGoal, measure: FrontBite) -> Finding {
    let (ends, why, limit) = match off.beyond_mm {
        short if short < 0.0 => {
            ("short of", "What works on it comes off before the goal is reached.", SHORT_MM)
        }
        _ => ("beyond", "The work goes on past what the goal asks for.", BEYOND_MM),
    };
    let say = |mm: f64| match measure {
        FrontBite::Overjet if mm < 0.0 => format!("an overjet {}", say_overjet(mm)),
        FrontBite::Overjet => format!("an overjet of {}", say_mm(mm)),
        FrontBite::Overbite if mm < 0.0 => format!("an open bite of {}", say_mm(-mm)),
        FrontBite::Overbite => format!("an overbite of {}", say_mm(mm)),
    };
    let by = off.beyond_mm.abs();
    let message = format!(
        "{} until {}, {} {ends} the goal of {}.",
        off.aimed.who,
        say(off.aimed.mm),
        say_mm(by),
        say_mm(off.goal_mm)
    );
    Finding::new(RULE.code, RULE.severity, off.aimed.place, message)
        .why(why)
        .figure(tenth(by), limit, Unit::Mm)
        .note("Write the figure that is meant, there or in the goal.")
}
