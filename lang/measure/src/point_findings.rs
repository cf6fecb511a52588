//! How findings about points are made.

use springline_finding::{Finding, Severity};
use springline_text::Place;

/// A finding with its reason and what to do.
pub(crate) fn point_finding(
    code: &'static str,
    severity: Severity,
    place: Place,
    message: String,
    why: &str,
    note: &str,
) -> Finding {
    Finding::new(code, severity, place, message).why(why).note(note)
}
