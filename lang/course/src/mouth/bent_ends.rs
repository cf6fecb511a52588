//! Ends of the wire in the mouth that are bent tight behind the last brackets.

/// How much wire had come in between the last brackets, against the wire lying passive, when its ends were bent, with
/// their slack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BentEnds {
    pub let_in_mm: f64,
}
