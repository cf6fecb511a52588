//! Two stops that close one way, and none that closes the other.

use crate::prelude::*;
use springline_course::sliding::StopUse;
use springline_finding::Fix;
use springline_model::step::Spot;
use springline_model::stock::Along;
use springline_syntax::ast::{PlacePart, StepStopLine};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "slide/stops-same-way",
    severity: Severity::Warning,
    page: include_str!("stops_same_way.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let mut list = Vec::new();
    for view in context.views() {
        let wire = view.sliding();
        let uses = wire.uses();
        // A pair about a bracket or in a gap holds the wire both ways.
        let alone: Option<Vec<_>> = uses
            .iter()
            .map(|used| match used {
                StopUse::SendsTo(spot, side) => Some((*spot, *side)),
                _ => None,
            })
            .collect();
        let Some([(first, side), (second, other), ..]) = alone.as_deref() else { continue };
        let all_one_way = alone.iter().flatten().all(|(_, way)| way == side);
        let Some(stop) = wire.stops.iter().find(|s| s.spot == *second) else { continue };
        if !all_one_way || side != other {
            continue;
        }
        let message = format!(
            "The stops {} and {} close the same way in {}, and the {} wire can slide the other way.",
            words.spot(first.along, first.tooth),
            words.spot(second.along, second.tooth),
            view.step.name,
            view.side(),
        );
        let mut finding = view
            .finding(RULE.code, RULE.severity, stop.place, message)
            .why("One of them does nothing; two are placed to hold the wire from both sides.")
            .note("Turn one of them about, or leave it out.")
            .teeth([first.tooth, second.tooth]);
        for spot in [first, second] {
            let place = wire.stops.iter().find(|s| s.spot == *spot).map(|s| s.place);
            finding.fixes.extend(place.and_then(|place| turned_about(context, place, *spot)));
        }
        list.push(Candidate::new(view.side(), 0.0, finding));
    }
    merge_per_arch(words, list, out);
}

/// The same stop on the other side of its bracket.
fn turned_about(context: &RuleContext<'_>, place: Place, spot: Spot) -> Option<Fix> {
    let along = match spot.along {
        Along::Mesial => Along::Distal,
        Along::Distal => Along::Mesial,
    };
    let to = context.words().spot(along, spot.tooth);
    let same = |part: &PlacePart<'_>| {
        let on = Tooth::parse(part.tooth.text());
        part.along.word() == spot.along.word() && on == Some(spot.tooth)
    };
    let written = |line| Some(StepStopLine::cast(line)?.places.iter().find(same)?.fragment);
    context.fix(format!("put the stop {to}")).set_field(place, written, &to).done()
}
