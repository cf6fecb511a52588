//! How far the midline goes while a wire aligns: wire that passes it, and room that one side makes more than the other.

use crate::geometry::sliding::GOES_ALONG;
use crate::geometry::{ArchLayout, Sliding};
use crate::law::spread::Time;
use crate::plan::input::ArchInput;
use crate::room::one_sided::{PUSHED_OVER, more_on_the_right};
use crate::room::room_account::RoomSource;
use crate::simulate::phase_in_progress::PhaseInProgress;
use springline_model::step::ActKind;

/// A midline that goes less than this is left where it is, mm.
const LITTLE_MM: f64 = 0.05;

/// What the last segment of a phase carries the midline in all, mm, to the patient's left positive: the median patient.
/// Nothing where a coil moves the front teeth as well, which is not forecast.
pub(crate) fn carries_mm(world: &ArchInput<'_>, draft: &PhaseInProgress) -> f64 {
    let pushes =
        |kind: &ActKind| matches!(kind, ActKind::OpenCoil { .. } | ActKind::ClosingCoil { .. });
    if draft.state.acts.iter().any(|act| pushes(&act.kind)) {
        return 0.0;
    }
    let leg = draft.segment();
    let mouth = &draft.leg_mouth;
    let layout = ArchLayout::of(world.arch, &draft.state, mouth);
    let taken_in = leg.run.insertion.refused.is_none().then_some(leg.run.insertion.taken_in_mm);
    let wire = Sliding::of(&world.case.house, &layout, &draft.state, mouth, taken_in);
    let forward = leg.account.supplies.iter().filter(|s| s.source == RoomSource::Forward);
    let room: f64 = forward.map(|s| s.most_mm().min(leg.account.demanded_mm)).sum();
    let aside = room * more_on_the_right(&draft.state, mouth);
    GOES_ALONG[1] * wire.across_midline_mm() + PUSHED_OVER[1] * aside
}

/// When that has carried it to an aim; `None` where it does not go so far. Its way is taken to go with what is corrected.
pub(crate) fn reaches(
    world: &ArchInput<'_>,
    draft: &PhaseInProgress,
    (now, aim): (f64, f64),
) -> Option<Time> {
    let all = carries_mm(world, draft);
    let share = (aim - now) / all;
    if all.abs() < LITTLE_MM || !(0.0..=1.0).contains(&share) {
        return None;
    }
    draft.corrected(share)
}

impl PhaseInProgress {
    /// What the midline of this arch has gone by a state of the last segment's run, mm.
    pub(crate) fn midline_gone_mm(&self, world: &ArchInput<'_>, progress: f64) -> f64 {
        carries_mm(world, self) * (1.0 - self.segment().run.share_at(progress))
    }
}
