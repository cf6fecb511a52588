//! What a fix does to the treatment as a whole: whether it still ends, how far its goals are then, and which devices it
//! no longer has.

use crate::check::Checked;
use springline_finding::Finding;
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::step::{Act, ActKind};
use springline_text::{Place, Span};
use springline_units::tooth::Tooth;

/// A goal farther off by less than this is as far as before: half the half millimetre to which a bite is measured.
const MEASURED_TO_MM: f64 = 0.25;

/// A day that can no longer be foreseen, or a goal that is farther off on it.
pub(super) fn worse(before: &Checked, after: &Checked) -> Option<String> {
    let ((was, had), (is, has)) = (before.course()?, after.course()?);
    let end = had.timeline.debond().map(|v| v.date);
    if let (Some(end), None) = (end, has.timeline.debond()) {
        return Some(format!("the debond was forecast for {end}, and is not foreseen any more"));
    }
    let (_, goals) = had.timeline.goals_at_end(was)?;
    let (_, now) = has.timeline.goals_at_end(is)?;
    goals.iter().find_map(|goal| {
        let then = now.iter().find(|g| g.figure == goal.figure)?;
        let (old, new) = (goal.left_mm(), then.left_mm());
        (new > old + MEASURED_TO_MM).then(|| {
            format!("the goal of {:?}: {old:.1} mm off before, {new:.1} mm after", goal.figure)
        })
    })
}

/// When the appliance comes off, where that day moves by more than the shortest interval between visits.
pub(super) fn new_end(before: &Checked, after: &Checked) -> Option<String> {
    let ((was, had), (_, has)) = (before.course()?, after.course()?);
    let (old, new) = (had.timeline.debond()?.date, has.timeline.debond()?.date);
    let weeks = f64::from((new - old).get_days()) / 7.0;
    let least = was.house.shortest.value.days() / 7.0;
    let way = if weeks > 0.0 { "later" } else { "sooner" };
    (weeks.abs() >= least).then(|| format!("debond on {new}, {} wk {way}", weeks.abs().round()))
}

/// A device of the plan that nothing has in its place, unless the finding is about it.
pub(super) fn lost_device(was: &Case, is: &Case, finding: &Finding) -> Option<String> {
    let about = |place: Place| {
        let places = finding.related.iter().map(|r| r.place).chain([finding.place]);
        places.into_iter().any(|p| p.file == place.file && meet(p.span, place.span))
    };
    was.arches.iter().find_map(|arch| {
        let now = is.arch(arch.arch)?;
        let gone = devices(arch).find(|act| !about(act.place) && !has_its_like(now, act))?;
        Some(gone.text.clone())
    })
}

fn meet(a: Span, b: Span) -> bool {
    a.start < b.end && b.start < a.end || a == b
}

fn devices(arch: &ArchCase) -> impl Iterator<Item = &Act> {
    arch.steps.iter().flat_map(|s| &s.acts).filter(|act| is_device(&act.kind))
}

/// The same kind of device somewhere on a tooth of it.
fn has_its_like(arch: &ArchCase, act: &Act) -> bool {
    let teeth: Vec<Tooth> = act.kind.teeth();
    devices(arch).any(|other| {
        let same = std::mem::discriminant(&other.kind) == std::mem::discriminant(&act.kind);
        same && (teeth.is_empty() || other.kind.teeth().iter().any(|t| teeth.contains(t)))
    })
}

/// What sits in the mouth and does something there. Orders that are carried out once are no device.
fn is_device(kind: &ActKind) -> bool {
    matches!(
        kind,
        ActKind::Piggyback { .. }
            | ActKind::Traction { .. }
            | ActKind::OpenCoil { .. }
            | ActKind::ClosedCoil { .. }
            | ActKind::ClosingCoil { .. }
            | ActKind::Chain { .. }
            | ActKind::Tie { .. }
            | ActKind::Laceback { .. }
            | ActKind::Sleeve { .. }
            | ActKind::BiteRaisers { .. }
            | ActKind::Stop { .. }
            | ActKind::Post { .. }
            | ActKind::PowerArm { .. }
            | ActKind::ReverseCurve { .. }
            | ActKind::Torque { .. }
            | ActKind::PickUp { .. }
    )
}
