//! A crown as wide as no tooth of that kind.

use crate::prelude::*;
use springline_units::anatomy::crown_width_mm;

pub const RULE: Rule = Rule {
    code: "space/crown-out-of-range",
    severity: Severity::Warning,
    page: include_str!("crown_out_of_range.md"),
    check,
    ..Rule::PLAIN
};

/// Of the textbook's width, whose standard deviation is 6 to 8 % (value from memory); upper laterals and third molars
/// may be pegs (common practice, no source).
const LEAST: f64 = 0.75;
const LEAST_PEG: f64 = 0.5;
const MOST: f64 = 1.3;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in &context.case.arches {
        for (tooth, stand) in &arch.stands {
            let Some(width) = stand.width.map(mm) else { continue };
            let usual = crown_width_mm(*tooth);
            let peg =
                tooth.position() == 8 || (tooth.position() == 2 && tooth.arch() == Arch::Upper);
            let least = usual * if peg { LEAST_PEG } else { LEAST };
            let most = usual * MOST;
            if (least - 1e-9..=most + 1e-9).contains(&width) {
                continue;
            }
            let limit = if width < least { least } else { most };
            let message = format!(
                "The crown of {} is entered {} wide; such teeth are about {} wide.",
                words.tooth(*tooth),
                say_mm(width),
                say_mm(usual)
            );
            let place = stand.place.unwrap_or(arch.place);
            out.push(
                Finding::new(RULE.code, RULE.severity, place, message)
                    .why("Space is made and judged by it.")
                    .figure(tenth(width), tenth(limit), Unit::Mm)
                    .note("Measure it again, or leave the width out.")
                    .teeth([*tooth]),
            );
        }
    }
}
