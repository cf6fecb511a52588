//! Two devices of one wire of which one undoes what the other does.

use crate::prelude::*;
use springline_course::sliding::side_of;
use springline_model::case::ElasticsKind;
use springline_model::step::{Activation, Anchor, Spot};

pub const RULE: Rule = Rule {
    code: "order/undoes-the-other",
    severity: Severity::Error,
    page: include_str!("undoes_the_other.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        let acts: Vec<&Act> = view.acts().collect();
        for (i, first) in acts.iter().enumerate() {
            for second in &acts[i + 1..] {
                // Found in the step in which the later of them comes.
                if !view.step.acts.iter().any(|a| a.place == first.place || a.place == second.place)
                {
                    continue;
                }
                let found = undone(&first.kind, &second.kind);
                let Some((teeth, said)) = found.or_else(|| undone(&second.kind, &first.kind))
                else {
                    continue;
                };
                let message = format!("{} in {}: {said}.", words.teeth(&teeth), view.step.name);
                let finding = view
                    .finding(RULE.code, RULE.severity, view.act_place(second), message)
                    .related(first.place, "what it works against")
                    .why("The one undoes what the other does, or neither does anything.")
                    .note("Keep the one that is meant in this step.");
                out.push(finding.teeth(teeth));
            }
        }
    }
    closed_though_held(context, out);
    out.extend(both_classes(context));
}

/// A space that the arch keeps for a later tooth, and a pull of a step across it.
fn closed_though_held(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for view in context.views() {
        let held = view.arch.extras.iter().chain(&view.step.acts);
        let held = held.filter_map(|act| match &act.kind {
            ActKind::Hold { teeth, .. } => Some((teeth, act.place)),
            _ => None,
        });
        for (teeth, place) in held {
            let across = |tooth: &Tooth, act: &&Act| {
                let at = tooth.place();
                pulls(&act.kind).iter().any(|p| p.0 < at && at < p.1)
            };
            let pulled = teeth.iter().find_map(|tooth| {
                let act = view.step.acts.iter().find(|act| across(tooth, act))?;
                Some((*tooth, act))
            });
            let Some((tooth, act)) = pulled else { continue };
            let message = format!(
                "The space of {} is kept for a later tooth, and in {} something pulls it closed.",
                words.tooth(tooth),
                view.step.name
            );
            let finding = view
                .finding(RULE.code, RULE.severity, view.act_place(act), message)
                .related(place, "kept here")
                .why("The one undoes what the other does, or neither does anything.")
                .note("Keep the one that is meant; a pull on one side of the space leaves it.");
            out.push(finding.teeth([tooth]));
        }
    }
}

/// From the patient's right to left.
type Stretch = (usize, usize);

fn stretch(a: Tooth, b: Tooth) -> Stretch {
    (a.place().min(b.place()), a.place().max(b.place()))
}

/// What pulls together, and between which teeth.
fn pulls(kind: &ActKind) -> Vec<Stretch> {
    kind.pulled_stretches().into_iter().map(|(a, b)| stretch(a, b)).collect()
}

/// What the first does and the second undoes.
fn undone(a: &ActKind, b: &ActKind) -> Option<(Vec<Tooth>, &'static str)> {
    use ActKind as K;
    let across = |s: Stretch, all: &[Stretch]| all.iter().any(|p| p.0 <= s.0 && s.1 <= p.1);
    match (a, b) {
        (K::OpenCoil { first, second, activation, .. }, _) => {
            let here = stretch(*first, *second);
            let teeth = vec![*first, *second];
            let pushes = *activation != Activation::Passive;
            let laced: Vec<Stretch> = match b {
                K::Laceback { pairs } => pairs.iter().map(|(a, b)| stretch(*a, *b)).collect(),
                _ => Vec::new(),
            };
            let stops: &[Spot] = if let K::Stop { spots } = b { spots } else { &[] };
            if across(here, &pulls(b)) {
                let said = match pushes {
                    true => "a coil opens the space between them, and something pulls it closed",
                    false => "a coil keeps the space between them, and something pulls it closed",
                };
                Some((teeth, said))
            } else if pushes && across(here, &laced) {
                Some((teeth, "a coil opens the space between them, and a laceback holds it"))
            } else if pushes && stops.iter().any(|s| faces_into(*s, *first, *second)) {
                Some((teeth, "a coil between them pushes on a stop on its own wire"))
            } else {
                None
            }
        }
        (K::ClosedCoil { first, second, .. }, _) => {
            let here = stretch(*first, *second);
            let said = "a coil keeps the space between them, and something pulls it closed";
            across(here, &pulls(b)).then(|| (vec![*first, *second], said))
        }
        (K::ClosingCoil { pulls, .. }, K::Stop { spots }) => {
            let held =
                pulls.iter().flat_map(|(a, b)| [(a, b), (b, a)]).find_map(|(from, to)| {
                    let Anchor::Tooth(tooth) = from else { return None };
                    let on = |s: &&Spot| s.tooth == *tooth && faces_into(**s, *tooth, to.tooth());
                    spots.iter().find(on).map(|s| s.tooth)
                })?;
            Some((vec![held], "a spring pulls it along the wire against a stop"))
        }
        _ => None,
    }
}

/// The stop lies on that side of its tooth on which the other one stands.
fn faces_into(spot: Spot, a: Tooth, b: Tooth) -> bool {
    let (tooth, other) = if spot.tooth == a { (a, b) } else { (b, a) };
    let towards = if other.place() < tooth.place() { Side::Right } else { Side::Left };
    spot.tooth == tooth && side_of(spot) == towards
}

/// Class II and class III elastics on one side from the same step on.
fn both_classes(context: &RuleContext<'_>) -> Option<Finding> {
    let all = &context.case.elastics;
    let second = all.iter().filter(|e| e.kind == ElasticsKind::Class2);
    for elastics in second {
        for other in all.iter().filter(|e| e.kind == ElasticsKind::Class3) {
            let from =
                |e: &springline_model::case::Elastics| e.from.as_ref().map(|(n, ..)| n.clone());
            let run = other.runs.iter().find(|r| elastics.runs.iter().any(|x| x.side == r.side));
            let (Some(run), true) = (run, from(elastics) == from(other)) else { continue };
            let message =
                format!("On the {} class II and class III elastics are worn at once.", run.side);
            let finding = Finding::new(RULE.code, RULE.severity, run.place, message)
                .related(elastics.place, "what they work against")
                .why("They pull the arches in opposite directions.")
                .note("Keep the one that the bite asks for, or begin the other later.")
                .teeth(run.teeth.iter().copied());
            return Some(match from(other) {
                Some(step) => finding.step(step),
                None => finding,
            });
        }
    }
    None
}
