//! What power arms do to the pull on their teeth: the moment-to-force ratio at the bracket.

use crate::setup::arch_setup::ArchSetup;
use springline_mechanics::Slot;
use springline_units::quantity::{newtons_to_grams, plain};
use springline_units::tooth::{Notation, Tooth};

/// From the bracket to the centre of resistance of a single-rooted tooth, mm, where its support does not say
/// (common practice, no source).
const TO_CENTRE_MM: f64 = 10.0;
/// A pull that passes nearer to the centre of resistance than this does not tip the tooth: where the centre lies is
/// not known better (no source).
pub(crate) const UPRIGHT_MM: f64 = 1.0;
/// Pulls smaller than this are not told, N.
const LITTLE_N: f64 = 0.01;

/// A tooth that is pulled at the tip of its power arm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArmPull {
    pub tooth: Tooth,
    /// All that pulls there, N.
    pub force_n: f64,
    /// From the bracket's centre towards the gum to the tip, mm: the moment-to-force ratio that the arm gives at
    /// the bracket.
    pub arm_mm: f64,
    /// The same to the centre of resistance: the ratio at which the tooth moves bodily.
    pub centre_at_mm: f64,
}

/// From the bracket up to the centre of resistance, mm.
pub(crate) fn centre_at_mm(slot: &Slot) -> f64 {
    match slot.support.centre_mm[1].abs() {
        lever if lever > 0.0 => lever,
        _ => TO_CENTRE_MM,
    }
}

/// The teeth that this set-up pulls at an arm.
pub(crate) fn arm_pulls(setup: &ArchSetup) -> Vec<ArmPull> {
    let base = &setup.base;
    let pulls = base.loads.iter().filter(|load| load.at_mm[1] > 0.0).filter_map(|load| {
        let slot = base.slots.iter().find(|s| s.id == load.id)?;
        let force_n = load.along_n.hypot(load.lingual_n).hypot(load.gingival_n);
        (force_n > LITTLE_N).then_some(ArmPull {
            tooth: Tooth::iso(u32::from(load.id))?,
            force_n,
            arm_mm: load.at_mm[1],
            centre_at_mm: centre_at_mm(slot),
        })
    });
    pulls.collect()
}

impl ArmPull {
    /// "13 is pulled with 150 g at the tip of its arm: moment to force 7 mm at the bracket; about 10 would move it
    /// bodily, so the crown still leads and the wire has to hold it upright against the other 3".
    pub fn say(&self, notation: Notation) -> String {
        let left = self.centre_at_mm - self.arm_mm;
        let does = match left {
            left if left.abs() < UPRIGHT_MM => "so it goes nearly bodily".to_owned(),
            left if left < 0.0 => "so the root leads".to_owned(),
            left => format!(
                "so the crown still leads, and the wire has to hold it upright against the other {}",
                plain(left.round())
            ),
        };
        format!(
            "{} is pulled with {:.0} g at the tip of its arm: moment to force {} mm at the bracket; about {} would \
             move it bodily, {does}",
            self.tooth.write(notation),
            newtons_to_grams(self.force_n),
            plain(self.arm_mm),
            plain(self.centre_at_mm.round()),
        )
    }
}
