//! Whether every tooth is near enough to its place for the wire that is to go in, by prediction.
//!
//! The rules of the checker leave what is predicted after a passive wire to the chair: it looks before it changes.
//! A draft chooses between wires, and one that counts on teeth not being where they are predicted would always be
//! the quicker one. So it is held to where they are predicted: a wire that will not fit yet is put off, and each time
//! that a tooth is once more its limit off costs a visit and the practice's shortest interval.

use std::fmt;

use serde::Serialize;

use springline_course::Phase;
use springline_model::House;
use springline_model::limits::Limit;
use springline_model::stock::Wire;
use springline_units::quantity::{Unit, mm, plain};
use springline_units::tooth::Tooth;

/// Most that a tooth may be off for a light rectangular and for a full-size superelastic wire, mm and degrees
/// (common practice, no source).
const LIGHT: (f64, f64) = (1.0, 10.0);
const FULL: (f64, f64) = (0.5, 6.0);

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

    /// How often the wire is put off: once for every time that the tooth is its limit too far off.
    pub fn waits(&self) -> f64 {
        (self.excess() - 1e-9).ceil().max(0.0)
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
        Some(if far.excess() >= turned.excess() { far } else { turned })
    });
    worst.max_by(|a, b| a.excess().total_cmp(&b.excess())).filter(|f| f.excess() > 1e-9)
}

fn limits(wire: &Wire, house: &House, tooth: Tooth) -> Option<(f64, f64)> {
    if !wire.alloy.is_niti() {
        let warn = |limit: Limit| house.limits.for_tooth(limit, tooth).value.warn;
        return Some((warn(Limit::Misfit), warn(Limit::Turn)));
    }
    if wire.section.is_round() {
        return None;
    }
    let full = mm(wire.section.height()) >= FULL_MM.0 && mm(wire.section.depth()) >= FULL_MM.1;
    Some(if full { FULL } else { LIGHT })
}

/// As it is shown.
fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
