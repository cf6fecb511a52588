//! When a wire counts as passive.
//!
//! The default rule: only a quarter of what *this* wire can still correct is left, or every force is
//! below a floor, whichever comes first. What the wire can correct is the difference to the positions at
//! which its forces vanish within the play. The quarter was matched to the intervals of common practice
//! (share 0.20 / 0.25 / 0.30 / 0.35: rms 0.30 / 0.15 / 0.10 / 0.09 in ln time), not to data on wires.
//!
//! The stricter rule: every force below the floor and no visible bend of the wire beside a slot.

use crate::law::irregularity::{Crown, index_mm};
use springline_units::tooth::Tooth;

/// Share of the correctable part that may be left.
pub const QUARTER: f64 = 0.25;
/// Floor of the forces, N: below it no effect is noticed clinically.
pub const FLOOR_N: f64 = 0.15;
/// A bend of some five degrees beside a slot is visible (common practice, no source).
pub const SEEN_BEND_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Tolerance below which nothing is left, per tooth: mm and rad.
const NOTHING_MM: f64 = 0.10;
const NOTHING_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;
/// The same of the irregularity of the front teeth, mm.
const NOTHING_INDEX_MM: f64 = 0.15;

/// Part of a tooth's six numbers: lingual, gingival, along, rotated, tipped, torque.
const LINGUAL: usize = 0;
const ROTATED: usize = 3;
const TORQUE: usize = 5;

/// A tooth as monitored for passivity.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MonitoredTooth {
    pub tooth: Tooth,
    pub crown_mm: f64,
    /// It does not move, so nothing can be corrected.
    pub fixed: bool,
    /// Torque of its slot at zero torque of the tooth, rad: the start from which a full wire moves it.
    pub slot_torque_rad: f64,
}

/// Irregularity of the front teeth at these positions.
pub(crate) fn irregularity(watched: &[MonitoredTooth], stands: &[[f64; 6]]) -> f64 {
    let crowns: Vec<Crown> = watched
        .iter()
        .zip(stands)
        .map(|(w, s)| Crown {
            tooth: w.tooth,
            width_mm: w.crown_mm,
            lingual_mm: s[LINGUAL],
            rotated_rad: s[ROTATED],
        })
        .collect();
    index_mm(&crowns)
}

/// The share of the correctable part that is left: 1 at insertion, 0 at the positions `left` by play; the
/// largest over all components.
pub(crate) fn share_left(
    watched: &[MonitoredTooth],
    at_insertion: &[[f64; 6]],
    now: &[[f64; 6]],
    left: &[[f64; 6]],
) -> f64 {
    let end = irregularity(watched, left);
    let could = irregularity(watched, at_insertion) - end;
    let by_index = could * QUARTER > NOTHING_INDEX_MM;
    let mut share: f64 = 0.0;
    if by_index {
        share = ((irregularity(watched, now) - end) / could).max(0.0);
    }
    for (i, w) in watched.iter().enumerate() {
        if w.fixed {
            continue;
        }
        for part in [LINGUAL, 1, ROTATED, 4, TORQUE] {
            // In-out and rotation of the front teeth are what the index already counts.
            if by_index && w.tooth.is_anterior() && (part == LINGUAL || part == ROTATED) {
                continue;
            }
            let nothing = if part < 3 { NOTHING_MM } else { NOTHING_RAD };
            // A tooth that its neighbours push away and keep there has nothing left to correct.
            let zero = if part == TORQUE { -w.slot_torque_rad } else { 0.0 };
            let off = |stand: f64| (stand - zero).abs();
            let beyond = |stand: f64| (off(stand) - off(left[i][part])).max(0.0);
            let could = beyond(at_insertion[i][part]).max(nothing / QUARTER);
            share = share.max(beyond(now[i][part]) / could);
        }
    }
    share
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arch() -> Vec<MonitoredTooth> {
        [43, 42, 41, 31, 32, 33]
            .map(|code| MonitoredTooth {
                tooth: Tooth::iso(code).unwrap(),
                crown_mm: 5.5,
                fixed: false,
                slot_torque_rad: 0.0,
            })
            .to_vec()
    }

    #[test]
    fn share_runs_from_one_to_nothing() {
        let teeth = arch();
        let start = [0.0, 1.2, -1.0, 1.4, 0.0, -0.8].map(|y| [y, 0.0, 0.0, 0.0, 0.0, 0.0]);
        let left = start.map(|s| s.map(|x| 0.1 * x));
        let half: Vec<[f64; 6]> = start.iter().map(|s| s.map(|x| 0.55 * x)).collect();
        assert!((share_left(&teeth, &start, &start, &left) - 1.0).abs() < 1e-12);
        assert!(share_left(&teeth, &start, &left, &left) < 1e-12);
        assert!((share_left(&teeth, &start, &half, &left) - 0.5).abs() < 1e-12);
    }

    /// A slot of 17 degrees and a wire with 9 degrees of play: eight are to be removed at the start, though
    /// the tooth stands at no torque and ends with some.
    #[test]
    fn torque_that_the_slot_asks_counts() {
        let mut teeth = arch();
        let asked = 17_f64.to_radians();
        teeth[2].slot_torque_rad = asked;
        let torque = |rad: f64| {
            let mut all = [[0.0; 6]; 6];
            all[2][TORQUE] = rad;
            all
        };
        let left = torque(-8_f64.to_radians());
        let share = |rad: f64| share_left(&teeth, &torque(0.0), &torque(rad), &left);
        assert!((share(0.0) - 1.0).abs() < 1e-12);
        assert!((share(-4_f64.to_radians()) - 0.5).abs() < 1e-12);
        assert!(share(-8_f64.to_radians()) < 1e-12);
    }

    #[test]
    fn a_high_tooth_counts_though_the_index_ignores_it() {
        let teeth = arch();
        let mut start = [[0.0; 6]; 6];
        start[2][1] = 2.0;
        let left = [[0.0; 6]; 6];
        assert!((share_left(&teeth, &start, &start, &left) - 1.0).abs() < 1e-12);
        // A tooth that cannot move holds nothing up.
        let mut stuck = arch();
        stuck[2].fixed = true;
        assert_eq!(share_left(&stuck, &start, &start, &left), 0.0);
    }
}
