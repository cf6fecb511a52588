//! Elastics that pull the wrong way for the bite.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_finding::Fix;
use springline_model::case::{BiteClass, ElasticRun, Elastics, ElasticsKind, say_overjet};

pub const RULE: Rule = Rule {
    code: "order/elastics-wrong-class",
    severity: Severity::Error,
    page: include_str!("elastics_wrong_class.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let bite = &context.case.bite;
    for elastics in &context.case.elastics {
        let (front, against) = match elastics.kind {
            ElasticsKind::Class2 => (Arch::Upper, BiteClass::Class3),
            ElasticsKind::Class3 => (Arch::Lower, BiteClass::Class2),
            _ => continue,
        };
        let kind = sentence_name(elastics.kind);
        let backwards = elastics.runs.iter().find(|run| {
            let position = |arch: Arch| {
                run.teeth.iter().filter(|t| t.arch() == arch).map(|t| t.position()).max()
            };
            match (position(front), position(front.other())) {
                (Some(f), Some(b)) => f > b,
                _ => true,
            }
        });
        if let Some(run) = backwards {
            out.push(
                Finding::new(
                    RULE.code,
                    RULE.severity,
                    run.place,
                    format!(
                        "{kind} elastics run from {front} anterior to {} posterior teeth; this one joins {}.",
                        front.other(),
                        words.teeth(&run.teeth)
                    ),
                )
                .why("It would pull in the opposite direction.")
                .teeth(run.teeth.iter().copied()),
            );
            continue;
        }
        let reverse = context.bite().overjet_mm.map(|o| o.value).filter(|o| *o < 0.0);
        if let (ElasticsKind::Class2, Some(overjet)) = (elastics.kind, reverse) {
            let mut finding = Finding::new(
                RULE.code,
                RULE.severity,
                elastics.place,
                format!("{kind} elastics are planned, and the overjet is {}.", say_overjet(overjet)),
            )
            .why("They pull the upper incisors farther behind the lower ones every day they are worn.");
            if let Some((from, ..)) = &elastics.from {
                finding = finding.step(from.clone());
            }
            finding.fixes.extend(turned_about(context, elastics, "class-3"));
            out.push(finding);
            continue;
        }
        let relations: Vec<BiteClass> =
            bite.molars.values().chain(bite.canines.values()).map(|r| r.class).collect();
        let wrong = relations.contains(&against)
            && !relations.iter().any(|c| *c != against && *c != BiteClass::Class1);
        if wrong {
            let word = if against == BiteClass::Class2 { "class II" } else { "class III" };
            let mut finding = Finding::new(
                RULE.code,
                RULE.severity,
                elastics.place,
                format!("{kind} elastics are planned, and the occlusion is {word}."),
            )
            .why("They make the discrepancy worse every day they are worn.");
            if let Some((from, ..)) = &elastics.from {
                finding = finding.step(from.clone());
            }
            let meant = if against == BiteClass::Class2 { "class-2" } else { "class-3" };
            finding.fixes.extend(turned_about(context, elastics, meant));
            out.push(finding);
            continue;
        }
        out.extend(
            elastics.runs.iter().find_map(|run| of_one_side(context, elastics, run, against)),
        );
    }
}

/// An elastic on the one side whose teeth are of the other class, worn for the sake of the other side.
fn of_one_side(
    context: &RuleContext<'_>,
    elastics: &Elastics,
    run: &ElasticRun,
    against: BiteClass,
) -> Option<Finding> {
    let bite = &context.case.bite;
    let side = run.teeth.first()?.side();
    let here = [bite.molars.get(&side), bite.canines.get(&side)].into_iter().flatten();
    let classes: Vec<BiteClass> = here.map(|r| r.class).collect();
    // A midline to move is a reason to pull unevenly.
    let uneven =
        !bite.midlines.is_empty() || context.case.arches.iter().any(|a| a.midline.is_some());
    if uneven || !classes.contains(&against) || classes.iter().any(|c| *c != against) {
        return None;
    }
    let kind = sentence_name(elastics.kind);
    let message = format!(
        "{kind} elastics are worn on the {side} too, where the occlusion is {}.",
        against.said()
    );
    let finding = Finding::new(RULE.code, Severity::Warning, run.place, message)
        .why("On that side they make the discrepancy worse every day they are worn.")
        .note("Leave that side out, or write the relation that it has.")
        .teeth(run.teeth.iter().copied());
    Some(match &elastics.from {
        Some((from, ..)) => finding.step(from.clone()),
        None => finding,
    })
}

/// The other class, from canine to molar in the other arches: 13 to 46 becomes 43 to 16.
fn turned_about(context: &RuleContext<'_>, elastics: &Elastics, meant: &str) -> Option<Fix> {
    let words = context.words();
    let turned = context.fix(format!("use {meant} elastics")).set_field(
        elastics.place,
        |line| plan_fix::word(line, elastics.kind.word()).copied(),
        meant,
    );
    let runs = elastics.runs.iter().try_fold(turned, |fix, run| {
        let [a, b] = run.teeth.as_slice() else { return None };
        let (to_a, to_b) = (in_arch(*a, b.arch())?, in_arch(*b, a.arch())?);
        let fix = fix.set_field(
            run.place,
            |l| l.holes(PlaceholderKind::Tooth).next(),
            &words.tooth(to_a),
        );
        Some(fix.set_field(
            run.place,
            |l| l.holes(PlaceholderKind::Tooth).nth(1),
            &words.tooth(to_b),
        ))
    });
    runs?.done()
}

/// The tooth of the same place in the other arch.
fn in_arch(tooth: Tooth, arch: Arch) -> Option<Tooth> {
    Tooth::at(arch, tooth.place())
}
