//! What coils, springs, chains, elastics and ties pull on each tooth as the wire goes in, and how near that comes to
//! moving it bodily.

use crate::setup::arch_setup::ArchSetup;
use springline_mechanics::{Load, Slot};
use springline_units::quantity::{newtons_to_grams, plain};
use springline_units::tooth::{Notation, Side, Tooth};

/// From the bracket to the centre of resistance of a single-rooted tooth, mm, where its support does not say
/// (common practice, no source).
const TO_CENTRE_MM: f64 = 10.0;
/// A pull that passes nearer to the centre of resistance than this does not tip the tooth: where the centre lies is
/// not known better (no source).
pub(crate) const UPRIGHT_MM: f64 = 1.0;
/// A pull along the arch under this tells nothing of how the tooth goes, N (0.2 N: about 20 g).
const TOLD_N: f64 = 0.2;
/// Pulls that come to less are none, N.
const LEAST_N: f64 = 1e-6;

/// The loads on one tooth together, N: lingual, gingival and towards the patient's left positive.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ToothPull {
    pub tooth: Tooth,
    pub lingual_n: f64,
    pub gingival_n: f64,
    pub along_n: f64,
    /// Length of the power arm that it acts at, mm towards the gum; nothing without one.
    pub arm_mm: f64,
    /// Moment to force at the bracket against tipping along the arch, mm: what the arm and the wire's couple give.
    /// Positive keeps the crown from leading. `None` where nothing to speak of pulls along the arch, and where only a tie
    /// does, which follows what its neighbour does.
    pub moment_to_force_mm: Option<f64>,
    /// The ratio at which the tooth would go bodily: from the bracket to the centre of resistance, mm.
    pub bodily_at_mm: f64,
}

/// From the bracket up to the centre of resistance, mm.
pub(crate) fn centre_at_mm(slot: &Slot) -> f64 {
    match slot.support.centre_mm[1].abs() {
        lever if lever > 0.0 => lever,
        _ => TO_CENTRE_MM,
    }
}

/// The teeth of the base wire that something pulls on. `wire`: what the wire does to them as it goes in; `ties`: what their
/// ties draw them with.
pub(crate) fn tooth_pulls(
    setup: &ArchSetup,
    wire: &[(Tooth, f64)],
    ties: &[Load],
) -> Vec<ToothPull> {
    let slots = &setup.base.slots;
    let pull = |slot: &Slot| {
        let own: Vec<&Load> = setup.base.loads.iter().filter(|l| l.id == slot.id).collect();
        let tooth = Tooth::iso(u32::from(slot.id))?;
        let tied: Vec<&Load> = ties.iter().filter(|l| l.id == slot.id).collect();
        let all = || own.iter().chain(&tied);
        let sum = |part: fn(&Load) -> f64| all().map(|l| part(l)).sum::<f64>();
        let (lingual_n, gingival_n, along_n) =
            (sum(|l| l.lingual_n), sum(|l| l.gingival_n), sum(|l| l.along_n));
        if lingual_n.hypot(gingival_n).hypot(along_n) < LEAST_N {
            return None;
        }
        let tip_nmm = wire.iter().find(|(t, _)| *t == tooth).map_or(0.0, |(_, tip)| *tip);
        let by_arm: f64 = own.iter().map(|l| l.along_n * l.at_mm[1]).sum();
        // A pull to the left at the bracket turns the left-hand edge to the gum; a couple the other way holds it.
        let ratio = (by_arm - tip_nmm) / along_n;
        Some(ToothPull {
            tooth,
            lingual_n,
            gingival_n,
            along_n,
            arm_mm: own.iter().map(|l| l.at_mm[1]).fold(0.0, f64::max),
            moment_to_force_mm: (!own.is_empty() && along_n.abs() >= TOLD_N).then_some(ratio),
            bodily_at_mm: centre_at_mm(slot),
        })
    };
    slots.iter().filter_map(pull).collect()
}

