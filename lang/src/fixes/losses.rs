//! What a fix would drop from the plan: a step, the condition of a step, a goal, an extraction, the end
//! of elastics, the treatment of a tooth.

use std::collections::BTreeSet;

use springline_course::{Forecast, ToothStatus};
use springline_model::Case;
use springline_model::case::{ArchCase, Elastics, Goal, ToothState};
use springline_model::step::{ActKind, Condition, Step, Term};
use springline_units::tooth::{Arch, Tooth};

/// The first element of `before` that `after` lacks, in a few words; `None` where nothing is lost.
pub fn lost(
    before: &Case,
    after: &Case,
    course_before: Option<&Forecast>,
    course_after: Option<&Forecast>,
) -> Option<String> {
    for arch in &before.arches {
        let Some(now) = after.arch(arch.arch) else {
            return Some(format!("the {} arch", arch.arch));
        };
        let course = (course_before, course_after);
        if let Some(what) = of_arch(arch, now).or_else(|| untreated(arch, now, course)) {
            return Some(what);
        }
    }
    let goal = before.goal.as_ref().and_then(|goal| of_goal(goal, after.goal.as_ref()));
    goal.or_else(|| of_elastics(&before.elastics, &after.elastics))
        .or_else(|| of_rest(before, after))
}

fn of_arch(before: &ArchCase, after: &ArchCase) -> Option<String> {
    for step in &before.steps {
        let Some(now) = after.steps.iter().find(|s| s.name == step.name) else {
            return Some(format!("the step {}", step.name));
        };
        if let Some(what) = of_condition(&step.until.value, Some(&now.until.value)) {
            return Some(format!("{what}, for which {} waits", step.name));
        }
        if let Some(what) = of_bypasses(step, now) {
            return Some(what);
        }
        // A wire that was to go in, and goes in nowhere: its work is never done.
        let wire = &step.wire.wire.name;
        let goes_in = |s: &&Step| !s.wire.kept && s.wire.wire.name == *wire;
        if !step.wire.kept && now.wire.kept && !after.steps.iter().any(|s| goes_in(&s)) {
            return Some(format!("{wire} in {}", step.name));
        }
    }
    let taken =
        |s: &ToothState| matches!(s, ToothState::Extract { .. } | ToothState::Extracted { .. });
    let mut extractions = before.states.iter().filter(|(_, (state, _))| taken(state));
    let kept = |tooth: &Tooth| after.states.get(tooth).is_some_and(|(state, _)| taken(state));
    if let Some((tooth, _)) = extractions.find(|(tooth, _)| !kept(tooth)) {
        return Some(format!("the extraction of {tooth}"));
    }
    let bonded = before.bonded.keys().find(|t| !after.bonded.contains_key(t));
    bonded.map(|tooth| format!("the bracket of {tooth}"))
}

/// Every term of a condition must remain. A stated time may be replaced by the event it stood for.
fn of_condition(before: &Condition, after: Option<&Condition>) -> Option<String> {
    let now: &[Term] = after.map_or(&[], |c| &c.terms);
    let all = after.is_none_or(|c| c.all) || now.len() < 2;
    let same = |a: &Term, b: &Term| match (a, b) {
        (Term::Space { teeth: a, .. }, Term::Space { teeth: b, .. })
        | (Term::Within { teeth: a, .. }, Term::Within { teeth: b, .. })
        | (Term::OverTheBite { teeth: a }, Term::OverTheBite { teeth: b }) => {
            a.iter().all(|t| b.contains(t))
        }
        (Term::Gap { first: a, second: b, .. }, Term::Gap { first: c, second: d, .. }) => {
            (a, b) == (c, d) || (a, b) == (d, c)
        }
        (a, b) => std::mem::discriminant(a) == std::mem::discriminant(b),
    };
    let aims = before.terms.iter().filter(|t| !matches!(t, Term::Time { .. } | Term::Settled));
    let missing = aims.clone().find(|aim| !now.iter().any(|t| same(aim, t)));
    // One of several is enough now, where each was asked for.
    let loosened = !all && (before.all || before.terms.len() < 2) && aims.count() > 0;
    (missing.is_some() || loosened).then(|| before.text.trim_start_matches("until ").to_owned())
}

