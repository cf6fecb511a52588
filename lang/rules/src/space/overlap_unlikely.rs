//! An overlap of crowns that have no room to overlap.

use crate::prelude::*;
use springline_course::{Crown, Mouth, contact_displacement_mm};
use springline_model::case::Overlap;

pub const RULE: Rule = Rule {
    code: "space/overlap-unlikely",
    severity: Severity::Warning,
    page: include_str!("overlap_unlikely.md"),
    check,
    ..Rule::PLAIN
};

/// Along a curved arch straight crowns in contact read some tenths, and so does an error of measuring.
const LEAST_OVERLAP_MM: f64 = 1.0;
/// Nearer than that two contacts stand beside each other.
const BESIDE_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    for arch in context.case.arches.iter().filter(|a| !a.is_unread()) {
        let mouth = Mouth::entered(arch);
        for overlap in &arch.overlaps {
            let absent = absent_between(context, overlap);
            out.extend(absent.or_else(|| in_line(context, &mouth, overlap)));
        }
    }
    let seen = context.case.visits.iter().flat_map(|v| &v.overlaps);
    out.extend(seen.filter_map(|overlap| absent_between(context, overlap)));
}

fn absent_between(context: &RuleContext<'_>, overlap: &Overlap) -> Option<Finding> {
    let arch = context.case.arch(overlap.first.arch())?;
    let inner = overlap.first.stretch(overlap.second).unwrap_or_default();
    let gone = |t: &&Tooth| {
        **t != overlap.first
            && **t != overlap.second
            && arch.states.get(t).is_some_and(|(state, _)| state.is_absent())
    };
    let tooth = inner.iter().find(gone)?;
    let words = context.words();
    let message = format!(
        "{} and {} are said to overlap across the place of {}, which is not there.",
        words.tooth(overlap.first),
        words.tooth(overlap.second),
        words.tooth(*tooth)
    );
    let why = "Where a tooth is not there its neighbours stand apart, or have just met.";
    let note = "Write the `gap` that is left between them, or accept this where it was measured.";
    Some(unlikely(overlap, message, why, note))
}

fn in_line(context: &RuleContext<'_>, mouth: &Mouth, overlap: &Overlap) -> Option<Finding> {
    let length_mm = mm(overlap.length);
    let of = |tooth| {
        let pose = mouth.pose(tooth);
        Crown {
            tooth,
            width_mm: mouth.width_mm(tooth),
            lingual_mm: pose.lingual_mm,
            rotated_rad: pose.rotated_rad,
        }
    };
    let displaced_mm = contact_displacement_mm(&of(overlap.first), &of(overlap.second));
    if length_mm < LEAST_OVERLAP_MM || displaced_mm >= BESIDE_MM {
        return None;
    }
    let words = context.words();
    let message = format!(
        "{} and {} are said to overlap by {}, and their contacts stand beside each other, {} out of line.",
        words.tooth(overlap.first),
        words.tooth(overlap.second),
        say_mm(length_mm),
        say_mm(displaced_mm),
    );
    let why =
        "Along the arch two crowns overlap only where one stands behind the other or is turned.";
    let note =
        "Enter how far the tooth stands in or out and how it is turned, or correct the overlap.";
    let finding = unlikely(overlap, message, why, note);
    Some(finding.figure(tenth(length_mm), LEAST_OVERLAP_MM, Unit::Mm))
}

fn unlikely(overlap: &Overlap, message: String, why: &str, note: &str) -> Finding {
    Finding::new(RULE.code, RULE.severity, overlap.place, message)
        .why(why)
        .note(note)
        .teeth([overlap.first, overlap.second])
}
