//! Every tooth on one date: its pose with provenance, its bracket, and how the wire engages it.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::law::spread::Z90;
use crate::mouth::pose::ToothPose;
use crate::plan::calendar::days_between;
use crate::plan::state::{ToothInState, ToothStatus};
use crate::simulate::outcome::SeenWire;
use crate::timeline::moment::{Absence, Attachment, Basis, Hold, Known, ToothMoment};
use crate::timeline::phase::{ArchForecast, Phase};
use springline_mechanics::StandError;
use springline_model::Case;
use springline_model::case::{ArchCase, Found, ToothState};
use springline_model::provenance::Origin;
use springline_model::step::{ActKind, Wing};
use springline_model::stock::Along;
use springline_units::tooth::Tooth;

/// The teeth of a phase on a day of it; as the wire goes in where the day is not known. `lost`: teeth whose
/// bracket a record has off.
pub(crate) fn teeth(
    case: &Case,
    arch: &ArchCase,
    forecast: &ArchForecast,
    index: usize,
    on: Option<Date>,
    lost: &BTreeMap<Tooth, Date>,
) -> Vec<ToothMoment> {
    let Some(phase) = forecast.phases.get(index) else { return Vec::new() };
    let poses = Poses::new(case, forecast, index, on);
    let holds = holds(arch, phase, on);
    let teeth = phase.state.teeth.iter().zip(holds).enumerate();
    teeth
        .map(|(i, (t, hold))| ToothMoment {
            tooth: t.tooth,
            pose: poses.of(i, t),
            attachment: match lost.get(&t.tooth) {
                Some(day) => Attachment::Lost(*day),
                None => attachment(phase, t),
            },
            hold,
            fixed: t.fixed,
        })
        .collect()
}

fn attachment(phase: &Phase, tooth: &ToothInState) -> Attachment {
    let on_purpose = phase.state.acts.iter().any(|a| {
        matches!(&a.kind, ActKind::Bypass { teeth, unbonded: true, .. } if teeth.contains(&tooth.tooth))
    });
    match &tooth.bonding {
        Some(_) => Attachment::Bonded,
        None if on_purpose => Attachment::UnbondedOnPurpose,
        None => Attachment::None,
    }
}

/// How the wire engages each tooth, in the order of the state.
fn holds(arch: &ArchCase, phase: &Phase, on: Option<Date>) -> Vec<Hold> {
    let absent = |t: &ToothInState| match absence(arch, t.tooth, on) {
        // It was bonded when it had come through.
        Some(Absence::Unerupted) if t.status != ToothStatus::Absent => None,
        absent => absent,
    };
    let hold = |t: &ToothInState| match (absent(t), t.status) {
        (Some(absence), _) => Hold::Absent(absence),
        (None, ToothStatus::Engaged | ToothStatus::HalfEngaged(Wing::Both)) => Hold::In,
        (None, ToothStatus::HalfEngaged(Wing::Mesial)) => Hold::HalfIn(Along::Mesial),
        (None, ToothStatus::HalfEngaged(Wing::Distal)) => Hold::HalfIn(Along::Distal),
        (None, ToothStatus::Piggyback) => Hold::Overlay,
        (None, ToothStatus::Bypassed) => Hold::Passed,
        (None, ToothStatus::NotBonded | ToothStatus::Absent) => Hold::NotBonded,
    };
    let mut out: Vec<Hold> = phase.state.teeth.iter().map(hold).collect();
    // Bonded teeth outside the last tooth that holds the wire are not reached by it.
    let first = out.iter().position(|h| h.is_engaged());
    let last = out.iter().rposition(|h| h.is_engaged());
    for (i, hold) in out.iter_mut().enumerate() {
        let outside = first.is_some_and(|f| i < f) || last.is_some_and(|l| i > l);
        if outside && *hold == Hold::Passed {
            *hold = Hold::BeyondWire;
        }
    }
    out
}

fn absence(arch: &ArchCase, tooth: Tooth, on: Option<Date>) -> Option<Absence> {
    match arch.states.get(&tooth)?.0 {
        ToothState::Missing => Some(Absence::Missing),
        ToothState::Extracted { .. } => Some(Absence::Extracted),
        ToothState::Extract { date, .. } if on.is_some_and(|on| date <= on) => {
            Some(Absence::Extracted)
        }
        ToothState::Extract { .. } => Some(Absence::ToExtract),
        ToothState::Unerupted => Some(Absence::Unerupted),
        ToothState::Implant | ToothState::Ankylosed => None,
    }
}

