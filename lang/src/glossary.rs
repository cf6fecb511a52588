//! Clinical terms as this program uses them, for `explain`. Words of the language are documented in the
//! vocabulary; this table holds concepts that several words and findings share.

use springline_course::FLOOR_N;
use springline_mechanics::March;

/// A term and what it means here.
#[derive(Debug, Clone, Copy)]
pub struct GlossaryTerm {
    pub names: &'static [&'static str],
    pub means: &'static str,
    /// What the program makes of it; figures in braces are put in by [`GlossaryTerm::here`].
    here: &'static str,
    pub source: &'static str,
}

const COMMON: &str = "common practice, no source";

pub const TERMS: &[GlossaryTerm] = &[
    GlossaryTerm {
        names: &["passive", "passive wire"],
        means: "A wire that is no longer active: no deflection is visible beside a slot, it is seated at the \
            base of the slots without finger pressure, and it slides freely along the arch.",
        here: "Forecast when a quarter of what this wire can correct is left, or every force is under {floor}; \
            the practice file sets which with `passive-when`. The chairside test overrides the forecast.",
        source: "common practice; lang/docs/course.md",
    },
    GlossaryTerm {
        names: &["sustained", "sustained force"],
        means: "The force that remains on a tooth after it has begun to move.",
        here: "The force after the worst tooth has moved {sustained}. Superelastic wires are assessed by it, \
            beside the same figure of 0.014 in superelastic in the same arch.",
        source: "lang/docs/limits.md",
    },
    GlossaryTerm {
        names: &["delivered", "delivered force"],
        means: "The lower force of a wire once the teeth have moved slightly, on its unloading branch.",
        here: "The force after the worst tooth has moved {delivered}. Steel and beta-titanium are assessed by it.",
        source: "lang/docs/limits.md",
    },
    GlossaryTerm {
        names: &["peak", "peak force"],
        means: "The force on insertion of the wire, on its loading branch.",
        here: "A backstop for any wire: the limit `peak` has a warning and an error level.",
        source: "lang/docs/limits.md",
    },
    GlossaryTerm {
        names: &["bench-limit", "bench ceiling", "chart ceiling", "chart-limit"],
        means: "A light force, often some 50 g, at which wires are read off a bench chart of one wire over one span.",
        here: "It compares wires in `springline bench`. In a mouth the spans are shorter and the same wire applies several \
               times that force to a tooth, so no tooth is assessed by it.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["play"],
        means: "How far the wire can rotate or shift in its slot before both touch.",
        here: "Computed from slot, section and edge radius; torque within it never reaches the root.",
        source: "lang/docs/mechanics.md",
    },
    GlossaryTerm {
        names: &["misfit", "remaining misfit"],
        means: "How far a tooth is still out of line, or still rotated, when a wire is placed.",
        here: "Steel, cobalt-chromium and beta-titanium are assessed by it, since they are stiff.",
        source: "lang/docs/limits.md",
    },
    GlossaryTerm {
        names: &["irregularity"],
        means: "The sum of the five labiolingual steps between the contacts of the six anterior teeth.",
        here: "Shown in the forecast, in mm.",
        source: "a common index of crowding",
    },
    GlossaryTerm {
        names: &["step", "usual sequence"],
        means: "One wire and all that is done with it until it is removed; a sequence is the practice's usual \
            order of steps.",
        here: "A case follows a sequence and states only where it departs from it.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["room", "room account"],
        means: "What a tooth or an arch needs in width against what there is, and where the rest is to come from.",
        here: "Coils, IPR, extraction and incisor proclination, site by site.",
        source: "lang/docs/course.md",
    },
    GlossaryTerm {
        names: &["stops facing", "two stops facing each other", "pair of stops"],
        means: "One stop against each of two neighbouring brackets, in the gap between them. The two teeth stay \
            together, and the wire released by aligning teeth exits at both ends.",
        here: "`stop mesial of 11, mesial of 21`. Stated on the card, on hover and in findings.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["stops about a bracket", "two stops about one bracket"],
        means: "A stop on either side of the same bracket: the wire is fixed there and cannot slide.",
        here: "`stop mesial of 14, distal of 14`. All released wire exits on the far side of other teeth.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["one-sided stop", "lone stop"],
        means: "A stop on one side only. No wire exits there, all of it exits on the other side, and the \
            anterior teeth move with it: a means of shifting a midline.",
        here: "`stop mesial of 16` moves the anterior teeth to the patient's left. On the wrong side of a \
            midline it is an error, `slide/stop-blocks`.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["stops back to back", "measured travel"],
        means: "Stops on neighbouring teeth that face away from each other: the wire can travel so far and no \
            more.",
        here: "The free wire beside each stop, less the stop's own length; shown on hover.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["slide", "sliding", "travel"],
        means: "Sliding of the wire along the arch until something meets: a stop a bracket, a turned-in end its \
            tube.",
        here: "Computed along the arch from the widths of crowns, brackets and stops; the wire released as \
            teeth align comes from the mechanics.",
        source: "geometry; lang/docs/mechanics.md",
    },
    GlossaryTerm {
        names: &["bracket", "slot"],
        means: "What is bonded to a tooth, and the groove in it that holds the wire.",
        here: "Height, depth and width come from the `bracket` and `tube` lines of the practice file.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["abutment"],
        means: "The tooth that a coil pushes against.",
        here: "It must be engaged in the wire, and an incisor must be tied to its neighbour.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["couple"],
        means: "Two equal, opposite forces a short distance apart, producing pure rotation. It moves the root.",
        here: "In N·mm, after 0.2 mm of movement; limits `couple` and `torque`.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["intrusion", "extrusion", "tipping"],
        means: "Movement into the socket, out of it, and inclination within it.",
        here: "Each has its own limit, checked where the plan asks for that movement; the limit for intrusion \
            is the lowest.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["strain", "set"],
        means: "How far the wire's outer fibre is stretched; beyond its elastic limit the wire stays bent.",
        here: "A share of the elastic limit: steel 1 %, beta-titanium 1.1 %; for nickel-titanium of 16 %, twice \
            the strain from which it is published to recover.",
        source: "lang/docs/limits.md",
    },
    GlossaryTerm {
        names: &["split a step"],
        means: "One step made into two, with a wire of intermediate stiffness between them.",
        here: "Offered where a wire is too much for the teeth; recomputed before it is offered.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["deflection"],
        means: "How far the working wire deflects at a hook under its own elastics.",
        here: "Computed with the tooth released; the limit `deflection` has a warning and an error level.",
        source: "lang/docs/limits.md",
    },
    GlossaryTerm {
        names: &["ends", "cinched", "turned-in", "free", "flush", "slack"],
        means: "How an end of the wire is left behind its last tube: free, flush with it, turned in lightly so \
            that it does not slip out, or cinched against it so that the arch cannot lengthen.",
        here: "A turned-in or cinched end limits how far the wire slides that way; its slack is the wire \
            between the tube and the bend.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["express", "expressed"],
        means: "Leaving a stiff wire undisturbed until it is fully expressed, before anything pulls on it.",
        here: "`express 4 wk` is the least time for it in a step; `until expressed` ends the step when it is over.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["tandem", "tandem wires"],
        means: "Two wires in one slot at the same time.",
        here: "Their forces add up tooth by tooth, and both sections must fit the slot together.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["bond", "bonding"],
        means: "Attaching a bracket or tube to a tooth; a band is cemented.",
        here: "`bonded` and `tubes` state what is in place from the start, `pick-up` bonds a tooth later, \
            `rebond` replaces a bracket where it was, `reposition` moves it.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["nearly-passive", "active", "binds", "not-tested"],
        means: "What the chairside test found: still slightly active, still active, binding at a tooth, or not \
            tested.",
        here: "In a record `nearly-passive` ends the wait for a wire as `passive` does; the others do not.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["kept", "same-wire"],
        means: "What was done with a wire that did not change: left in place, or removed and replaced.",
        here: "Neither starts a step again.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["range"],
        means: "How far a figure may be off, from the tolerances of wire and slot, differences between lots and \
            the error with which a tooth's position is recorded.",
        here: "Written in brackets behind a force, about the 10th to the 90th percentile: 8 in 10 lie within it.",
        source: "lang/docs/mechanics.md",
    },
    GlossaryTerm {
        names: &["factor", "learned"],
        means: "How much longer than forecast wires stay active in this practice.",
        here: "`springline learn` estimates it from recorded visits; the forecast then uses it and says so.",
        source: "lang/docs/course.md",
    },
    GlossaryTerm {
        names: &["hold card"],
        means: "The card printed in place of the visit's card while an error stops the plan.",
        here: "Comfort, repair and calling the doctor only.",
        source: COMMON,
    },
    GlossaryTerm {
        names: &["departure"],
        means: "Where a case does something other than the practice's usual sequence.",
        here: "Computed, never written: the card frames it and states what is usual here.",
        source: COMMON,
    },
];

impl GlossaryTerm {
    /// What the program makes of it, with its figures.
    pub fn here(&self) -> String {
        let figures = [
            ("{floor}", format!("{FLOOR_N} N")),
            ("{delivered}", format!("{} mm", March::default().delivered_mm)),
            ("{sustained}", format!("{} mm", March::default().sustained_mm)),
        ];
        figures.iter().fold(self.here.to_owned(), |text, (name, value)| text.replace(name, value))
    }
}

/// The terms of that name.
pub fn terms(name: &str) -> impl Iterator<Item = &'static GlossaryTerm> {
    TERMS.iter().filter(move |t| t.names.iter().any(|n| n.eq_ignore_ascii_case(name)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_term_says_what_it_is_and_no_two_share_a_name() {
        let mut names: Vec<&str> = Vec::new();
        for term in TERMS {
            assert!(
                term.means.ends_with('.') && term.here().ends_with('.') && !term.source.is_empty()
            );
            assert!(!term.here().contains('{'), "{}", term.here());
            names.extend(term.names);
        }
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count);
    }
}
