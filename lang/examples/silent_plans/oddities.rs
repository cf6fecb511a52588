//! What an orthodontist would shake the head at, counted from the forecast. Every threshold is common practice, no
//! source, and wider than what the rules warn of: here only what is plainly silly is to be counted.

use springline_lang::course::setup::rigidity;
use springline_lang::course::{ArchForecast, Phase};
use springline_lang::model::case::ArchCase;
use springline_lang::model::step::StepKind;
use springline_lang::units::quantity::{mm, newtons_to_grams};

/// Something silly in a plan.
pub struct Oddity {
    pub kind: &'static str,
    pub words: String,
}

/// Farther off than that no stiff wire goes in, mm and degrees.
const STIFF_OFF: (f64, f64) = (1.0, 12.0);
/// Nor a full-size superelastic one.
const FULL_OFF: (f64, f64) = (1.5, 15.0);
/// A first rectangular wire where a tooth is farther off.
const FLAT_OFF: (f64, f64) = (2.0, 25.0);
/// Forces that nobody means, g: on insertion, and kept after half a millimetre.
const FORCE: (f64, f64) = (900.0, 300.0);
/// One wire in so long, or wires before the working wire, days.
const LONG: f64 = 26.0 * 7.0;
const ALL_LONG: f64 = 80.0 * 7.0;
/// A wire by which no tooth moves farther does nothing, mm and degrees.
const IDLE: (f64, f64) = (0.1, 1.5);

pub fn oddities(plan: &ArchCase, forecast: &ArchForecast) -> Vec<Oddity> {
    let mut out = Vec::new();
    let phases: Vec<&Phase> =
        (0..plan.steps.len()).filter_map(|step| forecast.latest_phase_of_step(step)).collect();
    let mut odd = |kind: &'static str, words: String| out.push(Oddity { kind, words });
    let is_work = |p: &Phase| matches!(p.kind, StepKind::Work | StepKind::Finish);
    let is_stiff = |p: &Phase| !p.wire.wire.alloy.is_niti();
    let names: Vec<&str> = phases.iter().map(|p| &*p.wire.wire.name).collect();
    for (at, phase) in phases.iter().enumerate() {
        let name = names[at];
        let round = phase.wire.wire.section.is_round();
        let full = !round && mm(phase.wire.wire.section.height()) > 0.45;
        let limit = match () {
            () if is_stiff(phase) => Some(STIFF_OFF),
            () if full => Some(FULL_OFF),
            () if !round => Some(FLAT_OFF),
            () => None,
        };
        for tooth in phase.teeth.iter().filter(|t| t.status.is_in_wire() && !t.fixed) {
            let Some(limit) = limit else { continue };
            let (off, turned) = (tooth.entry.off_mm(), tooth.entry.rotated_rad.abs().to_degrees());
            if off > limit.0 || turned > limit.1 {
                odd(
                    "goes in too early",
                    format!("{name} with {} {off:.1} mm and {turned:.0} deg off", tooth.tooth),
                );
                break;
            }
        }
        let peak = phase.insertion.worst_peak().map_or(0.0, |t| newtons_to_grams(t.peak_n));
        let kept =
            phase.insertion.worst_sustained().map_or(0.0, |t| newtons_to_grams(t.sustained_n));
        if !is_stiff(phase) && (peak > FORCE.0 || kept > FORCE.1) {
            odd("heavy", format!("{name} {peak:.0} g going in, keeps {kept:.0} g"));
        }
        if !is_stiff(phase) && phase.booked_days > LONG {
            odd("one wire for half a year", format!("{name} {:.0} wk", phase.booked_days / 7.0));
        }
        let before = at.checked_sub(1).map(|i| phases[i]);
        if let Some(before) = before {
            let softer = rigidity(&phase.wire) < 0.8 * rigidity(&before.wire);
            let same_teeth =
                phase.teeth.iter().zip(&before.teeth).all(|(a, b)| a.status == b.status);
            if softer && same_teeth && !is_work(phase) {
                odd("back to a lighter wire", format!("{} then {name}", names[at - 1]));
            }
            let flat = |p: &&Phase| !p.wire.wire.section.is_round() && !is_stiff(p);
            let flat_days: f64 =
                phases[..at].iter().copied().filter(|p| flat(p)).map(|p| p.booked_days).sum();
            if full && flat_days < 41.0 && !(at > 0 && is_stiff(before)) {
                odd(
                    "full size without levelling",
                    format!("{name} after {flat_days:.0} days of rectangular wire"),
                );
            }
            if names[at - 1] == name && !is_work(phase) {
                odd("the same wire again", name.to_owned());
            }
        }
        if !is_stiff(phase)
            && at + 1 < phases.len()
            && phase.teeth.iter().all(|t| {
                (t.exit.off_mm() - t.entry.off_mm()).abs() < IDLE.0
                    && (t.exit.rotated_rad - t.entry.rotated_rad).abs().to_degrees() < IDLE.1
            })
        {
            odd("a wire that does nothing", format!("{name}, {:.0} wk", phase.booked_days / 7.0));
        }
    }
    let first = phases.first();
    if let Some(first) = first
        && (!first.wire.wire.section.is_round() || mm(first.wire.wire.section.height()) > 0.42)
        && first.teeth.iter().any(|t| t.entry.off_mm() > 1.4)
    {
        odd("a heavy first wire", names[0].to_owned());
    }
    let soft: f64 = phases.iter().filter(|p| !is_stiff(p)).map(|p| p.booked_days).sum();
    if soft > ALL_LONG {
        odd("long", format!("{:.0} wk before the working wire", soft / 7.0));
    }
    if let Some(last) = phases.last() {
        if last.wire.wire.section.is_round() && !is_stiff(last) {
            odd("ends on a round wire", names[names.len() - 1].to_owned());
        }
        let in_wire = |status: springline_lang::course::ToothStatus| {
            status == springline_lang::course::ToothStatus::Engaged
        };
        if let Some(tooth) =
            last.teeth.iter().find(|t| plan.bonded.contains_key(&t.tooth) && !in_wire(t.status))
        {
            odd("a tooth never fully in", format!("{} in {}", tooth.tooth, names[names.len() - 1]));
        }
    }
    out
}
