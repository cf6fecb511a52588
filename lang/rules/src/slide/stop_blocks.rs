//! A stop that sends the wire, and the midline with it, the wrong way.

use crate::prelude::*;
use crate::support::midline::{MidlineTarget, say, wanted};
use springline_course::sliding::{LITTLE_MM, PlacedStop, Sliding, StopUse, SurplusExit, other};
use springline_finding::Fix;
use springline_syntax::ast::{PlacePart, StepStopLine};

pub const RULE: Rule = Rule {
    code: "slide/stop-blocks",
    severity: Severity::Error,
    page: include_str!("stop_blocks.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let wire = view.sliding();
        let SurplusExit::Only(goes) = wire.expression() else {
            list.extend(quiet(context, &view, &wire));
            continue;
        };
        let (severity, midline) = match wanted(context, view.arch) {
            MidlineTarget::Go(way, _) if way != goes => {
                (Severity::Error, format!("is {}", say(context, view.arch)))
            }
            MidlineTarget::Stay => (Severity::Warning, "is where it should be".to_owned()),
            _ => continue,
        };
        let Some((stop, tooth)) = wire.closes(other(goes)) else { continue };
        // A pair that faces holds the incisors where they are; only a lone stop carries them.
        let lone = wire
            .uses()
            .iter()
            .any(|u| matches!(u, StopUse::SendsTo(spot, _) if *spot == stop.spot));
        if !lone {
            continue;
        }
        let Some(gives) = wire.sources.iter().find(|s| s.tooth == tooth) else { continue };
        if gives.gives_mm < LITTLE_MM {
            list.extend(quiet(context, &view, &wire));
            continue;
        }
        let spot = words.spot(stop.spot.along, stop.spot.tooth);
        let mut finding = view
            .finding(
                RULE.code,
                severity,
                stop.place,
                format!(
                    "The stop {spot} closes the {} side in {}: the {} released by aligning {} exits to the \
                     patient's {goes}, and the {} midline {midline}.",
                    other(goes),
                    view.step.name,
                    say_mm(gives.gives_mm),
                    words.tooth(tooth),
                    view.side(),
                ),
            )
            .why("Length that can exit on one side only carries the anterior teeth to that side.")
            .figure(tenth(gives.gives_mm), 0.0, Unit::Mm)
            .teeth([stop.spot.tooth]);
        if let Some(said) = wire.midline_says() {
            finding = finding.note(format!("By its length, {said}."));
        }
        for used in wire.uses() {
            finding = finding.note(format!(
                "Effect of the stops: {}.",
                used.say(context.case.house.notation.value)
            ));
        }
        if severity == Severity::Error {
            finding.fixes.extend(other_side(context, &view, &stop));
        } else {
            finding.fixes.extend(facing_it(context, &view, &stop));
        }
        list.push(Candidate::new(view.side(), gives.gives_mm, finding));
    }
    merge_per_arch(words, list, out);
}

/// A lone stop on the side to which the midline has to go, on a wire that has hardly any length left to
/// give: it does no harm by much, and nothing of what it is there for.
fn quiet(context: &RuleContext<'_>, view: &StepView<'_>, wire: &Sliding) -> Option<Candidate> {
    let words = context.words();
    let MidlineTarget::Go(way, by) = wanted(context, view.arch) else { return None };
    let lone: Vec<(PlacedStop, Side)> = wire
        .uses()
        .into_iter()
        .filter_map(|u| match u {
            StopUse::SendsTo(spot, side) => {
                wire.stops.iter().find(|s| s.spot == spot).map(|s| (*s, side))
            }
            _ => None,
        })
        .collect();
    let [(stop, goes)] = lone.as_slice() else { return None };
    let carried = view.step.carried.iter().any(|a| view.act_place(a) == stop.place);
    if *goes == way || carried {
        return None;
    }
    let mut finding = view
        .finding(
            RULE.code,
            Severity::Warning,
            stop.place,
            format!(
                "The stop {} closes the {way} side in {}, and the {} midline has to move {} to the patient's \
                 {way}.",
                words.spot(stop.spot.along, stop.spot.tooth),
                view.step.name,
                view.side(),
                say_mm(by),
            ),
        )
        .why("Any wire still released exits on the other side, and the anterior teeth move with it.")
        .figure(tenth(by), crate::support::midline::NOTICED_MM, Unit::Mm)
        .teeth([stop.spot.tooth]);
    finding.fixes.extend(other_side(context, view, stop));
    Some(Candidate::new(view.side(), 0.0, finding))
}

/// The same stop on the mirrored tooth.
fn other_side(context: &RuleContext<'_>, view: &StepView<'_>, stop: &PlacedStop) -> Option<Fix> {
    let words = context.words();
    let (along, tooth) = (stop.spot.along, stop.spot.tooth);
    let mirrored = tooth.mirror();
    if !view.is_in_wire(mirrored) {
        return None;
    }
    let to = words.spot(along, mirrored);
    let same = |place: &PlacePart<'_>| {
        let on = Tooth::parse(place.tooth.text());
        place.along.word() == along.word() && on == Some(tooth)
    };
    let written = |line| Some(StepStopLine::cast(line)?.places.iter().find(same)?.fragment);
    context.fix(format!("put the stop {to}")).set_field(stop.place, written, &to).done()
}

/// Two stops facing each other in the midline in its place: the front teeth stay where they are.
fn facing_it(context: &RuleContext<'_>, view: &StepView<'_>, stop: &PlacedStop) -> Option<Fix> {
    let words = context.words();
    let centrals: Vec<Tooth> = view.in_wire().into_iter().filter(|t| t.position() == 1).collect();
    let [right, left] = centrals.as_slice() else { return None };
    let pair = format!("stop mesial of {}, mesial of {}", words.tooth(*right), words.tooth(*left));
    context.fix(format!("two stops facing each other: {pair}")).replace(stop.place, &pair).done()
}