/// Tips of the wire on its teeth.
pub(crate) fn tips(teeth: &[crate::run::figures::ToothLoad]) -> Vec<(Tooth, f64)> {
    teeth.iter().map(|t| (t.tooth, t.at_insertion.tip_nmm)).collect()
}

impl ToothPull {
    /// "150 mesial, 20 occlusal", g.
    pub fn grams(&self) -> String {
        self.in_grams("")
    }

    fn in_grams(&self, unit: &str) -> String {
        let mesial = if self.tooth.side() == Side::Right { self.along_n } else { -self.along_n };
        let parts = [
            (mesial, "mesial", "distal"),
            (self.gingival_n, "gingival", "occlusal"),
            (self.lingual_n, "lingual", "labial"),
        ];
        let parts: Vec<String> = parts
            .into_iter()
            .filter_map(|(n, plus, minus)| {
                let grams = newtons_to_grams(n).round();
                (grams != 0.0).then(|| {
                    format!(
                        "{}{unit} {}",
                        plain(grams.abs()),
                        if grams > 0.0 { plus } else { minus }
                    )
                })
            })
            .collect();
        if parts.is_empty() { "-".to_owned() } else { parts.join(", ") }
    }

    /// "16: pulled with 150 g mesial; moment to force 0 mm at the bracket, about 11 would move it bodily: the crown leads until the wire holds it
    /// upright"; nothing where nothing to speak of pulls along the arch.
    pub fn say(&self, notation: Notation) -> Option<String> {
        let ratio = self.moment_to_force_mm?;
        let left = self.bodily_at_mm - ratio;
        let goes = match left {
            left if left.abs() < UPRIGHT_MM => "it goes nearly bodily",
            left if left < 0.0 => "the root leads",
            _ => "the crown leads until the wire holds it upright",
        };
        let arm = if self.arm_mm > 0.0 { " at the tip of its arm" } else { "" };
        Some(format!(
            "{}: pulled with {}{arm}; moment to force {} mm at the bracket, about {} would move it bodily: {goes}",
            self.tooth.write(notation),
            self.in_grams(" g"),
            plain(ratio.round() + 0.0),
            plain(self.bodily_at_mm.round()),
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_mechanics::*;

    fn pulled(at_mm: f64, tip_nmm: f64) -> ToothPull {
        let slots =
            [16_u16, 13].map(|id| Slot::bracket(id, if id == 16 { -30.0 } else { -14.0 }, 3.0));
        let load = Load {
            id: 16,
            lingual_n: 0.0,
            gingival_n: 0.0,
            along_n: 1.5,
            at_mm: [0.0, at_mm, 0.0],
        };
        let base = Setup {
            arch: ArchLine::Straight,
            slots: slots.to_vec(),
            wire: ArchWire::new(WireSection::round(0.4), Law::steel()),
            loads: vec![load],
            settings: SolverSettings::quick(),
            ties: Vec::new(),
        };
        let setup = ArchSetup { base, overlay: None, held: Vec::new() };
        let tooth = Tooth::iso(16).unwrap();
        tooth_pulls(&setup, &[(tooth, tip_nmm)], &[])[0]
    }

    /// Statics of a force at the bracket: without a couple it tips, at a lever to the centre of resistance it does not.
    #[test]
    fn arm_and_couple_both_count_against_tipping() {
        assert_eq!(pulled(0.0, 0.0).moment_to_force_mm, Some(0.0));
        assert_eq!(pulled(7.0, 0.0).moment_to_force_mm, Some(7.0));
        // A couple against the tip of a pull to the left is negative.
        assert_eq!(pulled(0.0, -15.0).moment_to_force_mm, Some(10.0));
        assert_eq!(pulled(0.0, 0.0).grams(), "153 mesial");
        assert!(pulled(10.0, 0.0).say(Notation::Iso).unwrap().contains("nearly bodily"));
    }
}
