//! A figure of the bite that the plan works on, and that is forecast to fall short of its goal at the debond.

use jiff::civil::Date;

use crate::prelude::*;
use crate::support::aimed_figures::{FrontBite, off_goal};
use crate::support::unmet::is_said;
use springline_course::{BiteCause, BiteFigure, GoalAtEnd, RemovalReason};
use springline_finding::Fix;
use springline_model::case::{Goal, say_overjet};
use springline_model::step::Term;
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "order/goal-not-reached",
    severity: Severity::Warning,
    page: include_str!("goal_not_reached.md"),
    check,
    ..Rule::PLAIN
};

/// So far from its goal a figure counts as reached, mm (common practice, no source: as the goals of a midline).
const NEAR_MM: f64 = 1.0;
/// Elastics are worn for no longer than this, whatever is left (common practice, no source), weeks.
const LONGEST_WORN_WK: f64 = 26.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(goal) = &case.goal else { return };
    if case.arches.iter().any(|arch| arch.is_unread()) {
        return;
    }
    let Some((debond, goals)) = context.forecast.timeline.goals_at_end(case) else { return };
    let missed: Vec<&GoalAtEnd> = goals
        .iter()
        // As it is shown: a figure that reads as near enough is.
        .filter(|end| tenth(end.left_mm()) > NEAR_MM + 1e-9 && !is_said_elsewhere(context, end))
        .collect();
    for end in &missed {
        let same = missed.iter().filter(|other| is_other_side(other.figure, end.figure));
        let other = same.copied().next();
        // Of two sides the farther one speaks, and of equals the right.
        let milder = other.is_some_and(|o| {
            o.left_mm() > end.left_mm() + 1e-9
                || (o.left_mm() - end.left_mm()).abs() <= 1e-9
                    && side(o.figure) == Some(Side::Right)
        });
        let Some(place) = place(goal, end.figure).filter(|_| !milder) else { continue };
        out.push(finding(context, end, other, place, debond));
    }
}

fn finding(
    context: &RuleContext<'_>,
    end: &GoalAtEnd,
    other: Option<&GoalAtEnd>,
    place: Place,
    debond: Date,
) -> Finding {
    let forecast = |end: &GoalAtEnd| {
        format!(
            "{} is forecast {}",
            springline_text::capital(&name(end.figure)),
            stands(end.figure, end.nearest_mm())
        )
    };
    let message = format!(
        "{} at the debond on {debond}; the goal is {}.",
        forecast(end),
        stands(end.figure, end.aim_mm)
    );
    let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
        .why("What is not there when the appliance comes off stays as it is.")
        .figure(tenth(end.left_mm()), NEAR_MM, Unit::Mm)
        .note(causes(context, end));
    if let Some(other) = other {
        finding = finding.note(format!("{}.", forecast(other)));
    }
    finding.fixes.extend(longer_worn(context, end, debond));
    finding.fixes.extend(until_it_is_there(context, end));
    finding
}

fn side(figure: BiteFigure) -> Option<Side> {
    match figure {
        BiteFigure::Molars(side) | BiteFigure::Canines(side) => Some(side),
        _ => None,
    }
}

/// The same measure on the other side of the mouth.
fn is_other_side(a: BiteFigure, b: BiteFigure) -> bool {
    a != b
        && matches!(
            (a, b),
            (BiteFigure::Molars(_), BiteFigure::Molars(_))
                | (BiteFigure::Canines(_), BiteFigure::Canines(_))
        )
}

/// Something else says of this figure that it is not reached: nothing works on it, elastics end before it is
/// there, or a small overjet, which grows as the front teeth line up.
fn is_said_elsewhere(context: &RuleContext<'_>, end: &GoalAtEnd) -> bool {
    let grows = end.figure == BiteFigure::Overjet
        && (0.0..end.aim_mm).contains(&end.now_mm)
        && end.moved_by.iter().all(|(_, mm)| *mm >= 0.0);
    grows
        || is_said(context, end.figure)
        || ends_by_calendar(context, end.figure)
        || is_aimed_short(context, end)
}

/// The plan itself waits for no more than this, and a finding of its own says so.
fn is_aimed_short(context: &RuleContext<'_>, end: &GoalAtEnd) -> bool {
    let measure = match end.figure {
        BiteFigure::Overjet => FrontBite::Overjet,
        BiteFigure::Overbite => FrontBite::Overbite,
        _ => return false,
    };
    let aims = off_goal(context, measure);
    aims.iter().any(|off| end.left_mm() <= -off.beyond_mm + NEAR_MM + 1e-9)
}

/// Elastics that wait for this figure end because their longest time is over.
fn ends_by_calendar(context: &RuleContext<'_>, figure: BiteFigure) -> bool {
    let visits = context.forecast.timeline.visits();
    let off = visits.iter().flat_map(|v| &v.elastics_off);
    let mut over = off.filter(|e| e.reason == RemovalReason::LongestTime);
    over.any(|e| {
        let block = context.case.elastics.get(e.block);
        let until = block.and_then(|b| b.until.as_ref());
        until.is_some_and(|(until, _)| {
            until.terms.iter().any(|t| {
                matches!(
                    (t, figure),
                    (Term::Overjet { .. }, BiteFigure::Overjet)
                        | (Term::Overbite { .. }, BiteFigure::Overbite)
                )
            })
        })
    })
}

/// The line of the goal that asks for it.
fn place(goal: &Goal, figure: BiteFigure) -> Option<Place> {
    let own = match figure {
        BiteFigure::Overjet => goal.bite.overjet.map(|(_, place)| place),
        BiteFigure::Overbite => {
            let length = goal.bite.overbite.or(goal.bite.open_bite);
            length.map(|(_, place)| place)
        }
        BiteFigure::Midline(arch) => goal.bite.midlines.get(&arch).map(|(_, place)| *place),
        BiteFigure::Molars(_) | BiteFigure::Canines(_) => None,
    };
    own.or(goal.place)
}

