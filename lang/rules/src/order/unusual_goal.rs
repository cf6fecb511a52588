//! A goal that leaves the front teeth edge to edge, or as far apart as nobody treats them to.

use crate::prelude::*;
use springline_model::case::{Bite, say_overjet};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "order/unusual-goal",
    severity: Severity::Warning,
    page: include_str!("unusual_goal.md"),
    check,
    ..Rule::PLAIN
};

/// Where overjet and overbite end, mm (common practice, no source): under it the edges meet, over it the lower front
/// teeth bite on nothing, or on the palate.
const OVERJET_MM: (f64, f64) = (1.5, 4.0);
const OVERBITE_MM: (f64, f64) = (1.0, 4.0);

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(goal) = context.case.goal.as_ref().map(|g| &g.bite) else { return };
    let jet = goal.overjet.map(|(jet, place)| (jet.mm(), place));
    let figures = [
        ("overjet", jet, OVERJET_MM, "1.5 to 4"),
        ("overbite", overlap(goal), OVERBITE_MM, "1 to 4"),
    ];
    for (name, figure, (least, most), usual) in figures {
        let Some((value, place)) = figure else { continue };
        let limit = if value < least { least } else { most };
        if (least - 1e-9..=most + 1e-9).contains(&value) {
            continue;
        }
        let said = match name {
            "overbite" if value < 0.0 => format!("an open bite of {}", say_mm(-value)),
            "overbite" => format!("an overbite of {}", say_mm(value)),
            _ if value < 0.0 => format!("an overjet {}", say_overjet(value)),
            _ => format!("an overjet of {}", say_mm(value)),
        };
        let why = match (value < least, name) {
            (true, _) => {
                "The edges meet: they wear, and the next little move back opens or reverses the bite."
            }
            (false, "overjet") => {
                "The lower front teeth bite behind the upper ones on nothing, and grow up."
            }
            (false, _) => "Teeth left so deep grow deeper, and wear each other or the gum.",
        };
        out.push(
            Finding::new(RULE.code, RULE.severity, place, format!("The goal is {said}."))
                .why(why)
                .figure(tenth(value), limit, Unit::Mm)
                .note(format!("Treatment ends at {usual} mm; write what is meant, or accept it.")),
        );
    }
}

/// Open under nothing.
fn overlap(goal: &Bite) -> Option<(f64, Place)> {
    let open = goal.open_bite.map(|(length, place)| (-mm(length), place));
    goal.overbite.map(|(length, place)| (mm(length), place)).or(open)
}
