//! Space demanded in an arch and supplied by nobody.

use crate::prelude::*;
use crate::support::account::{from_midline_mm, shortages, supplied_mm};

pub const RULE: Rule = Rule {
    code: "space/shortage-unexplained",
    severity: Severity::Warning,
    page: include_str!("shortage_unexplained.md"),
    check,
    ..Rule::PLAIN
};

const LEFT_MM: f64 = 2.0;
/// Arch length per millimetre of forward movement, mm.
const PER_FORWARD: f64 = 1.7;
/// Enamel taken off at one contact without a second thought, mm.
const ENAMEL_MM: f64 = 0.3;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let goal = context.case.goal.as_ref();
    if goal.is_some_and(|g| g.incisors_forward == Some(true)) {
        return;
    }
    for arch in &context.case.arches {
        if arch.is_unread() {
            continue;
        }
        let short = shortages(context.case, arch);
        // Crowding given for the whole arch counts where no tooth was measured.
        let crowding = arch.crowding.filter(|_| short.is_empty());
        let demanded = match crowding {
            Some((length, _)) => mm(length),
            None => short.iter().map(|s| s.short_mm()).sum(),
        };
        let by_side: f64 = [Side::Right, Side::Left]
            .into_iter()
            .map(|side| {
                let there: f64 =
                    short.iter().filter(|s| s.tooth.side() == side).map(|s| s.short_mm()).sum();
                from_midline_mm(context, arch, side).min(there)
            })
            .sum();
        let supplied = supplied_mm(arch) + by_side;
        let left = demanded - supplied;
        if left <= LEFT_MM + 1e-9 {
            continue;
        }
        let worst = short.iter().rev().max_by(|a, b| a.short_mm().total_cmp(&b.short_mm()));
        let place = match (crowding, worst) {
            (Some((_, place)), _) => place,
            (None, Some(worst)) => described(arch, worst.tooth).unwrap_or(arch.place),
            (None, None) => continue,
        };
        let forward = left / PER_FORWARD;
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            place,
            format!(
                "The {} arch is {} short ({}), and {}: the incisors come forward by about {}.",
                arch.arch,
                say_mm(demanded),
                match crowding {
                    Some(_) => "its crowding as written".to_owned(),
                    None => listed(
                        &short
                            .iter()
                            .map(|s| format!("{} {}", words.tooth(s.tooth), say_mm(s.short_mm())))
                            .collect::<Vec<_>>(),
                    ),
                },
                if supplied > 0.05 {
                    format!("only {} is planned", say_mm(supplied))
                } else {
                    "no space is planned".to_owned()
                },
                say_mm(forward)
            ),
        )
        .why("Space that is not planned comes from the incisors, wanted or not.")
        .figure(tenth(left), LEFT_MM, Unit::Mm)
        .teeth(short.iter().map(|s| s.tooth));
        let contacts = 5.0;
        let with = (left - contacts * ENAMEL_MM).max(0.0) / PER_FORWARD;
        finding = finding.note(format!(
            "With {} of IPR at five contacts: {} forward.",
            say_mm(ENAMEL_MM),
            say_mm(with)
        ));
        // Not where the goal holds them, nor where one of them can bear less than others.
        let cautioned = || context.case.arches.iter().flat_map(|a| &a.cautions);
        let held = goal.is_some_and(|g| g.incisors_forward == Some(false))
            || cautioned().any(|c| c.tooth.is_anterior());
        let fix = context.fix("state that the incisors may come forward");
        let fix = match goal.and_then(|g| g.place) {
            Some(place) => fix.add_inside(place, "incisors forward"),
            None => fix.add_before(arch.place, "goal {\n  incisors forward\n}"),
        };
        finding.fixes.extend(fix.done().filter(|_| !held));
        list.push(Candidate::new(arch.arch, left, finding));
    }
    merge_per_arch(words, list, out);
}
