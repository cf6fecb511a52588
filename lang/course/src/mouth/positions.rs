//! Positions, widths, spaces and gaps of one arch at one moment.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use crate::mouth::coarse::Coarse;
use crate::mouth::coil_spring::{CoilKey, CoilSpring};
use crate::mouth::pair::pair;
use crate::mouth::pose::ToothPose;
use springline_mechanics::StandError;
use springline_model::case::{ArchCase, Case, Gap, Overlap};
use springline_model::provenance::Origin;
use springline_model::stand::Stand;
use springline_units::anatomy::crown_width_mm;
use springline_units::quantity::mm;
use springline_units::tooth::Tooth;

/// Poses, widths, spaces and gaps of one arch.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mouth {
    /// Teeth not here are in place.
    pub poses: BTreeMap<Tooth, ToothPose>,
    pub origins: BTreeMap<Tooth, Origin>,
    /// Crown widths written in the case.
    pub widths: BTreeMap<Tooth, f64>,
    /// Space between a tooth's neighbours, where known.
    pub spaces: BTreeMap<Tooth, f64>,
    /// Teeth whose space was measured or written.
    pub spaces_written: BTreeMap<Tooth, Origin>,
    /// Teeth whose place has another error than that of a rounded figure.
    pub(crate) coarse: BTreeMap<Tooth, Coarse>,
    /// The most that the error of a tooth's place can still be, where it was read from points, or wires have held it
    /// since it was entered.
    pub(crate) held_within: BTreeMap<Tooth, StandError>,
    /// Room the arch lacks according to its written crowding, mm.
    pub crowding_mm: Option<f64>,
    /// Gaps between neighbours, keyed from the patient's right to left.
    pub gaps: BTreeMap<(Tooth, Tooth), f64>,
    /// Overlaps of neighbours as measured, keyed likewise. No contact has a gap and an overlap.
    pub(crate) overlaps: BTreeMap<(Tooth, Tooth), MeasuredOverlap>,
    /// Enamel taken off at a contact, keyed likewise; already taken from the widths there.
    pub reduced: BTreeMap<(Tooth, Tooth), f64>,
    /// Remaining compression of open coils that have been active, mm; those not listed are as inserted.
    pub(crate) coils: BTreeMap<CoilKey, f64>,
}

/// An overlap of two crowns, and where the two stood when it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MeasuredOverlap {
    pub length_mm: f64,
    pub poses: (ToothPose, ToothPose),
}

impl Mouth {
    /// As the case describes it at the start.
    pub fn entered(case: &ArchCase) -> Mouth {
        let crowding_mm = case.crowding.map(|(by, _)| mm(by));
        let mut mouth = Mouth { crowding_mm, ..Mouth::default() };
        for (tooth, stand) in &case.stands {
            mouth.measure(*tooth, &stand.value, stand.origin);
        }
        for overlap in &case.overlaps {
            mouth.measure_overlap(overlap);
        }
        for gap in &case.gaps {
            mouth.measure_gap(gap);
        }
        mouth
    }

    /// As the case describes it, with all that visits have measured since put over it.
    pub fn last_found(case: &Case, arch: &ArchCase) -> Mouth {
        let mut mouth = Mouth::entered(arch);
        for visit in &case.visits {
            for (tooth, (stand, _)) in visit.stands.iter().filter(|(t, _)| t.arch() == arch.arch) {
                mouth.measure(*tooth, stand, Origin::Visit);
            }
            for gap in visit.gaps.iter().filter(|g| g.first.arch() == arch.arch) {
                mouth.measure_gap(gap);
            }
            for overlap in visit.overlaps.iter().filter(|o| o.first.arch() == arch.arch) {
                mouth.measure_overlap(overlap);
            }
        }
        mouth
    }

