//! A crowded tooth between two stops: its length can leave on neither side.

use crate::prelude::*;
use springline_course::sliding::{LITTLE_MM, SlideLimit, SurplusExit};

pub const RULE: Rule = Rule {
    code: "slide/locked",
    severity: Severity::Warning,
    page: include_str!("locked.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let wire = view.sliding();
        let SurplusExit::Locked(tooth) = wire.expression() else { continue };
        let Some(source) = wire.sources.iter().find(|s| s.tooth == tooth) else { continue };
        if source.gives_mm < LITTLE_MM {
            continue;
        }
        let met = |way| match wire.way_out(source, way).map(|w| w.met) {
            Some(SlideLimit::Stop { stop, .. }) => Some(stop),
            _ => None,
        };
        let (Some(right), Some(left)) = (met(Side::Right), met(Side::Left)) else { continue };
        let mut finding = view
            .finding(
                RULE.code,
                RULE.severity,
                right.place.max(left.place),
                format!(
                    "The wire is locked at {} in {}: the {} released by aligning it can exit on neither side, \
                     because of the stops {} and {}.",
                    words.tooth(tooth),
                    view.step.name,
                    say_mm(source.gives_mm),
                    words.spot(right.spot.along, right.spot.tooth),
                    words.spot(left.spot.along, left.spot.tooth),
                ),
            )
            .why("Where a wire cannot slide it bows, and pushes teeth that should stay where they are.")
            .figure(tenth(source.gives_mm), LITTLE_MM, Unit::Mm)
            .teeth([tooth]);
        let pressed = view.phase.and_then(|p| p.blocked(&context.case.house));
        if let Some((blocked, force_n)) = pressed {
            let tied = view.are_tied(blocked.right, blocked.left);
            let said = blocked.say(force_n, tied, context.case.house.notation.value);
            finding = finding.note(format!("Once it is in line, {said}."));
        }
        finding
            .fixes
            .extend(context.fix("remove the stops").remove(right.place.max(left.place)).done());
        list.push(Candidate::new(view.side(), source.gives_mm, finding));
    }
    merge_per_arch(words, list, out);
}
