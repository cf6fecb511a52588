//! Two crowns that are said to be apart and to overlap.

use crate::prelude::*;
use springline_model::case::{Gap, Overlap};

pub const RULE: Rule = Rule {
    code: "space/gap-and-overlap",
    severity: Severity::Error,
    page: include_str!("gap_and_overlap.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in &context.case.arches {
        both(context, &arch.gaps, &arch.overlaps, out);
    }
    for visit in &context.case.visits {
        both(context, &visit.gaps, &visit.overlaps, out);
    }
}

fn both(context: &RuleContext<'_>, gaps: &[Gap], overlaps: &[Overlap], out: &mut Vec<Finding>) {
    for overlap in overlaps {
        let contact = (overlap.first, overlap.second);
        let Some(gap) = gaps.iter().find(|g| (g.first, g.second) == contact) else { continue };
        let words = context.words();
        let message = format!(
            "Between {} and {} a gap of {} is given, and here an overlap of {}.",
            words.tooth(contact.0),
            words.tooth(contact.1),
            say_mm(mm(gap.length)),
            say_mm(mm(overlap.length)),
        );
        out.push(
            Finding::new(RULE.code, RULE.severity, overlap.place, message)
                .why("Crowns are apart or overlap: where the two brackets are hangs on which is meant.")
                .note("Keep the one that was measured.")
                .related(gap.place, "the gap")
                .teeth([contact.0, contact.1]),
        );
    }
}
