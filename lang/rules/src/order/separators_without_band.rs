//! Separators where no band follows.

use crate::prelude::*;
use jiff::civil::Date;
use springline_model::step::Act;

pub const RULE: Rule = Rule {
    code: "order/separators-without-band",
    severity: Severity::Warning,
    page: include_str!("separators_without_band.md"),
    check,
    ..Rule::PLAIN
};

/// Separators stay in for no longer than this (7 days usual; common practice, no source).
const LONGEST_DAYS: f64 = 14.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    for arch in &context.case.arches {
        let in_steps = arch.steps.iter().flat_map(|s| &s.acts);
        let written = arch.extras.iter().chain(in_steps);
        for act in written.filter(|a| a.place.file == arch.place.file) {
            let ActKind::Separators { teeth, on } = &act.kind else { continue };
            out.extend(at_another_time(context, arch, act, *on));
            let banded = |t: &&Tooth| arch.bonded.get(t).is_some_and(|b| b.bracket.on_band);
            let bare: Vec<Tooth> = teeth.iter().filter(|t| !banded(t)).copied().collect();
            // A range over several teeth is for the bands among them.
            if bare.len() < teeth.len() || bare.is_empty() {
                continue;
            }
            let which = words.teeth(&bare);
            let message = format!("Separators are placed at {which}, and no band follows there.");
            let mut finding = Finding::new(RULE.code, RULE.severity, act.place, message)
                .why("They open contacts for a band; a tube or bracket needs none.")
                .teeth(bare.iter().copied());
            finding.fixes.extend(banded_instead(context, arch, &bare));
            finding.fixes.extend(without(context, act));
            out.push(finding);
        }
    }
}

/// Placed so early that they are lost before the band goes on, or after it has.
fn at_another_time(
    context: &RuleContext<'_>,
    arch: &springline_model::case::ArchCase,
    act: &Act,
    on: Option<Date>,
) -> Option<Finding> {
    let start = arch.start.as_ref().or(context.case.start.as_ref()).map(|(day, _)| *day)?;
    let on = on?;
    let days = springline_course::calendar::days_between(on, start);
    let in_the_arch = arch.extras.iter().any(|a| a.place == act.place);
    if !in_the_arch || (0.0..=LONGEST_DAYS).contains(&days) {
        return None;
    }
    let message = match days < 0.0 {
        true => format!("Separators are placed on {on}; the bands go on on {start}."),
        false => format!(
            "Separators are placed on {on}, {} before the bands on {start}; longest {}.",
            say_weeks(days),
            say_weeks(LONGEST_DAYS)
        ),
    };
    let finding = Finding::new(RULE.code, RULE.severity, act.place, message).why(
        "They make room within a day to a week, and fall out or slip under the gum after that.",
    );
    Some(finding.figure(weeks(days), weeks(LONGEST_DAYS), Unit::Wk))
}

fn without(context: &RuleContext<'_>, act: &Act) -> Option<springline_finding::Fix> {
    context.fix(format!("without `{}`", act.text)).remove(act.place).done()
}

/// Bands in the place of the tubes, where one statement has just these teeth.
fn banded_instead(
    context: &RuleContext<'_>,
    arch: &springline_model::case::ArchCase,
    teeth: &[Tooth],
) -> Option<springline_finding::Fix> {
    let words = context.words();
    let bonding = arch.bonded.get(teeth.first()?).filter(|b| b.bracket.is_tube)?;
    let alike: Vec<Tooth> =
        arch.bonded.iter().filter(|(_, b)| b.place == bonding.place).map(|(t, _)| *t).collect();
    let same = alike.len() == teeth.len() && alike.iter().all(|t| teeth.contains(t));
    let line = format!("banded {} with {}", words.list(teeth), bonding.bracket.name);
    same.then(|| context.fix(line.clone()).replace_statement(bonding.place, &[line]).done())
        .flatten()
}
