//! Force on every tooth over time: the wire solved again at the positions of the median patient's teeth
//! on the way.

use jiff::civil::Date;

use crate::mouth::pose::move_slot;
use crate::plan::calendar::after;
use crate::setup::arch_setup::ArchSolution;
use crate::timeline::phase::{ArchForecast, Phase};
use springline_units::quantity::newtons_to_grams;
use springline_units::tooth::Tooth;

/// Solves a phase this often at most: the curve is smooth, and each solve costs milliseconds.
const SOLVES: usize = 8;

/// One tooth over a whole course: day, and force in g; a gap where the mechanics had no answer.
#[derive(Debug, Clone, PartialEq)]
pub struct ToothForce {
    pub tooth: Tooth,
    pub points: Vec<(Date, f64)>,
    /// Where a wire goes in, the curve begins anew.
    pub breaks: Vec<usize>,
}

/// Force of every engaged tooth over the course of an arch.
pub fn force_history(arch: &ArchForecast) -> Vec<ToothForce> {
    let mut out: Vec<ToothForce> = Vec::new();
    for phase in &arch.phases {
        let Some(begun) = phase.date_in else { continue };
        let mut fresh: Vec<Tooth> = Vec::new();
        for (day, forces) in phase_forces(phase) {
            let on = after(begun, day);
            for (tooth, grams) in forces {
                let place = match out.iter().position(|t| t.tooth == tooth) {
                    Some(place) => place,
                    None => {
                        out.push(ToothForce { tooth, points: Vec::new(), breaks: Vec::new() });
                        out.len() - 1
                    }
                };
                let row = &mut out[place];
                if !fresh.contains(&tooth) {
                    fresh.push(tooth);
                    row.breaks.push(row.points.len());
                }
                row.points.push((on, grams));
            }
        }
    }
    out
}

/// Days since the wire went in, with the force on every tooth in it.
fn phase_forces(phase: &Phase) -> Vec<(f64, Vec<(Tooth, f64)>)> {
    let Some((_, first)) = phase.path.first() else { return Vec::new() };
    let step = phase.path.len().div_ceil(SOLVES).max(1);
    let last = phase.path.len() - 1;
    let bounded = phase.setup.bounded(&phase.setup);
    let mut before: Option<ArchSolution> = None;
    let mut out = Vec::new();
    for (i, (day, now)) in phase.path.iter().enumerate() {
        if i % step != 0 && i != last {
            continue;
        }
        let mut setup = bounded.clone();
        let slots = setup.overlay.iter_mut().flat_map(|o| &mut o.slots);
        for slot in setup.base.slots.iter_mut().chain(slots) {
            let moved = phase.teeth.iter().position(|t| t.tooth.code() == u32::from(slot.id));
            if let Some(k) = moved
                && let (Some(from), Some(to)) = (first.get(k), now.get(k))
            {
                move_slot(&mut slot.stand, from, to);
            }
        }
        let Ok(solved) = setup.solve(before.as_ref()) else { continue };
        let forces = solved.tooth_forces().filter_map(|t| {
            let of = phase.teeth.iter().find(|own| own.tooth.code() == u32::from(t.id))?;
            Some((of.tooth, newtons_to_grams(t.resultant_n)))
        });
        out.push((*day, forces.collect()));
        before = Some(solved);
    }
    out
}