/// Poses of a phase on a day: of the median patient, and of those slower and faster than nine in ten.
struct Poses<'a> {
    phase: &'a Phase,
    entered: bool,
    days: f64,
    median: Vec<ToothPose>,
    slow: Vec<ToothPose>,
    fast: Vec<ToothPose>,
    /// The last look at this wire up to that day.
    look: Option<&'a SeenWire>,
    /// Visits that measured teeth, up to that day.
    measured: BTreeMap<Tooth, (f64, usize)>,
}

impl<'a> Poses<'a> {
    fn new(case: &Case, forecast: &'a ArchForecast, index: usize, on: Option<Date>) -> Poses<'a> {
        let phase = &forecast.phases[index];
        let since = |day: Date| phase.date_in.map_or(0.0, |from| days_between(from, day));
        let days = on.map_or(0.0, since).max(0.0);
        let spread = (Z90 * phase.passive.spread_ln).exp();
        // What found the wire before this one passive, or measured a tooth, on the day this one went in
        // holds for it too.
        let before = index.checked_sub(1).and_then(|i| forecast.phases.get(i));
        let looks = before.into_iter().chain([phase]).flat_map(|p| &p.seen);
        let until = |s: &&SeenWire| on.is_some_and(|on| s.on <= on);
        let now = |s: &&SeenWire| phase.date_in.is_some_and(|from| s.on >= from);
        let looks: Vec<&SeenWire> = looks.filter(until).filter(now).collect();
        let measured = looks
            .iter()
            .flat_map(|s| {
                let stands = case.visits.get(s.visit).into_iter().flat_map(|v| v.stands.keys());
                stands.map(|t| (*t, (since(s.on), s.visit)))
            })
            .collect();
        Poses {
            phase,
            entered: index == 0,
            days,
            median: phase.poses_on(days),
            slow: phase.poses_at_speed(days, 1.0 / spread),
            fast: phase.poses_at_speed(days, spread),
            look: looks.last().copied(),
            measured,
        }
    }

    fn of(&self, i: usize, tooth: &ToothInState) -> Known<ToothPose> {
        let course = self.phase.teeth.get(i);
        let value = self.median.get(i).copied().unwrap_or_default();
        let moves = tooth.status.is_in_wire() || tooth.status == ToothStatus::Piggyback;
        let basis = self.basis(tooth.tooth, course.map(|c| c.origin), moves && !tooth.fixed);
        let (slow, fast) = match basis {
            Basis::Predicted => (
                self.slow.get(i).copied().unwrap_or(value),
                self.fast.get(i).copied().unwrap_or(value),
            ),
            _ => (value, value),
        };
        let error = course.filter(|_| basis != Basis::Assumed).map(|c| c.entry_error);
        let (low, high) = around([value, slow, fast], error.unwrap_or_default());
        Known { value, low, high, basis }
    }

    fn basis(&self, tooth: Tooth, origin: Option<Origin>, moves: bool) -> Basis {
        // A measure of that day, or of an earlier one where nothing has moved the tooth since.
        if let Some((day, visit)) = self.measured.get(&tooth)
            && (*day >= self.days || !moves)
        {
            return Basis::Measured(*visit);
        }
        let entry = match origin {
            None | Some(Origin::Assumed) => Basis::Assumed,
            Some(_) => Basis::Entered,
        };
        match self.look {
            Some(look) if moves && look.found == Some(Found::Passive) => {
                Basis::TestedPassive(look.visit)
            }
            _ if moves && !(self.entered && self.days <= 0.0) => Basis::Predicted,
            _ => entry,
        }
    }
}

/// The bounds of three poses, each number by itself, widened by the error of an entry.
fn around(poses: [ToothPose; 3], error: StandError) -> (ToothPose, ToothPose) {
    let half = [error.lingual_mm, error.gingival_mm, 0.0, error.rotated_rad, 0.0, 0.0];
    let parts = poses.map(|p| p.parts());
    let of = |i: usize, pick: fn(f64, f64) -> f64| {
        parts.iter().map(|p| p[i]).reduce(pick).unwrap_or_default()
    };
    (
        ToothPose::from_parts(std::array::from_fn(|i| of(i, f64::min) - half[i])),
        ToothPose::from_parts(std::array::from_fn(|i| of(i, f64::max) + half[i])),
    )
}
