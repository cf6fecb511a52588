//! Days and visits that a sequence takes, over fast and slow patients.
//!
//! The booked day is that of the practice's share of patients. One who is not ready then is booked anew, on the
//! same share of those who are not ready either, within the practice's shortest and longest interval, and again
//! until he is; and who is slow on one wire is slow on the next.

use springline_course::Phase;
use springline_course::spread::Z90;
use springline_model::House;
use springline_units::quantity::factor;

/// Standard normal quantiles of the middles of nine equal shares of patients.
pub(super) const PATIENTS: [f64; 9] =
    [-1.593, -0.967, -0.589, -0.282, 0.0, 0.282, 0.589, 0.967, 1.593];

/// Visits of one wire for which a patient is booked anew at most: one that never comes to an end is found by rules.
const MOST_RETURNS: u32 = 24;

/// Expected days and visits of some phases, one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ExpectedCourse {
    pub days: f64,
    pub visits: f64,
    /// What each of the patients takes beyond what is booked: days, and visits.
    pub late_days: [f64; PATIENTS.len()],
    pub returns: [f64; PATIENTS.len()],
}

pub fn expected<'p>(phases: impl Iterator<Item = &'p Phase>, house: &House) -> ExpectedCourse {
    let mut out = ExpectedCourse::default();
    for phase in phases {
        let late = booked_anew(phase, house);
        out.days += phase.booked_days;
        out.visits += 1.0 + f64::from(looks(phase));
        for (patient, (days, returns)) in late.into_iter().enumerate() {
            out.late_days[patient] += days;
            out.returns[patient] += returns;
        }
    }
    let mean = |of: &[f64]| of.iter().sum::<f64>() / PATIENTS.len() as f64;
    ExpectedCourse {
        days: out.days + mean(&out.late_days),
        visits: out.visits + mean(&out.returns),
        ..out
    }
}

/// For each patient the days after the booked one until the wire comes out, and the visits of those days.
fn booked_anew(phase: &Phase, house: &House) -> [(f64, f64); PATIENTS.len()] {
    let shortest = house.shortest.value.days().max(1.0);
    let longest = house.longest.value.days().max(shortest);
    let share = factor(house.book_at.value).clamp(0.0, 1.0);
    let ready = PATIENTS.map(|z| ready_days(phase, z));
    let mut out = [(0.0, 0.0); PATIENTS.len()];
    let mut day = phase.booked_days;
    for _ in 0..MOST_RETURNS {
        // In the order of the patients, whose days never fall.
        let waiting: Vec<usize> = (0..ready.len()).filter(|i| ready[*i] > day + 1e-6).collect();
        let at = (share * waiting.len() as f64 - 1e-9).ceil().max(1.0) as usize - 1;
        let Some(aim) = waiting.get(at) else { break };
        day = ready[*aim].clamp(day + shortest, day + longest);
        for patient in waiting {
            out[patient] = (day - phase.booked_days, out[patient].1 + 1.0);
        }
    }
    out
}

/// Visits at which a wire is only looked at before the day its change is booked for.
pub fn looks(phase: &Phase) -> u32 {
    let whole = ((phase.booked_days - 1e-6) / phase.look_days.max(1.0)).floor();
    if whole.is_finite() { whole.clamp(0.0, 99.0) as u32 } else { 99 }
}

/// The day on which a patient is ready for the change, along the predicted band.
fn ready_days(phase: &Phase, z: f64) -> f64 {
    let Some(band) = &phase.end.predicted else { return phase.booked_days };
    let towards = if z < 0.0 { band.early_days } else { band.late_days };
    if band.median_days <= 0.0 || towards <= 0.0 {
        return if z < 0.0 { 0.0 } else { towards.max(0.0) * (z / Z90).min(1.0) };
    }
    band.median_days * (towards / band.median_days).powf(z.abs() / Z90)
}
