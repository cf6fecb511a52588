//! Second molars that should be in and are not.

use crate::prelude::*;
use crate::support::elastics::{pulls_along, strongest_g};

pub const RULE: Rule = Rule {
    code: "order/second-molar-left-out",
    severity: Severity::Warning,
    page: include_str!("second_molar_left_out.md"),
    check,
    ..Rule::PLAIN
};

const DEEP_MM: f64 = 4.0;
/// 3 oz.
const LIGHT_G: f64 = 85.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    use springline_model::case::Growth;
    let case = context.case;
    let words = context.words();
    if case.growth != Growth::Adult {
        return;
    }
    let overbite = case
        .visits
        .iter()
        .rev()
        .find_map(|v| v.bite.overbite.as_ref())
        .or(case.bite.overbite.as_ref())
        .map(|(l, _)| mm(*l));
    for arch in &case.arches {
        let pulled = case.elastics.iter().any(|e| {
            pulls_along(e.kind)
                && strongest_g(e) > LIGHT_G
                && e.runs
                    .iter()
                    .flat_map(|r| &r.teeth)
                    .any(|t| t.arch() == arch.arch && t.is_molar())
        });
        let levelled = arch.arch == Arch::Lower && overbite.is_some_and(|o| o > DEEP_MM + 1e-9);
        let still_to_come =
            context.views().iter().any(|v| v.side() == arch.arch && !v.is_in_mouth());
        if !(pulled || levelled) || !still_to_come {
            continue;
        }
        let bare: Vec<Tooth> = arch
            .bonded
            .keys()
            .filter(|t| t.position() == 6)
            .filter_map(|t| Tooth::iso(t.code() + 1))
            .filter(|t| !arch.bonded.contains_key(t) && !arch.states.contains_key(t))
            .collect();
        let six = bare.first().and_then(|t| Tooth::iso(t.code() - 1));
        let Some(bonding) = six.and_then(|t| arch.bonded.get(&t)) else { continue };
        let why = if pulled {
            "elastics pull on the last tooth"
        } else {
            "the bite is to be opened beyond it"
        };
        let mut finding = Finding::new(
            RULE.code,
            RULE.severity,
            bonding.place,
            format!("The {} arch ends at the first molars, and {why}.", arch.arch),
        )
        .why("The first molar alone tips and extrudes, and the curve is not levelled behind it.")
        .teeth(bare.iter().copied());
        finding.fixes.extend(
            context
                .fix(format!("tubes on {}", words.teeth(&bare)))
                .add_inside(
                    arch.place,
                    &format!("tubes {} with {}", words.list(&bare), bonding.bracket.name),
                )
                .done(),
        );
        out.push(finding);
    }
}
