//! A goal that leaves the front teeth edge to edge, or as far apart as nobody treats them to.

use crate::prelude::*;
use springline_model::case::{ArchCase, Bite, BiteClass, ToothState, say_overjet};
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
    out.extend(molars(context));
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

/// A place that an act holds open, or in which the deciduous tooth stays.
fn keeps_place(arch: &ArchCase, tooth: Tooth) -> bool {
    let acts = arch.extras.iter().chain(arch.steps.iter().flat_map(|s| &s.acts));
    let held = acts.into_iter().any(|act| match &act.kind {
        ActKind::Hold { teeth, .. } => teeth.contains(&tooth),
        ActKind::ClosedCoil { first, second, .. } => {
            first.stretch(*second).is_some_and(|all| all.contains(&tooth))
        }
        _ => false,
    });
    let deciduous = |t: &Tooth| t.is_deciduous() && t.place() == tooth.place();
    held || arch.bonded.keys().chain(arch.stands.keys()).any(deciduous)
}

/// Canines in Class I, and molars in another class than the premolars between them allow: as many above as below leave
/// Class I, one less above Class II, one less below Class III.
fn molars(context: &RuleContext<'_>) -> Option<Finding> {
    let goal = context.case.goal.as_ref()?;
    let absent = |arch: Arch, side: Side, front: bool| {
        let plan = context.case.arch(arch);
        let states = plan.into_iter().flat_map(|a| &a.states);
        // What is still to come in leaves no space to close, and neither does a place that is held or taken.
        let kept = |t: &Tooth| plan.is_some_and(|a| keeps_place(a, *t));
        let here = states.filter(|(t, (s, _))| {
            t.side() == side && s.is_absent() && *s != ToothState::Unerupted && !kept(t)
        });
        here.filter(|(t, _)| if front { t.position() <= 3 } else { matches!(t.position(), 4 | 5) })
            .count()
    };
    let (side, molars, fits) = goal.bite.molars.iter().find_map(|(side, molars)| {
        let canines = goal.bite.canines.get(side)?;
        let front = [Arch::Upper, Arch::Lower].iter().any(|a| absent(*a, *side, true) > 0);
        if canines.class != BiteClass::Class1 || front {
            return None;
        }
        let (above, below) = (absent(Arch::Upper, *side, false), absent(Arch::Lower, *side, false));
        let fits = match above.cmp(&below) {
            std::cmp::Ordering::Equal => BiteClass::Class1,
            std::cmp::Ordering::Greater => BiteClass::Class2,
            std::cmp::Ordering::Less => BiteClass::Class3,
        };
        (fits != molars.class).then_some((*side, molars.class, fits))
    })?;
    let message = format!(
        "The goal of the {side} molars is {} with canines in Class I; the premolars that stand there leave {}.",
        molars.said(),
        fits.said()
    );
    Some(
        Finding::new(RULE.code, RULE.severity, goal.place?, message)
            .why("With closed spaces the molars follow the canines by what stands between them.")
            .note("Correct the class, or hold the place that is to stay open."),
    )
}
