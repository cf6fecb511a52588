//! Steps by which a practice's drawer makes room and takes teeth in.

use std::sync::Arc;

use super::draft_step::{DraftAct, DraftStep};
use super::ranked_wire::{RankedWire, ranked};
use springline_model::limits::Limit;
use springline_model::stock::{Alloy, Coil, CoilKind};
use springline_model::{House, Wire};
use springline_units::quantity::{grams, mm};

/// The thinnest wire that carries a light coil, or any if it is of steel (common practice, no source).
const CARRIES_LIGHT_MM: f64 = 0.016 * 25.4 - 1e-6;

/// The largest round wire that a coil is put on (common practice, no source).
const ROUND_CARRIER_MM: f64 = 0.020 * 25.4 + 1e-6;

/// Most coils and most wires under them that are tried: bounds of the search.
const MOST_COILS: usize = 3;
const MOST_CARRIERS: usize = 5;

/// Coils of the practice on the wires that carry them, and light wires that take teeth in.
pub fn room_steps(house: &House, working: f64, room_mm: f64) -> Vec<RankedWire> {
    let with = |wire: &Arc<Wire>, act: DraftAct| RankedWire {
        step: DraftStep { wire: wire.clone(), act },
        rigidity: ranked(wire).rigidity,
    };
    let limits = &house.limits;
    let takes_in_mm = limits.warn(Limit::TakesIn) * 25.4 + 1e-6;
    let carries_mm = limits.warn(Limit::CoilWire) * 25.4 - 1e-6;
    let light_coil_g = limits.warn(Limit::LightCoil) + 0.5;
    let force = |coil: &Coil| coil.force.map(grams).filter(|g| *g > 0.0);
    let mut coils: Vec<&Arc<Coil>> = house.coils.values().collect();
    coils.retain(|c| c.kind == CoilKind::Open && force(c).is_some());
    coils.sort_by(|a, b| {
        let place = |c: &Coil| (c.place.file, c.place.span.start);
        force(a)
            .partial_cmp(&force(b))
            .unwrap_or(std::cmp::Ordering::Equal)
            .then(place(a).cmp(&place(b)))
    });
    coils.truncate(MOST_COILS);
    let size = |w: &Wire| mm(w.section.height());
    let mut carriers: Vec<RankedWire> = house.wires.values().map(ranked).collect();
    carriers.retain(|w| {
        let wire = &w.step.wire;
        let kind = match wire.section.is_round() {
            true => size(wire) <= ROUND_CARRIER_MM,
            false => wire.alloy.is_niti() && w.rigidity < working,
        };
        kind && size(wire) >= CARRIES_LIGHT_MM.min(carries_mm)
            && size(wire) <= room_mm
            && wire.soft_in_mouth().is_none()
            && w.rigidity > 0.0
    });
    let place = |w: &RankedWire| (w.step.wire.place.file, w.step.wire.place.span.start);
    carriers
        .sort_by(|a, b| a.rigidity.total_cmp(&b.rigidity).then_with(|| place(a).cmp(&place(b))));
    carriers.truncate(MOST_CARRIERS);
    let mut out = Vec::new();
    for carrier in &carriers {
        let wire = &carrier.step.wire;
        let stiff = matches!(wire.alloy, Alloy::Steel | Alloy::CobaltChromium);
        let any = stiff || !wire.section.is_round() || size(wire) >= carries_mm;
        let own = coils.iter().filter(|c| any || force(c).is_some_and(|g| g <= light_coil_g));
        out.extend(own.map(|c| with(wire, DraftAct::MakeRoom((*c).clone()))));
    }
    let mut light: Vec<RankedWire> = house.wires.values().map(ranked).collect();
    light.retain(|w| {
        let wire = &w.step.wire;
        wire.alloy.is_niti()
            && wire.section.is_round()
            && size(wire) <= takes_in_mm
            && wire.soft_in_mouth().is_none()
            && w.rigidity > 0.0
    });
    light.sort_by(|a, b| a.rigidity.total_cmp(&b.rigidity).then_with(|| place(a).cmp(&place(b))));
    for act in [DraftAct::TakeIn, DraftAct::Overlay] {
        out.extend(light.iter().map(|w| with(&w.step.wire, act.clone())));
    }
    out
}