fn name(figure: BiteFigure) -> String {
    match figure {
        BiteFigure::Overjet => "the overjet".to_owned(),
        BiteFigure::Overbite => "the overbite".to_owned(),
        BiteFigure::Molars(side) => format!("the {side} molar relation"),
        BiteFigure::Canines(side) => format!("the {side} canine relation"),
        BiteFigure::Midline(arch) => format!("the {arch} midline"),
    }
}

/// "3.5 mm", "open by 1 mm", "Class II by 2 mm", "1.5 mm to the patient's left".
fn stands(figure: BiteFigure, value: f64) -> String {
    let nought = tenth(value) == 0.0;
    match figure {
        BiteFigure::Overjet => say_overjet(tenth(value)),
        BiteFigure::Overbite if tenth(value) < 0.0 => format!("open by {}", say_mm(-value)),
        BiteFigure::Overbite => say_mm(value),
        BiteFigure::Molars(_) | BiteFigure::Canines(_) if nought => "Class I".to_owned(),
        BiteFigure::Molars(_) | BiteFigure::Canines(_) => {
            let class = if value > 0.0 { "Class II" } else { "Class III" };
            format!("{class} by {}", say_mm(value.abs()))
        }
        BiteFigure::Midline(_) if nought => "on the face".to_owned(),
        BiteFigure::Midline(_) => {
            let way = if value > 0.0 { Side::Left } else { Side::Right };
            format!("{} to the patient's {way}", say_mm(value.abs()))
        }
    }
}

/// What takes it how far from where it stands, the most first.
fn causes(context: &RuleContext<'_>, end: &GoalAtEnd) -> String {
    let mut moved = end.moved_by.clone();
    moved.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let parts = moved.iter().filter(|(_, mm)| tenth(*mm) != 0.0).filter_map(|(by, mm)| {
        let by = match by {
            BiteCause::Elastics(block) => {
                format!("{} elastics", context.case.elastics.get(*block)?.kind.word())
            }
            BiteCause::Raisers => "bite raisers".to_owned(),
            BiteCause::Wire(arch) => format!("the {arch} wire"),
            BiteCause::ReverseCurve(arch) => format!("the {arch} reverse curve"),
            BiteCause::Aligning(arch) => format!("aligning the {arch} front"),
            BiteCause::Closing(arch) => format!("closing the {arch} spaces"),
        };
        Some(format!("{by} {}", say_mm(mm.abs())))
    });
    let parts: Vec<String> = parts.collect();
    let now = stands(end.figure, end.now_mm);
    match parts.is_empty() {
        true => format!("It is {now} now, and nothing in the plan moves it."),
        false => format!("It is {now} now; moved by {}.", listed(&parts)),
    }
}

/// Elastics that move it, worn for as long as the rest takes.
fn longer_worn(context: &RuleContext<'_>, end: &GoalAtEnd, debond: Date) -> Option<Fix> {
    let (index, mm) = end.moved_by.iter().find_map(|(by, mm)| match by {
        BiteCause::Elastics(index) if *mm != 0.0 => Some((*index, *mm)),
        _ => None,
    })?;
    let towards = (end.aim_mm - end.nearest_mm()) * mm > 0.0;
    let block = context.case.elastics.get(index)?;
    let (longest, place) = block.longest.as_ref().filter(|_| towards)?;
    let first = context.forecast.timeline.elastics().get(index)?.first_day?;
    let last = longest.after(first)?.min(debond);
    let worn = springline_course::calendar::days_between(first, last).max(1.0);
    let more = worn / 7.0 * (end.left_mm() / mm.abs() + 1.0);
    let weeks = (more / 2.0).ceil() * 2.0;
    let text = format!("{} wk", plain(weeks));
    let fix = context.fix(format!("wear them for up to {text}"));
    let fix = fix.replace(*place, &format!("longest {text}"));
    (weeks <= LONGEST_WORN_WK && weeks * 7.0 > longest.days()).then(|| fix.done()).flatten()
}

/// The step in which elastics move it lasts until it is there, and so do they.
fn until_it_is_there(context: &RuleContext<'_>, end: &GoalAtEnd) -> Option<Fix> {
    let aim = match end.figure {
        BiteFigure::Overjet if end.aim_mm > 0.0 => format!("overjet {}", say_mm(end.aim_mm)),
        BiteFigure::Overbite if end.aim_mm > 0.0 => format!("overbite {}", say_mm(end.aim_mm)),
        _ => return None,
    };
    let block = end.moved_by.iter().find_map(|(by, _)| match by {
        BiteCause::Elastics(index) => context.case.elastics.get(*index),
        _ => None,
    })?;
    let (from, ..) = block.from.as_ref()?;
    let title = format!("{from} and the {} elastics until {aim}", block.kind.word());
    let mut fix = context.fix(title);
    for arch in &context.case.arches {
        let Some(step) = arch.steps.iter().find(|s| s.name == *from) else { continue };
        let by_time = |t: &Term| matches!(t, Term::Time { .. } | Term::Settled | Term::Decided);
        if !step.until.terms.iter().all(by_time) {
            return None;
        }
        fix = fix.set_clause(arch, step, ClauseKind::Until, &aim);
    }
    let longest = format!("longest {} wk", plain(LONGEST_WORN_WK));
    fix = match &block.longest {
        Some((said, place)) if said.days() < 7.0 * LONGEST_WORN_WK => fix.replace(*place, &longest),
        _ => fix,
    };
    match &block.until {
        Some(_) => fix.done(),
        None => fix.add_inside(block.place, &format!("until {aim}")).done(),
    }
}
