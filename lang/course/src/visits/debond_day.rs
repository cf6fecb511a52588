//! A debond on the day that the plan names: nothing comes after it, and what it leaves undone is told.

use jiff::civil::Date;

use crate::plan::calendar::days_between;
use crate::visits::schedule::{Coming, Timetable};

/// A phase that the named day leaves undone: of which arch, which phase, and when it would have begun.
pub(crate) type CutOff = (usize, usize, Date);

/// Ends the timetable on that day. One that ends before it holds its last wires until then, if that is no longer than a
/// patient goes between two visits.
pub(crate) fn end_on(timetable: &mut Timetable, day: Date, longest_days: f64) -> Vec<CutOff> {
    let Some(last) = timetable.coming.last_mut() else { return Vec::new() };
    let ends = last.date;
    if ends < day {
        let all = last.arches.iter().zip(&last.changed);
        let is_end =
            all.into_iter().all(|((now, next), out)| next.is_none() && (*out || now.is_none()));
        if is_end && days_between(ends, day) <= longest_days {
            (last.date, last.earliest, last.latest) = (day, day, day);
            let out = timetable.days.iter_mut().flatten().filter(|d| d.date_out == Some(ends));
            out.for_each(|d| d.date_out = Some(day));
        }
        return Vec::new();
    }
    let end = debond(&timetable.coming, day);
    timetable.coming.retain(|c| c.date < day);
    timetable.coming.extend(end);
    cut_off(timetable, day)
}

/// The visit of that day: every wire comes out.
fn debond(coming: &[Coming], day: Date) -> Option<Coming> {
    let before = coming.iter().rfind(|c| c.date < day);
    let first = coming.first()?;
    let now = (0..first.arches.len()).map(|a| match before {
        Some(c) if c.changed.get(a).copied().unwrap_or(false) => c.arches.get(a).and_then(|x| x.1),
        Some(c) => c.arches.get(a).and_then(|x| x.0),
        None => first.arches.get(a).and_then(|x| x.0),
    });
    let arches: Vec<_> = now.map(|now| (now, None)).collect();
    let changed = arches.iter().map(|(now, _)| now.is_some()).collect();
    let begins = vec![false; arches.len()];
    Some(Coming { date: day, earliest: day, latest: day, arches, changed, begins, stops: None })
}

/// Phases that would begin on that day or later have no dates; those in the mouth end on it.
fn cut_off(timetable: &mut Timetable, day: Date) -> Vec<CutOff> {
    let mut out = Vec::new();
    for (arch, days) in timetable.days.iter_mut().enumerate() {
        for (phase, d) in days.iter_mut().enumerate() {
            match d.date_in {
                Some(begins) if begins >= day => {
                    out.push((arch, phase, begins));
                    (d.date_in, d.date_out) = (None, None);
                }
                _ if d.date_out.is_some_and(|o| o > day) => d.date_out = Some(day),
                _ => {}
            }
        }
    }
    out
}
