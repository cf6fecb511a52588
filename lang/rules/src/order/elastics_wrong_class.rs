//! Elastics that pull the wrong way for the bite.

use crate::prelude::*;
use crate::wording::sentence_name;
use springline_finding::Fix;
use springline_model::case::{BiteClass, Elastics, ElasticsKind, say_overjet};

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
        }
    }
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
