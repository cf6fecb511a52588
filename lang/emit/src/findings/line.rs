//! One finding a line: `file:line:column: severity[code]: message`.

use std::fmt::Write as _;

use super::Places;
use crate::emit::own_words;
use crate::report_cache::Reported;

pub fn lines(checked: &[&impl Reported]) -> String {
    let mut out = String::new();
    for one in checked {
        for located in Places::of(*one).located() {
            let f = located.finding;
            let start = located.at.region.start;
            let accepted = f.accepted.as_ref().map_or_else(String::new, |a| {
                format!(" (accepted by {}: {})", own_words(&a.by), own_words(&a.reason))
            });
            let message = own_words(&f.message).replace(['\n', '\r'], " ");
            // Writing to a String cannot fail.
            let _ = writeln!(
                out,
                "{}:{}:{}: {}[{}]: {message}{accepted}",
                located.at.file, start.line, start.column, f.severity, f.code
            );
        }
    }
    out
}