/// The condition of a bypassed tooth; an engaged one has none.
fn of_bypasses(before: &Step, after: &Step) -> Option<String> {
    let bypasses = |step: &Step| -> Vec<(Tooth, Option<Condition>)> {
        let each = step.acts.iter().filter_map(|act| match &act.kind {
            ActKind::Bypass { teeth, until, .. } => Some(teeth.iter().map(|t| (*t, until.clone()))),
            _ => None,
        });
        each.flatten().collect()
    };
    let now = bypasses(after);
    bypasses(before).into_iter().find_map(|(tooth, until)| {
        let (_, still) = now.iter().find(|(t, _)| *t == tooth)?;
        let what = of_condition(&until?, still.as_ref())?;
        Some(format!("{what}, for which {tooth} waits"))
    })
}

/// Teeth that the wire holds as the plan ends, and then no longer.
fn untreated(
    before: &ArchCase,
    after: &ArchCase,
    course: (Option<&Forecast>, Option<&Forecast>),
) -> Option<String> {
    let (had, has) = (held_last(before, course.0), held_last(after, course.1));
    let stands_fast =
        |t: &Tooth| before.states.get(t).is_some_and(|(s, _)| s.is_fixed() || s.is_absent());
    let gone = had.difference(&has).find(|t| !stands_fast(t))?;
    Some(format!("{gone} in the wire as the plan ends"))
}

fn held_last(arch: &ArchCase, course: Option<&Forecast>) -> BTreeSet<Tooth> {
    let Some(last) = arch.steps.len().checked_sub(1) else { return BTreeSet::new() };
    let state = course.and_then(|f| f.state_of_step(arch.arch, last));
    let held = |s: ToothStatus| s.is_in_wire() || s == ToothStatus::Piggyback;
    let teeth = state.into_iter().flat_map(|s| &s.teeth);
    teeth.filter(|t| held(t.status)).map(|t| t.tooth).collect()
}

fn of_goal(before: &Goal, after: Option<&Goal>) -> Option<String> {
    let Some(after) = after else { return Some("the goal".to_owned()) };
    let (a, b) = (&before.bite, &after.bite);
    let length = |l: &Option<(springline_units::quantity::Length, _)>| l.as_ref().map(|(l, _)| *l);
    let changed = [
        ("overjet", a.overjet.is_some() && a.overjet.map(|(o, _)| o) != b.overjet.map(|(o, _)| o)),
        ("overbite", a.overbite.is_some() && length(&a.overbite) != length(&b.overbite)),
        ("open bite", a.open_bite.is_some() && length(&a.open_bite) != length(&b.open_bite)),
        ("molars", a.molars.iter().any(|(side, r)| b.molars.get(side) != Some(r))),
        ("canines", a.canines.iter().any(|(side, r)| b.canines.get(side) != Some(r))),
        ("crossbite", a.crossbite.iter().any(|t| !b.crossbite.contains(t))),
        ("midline", midlines_differ(before, after)),
        (
            "teeth over the bite",
            before.over_the_bite.iter().any(|t| !after.over_the_bite.contains(t)),
        ),
        ("extraction", before.extraction.is_some() && before.extraction != after.extraction),
        (
            "incisors",
            before.incisors_forward.is_some() && before.incisors_forward != after.incisors_forward,
        ),
        ("spaces closed", before.spaces_closed && !after.spaces_closed),
    ];
    let (what, _) = changed.into_iter().find(|(_, changed)| *changed)?;
    Some(format!("the goal: {what}"))
}

fn midlines_differ(before: &Goal, after: &Goal) -> bool {
    let now = |arch: &Arch| after.bite.midlines.get(arch).map(|(midline, _)| *midline);
    before.bite.midlines.iter().any(|(arch, (midline, _))| now(arch) != Some(*midline))
}

