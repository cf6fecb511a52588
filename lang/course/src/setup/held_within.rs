//! What a wire leaves of the error of an entered place: it moves a tooth as far as it truly stands off, not as far as was
//! written, and once it is passive the tooth stands within its play.

use crate::mouth::positions::Mouth;
use springline_mechanics::{Setup, Slot, Spread, StandError, closed::third_order_play};
use springline_units::tooth::Tooth;

/// Takes over into the mouth what a wire leaves that has done all but `share` of its work.
pub(crate) fn hold_within(mouth: &mut Mouth, setup: &Setup, share: f64) {
    for slot in &setup.slots {
        if let Some(tooth) = Tooth::iso(u32::from(slot.id)) {
            mouth.held_within.insert(tooth, left_by(setup, slot, share));
        }
    }
}

/// Half-widths of what is not known of a place.
fn left_by(setup: &Setup, slot: &Slot, share: f64) -> StandError {
    let (entry, before, most) = (Spread::default(), slot.stand_error, slot.stand_error_most);
    let section = &setup.wire.stock.section;
    let half = |slot_mm: f64, wire_mm: f64| 0.5 * (slot_mm - wire_mm).max(0.0);
    let across = half(slot.depth_mm, section.depth_mm());
    let upright = half(slot.height_mm, section.height_mm());
    // Between the two ends of the slot the wire turns by both walls.
    let turn = |half_mm: f64| (2.0 * half_mm / slot.width_mm.max(1.0)).atan();
    let rolled = third_order_play(section, slot.height_mm).unwrap_or(f64::INFINITY);
    let left = |own: f64, of_all: f64, most: f64, play: f64| {
        let was = own.max(of_all).min(most);
        (share.clamp(0.0, 1.0) * was + play).min(was)
    };
    let (mm, rad) = (entry.stand_mm, entry.stand_rad);
    StandError {
        lingual_mm: left(before.lingual_mm, mm, most.lingual_mm, across),
        gingival_mm: left(before.gingival_mm, mm, most.gingival_mm, upright),
        rotated_rad: left(before.rotated_rad, rad, most.rotated_rad, turn(across)),
        tipped_rad: left(before.tipped_rad, rad, most.tipped_rad, turn(upright)),
        torque_rad: left(before.torque_rad, rad, most.torque_rad, rolled),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_mechanics::{ArchLine, ArchWire, Law, SolverSettings, WireSection};

    fn left(height_in: f64, depth_in: f64, share: f64) -> StandError {
        let section = WireSection::rectangular(25.4 * height_in, 25.4 * depth_in, 0.04);
        let slot = Slot::bracket(11, 4.0, 3.0);
        let setup = Setup {
            arch: ArchLine::Straight,
            slots: vec![slot],
            wire: ArchWire::new(section, Law::steel()),
            loads: Vec::new(),
            settings: SolverSettings::quick(),
            ties: Vec::new(),
        };
        left_by(&setup, &slot, share)
    }

    #[test]
    fn a_full_wire_that_is_passive_leaves_its_play() {
        let full = left(0.019, 0.025, 0.0);
        assert!((full.gingival_mm - 0.0381).abs() < 1e-6, "{full:?}");
        assert!(full.tipped_rad < 2.5_f64.to_radians());
        assert!(
            full.torque_rad >= 2.5_f64.to_radians() - 1e-9,
            "its play is larger than the error was"
        );
    }

    #[test]
    fn a_wire_that_has_done_nothing_leaves_all() {
        assert_eq!(left(0.019, 0.025, 1.0).lingual_mm, 0.25);
    }
}
