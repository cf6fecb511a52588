//! Forces and couples on one tooth, and what they come to.

use super::support::SixForces;

/// Levers that make a force, N, of a couple, N mm: about the long axis, and in tip and torque. Those of
/// [`Support::mobility`].
pub const COUPLE_LEVERS_MM: [f64; 3] =
    [7.071_067_811_865_476, 11.180_339_887_498_949, 11.180_339_887_498_949];

/// Forces and couples on one tooth, axes and signs as in [`ToothForces`](super::ToothForces).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Components {
    /// Labiolingual force, N, lingual positive.
    pub lingual_n: f64,
    /// Occlusogingival force, N, gingival positive.
    pub gingival_n: f64,
    /// Force along the arch, N, towards the patient's left positive.
    pub along_n: f64,
    /// Couple about the long axis, N mm.
    pub rotation_nmm: f64,
    /// Couple of tip, N mm.
    pub tip_nmm: f64,
    /// Couple of torque, N mm.
    pub torque_nmm: f64,
}

impl Components {
    /// Labiolingual and occlusogingival force together, N: what limits are judged by.
    pub fn resultant_n(&self) -> f64 {
        self.lingual_n.hypot(self.gingival_n)
    }

    pub(crate) fn six(&self) -> SixForces {
        let Components { lingual_n, gingival_n, along_n, .. } = *self;
        let Components { rotation_nmm, tip_nmm, torque_nmm, .. } = *self;
        [lingual_n, gingival_n, rotation_nmm, tip_nmm, torque_nmm, along_n]
    }

    /// The largest of the resultant and of the couples divided by their levers, N: the measure of how
    /// much movement a tooth has left.
    pub fn drive_n(&self) -> f64 {
        let couples = [self.rotation_nmm, self.tip_nmm, self.torque_nmm];
        let by_lever = couples.iter().zip(COUPLE_LEVERS_MM).map(|(m, lever)| m.abs() / lever);
        by_lever.fold(self.resultant_n(), f64::max)
    }

    /// Both together, for a tooth that two wires hold.
    pub fn and(&self, other: &Components) -> Components {
        Components {
            lingual_n: self.lingual_n + other.lingual_n,
            gingival_n: self.gingival_n + other.gingival_n,
            along_n: self.along_n + other.along_n,
            rotation_nmm: self.rotation_nmm + other.rotation_nmm,
            tip_nmm: self.tip_nmm + other.tip_nmm,
            torque_nmm: self.torque_nmm + other.torque_nmm,
        }
    }

    pub(crate) fn less(&self, other: &Components) -> Components {
        let Components { lingual_n, gingival_n, along_n, .. } = *other;
        let Components { rotation_nmm, tip_nmm, torque_nmm, .. } = *other;
        self.and(&Components {
            lingual_n: -lingual_n,
            gingival_n: -gingival_n,
            along_n: -along_n,
            rotation_nmm: -rotation_nmm,
            tip_nmm: -tip_nmm,
            torque_nmm: -torque_nmm,
        })
    }

    pub(crate) fn between(a: &Components, b: &Components, share: f64) -> Components {
        let line = |x: f64, y: f64| x + (y - x) * share;
        Components {
            lingual_n: line(a.lingual_n, b.lingual_n),
            gingival_n: line(a.gingival_n, b.gingival_n),
            along_n: line(a.along_n, b.along_n),
            rotation_nmm: line(a.rotation_nmm, b.rotation_nmm),
            tip_nmm: line(a.tip_nmm, b.tip_nmm),
            torque_nmm: line(a.torque_nmm, b.torque_nmm),
        }
    }
}
