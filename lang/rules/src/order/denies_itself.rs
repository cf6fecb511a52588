//! A goal or a limit that the plan itself denies.

use crate::prelude::*;
use springline_model::case::{ArchCase, BiteClass, ElasticsKind, Growth, ToothState};
use springline_model::step::{BiteMeasure, Midline, Term};
use springline_model::stock::Name;

pub const RULE: Rule = Rule {
    code: "order/denies-itself",
    severity: Severity::Error,
    page: include_str!("denies_itself.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    out.extend(extraction(context));
    out.extend(canines(context));
    stopped_short(context, out);
    halts_at_once(context, out);
    reached_before(context, out);
    implants(context, out);
    out.extend(age(context));
    midlines(context, out);
    ends_before_it_begins(context, out);
}

/// One midline said twice, and not alike.
fn midlines(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let left_mm = |m: &Midline| match m.side {
        Side::Left => mm(m.off),
        Side::Right => -mm(m.off),
    };
    for arch in &context.case.arches {
        let Some((here, place)) = &arch.midline else { continue };
        let Some((there, at)) = context.case.bite.midlines.get(&arch.arch) else { continue };
        if here.reference != there.reference || (left_mm(here) - left_mm(there)).abs() < 0.25 {
            continue;
        }
        let message = format!(
            "The {} midline is described at the arch otherwise than in the bite.",
            arch.arch
        );
        out.push(
            Finding::new(RULE.code, RULE.severity, *at, message)
                .related(*place, "here")
                .why("Stops, coils and elastics are planned by one of the two, and judged by the other.")
                .note("Keep the one that was measured."),
        );
    }
}

/// Elastics until a step that comes before the one they begin with, or that is the same.
fn ends_before_it_begins(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for elastics in &context.case.elastics {
        let Some((from, ..)) = &elastics.from else { continue };
        let Some((until, place)) = &elastics.until_step else { continue };
        let ends_first = |arch: &ArchCase| {
            let at = |name: &Name| arch.steps.iter().position(|s| s.name == *name);
            matches!((at(from), at(until)), (Some(from), Some(until)) if until <= from)
        };
        if !context.case.arches.iter().any(ends_first) {
            continue;
        }
        let message = format!(
            "The elastics begin with {from} and are worn until {until}, which is no later."
        );
        out.push(
            Finding::new(RULE.code, RULE.severity, *place, message)
                .step(from.clone())
                .why("They would end before they begin.")
                .note("Name a step that comes after it."),
        );
    }
}

/// The goal says whether teeth are taken out, and the arches say the opposite.
fn extraction(context: &RuleContext<'_>) -> Option<Finding> {
    let words = context.words();
    let goal = context.case.goal.as_ref()?;
    let (wanted, place) = (goal.extraction?, goal.place?);
    let states = context.case.arches.iter().flat_map(|a| &a.states);
    let mut taken = states.filter(|(_, (s, _))| crate::support::account::is_extraction(*s));
    let finding = |message: String| {
        Finding::new(RULE.code, RULE.severity, place, message)
            .why("Whoever reads the goal expects another treatment than the one that is planned.")
    };
    match (wanted, taken.next()) {
        (false, Some((tooth, (ToothState::Extract { .. }, at)))) => {
            let message = format!(
                "The goal is `extraction none`, and {} is to be extracted.",
                words.tooth(*tooth)
            );
            Some(finding(message).related(*at, "here").teeth([*tooth]))
        }
        (true, None) if context.case.arches.iter().all(|a| !a.is_unread()) => {
            let message =
                "The goal is `extraction planned`, and no arch has a tooth to be extracted.";
            Some(
                finding(message.to_owned())
                    .note("Write which: `extract 14, 24 before 2026-12-01`."),
            )
        }
        _ => None,
    }
}

/// Canines that are to end in another class than the first: who means that says it in a note or an accept.
fn canines(context: &RuleContext<'_>) -> Option<Finding> {
    let goal = context.case.goal.as_ref()?;
    // Canines that take the place of laterals end farther forward.
    let laterals = context.case.arches.iter().flat_map(|a| &a.states);
    if laterals.into_iter().any(|(t, (s, _))| t.position() == 2 && s.is_absent()) {
        return None;
    }
    let (side, wanted) = goal.bite.canines.iter().find(|(_, r)| r.class != BiteClass::Class1)?;
    let message = format!("The goal of the {side} canines is {}.", wanted.class.said());
    let finding = Finding::new(RULE.code, Severity::Warning, goal.place?, message)
        .why("Upper canines that do not bite behind the lower ones guide no movement of the jaw.");
    Some(
        finding
            .note("Write the class that is meant: molars may end in Class II, canines in Class I."),
    )
}

/// The card stops the work before the step has what it waits for.
fn stopped_short(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for view in context.views() {
        let aim = view.step.until.terms.iter().find_map(|t| match t {
            Term::Overjet { overjet } => Some(overjet.mm()),
            _ => None,
        });
        let Some(aim) = aim else { continue };
        for act in view.acts() {
            let ActKind::HaltIf { measure: BiteMeasure::Overjet, under: true, length } = &act.kind
            else {
                continue;
            };
            let halt = mm(*length);
            if halt <= aim + 1e-9 {
                continue;
            }
            let message = format!(
                "{} waits for an overjet of {}, and halts under {}.",
                view.step.name,
                say_mm(aim),
                say_mm(halt)
            );
            out.push(
                view.finding(RULE.code, RULE.severity, view.act_place(act), message)
                    .figure(tenth(halt), tenth(aim), Unit::Mm)
                    .why("The card stops the work before the step can end.")
                    .note("Halt under less than the step waits for."),
            );
        }
    }
}

/// The card stops the work at a measure that the bite is past already.
fn halts_at_once(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(now) = context.bite().overjet_mm.map(|o| o.value) else { return };
    for view in context.views().into_iter().filter(|v| !v.is_in_mouth()) {
        for act in &view.step.acts {
            let ActKind::HaltIf { measure: BiteMeasure::Overjet, under, length } = &act.kind else {
                continue;
            };
            let halt = mm(*length);
            if if *under { now >= halt - 1e-9 } else { now <= halt + 1e-9 } {
                continue;
            }
            let way = if *under { "under" } else { "over" };
            let message = format!(
                "{} halts {way} an overjet of {}, and it is {} now.",
                view.step.name,
                say_mm(halt),
                say_mm(now)
            );
            out.push(
                view.finding(RULE.code, RULE.severity, view.act_place(act), message)
                    .figure(tenth(now), tenth(halt), Unit::Mm)
                    .why("The card stops the work before it has begun.")
                    .note("Write the measure at which the work would go too far."),
            );
        }
    }
}

/// Elastics that end where the bite is before they begin.
fn reached_before(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let Some(now) = context.bite().overjet_mm.map(|o| o.value).filter(|o| *o >= 0.0) else {
        return;
    };
    for elastics in context.case.elastics.iter().filter(|e| e.kind == ElasticsKind::Class2) {
        let Some((until, place)) = &elastics.until else { continue };
        let aim = until.terms.iter().find_map(|t| match t {
            Term::Overjet { overjet } => Some(overjet.mm()),
            _ => None,
        });
        // Worn already, they have done what they were for.
        let begun = elastics.from.as_ref().is_some_and(|(from, ..)| {
            context.case.arches.iter().any(|a| {
                let at = a.steps.iter().position(|s| s.name == *from);
                at.is_some_and(|at| context.now_step(a).is_some_and(|now| now >= at))
            })
        });
        let Some(aim) = aim.filter(|aim| *aim >= now - 1e-9 && !begun) else { continue };
        let message = format!(
            "Class II elastics are worn until an overjet of {}, and it is {} now.",
            say_mm(aim),
            say_mm(now)
        );
        let finding = Finding::new(RULE.code, RULE.severity, *place, message)
            .figure(tenth(aim), tenth(now), Unit::Mm)
            .why("They would end before they begin.")
            .note("Write the overjet that they are to reach, or leave them out.");
        out.push(match &elastics.from {
            Some((from, ..)) => finding.step(from.clone()),
            None => finding,
        });
    }
}

/// Implants do not grow with the jaw.
fn implants(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    if context.case.growth != Growth::Growing {
        return;
    }
    let words = context.words();
    for arch in &context.case.arches {
        let found = arch.states.iter().find(|(_, (s, _))| matches!(s, ToothState::Implant));
        let Some((tooth, (_, place))) = found else { continue };
        let message = format!("The patient is growing, and {} is an implant.", words.tooth(*tooth));
        out.push(
            Finding::new(RULE.code, Severity::Warning, *place, message)
                .why("The jaw grows past an implant, which then stands too low.")
                .note("Correct `patient growing`, or what stands there.")
                .teeth([*tooth]),
        );
    }
}

/// Growing after 25, or adult before 14, is a slip of the pen (common practice, no source); before nine no premolar is
/// through (first premolars come at ten to eleven; common practice, no source).
fn age(context: &RuleContext<'_>) -> Option<Finding> {
    const FIRST_PREMOLARS: u32 = 9;
    let (years, place) = context.case.age?;
    let premolar = context
        .case
        .arches
        .iter()
        .flat_map(|a| a.bonded.keys())
        .find(|t| matches!(t.position(), 4 | 5 | 7));
    let message = match (context.case.growth, premolar) {
        (Growth::Growing, _) if years > 25 => {
            format!("The patient is {years} years old, and `growing`.")
        }
        (Growth::Adult, _) if years < 14 => {
            format!("The patient is {years} years old, and `adult`.")
        }
        (_, Some(tooth)) if years < FIRST_PREMOLARS => format!(
            "The patient is {years} years old, and {} is bonded, which comes later.",
            context.words().tooth(*tooth)
        ),
        _ => return None,
    };
    Some(
        Finding::new(RULE.code, Severity::Warning, place, message)
            .why("How fast teeth move is reckoned from it.")
            .note("Correct the age, or what does not fit it."),
    )
}
