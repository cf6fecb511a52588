//! Front teeth that something pulls or pushes apart.

use crate::prelude::*;
use springline_course::Sliding;
use springline_course::sliding::{BlockedWire, LITTLE_MM, StopUse, other};
use springline_model::case::ElasticsKind;
use springline_units::quantity::from_newtons;

pub const RULE: Rule = Rule {
    code: "slide/gap-can-open",
    severity: Severity::Warning,
    page: include_str!("gap_can_open.md"),
    check,
    ..Rule::PLAIN
};

/// Less push than this is not told, N.
const LITTLE_N: f64 = 0.1;
/// Elastics lighter than this do not part tied-in teeth within weeks, g (3 oz; common practice, no
/// source).
const LIGHT_G: f64 = 85.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        list.extend(by_stop(context, &view));
    }
    list.extend(by_elastic(context));
    merge_per_arch(context.words(), list, out);
}

/// A lone stop in a front gap: the wire carries it away from its own tooth against the next one.
fn by_stop(context: &RuleContext<'_>, view: &StepView<'_>) -> Option<Candidate> {
    let words = context.words();
    let wire = view.sliding();
    let lone = wire.uses().into_iter().find_map(|u| match u {
        StopUse::SendsTo(spot, side) => Some((spot, side)),
        _ => None,
    })?;
    let (spot, side) = lone;
    let stop = wire.stops.iter().find(|s| s.spot == spot)?;
    if view.step.carried.iter().any(|a| view.act_place(a) == stop.place) {
        return None;
    }
    // It touches its own bracket going the other way; going this way it travels to the next.
    let (next, travel) = wire.run(stop, side)?;
    let own = spot.tooth;
    if !(own.is_anterior() && next.is_anterior()) || view.are_tied(own, next) {
        return None;
    }
    // The end behind it lets the wire go that far, or an aligning tooth drives it.
    let let_in = wire.end(other(side)).1;
    let driven = wire.sources.iter().any(|s| {
        let behind = match side {
            Side::Left => s.centre_mm < stop.centre_mm,
            Side::Right => s.centre_mm > stop.centre_mm,
        };
        behind && s.gives_mm >= LITTLE_MM
    });
    if !driven || let_in <= travel {
        return None;
    }
    let gap = format!("between {} and {}", words.tooth(own), words.tooth(next));
    let mut finding = view
        .finding(
            RULE.code,
            RULE.severity,
            stop.place,
            format!(
                "The wire can slide to the patient's {side} in {}: after {} the stop {} meets {}, and a space \
                 can open {gap}.",
                view.step.name,
                say_mm(travel),
                words.spot(spot.along, own),
                words.tooth(next),
            ),
        )
        .why("The stop leaves its own tooth and pushes the next one away from it.")
        .figure(tenth(let_in), tenth(travel), Unit::Mm)
        .teeth([own, next]);
    finding.notes.extend(pushes_with(view, &wire, (next, side)));
    let pair = (own.min(next), own.max(next));
    finding.fixes.extend(
        context
            .fix(format!("tie {} and {} together", words.tooth(pair.0), words.tooth(pair.1)))
            .add_to_step(
                view.arch,
                view.step,
                &[format!("tie {}, {} figure-eight", words.tooth(pair.0), words.tooth(pair.1))],
            )
            .done(),
    );
    Some(Candidate::new(view.side(), let_in - travel, finding))
}

/// With how much the stop pushes: as if the wire could not leave on the other side either, and no more than friction
/// holds it there.
fn pushes_with(view: &StepView<'_>, wire: &Sliding, (next, side): (Tooth, Side)) -> Option<String> {
    let phase = view.phase?;
    let held = phase.chair_test(0.0)?;
    let excess_mm = wire.sources.iter().map(|s| s.gives_mm).sum();
    let far = match side {
        Side::Left => wire.brackets.first()?.tooth,
        Side::Right => wire.brackets.last()?.tooth,
    };
    let (right, left) = if side == Side::Left { (far, next) } else { (next, far) };
    let blocked = BlockedWire { right, left, excess_mm, play_mm: 0.0 };
    let most = phase.pressed_apart_n(&blocked)?;
    let [least, high] = held.range_n.map(|n| n.min(most));
    let likely = held.force_n.min(most);
    let say = |n: f64| say_force(from_newtons(n));
    let (least, high) = (say(least), say(high));
    let range = if least == high { String::new() } else { format!(" ({least} to {high})") };
    (likely > LITTLE_N).then(|| {
        format!(
            "It pushes with what friction holds back on the other side, and with no more than the wire bears before it \
             bows: about {}{range}.",
            say(likely)
        )
    })
}

/// A canine that elastics pull back while nothing ties it to the incisors.
fn by_elastic(context: &RuleContext<'_>) -> Vec<Candidate> {
    let words = context.words();
    let mut out = Vec::new();
    for elastics in &context.case.elastics {
        if !matches!(elastics.kind, ElasticsKind::Class2 | ElasticsKind::Class3) {
            continue;
        }
        let Some((from, _, _)) = &elastics.from else { continue };
        let Some(run) = elastics.runs.iter().find(|r| grams(r.elastic.force) >= LIGHT_G) else {
            continue;
        };
        for view in context.views() {
            let pulled: Vec<Tooth> = elastics
                .runs
                .iter()
                .flat_map(|r| r.teeth.iter().copied())
                .filter(|t| t.arch() == view.side() && t.position() == 3)
                .collect();
            if view.step.name != *from || pulled.is_empty() {
                continue;
            }
            let held = |t: &Tooth| view.tied().iter().any(|g| g.contains(t) && g.len() > 2);
            let loose: Vec<Tooth> = pulled.iter().copied().filter(|t| !held(t)).collect();
            let (Some(first), Some(last)) = (pulled.iter().min(), pulled.iter().max()) else {
                continue;
            };
            if loose.is_empty() {
                continue;
            }
            let range = match first == last {
                false => format!("{}..{}", words.tooth(*first), words.tooth(*last)),
                true => format!("{}..{}", words.tooth(*first), words.tooth(first.mirror())),
            };
            let mut finding = view
                .finding(
                    RULE.code,
                    Severity::Advice,
                    elastics.place,
                    format!(
                        "{} of {} pull on {} from {} onwards, with no tie to the incisors: a space can open \
                         distal to {}.",
                        "Elastics",
                        say_force(run.elastic.force),
                        words.teeth(&loose),
                        view.step.name,
                        if loose.len() > 1 { "the laterals" } else { "the lateral" },
                    ),
                )
                .why("An untied canine slides distally along the wire before the incisors follow.")
                .figure(grams(run.elastic.force).round(), LIGHT_G, Unit::G)
                .teeth(loose);
            finding.fixes.extend(
                context
                    .fix(format!("tie {range} together in {}", view.step.name))
                    .add_to_step(view.arch, view.step, &[format!("tie {range} figure-eight")])
                    .done(),
            );
            out.push(Candidate::new(view.side(), 0.0, finding));
        }
    }
    out
}
