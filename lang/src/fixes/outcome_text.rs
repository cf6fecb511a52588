//! The sentence about the outcome of a fix in the recomputed plan.

use crate::check::Checked;
use springline_course::{Forecast, Phase};
use springline_finding::Finding;
use springline_rules::rule;
use springline_rules::rule::Judges;
use springline_units::quantity::{Unit, newtons_to_grams, plain};
use springline_units::tooth::Tooth;

/// The figure of the finding in the recomputed plan: "with niti-14 instead: 43 g on 12", or, where the
/// wire of the step stays, "then 43 g on 12".
pub(super) fn figure(finding: &Finding, before: &Checked, after: &Checked) -> Option<String> {
    let (case, forecast) = (after.case.as_ref()?, after.forecast.as_ref()?);
    let tooth = *finding.teeth.first()?;
    let step = finding.step.as_ref()?;
    let on = tooth.write(case.house.notation.value);
    let now = phase(forecast, step, tooth)?;
    let was = before.forecast.as_ref().and_then(|f| phase(f, step, tooth));
    let other = was.is_some_and(|w| !w.wire.same_wires(&now.wire));
    let then = match other {
        true => format!("with {} instead:", now.wire.names()),
        false => "then".to_owned(),
    };
    if let Some((value, unit)) = left(finding, now, tooth) {
        return Some(format!("{then} {value} {unit} out of line at {on}"));
    }
    let (value, unit) = value_of(judges(finding)?, now, tooth)?;
    Some(format!("{then} {} {unit} on {on}", plain(value.round())))
}

fn judges(finding: &Finding) -> Option<Judges> {
    Some(rule(finding.code.as_str())?.figure?.judges)
}

fn phase<'f>(forecast: &'f Forecast, step: &str, tooth: Tooth) -> Option<&'f Phase> {
    forecast.arch(tooth.arch())?.phases.iter().rev().find(|p| *p.name == *step)
}

/// What is left for a wire that cannot flex, in the unit of the finding.
fn left(finding: &Finding, phase: &Phase, tooth: Tooth) -> Option<(String, Unit)> {
    let unit = finding.figure.as_ref()?.unit;
    if judges(finding) != Some(Judges::LeftOver) || phase.wire.wire.alloy.is_niti() {
        return None;
    }
    let entry = phase.tooth(tooth)?.entry;
    Some(match unit {
        Unit::Mm => (plain((entry.off_mm() * 10.0).round() / 10.0), unit),
        _ => {
            let rad = entry.rotated_rad.abs().max(entry.tipped_rad.abs());
            (plain(rad.to_degrees().round()), unit)
        }
    })
}

/// The figure that a rule judges, in the recomputed phase.
fn value_of(judges: Judges, phase: &Phase, tooth: Tooth) -> Option<(f64, &'static str)> {
    let load = phase.insertion.tooth(tooth)?;
    let couple = |a: &springline_course::Components| {
        a.rotation_nmm.abs().max(a.tip_nmm.abs()).max(a.torque_nmm.abs())
    };
    match judges {
        Judges::Sustained => Some((newtons_to_grams(load.sustained_n), "g")),
        Judges::Delivered | Judges::LeftOver => Some((newtons_to_grams(load.delivered_n), "g")),
        Judges::Intrusion => Some((newtons_to_grams(load.delivered.gingival_n), "g")),
        Judges::Peak => Some((newtons_to_grams(load.peak_n), "g")),
        Judges::Couple => Some((couple(&load.delivered), "N\u{b7}mm")),
        Judges::Torque => {
            let torque = springline_course::torque::torque(phase, tooth)?;
            Some((torque.arrives_deg.abs(), "deg expressed"))
        }
        Judges::NoForce => None,
    }
}
