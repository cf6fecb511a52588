//! Days and visits that a sequence takes, over fast and slow patients.
//!
//! The booked day is that of the median patient. One who is not ready then comes again after the practice's
//! shortest interval, and again until he is; and who is slow on one wire is slow on the next.

use springline_course::Phase;
use springline_course::spread::Z90;
use springline_model::House;

/// Standard normal quantiles of the middles of nine equal shares of patients.
pub(super) const PATIENTS: [f64; 9] =
    [-1.593, -0.967, -0.589, -0.282, 0.0, 0.282, 0.589, 0.967, 1.593];

/// Expected days and visits of some phases, one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ExpectedCourse {
    pub days: f64,
    pub visits: f64,
}

pub fn expected<'p>(phases: impl Iterator<Item = &'p Phase>, house: &House) -> ExpectedCourse {
    let again = house.shortest.value.days().max(1.0);
    let mut out = ExpectedCourse::default();
    for phase in phases {
        let looks = looks(phase);
        for z in PATIENTS {
            let late = (ready_days(phase, z) - phase.booked_days).max(0.0);
            let returns = (late / again - 1e-9).ceil().max(0.0);
            out.days += phase.booked_days + returns * again;
            out.visits += 1.0 + f64::from(looks) + returns;
        }
    }
    let patients = PATIENTS.len() as f64;
    ExpectedCourse { days: out.days / patients, visits: out.visits / patients }
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
