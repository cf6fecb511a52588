//! Molars, canines and overjet that no mouth has together.

use std::collections::BTreeMap;

use crate::prelude::*;
use springline_model::case::{BiteClass, Relation, say_overjet};

pub const RULE: Rule = Rule {
    code: "order/relations-at-odds",
    severity: Severity::Warning,
    page: include_str!("relations_at_odds.md"),
    check,
    ..Rule::PLAIN
};

/// From here on an overjet is large, and under the other it is small or reversed, mm (common practice, no source).
const LARGE_MM: f64 = 4.0;
const SMALL_MM: f64 = 0.5;
/// So far, or so far as the class alone says, canines are in another class, mm (common practice, no source).
const FAR_MM: f64 = 2.0;

/// Farther off than this a relation is no longer Class I, mm (common practice, no source: a millimetre is within what
/// two people read).
const CLASS_1_MM: f64 = 1.25;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let bite = &context.case.bite;
    out.extend(far_class_1(context));
    let found = bite.canines.iter().find_map(|(side, canines)| {
        let with = against_molars(canines, bite.molars.get(side))
            .map(|()| format!("the {side} molars the other way"))
            .or_else(|| against_overjet(canines, bite.overjet?.0.mm()))?;
        Some((*side, canines.class, with))
    });
    let Some((side, class, with)) = found else { return };
    let message = format!("The {side} canines are {}, with {with}.", class.said());
    let place = bite.canines_place.unwrap_or(context.case.chart_place);
    out.push(
        Finding::new(RULE.code, RULE.severity, place, message)
            .why("One of the two is a slip of the pen, and elastics are planned by it.")
            .note("Write what was measured."),
    );
}

/// Class I by so much that it is another class, and nobody can tell which.
fn far_class_1(context: &RuleContext<'_>) -> Option<Finding> {
    let bite = &context.case.bite;
    let each = |teeth, relations: &BTreeMap<Side, Relation>| {
        let far = relations.iter().find_map(|(side, relation)| {
            let by = relation.by.map(mm).filter(|by| *by > CLASS_1_MM)?;
            (relation.class == BiteClass::Class1).then_some((*side, by))
        });
        far.map(|(side, by)| (teeth, side, by))
    };
    let (teeth, side, by) =
        each("canines", &bite.canines).or_else(|| each("molars", &bite.molars))?;
    let place = bite.canines_place.filter(|_| teeth == "canines");
    let message = format!("The {side} {teeth} are Class I by {}.", say_mm(by));
    Some(
        Finding::new(
            RULE.code,
            RULE.severity,
            place.unwrap_or(context.case.chart_place),
            message,
        )
        .why("So far off they are Class II or Class III, and elastics are planned by which of them.")
        .note("Write the class, or leave the millimetres out.")
        .figure(tenth(by), CLASS_1_MM, Unit::Mm),
    )
}

/// Class II beside Class III on one side.
fn against_molars(canines: &Relation, molars: Option<&Relation>) -> Option<()> {
    use BiteClass::{Class2, Class3};
    matches!((canines.class, molars?.class), (Class2, Class3) | (Class3, Class2)).then_some(())
}

fn against_overjet(canines: &Relation, jet_mm: f64) -> Option<String> {
    let far = canines.mm().is_none_or(|by| by.abs() >= FAR_MM);
    match canines.class {
        BiteClass::Class3 if far && jet_mm >= LARGE_MM => {
            Some(format!("an overjet of {}", say_mm(jet_mm)))
        }
        BiteClass::Class2 if far && jet_mm < SMALL_MM => {
            Some(format!("an overjet {}", say_overjet(jet_mm)))
        }
        _ => None,
    }
}
