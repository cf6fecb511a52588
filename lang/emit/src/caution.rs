//! The caution that accompanies every figure, in two lengths.
//!
//! All figures come from a model of wire, slots and teeth and of how teeth move; none has been measured
//! in a patient. Every output states this in these words.

/// [`CAUTION`] as a literal, for notes that say more about their own figures before it.
macro_rules! caution {
    () => {
        "Estimates of a model: the treating clinician's judgement and local rules come first."
    };
}
pub(crate) use caution;

/// Where there is one line for it: tables, charts, hover, hints, machine-readable output.
pub const CAUTION: &str = caution!();

/// On every page for staff or for use outside the practice.
pub const CAUTION_IN_FULL: &str = "Springline supports a licensed clinician\u{2019}s own judgement; it does \
    not diagnose, prescribe or replace examination. Its numbers are estimates of a model. Local rules and \
    the treating clinician\u{2019}s judgement come first. Stop and call the doctor whenever this page and \
    the mouth differ.";
