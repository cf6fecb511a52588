//! The movement that the plan itself asks of a tooth, against the force that such a movement bears.

use super::verdict::{insertion, passes};
use crate::prelude::*;
use springline_course::Components;
use springline_model::limits::Limits;
use springline_model::stand::{Stand, UpDown};

pub const RULE: Rule = Rule {
    code: "force/for-this-movement",
    severity: Severity::Error,
    page: include_str!("for_this_movement.md"),
    check,
    figure: Some(ToothFigure { judges: Judges::NoForce, unsaid: Unsaid::Never }),
    ..Rule::PLAIN
};

/// One requested movement: its name, its limit, and its figure.
struct RequestedMovement {
    what: &'static str,
    limit: Limit,
    value: f64,
    unit: Unit,
    /// What the plan writes, as it is written.
    written: Option<(f64, Unit)>,
}

fn limit_that_warns(limits: &Limits, limit: Limit, tooth: Tooth) -> f64 {
    limits.for_tooth(limit, tooth).value.warn
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limits = &context.case.house.limits;
    for view in context.views() {
        let Some(insertion) = insertion(&view) else { continue };
        for act in &view.step.acts {
            let ActKind::Bend { teeth, by } = &act.kind else { continue };
            // An excessive bend is reported once, by its size.
            if super::asked_at_once::is_said(&view, by) {
                continue;
            }
            for tooth in teeth {
                let Some(load) = insertion.tooth(*tooth) else { continue };
                let past = asked(by, &load.delivered).into_iter().filter_map(|a| {
                    let (severity, limit) =
                        passes(a.value, limits.for_tooth(a.limit, *tooth).value)?;
                    Some((severity, limit, a))
                });
                let worst = past.min_by(|x, y| {
                    x.0.cmp(&y.0).then((y.2.value / y.1).total_cmp(&(x.2.value / x.1)))
                });
                let Some((severity, limit, a)) = worst else { continue };
                let unit = a.unit.printed();
                let mut finding = view
                    .finding(
                        RULE.code,
                        severity,
                        view.act_place(act),
                        format!(
                            "The bend at {} in {} asks for {}: {} delivers {} {unit} in that direction; limit \
                             {} {unit}.",
                            words.tooth(*tooth),
                            view.step.name,
                            a.what,
                            view.wire().label(),
                            plain(a.value.round()),
                            plain(limit.round())
                        ),
                    )
                    .why("What a tooth tolerates depends on the direction of movement.")
                    .figure(a.value.round(), limit.round(), a.unit)
                    .teeth([*tooth]);
                if let Some((from, unit)) = a.written {
                    let warn = limit_that_warns(limits, a.limit, *tooth);
                    let now = less_now(from, a.value, warn, unit);
                    if now > 0.0 {
                        finding.fixes.extend(context.less_now(act.place, from, now, unit));
                    }
                }
                list.push(Candidate::new(view.side(), a.value / limit, finding));
            }
        }
    }
    merge_per_arch(words, list, out);
}

/// How much of a bend would be within a limit, to a tenth. The first of it does nothing: it is the play of the wire, and what
/// the teeth have moved when the force is read; from there the force goes with the bend.
fn less_now(from: f64, value: f64, warn: f64, unit: Unit) -> f64 {
    let lost = if unit == Unit::Mm { LOST_MM.min(0.5 * from) } else { 0.0 };
    ((lost + (from - lost) * warn / value) * 10.0).floor() / 10.0
}

/// 0.2 mm of movement, and about 0.05 mm of play at the tooth and at its neighbours.
const LOST_MM: f64 = 0.3;

/// The movement a bend aims at, with the component of the force in that direction.
fn asked(by: &Stand, delivered: &Components) -> Vec<RequestedMovement> {
    let g = |newtons: f64| newtons_to_grams(newtons.abs());
    let mut out = Vec::new();
    let in_mm = |l: springline_units::quantity::Length| Some((mm(l), Unit::Mm));
    let in_deg = |a: springline_units::quantity::Angle| Some((degrees(a), Unit::Deg));
    if let Some((length, way)) = by.up_down {
        let (what, limit) = match way {
            UpDown::Gingival => ("intrusion", Limit::Intrusion),
            UpDown::Occlusal => ("extrusion", Limit::Extrusion),
        };
        let (value, written) = (g(delivered.gingival_n), in_mm(length.length()));
        out.push(RequestedMovement { what, limit, value, unit: Unit::G, written });
    }
    if let Some((length, _)) = by.in_out {
        let (value, written) = (g(delivered.lingual_n), in_mm(length.length()));
        out.push(RequestedMovement {
            what: "tipping",
            limit: Limit::Tipping,
            value,
            unit: Unit::G,
            written,
        });
    }
    if let Some((angle, _)) = by.rotated {
        let (value, written) = (delivered.rotation_nmm.abs(), in_deg(angle.angle()));
        out.push(RequestedMovement {
            what: "rotation",
            limit: Limit::Couple,
            value,
            unit: Unit::Nmm,
            written,
        });
    }
    if let Some((angle, _)) = by.tipped {
        let (value, written) = (delivered.tip_nmm.abs(), in_deg(angle));
        let what = "uprighting";
        out.push(RequestedMovement { what, limit: Limit::Couple, value, unit: Unit::Nmm, written });
    }
    out
}
