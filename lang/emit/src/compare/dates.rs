//! Comparison of dates: wires in and out, and visits.

use jiff::civil::Date;
use serde::Serialize;

use crate::plan::Plan;
use crate::{dates, wording};
use springline_units::tooth::Arch;

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DateChange {
    pub what: String,
    pub before: Option<Date>,
    pub after: Option<Date>,
}

impl DateChange {
    pub fn line(&self) -> String {
        let side = |d: Option<Date>| d.map_or_else(|| "none".to_owned(), dates::long);
        let moved = match (self.before, self.after) {
            (Some(a), Some(b)) if a < b => format!(", {} later", dates::apart(a, b)),
            (Some(a), Some(b)) => format!(", {} earlier", dates::apart(b, a)),
            _ => String::new(),
        };
        format!("{}: {} \u{2192} {}{moved}", self.what, side(self.before), side(self.after))
    }
}

pub fn changes(old: &Plan<'_>, new: &Plan<'_>) -> Vec<DateChange> {
    let mut out = Vec::new();
    let mut differ = |what: String, before: Option<Date>, after: Option<Date>| {
        if before != after {
            out.push(DateChange { what, before, after });
        }
    };
    let next = |plan: &Plan<'_>| plan.coming().next().map(|(_, v)| v.date);
    differ("Next visit".to_owned(), next(old), next(new));
    for arch in Arch::BOTH {
        let (Some(a), Some(b)) = (old.forecast.arch(arch), new.forecast.arch(arch)) else {
            continue;
        };
        for after in &b.phases {
            let before = a.phases.iter().find(|p| p.name == after.name);
            let name = format!("{}, step {}", wording::arch(arch), after.name);
            differ(format!("{name}, in"), before.and_then(|p| p.date_in), after.date_in);
            differ(format!("{name}, out"), before.and_then(|p| p.end.date), after.end.date);
        }
    }
    let last = |plan: &Plan<'_>| plan.forecast.visits.last().map(|v| v.date);
    differ("Last visit".to_owned(), last(old), last(new));
    out
}
