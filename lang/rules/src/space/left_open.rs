//! Spaces that are to be closed and are forecast open when the appliance comes off.

use crate::prelude::*;
use springline_course::SpaceAt;
use springline_model::case::{ArchCase, ToothState};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "space/left-open",
    severity: Severity::Warning,
    page: include_str!("left_open.md"),
    check,
    ..Rule::PLAIN
};

/// A gap this small counts as closed, mm (common practice, no source).
const CLOSED_MM: f64 = 0.3;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let Some(goal) = case.goal.as_ref().filter(|g| g.spaces_closed) else { return };
    let Some((place, end)) = goal.place.zip(context.forecast.timeline.debond()) else { return };
    let words = context.words();
    // Where nothing in the plan closes any, that is told of elsewhere.
    let closes = case
        .arches
        .iter()
        .flat_map(|a| &a.steps)
        .flat_map(|s| &s.acts)
        .any(|act| matches!(act.kind, ActKind::ClosingCoil { .. } | ActKind::Chain { .. }));
    if !closes || case.arches.iter().any(|a| a.is_unread()) {
        return;
    }
    let mut open: Vec<(ToClose, f64)> = Vec::new();
    for arch in &case.arches {
        let spaces = end.arch(arch.arch).and_then(|a| a.arrives.as_ref()).map(|m| &m.spaces);
        let left = spaces.into_iter().flatten().filter_map(|space| {
            let SpaceAt::Between(a, b) = space.at else { return None };
            let gap = ToClose::of(arch, (a, b)).filter(|g| !is_kept(arch, g))?;
            let length = space.length_mm.value;
            (length > CLOSED_MM + 1e-9).then_some((gap, length))
        });
        open.extend(left);
    }
    open.sort_by(|a, b| b.1.total_cmp(&a.1));
    let Some((gap, length)) = open.first() else { return };
    let between = |g: &ToClose| format!("{} and {}", words.tooth(g.first), words.tooth(g.second));
    let message = format!(
        "Spaces are to be closed, and between {} {} are forecast to be left at the debond on {}.",
        between(gap),
        say_mm(*length),
        end.date
    );
    let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
        .related(gap.place, "this gap")
        .why("What is open when the appliance comes off stays open.")
        .figure(tenth(*length), CLOSED_MM, Unit::Mm)
        .teeth([gap.first, gap.second]);
    for (gap, length) in open.iter().skip(1).take(4) {
        finding = finding.note(format!("Between {}: {}.", between(gap), say_mm(*length)));
    }
    out.push(finding);
}

/// A gap that the case writes, or where it has a tooth taken out.
#[derive(Clone, Copy)]
struct ToClose {
    first: Tooth,
    second: Tooth,
    place: Place,
}

impl ToClose {
    fn of(arch: &ArchCase, (a, b): (Tooth, Tooth)) -> Option<ToClose> {
        let written = arch
            .gaps
            .iter()
            .find(|g| (g.first, g.second) == (a, b) || (g.first, g.second) == (b, a));
        let (from, to) = (a.place().min(b.place()), a.place().max(b.place()));
        let mut out = arch.states.iter().filter(|(t, (s, _))| {
            let taken_out = matches!(s, ToothState::Extract { .. } | ToothState::Extracted { .. });
            taken_out && from < t.place() && t.place() < to
        });
        let place =
            written.map(|g| g.place).or_else(|| out.next().map(|(_, (_, place))| *place))?;
        Some(ToClose { first: a, second: b, place })
    }
}

/// Kept for a later tooth, or with an implant in it.
fn is_kept(arch: &ArchCase, gap: &ToClose) -> bool {
    let inside = |t: &Tooth| {
        let (a, b) =
            (gap.first.place().min(gap.second.place()), gap.first.place().max(gap.second.place()));
        a < t.place() && t.place() < b
    };
    let acts = arch.extras.iter().chain(arch.steps.iter().flat_map(|s| &s.acts));
    acts.filter_map(|act| match &act.kind {
        ActKind::Hold { teeth, .. } => Some(teeth),
        _ => None,
    })
    .flatten()
    .any(inside)
}
