//! How often a statement may occur in one block, and what makes two of them duplicates. A test walks the
//! vocabulary: every statement of every context has a line here.

use super::context::Context::{self, *};

/// Whether a second statement in the same block is a duplicate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Repeat {
    /// Any number: each adds information, or an entry to a list.
    Free,
    /// Reported elsewhere: a name defined twice, a tooth bonded twice, a second opening line.
    Told,
    /// One in its block.
    Once,
    /// One for each of these together.
    Per(&'static [SubjectPart]),
}

/// Part of what a statement is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SubjectPart {
    /// Each tooth at the placeholder of that label; without teeth, all of them.
    Teeth(&'static str),
    /// The two teeth of each `between`.
    Between,
    /// Each contact of a range.
    Contacts,
    /// The contacts that a list of teeth runs over; a tooth alone is itself.
    Run,
    /// Each pair of single teeth, in order.
    Pairs,
    /// Each `mesial of 11`.
    Places,
    /// Each direction that a tooth is moved in.
    Axes,
    /// The second keyword: `task review`, `no stop`.
    Second,
    /// The one of these keywords that occurs.
    Word(&'static [&'static str]),
    /// The name at the placeholder of that label.
    Name(&'static str),
    Date,
    /// Each span of a closing coil.
    Pulls,
    /// The sides whose wear is recorded.
    Sides,
    /// The arches that are named, both being two.
    Arches,
}

use Repeat::{Free, Once, Per, Told};
use SubjectPart::{
    Arches, Axes, Between, Contacts, Date, Name, Pairs, Places, Pulls, Run, Second, Sides, Teeth,
    Word,
};

const TEETH: Repeat = Per(&[Teeth("teeth")]);

/// The rule for a statement, by its first word; `None` where the context has no such statement.
pub fn repeat(inside: Context, keyword: &str) -> Option<Repeat> {
    Some(match (inside, keyword) {
        (_, "note") => Free,
        // Several acceptances add up: a second one with a larger figure extends the first.
        (_, "accept") => Free,
        (File, "springline" | "practice" | "case") => Told,
        (House, "use" | "doctor") => Once,
        (House, "chair-time") => Told,
        (
            House,
            "defaults" | "notation" | "language" | "telephone" | "chart" | "clinic" | "interval"
            | "passive-when" | "book-on" | "learned" | "mouth-temperature",
        ) => Once,
        (House, "closed") => Free,
        (House, "task" | "friction") => Per(&[Second]),
        (House, "prominence" | "slot-height") => TEETH,
        (House, "limit") => Per(&[Second, Teeth("teeth")]),
        (
            House,
            "form" | "bracket" | "tube" | "wire" | "coil" | "elastic" | "chain" | "stop"
            | "sequence",
        ) => Told,
        (House, "text") => Per(&[Name("name"), Name("language")]),
        (Learned, "active") => Per(&[Name("wire")]),
        (Learned, "binds-from") => Once,
        (Fit, "slide" | "clip" | "ligated" | "slot") => Told,
        (Fit, "band") => Once,
        (Fit, "hook") => Free,
        (Fit, "width" | "torque" | "tipped") => TEETH,
        (Fit, "variant") => Per(&[Name("variant"), Teeth("teeth")]),
        (Sequence, "step") => Told,
        (
            Case,
            "use" | "doctor" | "start" | "in-place" | "patient" | "bite" | "goal" | "upper"
            | "lower" | "debond" | "retain",
        ) => Told,
        (Case, "tooth-size-ratio") | (Arch, "expander") => Once,
        (Bite | Seen, "curve-of-spee") => Told,
        // Class II elastics now and again later are two.
        (Case, "elastics") => Free,
        (Case, "missed") => Per(&[Date]),
        // Two visits on one day are two: a review, and a repair in the afternoon.
        (Case, "seen") => Free,
        (Case | Step, "records") => Per(&[Second, Date]),
        (InPlace, "upper" | "lower") => Told,
        (
            Bite | Goal | Seen,
            "overjet" | "reverse-overjet" | "overbite" | "open-bite" | "molars" | "canines",
        ) => Told,
        (Bite | Seen, "crossbite") | (Goal | Seen, "crossbite-corrected") => Free,
        (Bite | Goal, "upper" | "lower") => Told,
        (Goal, "extraction" | "incisors" | "spaces") => Once,
        (Elastics, "right" | "left") => Free,
        (Elastics, "from" | "until" | "longest") => Once,
        (Retain, "fixed") => TEETH,
        (Retain, "night-time") => Per(&[Arches]),
        (Retain, "check") => Once,
        (
            Arch,
            "bonded" | "banded" | "tubes" | "bonded-elsewhere" | "missing" | "extracted"
            | "extract" | "unerupted" | "implant" | "ankylosed" | "tooth" | "midline" | "anchorage"
            | "step" | "change" | "skip",
        ) => Told,
        (Arch, "hook" | "button") => Free,
        (Arch, "caution" | "expose") | (Seen, "expanded" | "bite-raisers-off") => TEETH,
        (Arch | Seen | Measured, "gap" | "overlap") | (Arch, "mini-screw") => Per(&[Between]),
        (Arch, "form" | "start" | "follow" | "crowding" | "drafted" | "measured") => Once,
        // A file for each arch; a tooth in two of them is reported where they are read.
        (Seen, "measured") | (Measured, "tooth") => Told,
        (Arch, "palatal-arch") => Per(&[Pairs]),
        (Arch | Step, "separators") => Per(&[Teeth("teeth"), Date]),
        (Arch | Step, "hold") => TEETH,
        (
            Step | SeenArch,
            "bypass" | "engage" | "traction" | "pick-up" | "rebond" | "reposition" | "bite-raisers"
            | "power-arm" | "torque" | "trim",
        ) => TEETH,
        (Step | SeenArch, "piggyback") => Per(&[Teeth("in")]),
        (Step | SeenArch, "open-coil" | "passive-coil" | "sleeve") => Per(&[Between]),
        (Step | SeenArch, "closing-spring") => Per(&[Pulls]),
        (Step | SeenArch, "chain" | "tie") => Per(&[Run]),
        (Step | SeenArch, "laceback") => Per(&[Pairs]),
        (Step | SeenArch, "ipr") => Per(&[Contacts]),
        (Step | SeenArch, "stop" | "post") => Per(&[Places]),
        (Step | SeenArch, "reverse-curve") => Once,
        (Step | SeenArch, "bend") => Per(&[Teeth("teeth"), Axes]),
        (Step, "coordinated") => Once,
        (Step, "sectional") => Told,
        (Step, "halt-if") => {
            Per(&[Word(&["overjet", "reverse-overjet", "overbite"]), Word(&["under", "over"])])
        }
        (Step, "no") => Per(&[Second, Teeth("teeth")]),
        (Seen, "upper" | "lower") => Told,
        (Seen, "done" | "pain" | "hygiene") => Once,
        (Seen, "tooth") => Per(&[Teeth("teeth"), Axes]),
        (Seen, "wear") => Per(&[Sides]),
        (Seen, "loose" | "lost" | "out" | "poking" | "slide-open") => Free,
        _ => return None,
    })
}
