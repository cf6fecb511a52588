//! An expander from the day it is cemented to the day it comes off.

use jiff::civil::Date;

use crate::plan::calendar::days_between;
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::expander::Expander;
use springline_units::quantity::{Period, mm};

/// The days of an expander, as recorded where they are, else as planned.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ExpanderLife {
    pub on: Date,
    /// Turned as far as planned: it is locked from then on.
    pub turned: Date,
    pub off: Date,
    /// A record shows that width.
    pub turned_recorded: bool,
}

impl ExpanderLife {
    /// Width won by a day, mm: as turned, and no more than planned.
    pub fn open_mm(&self, expander: &Expander, day: Date) -> f64 {
        let all = days_between(self.on, self.turned).max(1.0);
        let share = (days_between(self.on, day) / all).clamp(0.0, 1.0);
        share * mm(expander.width)
    }
}

/// `None` without an expander, without a day for it, or where it is never turned.
pub fn expander_life(case: &Case, arch: &ArchCase) -> Option<ExpanderLife> {
    let expander = arch.expander.as_ref()?;
    let start = arch.start.as_ref().or(case.start.as_ref()).map(|(day, _)| *day);
    let on = expander.on.or(start)?;
    let planned = Period::days_of(expander.turning_days()?.ceil()).after(on)?;
    let wide = |open: f64| open >= mm(expander.width) - 0.25;
    let mut seen: Vec<(Date, f64)> = recorded_mm(case, expander);
    seen.sort_by_key(|(day, _)| *day);
    let reached = seen.iter().find(|(_, open)| wide(*open)).map(|(day, _)| *day);
    // What is still missing at the last look is turned from there.
    let late = seen.last().filter(|(_, open)| !wide(*open)).and_then(|(day, open)| {
        let left = (mm(expander.width) - open) / expander.mm_per_day();
        Period::days_of(left.ceil()).after(*day)
    });
    let turned = reached.or(late).unwrap_or(planned);
    let off = expander.locked.after(turned)?;
    Some(ExpanderLife { on, turned, off, turned_recorded: reached.is_some() })
}

/// While a screw is turned at home it is looked at every week (common practice, no source).
const LOOK_DAYS: f64 = 7.0;

/// By when the patient comes after a visit, where a screw is turned that no record shows to be open far enough.
pub(crate) fn screw_due(case: &Case, seen: Date) -> Option<Date> {
    let lives = case.arches.iter().filter_map(|arch| expander_life(case, arch));
    let turned = lives.filter(|l| l.on <= seen && seen < l.off && !l.turned_recorded);
    turned.into_iter().next().and_then(|_| Period::days_of(LOOK_DAYS).after(seen))
}

/// What records read at its screw.
fn recorded_mm(case: &Case, expander: &Expander) -> Vec<(Date, f64)> {
    let here = |teeth: &[springline_units::tooth::Tooth]| {
        teeth.first().map(|t| t.arch()) == expander.teeth.first().map(|t| t.arch())
    };
    let each = case.visits.iter().flat_map(|v| v.expanded.iter().map(move |row| (v.on, row)));
    each.filter(|(_, (teeth, ..))| here(teeth)).map(|(on, (_, open, _))| (on, mm(*open))).collect()
}
