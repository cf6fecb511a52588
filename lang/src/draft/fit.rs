//! Whether every tooth is near enough to its place for the wire that is to go in, by prediction.
//!
//! The rules of the checker leave what is predicted after a passive wire to the chair: it looks before it changes.
//! A draft chooses between wires, and one that counts on teeth not being where they are predicted would always be
//! the quicker one. So it is held to where they are predicted: a wire that will not fit yet is put off, and each time
//! that a tooth is once more its limit off costs a visit and the practice's shortest interval.
//!
//! Entries are rounded, so a tooth that is past its limit by less than half of what is rounded may as well be within it:
//! up to there the first of these visits counts by that share, from nothing at the limit to a whole one.

use std::fmt;

use serde::Serialize;

use super::readings::{OFF_DEG, OFF_MM};
use springline_course::Phase;
use springline_model::House;
use springline_model::limits::Limit;
use springline_model::stock::Wire;
use springline_units::quantity::{Unit, mm, plain, tenth};
use springline_units::tooth::Tooth;

/// From this section on a superelastic wire is a full-size one, mm (common practice, no source).
const FULL_MM: (f64, f64) = (0.018 * 25.4 - 1e-6, 0.025 * 25.4 - 1e-6);

/// A tooth farther off than a wire wants, as it goes in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PoorFit {
    pub wire: String,
    pub tooth: Tooth,
    pub off: f64,
    pub limit: f64,
    #[serde(skip)]
    pub unit: Unit,
}

impl PoorFit {
    /// How far past its limit, as a share of it.
    pub fn excess(&self) -> f64 {
        self.off / self.limit - 1.0
    }

    /// How often the wire is put off: once for every time that the tooth is its limit too far off, and by shares of the
    /// first time where that is less than entries are exact.
    pub fn waits(&self) -> f64 {
        let exact = if self.unit == Unit::Deg { OFF_DEG } else { OFF_MM };
        match (self.off - self.limit) / exact {
            share if share < 1.0 => share.max(0.0),
            _ => (self.excess() - 1e-9).ceil().max(1.0),
        }
    }
}

impl fmt::Display for PoorFit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let PoorFit { wire, tooth, unit, .. } = self;
        let (off, limit) = (plain(self.off), plain(self.limit));
        write!(
            f,
            "{tooth} is predicted {off} {unit} off as {wire} goes in, where {limit} {unit} is the most"
        )
    }
}

/// The tooth that is farthest off for the wire of this phase; `None` where all are near enough.
pub fn poor_fit(phase: &Phase, house: &House) -> Option<PoorFit> {
    let wire = &phase.wire.wire;
    let off = phase.teeth.iter().filter(|t| t.status.is_in_wire() && !t.fixed);
    let worst = off.flat_map(|t| {
        let (limit_mm, limit_deg) = limits(wire, house, t.tooth)?;
        let of = |off: f64, limit: f64, unit: Unit| PoorFit {
            wire: wire.name.to_string(),
            tooth: t.tooth,
            off: tenth(off),
            limit,
            unit,
        };
        let far = of(t.entry.off_mm(), limit_mm, Unit::Mm);
        let turned = of(t.entry.rotated_rad.abs().to_degrees(), limit_deg, Unit::Deg);
        Some(std::cmp::max_by(turned, far, graver))
    });
    worst.max_by(graver).filter(|f| f.excess() > 1e-9)
}

fn graver(a: &PoorFit, b: &PoorFit) -> std::cmp::Ordering {
    a.waits().total_cmp(&b.waits()).then(a.excess().total_cmp(&b.excess()))
}

/// Of a section that is full-size.
pub fn is_full_size(wire: &Wire) -> bool {
    mm(wire.section.height()) >= FULL_MM.0 && mm(wire.section.depth()) >= FULL_MM.1
}

fn limits(wire: &Wire, house: &House, tooth: Tooth) -> Option<(f64, f64)> {
    let (off, turned) = match (wire.alloy.is_niti(), wire.section.is_round()) {
        (false, _) => (Limit::Misfit, Limit::Turn),
        (true, true) => return None,
        (true, false) if is_full_size(wire) => (Limit::FullMisfit, Limit::FullTurn),
        (true, false) => (Limit::LightMisfit, Limit::LightTurn),
    };
    let warn = |limit: Limit| house.limits.for_tooth(limit, tooth).value.warn;
    Some((warn(off), warn(turned)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_within_the_rounding_of_entries_costs_no_whole_visit() {
        let fit = |off: f64, limit: f64, unit: Unit| PoorFit {
            wire: "w".to_owned(),
            tooth: Tooth::parse("11").expect("a tooth"),
            off,
            limit,
            unit,
        };
        let waits = |off: f64, limit: f64, unit: Unit| fit(off, limit, unit).waits();
        assert!((waits(10.5, 10.0, Unit::Deg) - 0.2).abs() < 1e-9);
        assert!((waits(0.5, 0.4, Unit::Mm) - 0.4).abs() < 1e-9);
        assert_eq!(waits(12.5, 10.0, Unit::Deg), 1.0);
        assert_eq!(waits(1.0, 0.5, Unit::Mm), 1.0);
        assert_eq!(waits(1.1, 0.5, Unit::Mm), 2.0);
        // More off never waits less.
        let list: Vec<f64> = (0..60).map(|n| waits(f64::from(n) / 20.0, 0.4, Unit::Mm)).collect();
        assert!(list.is_sorted(), "{list:?}");
    }
}