/// Elastics, the teeth they run between, and when they end.
fn of_elastics(before: &[Elastics], after: &[Elastics]) -> Option<String> {
    let runs = |all: &[Elastics]| all.iter().map(|e| e.runs.len()).sum::<usize>();
    if after.len() < before.len() || runs(after) < runs(before) {
        return Some("elastics".to_owned());
    }
    before.iter().zip(after).find_map(|(old, new)| {
        let until = |e: &Elastics| e.until.as_ref().map(|(c, _)| c.clone());
        let ends = until(old).and_then(|c| of_condition(&c, until(new).as_ref()));
        let longest = old.longest.is_some()
            && new.longest.is_none()
            && new.until.is_none()
            && new.until_step.is_none();
        let step = old.until_step.is_some() && new.until_step.is_none() && new.until.is_none();
        let ends = ends.or_else(|| step.then(|| "the step that ends them".to_owned()));
        let what = ends.or_else(|| longest.then(|| "their longest time".to_owned()))?;
        Some(format!("the end of {} elastics: {what}", old.kind.word()))
    })
}

/// The record, the warnings about a tooth, the retainer, the day the appliance comes off.
fn of_rest(before: &Case, after: &Case) -> Option<String> {
    // Every field is named, so that a new one does not compile before it is decided here whether a fix may
    // drop it. Identity and entry may be corrected; an accept is removed by the fix of the finding about it.
    let Case {
        visits,
        missed,
        retention,
        debond,
        extras,
        notes,
        arches,
        chart: _,
        chart_place: _,
        house: _,
        doctor: _,
        start: _,
        in_place: _,
        growth: _,
        age: _,
        tooth_size: _,
        bite: _,
        goal: _,
        elastics: _,
        accepts: _,
    } = before;
    let gone = [
        ("a recorded visit", after.visits.len() < visits.len()),
        ("a missed visit", after.missed.len() < missed.len()),
        ("the retention", retention.is_some() && after.retention.is_none()),
        ("the debond", debond.is_some() && after.debond.is_none()),
        ("records", after.extras.len() < extras.len()),
        ("a note", after.notes.len() < notes.len()),
    ];
    let in_arch = |arch: &ArchCase| rest_of_arch(arch, after.arch(arch.arch)?);
    if let Some(what) = arches.iter().find_map(in_arch) {
        return Some(what);
    }
    gone.into_iter().find(|(_, gone)| *gone).map(|(what, _)| what.to_owned())
}

/// What an arch says beside its steps, teeth and extractions.
fn rest_of_arch(before: &ArchCase, after: &ArchCase) -> Option<String> {
    let ArchCase {
        hooks,
        buttons,
        cautions,
        anchorage,
        bars,
        screws,
        expander,
        exposures,
        extras,
        notes,
        reading,
        arch: _,
        place: _,
        bonded: _,
        states: _,
        stands: _,
        gaps: _,
        overlaps: _,
        midline: _,
        crowding: _,
        form: _,
        start: _,
        follows: _,
        skipped: _,
        // Taking a draft on is the one thing that ends it.
        drafted: _,
        steps: _,
        unread: _,
    } = before;
    let gone = [
        ("a hook", after.hooks.len() < hooks.len()),
        ("a button", after.buttons.len() < buttons.len()),
        ("a caution", after.cautions.len() < cautions.len()),
        ("the anchorage", anchorage.is_some() && after.anchorage.is_none()),
        ("a bar", after.bars.len() < bars.len()),
        ("the expander", expander.is_some() && after.expander.is_none()),
        ("an exposure", after.exposures.len() < exposures.len()),
        ("a mini-screw", after.screws.len() < screws.len()),
        ("what was measured from points", reading.is_some() && after.reading.is_none()),
        ("a space held or separators", after.extras.len() < extras.len()),
        ("a note", after.notes.len() < notes.len()),
    ];
    gone.into_iter().find(|(_, gone)| *gone).map(|(what, _)| what.to_owned())
}
