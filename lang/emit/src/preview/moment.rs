//! Preview: the course as a sequence of moments, one for each wire insertion, with the state of both
//! arches.

use jiff::civil::Date;

use springline_course::{Forecast, Phase};
use springline_units::tooth::Arch;

/// What is in the mouth from one day on, as phases of the forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// `None` where the plan has no day for it.
    pub date: Option<Date>,
    pub upper: Option<usize>,
    pub lower: Option<usize>,
}

impl Moment {
    pub fn phase(self, arch: Arch) -> Option<usize> {
        match arch {
            Arch::Upper => self.upper,
            Arch::Lower => self.lower,
        }
    }

    pub(crate) fn put(&mut self, arch: Arch, phase: usize) {
        match arch {
            Arch::Upper => self.upper = Some(phase),
            Arch::Lower => self.lower = Some(phase),
        }
    }
}

/// In order; wires of one day are one moment, those without a day go by their number in the plan.
pub fn moments(forecast: &Forecast) -> Vec<Moment> {
    let mut events: Vec<(bool, Option<Date>, usize, Arch)> = forecast
        .arches
        .iter()
        .flat_map(|a| a.phases.iter().enumerate().map(move |(i, phase)| event(a.arch, i, phase)))
        .collect();
    events.sort();
    let mut out: Vec<Moment> = Vec::new();
    let mut last: Option<(bool, Option<Date>, usize)> = None;
    let mut filled: Vec<Arch> = Vec::new();
    for (undated, date, number, arch) in events {
        let same = last.is_some_and(|(u, d, n)| u == undated && d == date && (!u || n == number));
        if !same || filled.contains(&arch) {
            let mut next = out.last().copied().unwrap_or(Moment { date, upper: None, lower: None });
            next.date = date;
            out.push(next);
            filled.clear();
        }
        if let Some(here) = out.last_mut() {
            here.put(arch, number);
        }
        filled.push(arch);
        last = Some((undated, date, number));
    }
    out
}

fn event(arch: Arch, number: usize, phase: &Phase) -> (bool, Option<Date>, usize, Arch) {
    (phase.date_in.is_none(), phase.date_in, number, arch)
}

/// The one that holds on that day: the last that has begun, or the first of all.
pub fn at_day(all: &[Moment], day: Option<Date>) -> usize {
    let begun = |m: &Moment| m.date.zip(day).is_some_and(|(date, day)| date <= day);
    all.iter().rposition(begun).unwrap_or(0)
}

/// The one in which a phase begins.
pub(super) fn of_phase(all: &[Moment], arch: Arch, phase: usize) -> Option<usize> {
    all.iter().position(|m| m.phase(arch) == Some(phase))
}
