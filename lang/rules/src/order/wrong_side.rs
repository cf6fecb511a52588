//! Right and left mixed up.

use crate::prelude::*;
use springline_model::case::ArchCase;

pub const RULE: Rule = Rule {
    code: "order/wrong-side",
    severity: Severity::Error,
    page: include_str!("wrong_side.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in &context.case.arches {
        for (index, step) in arch.steps.iter().enumerate() {
            for act in &step.acts {
                let Some(slip) = slip(context, arch, index, &act.kind) else { continue };
                let what = act.kind.keyword();
                let teeth = |t: &[Tooth]| words.teeth(t);
                let (message, why, wrong, pair) = match slip {
                    SideMistake::Across(a, b) => (
                        format!(
                            "The {what} in {} runs from {} to {}, across the midline.",
                            step.name,
                            words.tooth(a),
                            words.tooth(b)
                        ),
                        "It would pull across the anterior teeth; one side is probably mistyped.",
                        vec![b, a],
                        vec![a, b],
                    ),
                    SideMistake::Past(a, b, between) => (
                        format!(
                            "The {what} in {} lies between {} and {}, and the brackets of {} are in its way.",
                            step.name,
                            words.tooth(a),
                            words.tooth(b),
                            teeth(&between)
                        ),
                        "It sits on the wire between two adjacent brackets; one of the two teeth is probably \
                         mistyped.",
                        vec![a, b],
                        vec![a, b],
                    ),
                    SideMistake::Beside(within, over) => (
                        format!(
                            "The light wire in {} engages {}, which does not lie between {}, where it is tied.",
                            step.name,
                            words.tooth(within),
                            teeth(&over)
                        ),
                        "It is tied on both sides of the tooth it aligns; one of them is probably mistyped.",
                        over.iter().copied().chain([within]).collect(),
                        vec![within],
                    ),
                };
                let mut finding = Finding::new(RULE.code, RULE.severity, act.place, message)
                    .why(why)
                    .teeth(pair)
                    .step(step.name.clone());
                for tooth in wrong {
                    if !still_wrong(context, arch, index, &act.kind, tooth)
                        && let Some(fix) = context
                            .fix(format!("write {}", words.tooth(tooth.mirror())))
                            .set_field(
                                act.place,
                                |line| plan_fix::named_tooth(line, tooth),
                                &words.tooth(tooth.mirror()),
                            )
                            .done()
                    {
                        finding = finding.fix(fix);
                    }
                }
                out.push(finding);
            }
        }
    }
}

/// What is wrong with the teeth that an act names.
enum SideMistake {
    /// It pulls from one side to the other.
    Across(Tooth, Tooth),
    /// It is on the wire with brackets in between.
    Past(Tooth, Tooth, Vec<Tooth>),
    /// The tooth a light wire takes in, and those it is tied to.
    Beside(Tooth, Vec<Tooth>),
}

fn slip(
    context: &RuleContext<'_>,
    arch: &ArchCase,
    step: usize,
    kind: &ActKind,
) -> Option<SideMistake> {
    let across = |(a, b): (Tooth, Tooth)| {
        let is = a.side() != b.side() && a.position().max(b.position()) > 2;
        is.then_some(SideMistake::Across(a, b))
    };
    match kind {
        ActKind::ClosingCoil { pulls, .. } => {
            pulls.iter().find_map(|(a, b)| across((a.tooth(), b.tooth())))
        }
        ActKind::Laceback { pairs } => pairs.iter().find_map(|pair| across(*pair)),
        ActKind::Sleeve { spans } => {
            spans.iter().find_map(|(a, b)| past(context, arch, step, *a, *b))
        }
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            past(context, arch, step, *first, *second)
        }
        ActKind::Piggyback { within, over, .. } => {
            beside(within, over).or_else(|| passed_over(context, arch, step, within, over))
        }
        _ => None,
    }
}

/// Teeth between the two that hold the wire with their brackets.
fn past(
    context: &RuleContext<'_>,
    arch: &ArchCase,
    step: usize,
    a: Tooth,
    b: Tooth,
) -> Option<SideMistake> {
    let (right, left) = (a.min(b), a.max(b));
    let state = context.forecast.timeline.planned(arch.arch, step)?;
    let between: Vec<Tooth> = state
        .in_wire()
        .map(|t| t.tooth)
        .filter(|t| t.place() > right.place() && t.place() < left.place())
        .collect();
    (!between.is_empty()).then_some(SideMistake::Past(a, b, between))
}

fn beside(within: &[Tooth], over: &[Tooth]) -> Option<SideMistake> {
    let (first, last) =
        (over.iter().map(|t| t.place()).min()?, over.iter().map(|t| t.place()).max()?);
    let out = within.iter().find(|t| t.place() < first || t.place() > last)?;
    (over.len() > 1).then(|| SideMistake::Beside(*out, over.to_vec()))
}

/// A light wire tied so far apart that it passes two brackets or more that hold the base wire.
fn passed_over(
    context: &RuleContext<'_>,
    arch: &ArchCase,
    step: usize,
    within: &[Tooth],
    over: &[Tooth],
) -> Option<SideMistake> {
    let (first, last) = (over.iter().min()?, over.iter().max()?);
    let SideMistake::Past(a, b, mut between) = past(context, arch, step, *first, *last)? else {
        return None;
    };
    between.retain(|t| !within.contains(t) && !over.contains(t));
    (between.len() > 1).then_some(SideMistake::Past(a, b, between))
}

/// The act is no better with this tooth on its other side.
fn still_wrong(
    context: &RuleContext<'_>,
    arch: &ArchCase,
    step: usize,
    kind: &ActKind,
    tooth: Tooth,
) -> bool {
    let turned = |t: Tooth| if t == tooth { t.mirror() } else { t };
    let pair = |(a, b): &(Tooth, Tooth)| (turned(*a), turned(*b));
    let mended = match kind {
        ActKind::Sleeve { spans } => ActKind::Sleeve { spans: spans.iter().map(pair).collect() },
        ActKind::Laceback { pairs } => {
            ActKind::Laceback { pairs: pairs.iter().map(pair).collect() }
        }
        ActKind::OpenCoil { first, second, coil, activation } => ActKind::OpenCoil {
            first: turned(*first),
            second: turned(*second),
            coil: coil.clone(),
            activation: *activation,
        },
        ActKind::ClosedCoil { first, second, coil, hold } => ActKind::ClosedCoil {
            first: turned(*first),
            second: turned(*second),
            coil: coil.clone(),
            hold: *hold,
        },
        ActKind::Piggyback { wire, within, over } => ActKind::Piggyback {
            wire: wire.clone(),
            within: within.iter().map(|t| turned(*t)).collect(),
            over: over.iter().map(|t| turned(*t)).collect(),
        },
        _ => return false,
    };
    slip(context, arch, step, &mended).is_some()
}
