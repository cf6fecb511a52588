//! Staff card: today's work in one line per arch.

use crate::plan::{ArchToday, Plan, VisitToday};
use crate::{masked, wording};
use springline_course::teeth_bonded;
use springline_model::house::Task;
use springline_model::step::{ActKind, Activation, StepSource};

/// The kind of visit, in the reception's wording.
pub fn kind(task: Task) -> &'static str {
    match task {
        Task::BondUp => "Bond-up",
        Task::WireChange => "Wire change",
        Task::Review => "Review",
        Task::Repair => "Repair",
        Task::Emergency => "Emergency",
        Task::Reposition => "Brackets moved",
        Task::Coil => "Coil",
        Task::Elastics => "Elastics",
        Task::Debond => "Debond",
        Task::RetainerCheck => "Retainer check",
    }
}

pub fn lines(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    if today.visit.kind == Task::Debond {
        let which = match &today.arches[..] {
            [one] => format!("{} arch", one.arch.arch),
            _ => "both arches".to_owned(),
        };
        let retained = today.moment.retainers.is_empty();
        let retained = if retained { "" } else { " Retainers." };
        return vec![format!("Debond, {which}.{retained}")];
    }
    if today.visit.kind == Task::RetainerCheck {
        return vec!["Check the retainers.".to_owned()];
    }
    today
        .arches
        .iter()
        .map(|a| format!("{}: {}", wording::arch(a.arch.arch), line(plan, a)))
        .collect()
}

fn line(plan: &Plan<'_>, arch: &ArchToday<'_>) -> String {
    let name = |m: crate::plan::InMouth<'_>| m.state.wire.names();
    match (arch.now, arch.next) {
        (None, None) => "nothing today.".to_owned(),
        (None, Some(next)) => format!("bond up, {}{} in.", name(next), with(arch)),
        (Some(now), None) => format!("leave the {}.", name(now)),
        (Some(now), Some(next)) if !arch.expected() => {
            let change = match arch.same_wire() {
                true => "next step".to_owned(),
                false => format!("{} in", name(next)),
            };
            let when = super::test::if_words(plan, arch).replace("if ", "only if ");
            format!("check only; keep {}; {change} {when}.", name(now))
        }
        (Some(now), Some(next))
            if next.state.wire.kept || now.state.wire.same_wires(&next.state.wire) =>
        {
            let base = next.step.acts.iter().any(|a| matches!(a.kind, ActKind::Piggyback { .. }));
            let base = if base { " as the base wire" } else { "" };
            let when = super::test::if_words(plan, arch);
            format!("{} stays{base}{}, {when}.", name(next), with(arch))
        }
        (Some(now), Some(next)) => format!(
            "{} out, {} in{}, {}.",
            name(now),
            name(next),
            with(arch),
            super::test::if_words(plan, arch)
        ),
    }
}

/// " + coil + elastics": what goes in beside the wire.
fn with(arch: &ArchToday<'_>) -> String {
    let mut words: Vec<&str> = Vec::new();
    for act in arch.put_on() {
        let word = match &act.kind {
            ActKind::OpenCoil { activation: Activation::Passive, .. } => continue,
            ActKind::OpenCoil { .. } => "open coil",
            ActKind::ClosedCoil { .. } => "passive coil",
            ActKind::ClosingCoil { .. } => "closing spring",
            ActKind::Chain { .. } => "chain",
            ActKind::Piggyback { .. } => "piggyback wire",
            ActKind::Traction { .. } => "traction",
            ActKind::BiteRaisers { .. } => "bite raisers",
            ActKind::PickUp { .. } => "new bracket",
            ActKind::Reposition { .. } => "brackets moved",
            ActKind::Reduce { .. } => "IPR",
            _ => continue,
        };
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words.iter().map(|w| format!(" + {w}")).collect()
}

/// Minutes of the visit with what is only done if a test is passed early; `None` where there is no
/// such thing.
pub fn minutes_if(plan: &Plan<'_>, today: &VisitToday<'_>) -> Option<f64> {
    let early = today.arches.iter().filter(|a| a.now.is_some() && !a.expected());
    let more: f64 = early
        .filter_map(|a| Some((a, a.next?)))
        .map(|(arch, next)| {
            let acts = || next.step.acts.iter();
            let coil = acts().any(|a| {
                matches!(
                    a.kind,
                    ActKind::OpenCoil { .. }
                        | ActKind::ClosedCoil { .. }
                        | ActKind::ClosingCoil { .. }
                        | ActKind::Chain { .. }
                )
            });
            let bonds = acts().filter(|a| !teeth_bonded(a).is_empty()).count();
            let minutes = |task: Task, times: usize| plan.house().minutes_for(task) * times as f64;
            minutes(Task::WireChange, usize::from(!arch.same_wire()))
                + minutes(Task::Coil, usize::from(coil))
                + minutes(Task::Reposition, bonds)
        })
        .sum();
    (more > 0.0).then_some(today.visit.minutes + more)
}

/// The card of a later visit rests on visits that have not been.
pub fn ahead(plan: &Plan<'_>, today: &VisitToday<'_>) -> Option<String> {
    let (first, _) = plan.coming().next()?;
    (today.number > first).then(|| {
        format!(
            "Printed before visit {first}: print it again once visit {} is recorded.",
            today.number - 1
        )
    })
}

/// What is unlike the usual about the whole card: positions that are only a pattern, why the appliance comes
/// off, steps that the house sequence does not have at all.
pub fn unusual(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let mut out: Vec<String> = wording::patterns(plan.case).into_iter().collect();
    let because = plan.case.debond.as_ref().and_then(|d| d.because.as_deref());
    if let (Task::Debond, Some(because)) = (today.visit.kind, because) {
        out.push(format!("Debond because: \u{201c}{}\u{201d}.", masked(because)));
    }
    out.extend(added_steps(today));
    out.extend(noted(plan));
    out
}

/// What the doctor noted in the plan as a whole: it holds at every visit.
fn noted(plan: &Plan<'_>) -> Vec<String> {
    let of_arches = plan.case.arches.iter().flat_map(|a| &a.notes);
    let all = plan.case.notes.iter().chain(of_arches);
    all.map(|(note, _)| format!("Noted in the plan: \u{201c}{}\u{201d}", masked(note))).collect()
}

fn added_steps(today: &VisitToday<'_>) -> Vec<String> {
    today
        .arches
        .iter()
        .filter_map(|a| Some((a, a.next?)))
        .filter(|(a, next)| next.step.source == StepSource::Added && a.arch.follows.is_some())
        .map(|(a, next)| {
            format!(
                "{}: the step \u{201c}{}\u{201d} is not usual here: for this patient only.",
                wording::arch(a.arch.arch),
                next.step.name
            )
        })
        .collect()
}
