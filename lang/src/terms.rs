//! Terms of the trade as this program means them, for `explain`. Words of the language explain
//! themselves in their vocabulary; here stand ideas that several words and findings share.

use crate::course::FLOOR_N;
use crate::mechanics::March;

/// A term and what it means here.
#[derive(Debug, Clone, Copy)]
pub struct Term {
    pub names: &'static [&'static str],
    pub means: &'static str,
    /// What the program makes of it; figures in braces are put in by [`Term::here`].
    here: &'static str,
    pub source: &'static str,
}

const COMMON: &str = "common practice, no source";

pub const TERMS: &[Term] = &[
    Term {
        names: &["passive", "passive wire"],
        means: "A wire that does no more work: no bend of it is seen beside a slot, it lies at the base of the slots \
                without finger pressure, and it shifts to and fro along the arch.",
        here: "Predicted when a quarter of what this wire can remove is left, or every force is under {floor}; the house \
               sets which with `passive-when`. The chair's test goes before every prediction.",
        source: "common practice; lang/docs/course.md",
    },
    Term {
        names: &["sustained", "sustained force"],
        means: "The force that a tooth keeps feeling after it has begun to move.",
        here: "The force after the worst tooth has given {sustained}. Superelastic wires are judged by it, beside the same \
               figure of 0.014 in superelastic in the same arch.",
        source: "lang/docs/limits.md",
    },
    Term {
        names: &["delivered", "delivered force"],
        means: "The lower force of a wire once the teeth have given a little, on its unloading branch.",
        here: "The force after the worst tooth has given {delivered}. Steel and beta-titanium are judged by it.",
        source: "lang/docs/limits.md",
    },
    Term {
        names: &["peak", "peak force"],
        means: "The force at the moment the wire goes in, on its loading branch.",
        here: "A backstop for any wire: it warns and stops at the limit `peak`.",
        source: "lang/docs/limits.md",
    },
    Term {
        names: &["chart-limit", "comfort", "comfort ceiling"],
        means: "The force taken as comfortable, some 50 g, read off a bench chart of one wire over one span.",
        here: "It compares wires in `chart`. In a mouth the spans are shorter and the same wire gives several times as \
               much on a tooth, so no tooth is judged by it.",
        source: COMMON,
    },
    Term {
        names: &["play"],
        means: "How far the wire can turn or shift in its slot before both touch.",
        here: "Computed from slot, section and edge radius; torque within it never reaches the root.",
        source: "lang/docs/mechanics.md",
    },
    Term {
        names: &["misfit", "left over"],
        means: "How far a tooth still stands off the arch, or is still turned, when a wire goes in.",
        here: "Steel, cobalt-chromium and beta-titanium are judged by it, since they cannot flex.",
        source: "lang/docs/limits.md",
    },
    Term {
        names: &["irregularity", "uneven"],
        means: "The five in-out steps between the contacts of the six front teeth, added up.",
        here: "Shown in the course, in mm.",
        source: "a common index of crowding",
    },
    Term {
        names: &["step", "house sequence"],
        means: "One wire and all that is done with it until it comes out; a sequence is the practice's usual order of \
                steps.",
        here: "A case follows a sequence and says only where it departs from it.",
        source: COMMON,
    },
    Term {
        names: &["room", "room account"],
        means: "What a tooth or an arch needs in width against what there is, and where the rest is to come from.",
        here: "Coils, enamel reduction, extraction and the front teeth going forward, site by site.",
        source: "lang/docs/course.md",
    },
    Term {
        names: &["stops facing", "two stops facing each other", "pair of stops"],
        means: "One stop against each of two neighbouring brackets, in the gap between them. The two teeth stay \
                together, and what wire aligning teeth give out leaves at both ends.",
        here: "`stop mesial of 11, mesial of 21`. Said on the card, on hover and in findings.",
        source: COMMON,
    },
    Term {
        names: &["stops about a bracket", "two stops about one bracket"],
        means: "A stop on either side of the same bracket: the wire is fixed there and slides nowhere.",
        here: "`stop mesial of 14, distal of 14`. All wire that comes out does so on the far side of other teeth.",
        source: COMMON,
    },
    Term {
        names: &["one-sided stop", "lone stop"],
        means: "A stop on one side only. No wire comes out there, all of it goes to the other side, and the front \
                teeth with it: a means to move a midline.",
        here: "`stop mesial of 16` sends the front teeth to the patient's left. On the wrong side of a midline it is \
               an error, `slide/stop-blocks`.",
        source: COMMON,
    },
    Term {
        names: &["stops back to back", "measured travel"],
        means: "Stops on neighbouring teeth that face away from each other: the wire travels so far and no more.",
        here: "The free wire beside each stop, less the stop's own length; said on hover.",
        source: COMMON,
    },
    Term {
        names: &["slide", "sliding", "travel"],
        means: "The wire moving to and fro along the arch until something meets: a stop a bracket, a turned end its \
                tube.",
        here: "Worked out along the arch from the widths of crowns, brackets and stops; how much wire comes out as \
               teeth align is taken from the mechanics.",
        source: "geometry; lang/docs/mechanics.md",
    },
    Term {
        names: &["bracket", "slot"],
        means: "What is bonded to a tooth, and the groove in it that takes the wire.",
        here: "Height, depth and width come from the house's `bracket` and `tube` lines.",
        source: COMMON,
    },
    Term {
        names: &["abutment"],
        means: "The tooth that a coil pushes against.",
        here: "It has to be in the wire, and an incisor has to be tied to its neighbour.",
        source: COMMON,
    },
    Term {
        names: &["couple"],
        means: "A turning without a push: two equal forces the opposite way, a little apart. It moves the root.",
        here: "In N mm, after 0.2 mm of give; limits `couple` and `torque`.",
        source: COMMON,
    },
    Term {
        names: &["intrusion", "extrusion", "tipping"],
        means: "Pressing a tooth into its socket, bringing it out of it, and leaning it over.",
        here: "Each has its own limit, judged where the plan asks for that movement; intrusion bears least.",
        source: COMMON,
    },
    Term {
        names: &["strain", "set"],
        means: "How far the wire's outer fibre is stretched; beyond its limit the wire keeps the bend.",
        here: "A share of the elastic limit: steel 1 %, beta-titanium 1.1 %; for nickel-titanium of 16 %, twice what it \
               is published to come back from.",
        source: "lang/docs/limits.md",
    },
    Term {
        names: &["split a step"],
        means: "One step made into two, with a wire between the two in stiffness.",
        here: "Offered where a wire asks too much of teeth; recomputed before it is offered.",
        source: COMMON,
    },
    Term {
        names: &["give"],
        means: "How far the working wire bends at a hook under its own elastics.",
        here: "Computed with the tooth released; the limit `give` warns and stops.",
        source: "lang/docs/limits.md",
    },
    Term {
        names: &["ends", "cinched", "turned-in", "free", "flush", "slack"],
        means: "How an end of the wire is left behind its last tube: free, flush with it, turned in lightly so that it \
                does not slip out, or cinched against it so that the arch cannot lengthen.",
        here: "A turned-in or cinched end bounds how far the wire slides that way; its slack is the wire between the \
               tube and the bend.",
        source: COMMON,
    },
    Term {
        names: &["settle", "settled"],
        means: "Leaving a stiff wire alone until the teeth have come to it, before anything pulls on it.",
        here: "`settle 4 wk` is the least time for it in a step; `until settled` ends the step when it is over.",
        source: COMMON,
    },
    Term {
        names: &["tandem", "tandem wires"],
        means: "Two wires in one slot at the same time.",
        here: "Their forces add up tooth by tooth, and both sections must fit the slot together.",
        source: COMMON,
    },
    Term {
        names: &["bond", "bonding"],
        means: "Fixing a bracket or tube to a tooth; a band is cemented.",
        here: "`bonded` and `tubes` say what is on from the start, `pick-up` bonds a tooth later, `rebond` puts a bracket \
               back where it was, `reposition` moves it.",
        source: COMMON,
    },
    Term {
        names: &["nearly-passive", "active", "binds", "not-tested"],
        means: "What the test at the chair found: still at work a little, still at work, held fast at a tooth, or no test.",
        here: "In a record `nearly-passive` ends the wait for a wire as `passive` does; the others do not.",
        source: COMMON,
    },
    Term {
        names: &["kept", "same-wire"],
        means: "What was done with a wire that did not change: left in, or taken out and put back.",
        here: "Neither begins a step anew.",
        source: COMMON,
    },
    Term {
        names: &["band"],
        means: "How far a figure may lie off, from the wire's and the slot's tolerances, differences between lots and \
                the error with which a tooth's stand is entered.",
        here: "Written in brackets behind a force, about the 10th to the 90th in a hundred.",
        source: "lang/docs/mechanics.md",
    },
    Term {
        names: &["factor", "learned"],
        means: "How much longer than predicted wires stay active in this practice.",
        here: "`springline learn` estimates it from recorded visits; the course then uses it and says so.",
        source: "lang/docs/course.md",
    },
    Term {
        names: &["hold card"],
        means: "The card printed in place of the visit's card while a finding stops the plan.",
        here: "Comfort, repair and calling the doctor only.",
        source: COMMON,
    },
    Term {
        names: &["departure"],
        means: "Where a case does something else than the practice's sequence.",
        here: "Computed, never written: the card frames it and says what the house has instead.",
        source: COMMON,
    },
];

impl Term {
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
pub fn terms(name: &str) -> impl Iterator<Item = &'static Term> {
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
