//! More enamel than a contact has to give.

use std::collections::BTreeMap;

use crate::prelude::*;
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "space/enamel-too-much",
    severity: Severity::Error,
    page: include_str!("enamel_too_much.md"),
    check,
    ..Rule::PLAIN
};

const WARNS_MM: f64 = 0.5;
const STOPS_MM: f64 = 0.8;
const LOWER_INCISORS_MM: f64 = 0.3;
const TURNED_DEG: f64 = 15.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for arch in &context.case.arches {
        let mut total: BTreeMap<(Tooth, Tooth), (f64, usize, Place)> = BTreeMap::new();
        for step in arch.steps.iter().filter(|s| s.incomplete.is_none()) {
            for act in &step.acts {
                let ActKind::Reduce { amount, contacts } = &act.kind else { continue };
                for (a, b) in contacts {
                    let at = total.entry((*a.min(b), *a.max(b))).or_insert((0.0, 0, act.place));
                    at.0 += mm(*amount);
                    at.1 += 1;
                    at.2 = act.place;
                }
            }
        }
        for ((a, b), (sum, times, place)) in total {
            let lower_incisors = a.arch() == Arch::Lower && a.is_incisor() && b.is_incisor();
            let warns = if lower_incisors { LOWER_INCISORS_MM } else { WARNS_MM };
            let (severity, limit) = match sum {
                s if s > STOPS_MM + 1e-6 => (Severity::Error, STOPS_MM),
                s if s > warns + 1e-6 => (Severity::Warning, warns),
                _ => continue,
            };
            let often = if times > 1 { format!(", in {times} sessions") } else { String::new() };
            let mut finding = Finding::new(
                RULE.code,
                severity,
                place,
                format!(
                    "{} of enamel is removed between {} and {}{often}; limit at this contact {}.",
                    plain((sum * 100.0).round() / 100.0) + " mm",
                    words.tooth(a),
                    words.tooth(b),
                    plain(limit) + " mm"
                ),
            )
            .why("Enamel does not grow back.")
            .figure((sum * 100.0).round() / 100.0, limit, Unit::Mm)
            .teeth([a, b]);
            // What this last sitting may still take.
            if let Some(last) = amount_at(arch, place) {
                let left = ((warns - (sum - last)).max(0.0) * 10.0 + 1e-6).floor() / 10.0;
                let most = format!("{} mm", plain(left));
                let fix = match left > 0.0 {
                    true => context.fix(format!("reduce it to {most} here")).set_field(
                        place,
                        |line| line.holes(PlaceholderKind::Length).next(),
                        &most,
                    ),
                    false => context.fix("remove this IPR").remove(place),
                };
                finding.fixes.extend(fix.done());
            }
            list.push(Candidate::new(arch.arch, sum / limit, finding));
        }
    }
    let over = list.len();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::Reduce { contacts, .. } = &act.kind else { continue };
            let worst = contacts
                .iter()
                .map(|(a, b)| {
                    let turned = (view.pose(*a).rotated_rad - view.pose(*b).rotated_rad).abs();
                    (*a, *b, turned.to_degrees())
                })
                .max_by(|x, y| x.2.total_cmp(&y.2));
            let Some((a, b, deg)) = worst.filter(|w| w.2 > TURNED_DEG + 1e-6) else { continue };
            if list.iter().take(over).any(|c| c.arch == view.side()) {
                continue;
            }
            let finding = view
                .finding(
                    RULE.code,
                    Severity::Warning,
                    view.act_place(act),
                    format!(
                        "IPR is planned between {} and {} in {} while they are rotated {} relative to each other.",
                        words.tooth(a),
                        words.tooth(b),
                        view.step.name,
                        say_deg(deg)
                    ),
                )
                .why("On a rotated tooth the strip reduces the wrong surface and leaves a ledge.")
                .figure(deg.round(), TURNED_DEG, Unit::Deg)
                .teeth([a, b]);
            list.push(Candidate::new(view.side(), deg / TURNED_DEG, finding));
        }
    }
    merge_per_arch(words, list, out);
}

fn amount_at(arch: &springline_model::case::ArchCase, place: Place) -> Option<f64> {
    arch.steps.iter().flat_map(|s| &s.acts).find(|a| a.place == place).and_then(|a| match &a.kind {
        ActKind::Reduce { amount, .. } => Some(mm(*amount)),
        _ => None,
    })
}