    /// Replaces predicted or known values by measured ones.
    pub fn measure(&mut self, tooth: Tooth, stand: &Stand, origin: Origin) {
        let pose = self.pose(tooth).updated(tooth, stand);
        if pose.is_finite() {
            self.poses.insert(tooth, pose);
            self.origins.insert(tooth, origin);
            let coarse = self.coarse.entry(tooth).or_default();
            coarse.enter(&pose, stand, origin);
            match coarse.points_most() {
                Some(most) => drop(self.held_within.insert(tooth, most)),
                None => drop(self.held_within.remove(&tooth)),
            }
        }
        if let Some(width) = stand.width.map(mm).filter(|w| w.is_finite() && *w > 0.0) {
            self.widths.insert(tooth, width);
        }
        if let Some(space) = stand.space.map(mm).filter(|s| s.is_finite() && *s >= 0.0) {
            self.spaces.insert(tooth, space);
            self.spaces_written.insert(tooth, origin);
        }
    }

    pub fn measure_gap(&mut self, gap: &Gap) {
        let length = mm(gap.length);
        if length.is_finite() && length >= 0.0 {
            let between = pair(gap.first, gap.second);
            self.gaps.insert(between, length);
            self.overlaps.remove(&between);
        }
    }

    /// Taken at the present positions of both teeth, which are measured first.
    pub fn measure_overlap(&mut self, overlap: &Overlap) {
        let length_mm = mm(overlap.length);
        if length_mm.is_finite() && length_mm >= 0.0 {
            let (a, b) = pair(overlap.first, overlap.second);
            let poses = (self.pose(a), self.pose(b));
            self.overlaps.insert((a, b), MeasuredOverlap { length_mm, poses });
            self.gaps.remove(&(a, b));
        }
    }

    pub fn pose(&self, tooth: Tooth) -> ToothPose {
        self.poses.get(&tooth).copied().unwrap_or_default()
    }

    /// Error of a tooth's position that was not entered as a figure, at its present position.
    pub fn entry_error(&self, tooth: Tooth) -> StandError {
        self.coarse.get(&tooth).map_or(StandError::default(), |c| c.now(&self.pose(tooth)))
    }

    /// Half-width of the error of a tooth's place as it counts for times, mm: a turn counts by what it does to a contact.
    /// A rounded figure has `rounding_mm`; points have their own, be it less.
    pub(crate) fn place_error_mm(&self, tooth: Tooth, rounding_mm: f64) -> f64 {
        let across = |of: &StandError| {
            let contact = 0.5 * self.width_mm(tooth) * of.rotated_rad.min(0.5 * PI).sin();
            of.lingual_mm.max(contact)
        };
        let now = self.entry_error(tooth);
        let most = self.coarse.get(&tooth).and_then(Coarse::points_most);
        let least = most.map_or(rounding_mm, |most| rounding_mm.min(across(&most)));
        across(&now).max(now.gingival_mm).max(least)
    }

    /// The most that this error can be.
    pub fn error_most(&self, tooth: Tooth) -> StandError {
        self.held_within.get(&tooth).copied().unwrap_or(StandError::ANY)
    }

    pub fn origin(&self, tooth: Tooth) -> Origin {
        self.origins.get(&tooth).copied().unwrap_or(Origin::Assumed)
    }

    /// Crown width as written, else the textbook's.
    pub fn width_mm(&self, tooth: Tooth) -> f64 {
        self.widths.get(&tooth).copied().unwrap_or_else(|| crown_width_mm(tooth))
    }

    /// The present state of an open coil, given its state at insertion.
    pub(crate) fn coil_now(&self, key: &CoilKey, fresh: CoilSpring) -> CoilSpring {
        self.coils.get(key).map_or(fresh, |left| CoilSpring { pressed_mm: *left, ..fresh })
    }

    /// Gap between two teeth, where known.
    pub fn gap_mm(&self, a: Tooth, b: Tooth) -> Option<f64> {
        self.gaps.get(&pair(a, b)).copied()
    }

    /// Moves teeth. A tooth that was not described keeps that provenance.
    pub(crate) fn move_to(&mut self, poses: BTreeMap<Tooth, ToothPose>) {
        for (tooth, pose) in poses {
            self.poses.insert(tooth, pose);
            self.origins.entry(tooth).or_insert(Origin::Assumed);
        }
    }
}
