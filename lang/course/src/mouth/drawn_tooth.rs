//! Unerupted teeth on their way into the arch.

use std::collections::BTreeMap;

use crate::law::rates::per_day;
use crate::law::traction_rates::traction_mm_per_month;
use crate::mouth::pose::ToothPose;
use crate::mouth::positions::Mouth;
use springline_model::case::{ArchCase, ToothState};
use springline_model::step::{Act, ActKind, Condition, Term};
use springline_units::quantity::mm;
use springline_units::tooth::Tooth;

/// A tooth under traction: it goes straight from where it lies to its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DrawnTooth {
    pub tooth: Tooth,
    pub from: ToothPose,
    pub mm_per_day: f64,
}

impl DrawnTooth {
    /// Days until it is within so much of its place.
    pub fn days_to(&self, within_mm: f64) -> f64 {
        (self.from.off_mm() - within_mm).max(0.0) / self.mm_per_day
    }

    /// After so many days; in its place it stops.
    pub fn after(&self, days: f64) -> ToothPose {
        let way = self.from.off_mm();
        let left =
            if way > 0.0 { (1.0 - days.max(0.0) * self.mm_per_day / way).max(0.0) } else { 0.0 };
        ToothPose {
            lingual_mm: self.from.lingual_mm * left,
            gingival_mm: self.from.gingival_mm * left,
            ..self.from
        }
    }
}

/// The teeth that these acts pull as a stretch of a phase begins. One that nobody lays open, or that is fused to the
/// bone, stays; a rule compares the days.
pub(crate) fn drawn_teeth(arch: &ArchCase, acts: &[Act], mouth: &Mouth) -> Vec<DrawnTooth> {
    let pulled = acts.iter().flat_map(|act| match &act.kind {
        ActKind::Traction { teeth, .. } => teeth.as_slice(),
        _ => &[],
    });
    let free = |tooth: &&Tooth| match arch.states.get(*tooth) {
        Some((ToothState::Unerupted, _)) => {
            arch.exposures.get(*tooth).is_some_and(|e| e.on.is_some())
        }
        Some(_) => false,
        None => true,
    };
    let drawn = pulled.filter(free).map(|tooth| {
        let from = mouth.pose(*tooth);
        let mm_per_day = per_day(traction_mm_per_month(*tooth, from.lingual_mm));
        DrawnTooth { tooth: *tooth, from, mm_per_day }
    });
    drawn.collect()
}

/// Teeth that wait for their exposure stand, in the steps that come after, as near to their places as this step waits
/// for: when that will be nobody knows, and a step that begins with them begins there.
pub(crate) fn brought_some_day(
    arch: &ArchCase,
    acts: &[Act],
    until: &Condition,
    mouth: &Mouth,
) -> BTreeMap<Tooth, ToothPose> {
    let within = until.terms.iter().find_map(|term| match term {
        Term::Within { length, teeth } => Some((mm(*length), teeth)),
        _ => None,
    });
    let (Some(tooth), Some((within_mm, teeth))) = (waits_for_exposure(arch, acts), within) else {
        return BTreeMap::new();
    };
    let drawn = DrawnTooth { tooth, from: mouth.pose(tooth), mm_per_day: 1.0 };
    let there = drawn.after(drawn.days_to(within_mm));
    teeth.contains(&tooth).then_some((tooth, there)).into_iter().collect()
}

/// The unerupted tooth that an act pulls and that nobody has dated the exposure of.
pub(crate) fn waits_for_exposure(arch: &ArchCase, acts: &[Act]) -> Option<Tooth> {
    let pulled = acts.iter().flat_map(|act| match &act.kind {
        ActKind::Traction { teeth, .. } => teeth.as_slice(),
        _ => &[],
    });
    let unerupted = |t: &&Tooth| matches!(arch.states.get(*t), Some((ToothState::Unerupted, _)));
    let undated = |t: &&Tooth| arch.exposures.get(*t).is_none_or(|e| e.on.is_none());
    pulled.filter(unerupted).find(undated).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tooth_goes_straight_and_stops_in_its_place() {
        let from = ToothPose { lingual_mm: 3.0, gingival_mm: 4.0, ..ToothPose::default() };
        let drawn = DrawnTooth { tooth: Tooth::iso(23).unwrap(), from, mm_per_day: 0.02 };
        assert!((drawn.days_to(1.0) - 200.0).abs() < 1e-9);
        let half = drawn.after(125.0);
        assert!((half.off_mm() - 2.5).abs() < 1e-9 && (half.lingual_mm - 1.5).abs() < 1e-9);
        assert_eq!(drawn.after(1000.0).off_mm(), 0.0);
        assert_eq!(drawn.after(-5.0), from);
    }
}
