//! The matrix: every word that a visit can record, and what follows from it.
//!
//! All that is to be done is common practice, no source, but where a row says so.

use springline_lang::finding::Severity::{self, Advice, Error, Warning};

/// What the schedule does, against the same record without the word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Schedule {
    /// The next visit is on the same day.
    Stays,
    /// It is within so many days of the record.
    Within(i64),
    /// It is another day, by what the word says of the wire.
    Follows,
}

/// A finding, by name and severity.
pub type Found = Option<(&'static str, Severity)>;

/// One row.
pub struct ObservationRow {
    /// The word, and what it stands in: "seen loose", "found active".
    pub word: &'static str,
    /// The record, after `upper kept` and `lower kept` or in their place.
    pub record: Record,
    /// What is done the same day.
    pub same_day: &'static str,
    /// Words of the next card.
    pub card: Option<&'static str>,
    pub schedule: Schedule,
    pub finding: Found,
    /// The finding where the visit before said the same.
    pub again: Found,
}

/// How a row is recorded.
#[derive(Clone, Copy)]
pub enum Record {
    /// A line beside `upper kept`, `lower kept`.
    Beside(&'static str),
    /// In the place of `upper kept`.
    Upper(&'static str),
    /// What is done in the upper arch, in its braces.
    InUpper(&'static str),
    /// Nothing of the lower arch.
    WithoutLower,
    /// A line of the case.
    OfCase(&'static str),
    /// The kind of the visit, with something repaired at it.
    As(&'static str, &'static str),
}

const fn row(
    word: &'static str,
    record: Record,
    same_day: &'static str,
    card: Option<&'static str>,
    schedule: Schedule,
    finding: Found,
    again: Found,
) -> ObservationRow {
    ObservationRow { word, record, same_day, card, schedule, finding, again }
}

use Record::{As, Beside, InUpper, OfCase, Upper, WithoutLower};
use Schedule::{Follows, Stays, Within};

const REPEATED: &str = "record/repeated";
const OPEN: &str = "record/left-open";
const WORSE: &str = "record/gone-the-wrong-way";
const BITE_WORSE: &str = "record/bite-grows-worse";

pub const ROWS: &[ObservationRow] = &[
    // How the wire was found.
    row(
        "found passive",
        Upper("upper passive, kept"),
        "change the wire, if the step waits for no more",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "found nearly-passive",
        Upper("upper nearly-passive, kept"),
        "ask the doctor",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "found active",
        Upper("upper active, kept"),
        "leave the wire",
        None,
        Follows,
        None,
        Some((REPEATED, Advice)),
    ),
    row(
        "found binds",
        Upper("upper binds at 11, kept"),
        "leave the wire; look what holds it there",
        Some("bound at 11"),
        Follows,
        None,
        Some((REPEATED, Advice)),
    ),
    row(
        "found not-tested",
        Upper("upper not-tested, kept"),
        "test it",
        Some("test it before anything else"),
        Follows,
        None,
        Some((REPEATED, Warning)),
    ),
    // What was done with it.
    row("done kept", Upper("upper kept"), "nothing", None, Stays, None, None),
    row(
        "done same-wire",
        Upper("upper same-wire"),
        "look at the ends; every slide shut",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "done out",
        Upper("upper out"),
        "a new wire the same day",
        Some("no wire since"),
        Within(16),
        Some((OPEN, Error)),
        Some((OPEN, Error)),
    ),
    row(
        "done now",
        Upper("upper passive, now work with niti-19x25"),
        "the devices of the step go on with it",
        None,
        Follows,
        Some(("record/steps-jumped", Warning)),
        None,
    ),
    row("seen upper", Upper("upper kept"), "nothing", None, Stays, None, None),
    row(
        "seen lower",
        WithoutLower,
        "ask what was done",
        Some("says nothing of it"),
        Stays,
        None,
        None,
    ),
    row(
        "seen done",
        Beside("done as-planned"),
        "nothing: all tasks of the card count as done",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "seen midline",
        Upper("upper kept\n  upper midline 2 mm to patient-left of face"),
        "look which side pulls more",
        None,
        Follows,
        Some((WORSE, Warning)),
        None,
    ),
    // Measures.
    row(
        "seen tooth",
        Beside("tooth 11 rotated 20 deg mesial-in"),
        "look what turned it: out of the slot, a bite, a tie",
        None,
        Follows,
        Some((WORSE, Warning)),
        None,
    ),
    row(
        "seen measured",
        Beside(
            "measured 2026-11-25 from scan \"sm-1-upper.csv\" as \"7c1e09b2\", within 0.2 mm {\n    tooth 11 rotated 20 deg mesial-in\n  }",
        ),
        "look what turned it: out of the slot, a bite, a tie",
        None,
        Follows,
        Some((WORSE, Warning)),
        None,
    ),
    row(
        "seen gap",
        Beside("gap 3 mm between 11 and 21"),
        "compare both sides",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "seen overlap",
        Beside("overlap 1 mm between 11 and 21"),
        "look what crowds it",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "seen overjet",
        Beside("overjet 7 mm"),
        "show the elastics again; look at the anchorage",
        None,
        Follows,
        Some((BITE_WORSE, Warning)),
        None,
    ),
    row(
        "seen reverse-overjet",
        Beside("reverse-overjet 1 mm"),
        "call the doctor: no pull",
        None,
        Follows,
        Some((BITE_WORSE, Warning)),
        None,
    ),
    row(
        "seen overbite",
        Beside("overbite 4 mm"),
        "take off what has done its work",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "seen open-bite",
        Beside("open-bite 1 mm"),
        "look what holds the back teeth apart",
        None,
        Follows,
        None,
        None,
    ),
    row("seen curve-of-spee", Beside("curve-of-spee 2 mm"), "nothing", None, Follows, None, None),
    row(
        "seen molars",
        Beside("molars class-2 5 mm"),
        "look at the anchorage",
        None,
        Follows,
        Some((WORSE, Warning)),
        None,
    ),
    row(
        "seen canines",
        Beside("canines class-2 6 mm"),
        "look at the anchorage",
        None,
        Follows,
        Some((WORSE, Warning)),
        None,
    ),
    row(
        "seen crossbite",
        Beside("crossbite 15"),
        "a raiser, if a bracket is hit",
        None,
        Follows,
        Some((WORSE, Warning)),
        None,
    ),
    row(
        "seen crossbite-corrected",
        Beside("crossbite-corrected 12"),
        "raisers off",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "seen bite-raisers-off",
        Beside("bite-raisers-off 36, 46"),
        "look whether a bracket is bitten on",
        Some("Bite raisers off"),
        Stays,
        None,
        None,
    ),
    row(
        "seen expanded",
        Beside("expanded 16, 26 4 mm"),
        "turned on, or locked",
        None,
        Stays,
        None,
        None,
    ),
    // Faults. Within 12 months 3.6 % of brackets on incisors and 11.6 % of those on molars come off (Angle Orthod
    // 2014;84:1034, abstract).
    row(
        "seen loose",
        Beside("loose 15"),
        "rebond it, or take what hangs on it off",
        Some("Bracket off at 15"),
        Within(16),
        Some(("record/loose-not-mended", Warning)),
        Some((OPEN, Warning)),
    ),
    row(
        "seen lost",
        Beside("lost stop mesial of 11"),
        "a new stop, or the doctor says without",
        Some("Stop mesial of 11 lost"),
        Stays,
        Some((OPEN, Advice)),
        Some((OPEN, Warning)),
    ),
    row(
        "seen out",
        Beside("out 17"),
        "back into the slot; a longer wire, or cut it back",
        Some("Wire out of 17"),
        Stays,
        Some((OPEN, Warning)),
        Some((OPEN, Warning)),
    ),
    row(
        "seen poking",
        Beside("poking 26"),
        "cut it, turn it in",
        Some("End poked at 26"),
        Stays,
        Some((OPEN, Advice)),
        Some((OPEN, Warning)),
    ),
    row(
        "seen slide-open",
        Beside("slide-open 22"),
        "shut it, or tie it; else another bracket",
        Some("Slide of 22 stayed open"),
        Stays,
        Some((OPEN, Warning)),
        Some((OPEN, Warning)),
    ),
    row(
        "seen pain",
        Beside("pain 8 of 10"),
        "bite, loose teeth, ends",
        Some("Pain 8 of 10"),
        Stays,
        Some((REPEATED, Warning)),
        Some((REPEATED, Warning)),
    ),
    row(
        "worn none",
        Beside("wear right good, left none"),
        "show them again, with the picture",
        Some("on the left were worn not at all"),
        Stays,
        None,
        Some(("order/elastics-not-worn", Warning)),
    ),
    row(
        "worn partly",
        Beside("wear partly"),
        "show them again, with the picture",
        Some("were worn partly"),
        Stays,
        None,
        None,
    ),
    row("worn good", Beside("wear good"), "nothing", None, Stays, None, None),
    row("worn TIME", Beside("wear 10 h"), "hours count in the forecast", None, Stays, None, None),
    row(
        "seen wear",
        Beside("wear right good, left partly"),
        "show them again, with the picture",
        Some("on the left were worn partly"),
        Stays,
        None,
        None,
    ),
    // White spots come 3.1 times as often where the cleaning gets worse (Angle Orthod 2013;83:641, abstract).
    row(
        "hygiene poor",
        Beside("hygiene poor"),
        "teach it; no heavier wire",
        Some("Cleaning was poor"),
        Stays,
        Some((REPEATED, Advice)),
        Some((REPEATED, Warning)),
    ),
    row("hygiene fair", Beside("hygiene fair"), "nothing", None, Stays, None, None),
    row("hygiene good", Beside("hygiene good"), "nothing", None, Stays, None, None),
    row(
        "seen hygiene",
        Beside("hygiene poor"),
        "teach it; no heavier wire",
        Some("Cleaning was poor"),
        Stays,
        Some((REPEATED, Advice)),
        Some((REPEATED, Warning)),
    ),
    row(
        "seen note",
        Beside("note \"asks about mouthguards\""),
        "nothing",
        Some("asks about mouthguards"),
        Stays,
        None,
        None,
    ),
    row(
        "seen accept",
        Beside("note \"nothing is accepted in a record\""),
        "nothing: what is accepted stands in the plan",
        Some("nothing is accepted"),
        Stays,
        None,
        None,
    ),
    row(
        "in-upper acts",
        InUpper("tie 13..23"),
        "what goes on has its life from that day",
        None,
        Follows,
        None,
        None,
    ),
    row(
        "kind emergency",
        As("emergency", "trim 26"),
        "mend it; the wire's clock runs on",
        Some("wire cut back behind 26"),
        Follows,
        None,
        None,
    ),
    row(
        "case missed",
        OfCase("missed 2026-11-24"),
        "book again within two weeks",
        Some("Missed on"),
        Within(16),
        Some((REPEATED, Advice)),
        None,
    ),
];
