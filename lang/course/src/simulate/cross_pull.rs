//! Teeth that cross elastics carry over the bite.

use crate::law::bite_rates::{CROSS_MM_PER_MONTH, FULL_WEAR_H, worn_mm_per_day};
use crate::mouth::bite_moves::ALWAYS;
use crate::mouth::pose::ToothPose;
use crate::room::bite_acts::worn_hours;
use springline_model::Case;
use springline_model::case::ElasticsKind;
use springline_units::tooth::{Arch, Tooth};

/// How far behind the line a tooth stands that is out of crossbite, mm.
pub(crate) const OVER_THE_BITE_MM: f64 = 0.5;
/// How far a tooth in crossbite has to go across where its place in the arch says nothing, mm: the two teeth are half a
/// cusp, 2 mm, apart, and under the same elastics each comes to meet the other (common practice, no source).
const HALF_THE_WAY_MM: f64 = 1.0;

/// A tooth under cross elastics in a phase: the published rate is of the teeth, not scaled by growth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CrossPull {
    pub tooth: Tooth,
    pub mm_per_day: f64,
    /// Days after the wire went in.
    pub from_days: f64,
    pub to_days: f64,
}

/// What the elastics of a phase do across in one arch.
pub(crate) fn cross_pulls(
    case: &Case,
    arch: Arch,
    elastics: &[usize],
    worn_days: &[(f64, f64)],
) -> Vec<CrossPull> {
    let mut out = Vec::new();
    for (i, index) in elastics.iter().enumerate() {
        let Some(block) = case.elastics.get(*index) else { continue };
        if block.kind != ElasticsKind::Cross {
            continue;
        }
        let (from_days, to_days) = worn_days.get(i).copied().unwrap_or(ALWAYS);
        for run in &block.runs {
            let hours = worn_hours(case, run.side, run.hours_a_day);
            let mm_per_day = worn_mm_per_day(CROSS_MM_PER_MONTH, hours, FULL_WEAR_H);
            let teeth = run.teeth.iter().filter(|t| t.arch() == arch);
            out.extend(teeth.map(|t| CrossPull { tooth: *t, mm_per_day, from_days, to_days }));
        }
    }
    out.retain(|p| p.mm_per_day > 0.0);
    out
}

/// How far a tooth in crossbite has to go, mm: as it stands, else half the way.
pub(crate) fn way_over_mm(tooth: Tooth, pose: &ToothPose) -> f64 {
    match crossed_mm(tooth, pose) {
        behind if behind > OVER_THE_BITE_MM => behind - OVER_THE_BITE_MM,
        _ => HALF_THE_WAY_MM,
    }
}

/// How far it stands off its line towards its side of a crossbite: upper teeth to the tongue, lower ones to the cheek.
fn crossed_mm(tooth: Tooth, pose: &ToothPose) -> f64 {
    match tooth.arch() {
        Arch::Upper => pose.lingual_mm,
        Arch::Lower => -pose.lingual_mm,
    }
}

impl CrossPull {
    /// What it has done between two days.
    pub fn done_mm(&self, from: f64, to: f64) -> f64 {
        self.mm_per_day * (to.min(self.to_days) - from.max(self.from_days)).max(0.0)
    }

    /// The day on which the tooth has gone so far from a day on; `None` where the elastics end before.
    pub fn day(&self, from: f64, way_mm: f64) -> Option<f64> {
        let day = from.max(self.from_days) + way_mm / self.mm_per_day;
        (day <= self.to_days).then_some(day)
    }

    /// The tooth's place after so much of the pull: no farther than its line.
    pub fn carried(&self, pose: ToothPose, by_mm: f64) -> ToothPose {
        let left = (crossed_mm(self.tooth, &pose) - by_mm).max(0.0);
        match crossed_mm(self.tooth, &pose) > 0.0 {
            true => ToothPose { lingual_mm: pose.lingual_mm.signum() * left, ..pose },
            false => pose,
        }
    }
}
