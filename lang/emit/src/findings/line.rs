//! Findings as text, one per line: `file:line:column: severity[code]: message`.

use std::fmt::Write as _;

use super::FilePositions;
use crate::masked;
use springline_finding::FindingReport;

pub fn lines(checked: &[&impl FindingReport]) -> String {
    let mut out = String::new();
    for one in checked {
        for located in FilePositions::of(*one).located() {
            let f = located.finding;
            let start = located.at.region.start;
            let accepted = f.accepted.as_ref().map_or_else(String::new, |a| {
                format!(" (accepted by {}: {})", masked(&a.by), masked(&a.reason))
            });
            let message = masked(&f.message).replace(['\n', '\r'], " ");
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
