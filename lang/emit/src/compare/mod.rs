//! Clinical comparison of two versions of a plan: what changed at which tooth and in which step, and the
//! effect on forces, dates and findings.

mod dates;
mod findings;
mod forces;
mod rest;
mod steps;
mod teeth;

use serde::Serialize;

use crate::caution::CAUTION;
use crate::masked;
use crate::plan::Plan;

pub use dates::DateChange;
pub use findings::FindingChange;
pub use forces::ForceChange;

pub const SCHEMA: &str = "springline.diff/1";

/// One difference; a side is absent where the plan has no such entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Change {
    /// "Upper, tooth 12", "Upper, step align", "Class II elastics, right".
    pub at: String,
    pub what: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    pub schema: &'static str,
    pub chart: String,
    /// Differences of the plan.
    pub changes: Vec<Change>,
    /// Parts that differ and are not listed in detail.
    pub also: Vec<String>,
    /// Forces that change by a tenth and 10 g, or more.
    pub forces: Vec<ForceChange>,
    pub dates: Vec<DateChange>,
    pub findings: Vec<FindingChange>,
    /// The texts differ, whatever the plans do.
    pub text_differs: bool,
    pub note: &'static str,
}

impl Comparison {
    pub fn is_empty(&self) -> bool {
        self.changes.is_empty()
            && self.also.is_empty()
            && self.forces.is_empty()
            && self.dates.is_empty()
            && self.findings.is_empty()
    }
}

/// `old` against `new`.
pub fn compare(old: &Plan<'_>, new: &Plan<'_>) -> Comparison {
    let mut changes = rest::head(old, new);
    changes.extend(teeth::changes(old, new));
    changes.extend(steps::changes(old, new));
    changes.extend(rest::changes(old, new));
    Comparison {
        schema: SCHEMA,
        chart: masked(&new.case.chart),
        also: rest::also(old, new),
        forces: forces::changes(old, new),
        dates: dates::changes(old, new),
        findings: findings::changes(old, new),
        text_differs: old.stamp.case != new.stamp.case,
        note: CAUTION,
        changes,
    }
}

/// A change where the two sides differ.
fn differ(
    at: &str,
    what: &str,
    before: Option<String>,
    after: Option<String>,
    out: &mut Vec<Change>,
) {
    if before != after {
        let own = |t: Option<String>| t.map(|t| masked(&t));
        let (at, what) = (at.to_owned(), what.to_owned());
        out.push(Change { at, what, before: own(before), after: own(after) });
    }
}

/// For a person; lines that go begin with `-`, lines that come with `+`, as in any diff.
pub fn human(comparison: &Comparison) -> String {
    let c = comparison;
    let mut out = format!("{}\n", c.chart);
    if c.is_empty() {
        out.push_str(match c.text_differs {
            true => "  The plan is the same: only layout or comments differ.\n",
            false => "  No differences.\n",
        });
        return out;
    }
    let mut at = "";
    for change in &c.changes {
        if change.at != at {
            at = &change.at;
            out.push_str(&format!("  {at}\n"));
        }
        let sides = [("-", &change.before), ("+", &change.after)];
        for (sign, text) in sides {
            if let Some(text) = text {
                out.push_str(&format!("    {sign} {}: {text}\n", change.what));
            }
        }
    }
    if !c.also.is_empty() {
        out.push_str(&format!("  Also changed, see the text: {}\n", c.also.join(", ")));
    }
    part(&mut out, "Forces, g, after 0.2 mm of movement", c.forces.iter().map(ForceChange::line));
    part(&mut out, "Dates", c.dates.iter().map(DateChange::line));
    part(&mut out, "Findings", c.findings.iter().map(FindingChange::line));
    out.push_str(&format!("  {}\n", c.note));
    out
}

fn part(out: &mut String, heading: &str, lines: impl Iterator<Item = String>) {
    let lines: Vec<String> = lines.collect();
    if !lines.is_empty() {
        out.push_str(&format!("  {heading}\n"));
        lines.iter().for_each(|l| out.push_str(&format!("    {l}\n")));
    }
}
