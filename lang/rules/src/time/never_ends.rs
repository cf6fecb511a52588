//! A step whose end cannot come.

use crate::prelude::*;
use crate::support::midline::{MidlineTarget, moves_midline, wanted};
use crate::support::role::purpose;
use springline_course::{COIL_SPENT, EndReason, NOT_EXPOSED, ToothStatus};
use springline_model::case::ElasticsKind;
use springline_model::step::Term;
use springline_units::quantity::Period;

pub const RULE: Rule = Rule {
    code: "time/never-ends",
    severity: Severity::Warning,
    page: include_str!("never_ends.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let until = &view.step.until.value;
        let dead: Vec<bool> =
            until.terms.iter().map(|t| nothing_brings(context, &view, t)).collect();
        let by_plan = if until.all {
            dead.iter().any(|d| *d)
        } else {
            !dead.is_empty() && dead.iter().all(|d| *d)
        };
        let refused = view.phase.is_some_and(|p| p.insertion.refused.is_some());
        let cinched = [Side::Right, Side::Left]
            .into_iter()
            .any(|s| view.step.ends.of(s).kind == springline_model::step::EndKind::Cinched);
        let predicted = match view.phase.map(|p| &p.end.reason) {
            // A refused wire, a tight end, missing space and an inert coil are the causes, reported
            // elsewhere.
            _ if refused || cinched || !is_predictable(context, &view) => None,
            // A coil that is spent has a finding of its own.
            Some(EndReason::Never { why }) if why == COIL_SPENT => None,
            // So has a tooth that nobody has dated the exposure of.
            Some(EndReason::Never { why }) if why.ends_with(NOT_EXPOSED) => None,
            Some(EndReason::Never { why }) => Some(why.as_str()),
            _ => None,
        };
        if !by_plan && predicted.is_none() {
            list.extend(comes_late(&view));
            continue;
        }
        let why = match (by_plan, predicted) {
            (true, _) => "nothing in the plan brings that about".to_owned(),
            (false, Some(why)) => why.to_owned(),
            (false, None) => continue,
        };
        let finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.clause_place(view.step.until.place),
                format!(
                    "{} waits until {}: {why}.",
                    view.step.name,
                    until.text.trim_start_matches("until ")
                ),
            )
            .why("Every visit would be recorded as `not yet` while nothing is happening.");
        // The bite is one: both arches wait for it, and one of them says so.
        let of_bite = |t: &Term| matches!(t, Term::Overjet { .. } | Term::Overbite { .. });
        let said = |c: &Candidate| c.finding.message == finding.message;
        if until.terms.iter().all(of_bite) && list.iter().any(said) {
            continue;
        }
        list.push(Candidate::new(view.side(), 1.0, finding));
    }
    merge_per_arch(context.words(), list, out);
}

/// What a step waits for is forecast, but so late that the plan itself is in doubt.
fn comes_late(view: &StepView<'_>) -> Option<Candidate> {
    let phase = view.phase?;
    let flexible = matches!(purpose(view), StepKind::Align | StepKind::Level);
    let (text, latest, severity) = match &phase.end.reason {
        EndReason::Measure { text } => (text.as_str(), LATEST_DAYS, RULE.severity),
        // The slow end of a wire's work is the least certain of a forecast, so this is a hint.
        EndReason::Passive if flexible && !view.is_in_mouth() => {
            ("passive", LONGEST_WIRE_DAYS, Severity::Advice)
        }
        _ => return None,
    };
    let days = phase.end.predicted.as_ref()?.median_days;
    if days <= latest {
        return None;
    }
    let by = phase.date_in.and_then(|day| Period::days_of(days.round()).after(day));
    let by = by.map_or(String::new(), |day| format!(", by {day}"));
    let message = format!(
        "{} waits until {}, which is forecast after {}{by}; longest {}.",
        view.step.name,
        text.trim_start_matches("until "),
        say_weeks(days),
        say_weeks(latest)
    );
    let place = view.clause_place(view.step.until.place);
    let finding = view
        .finding(RULE.code, severity, place, message)
        .why("So long a wait is a plan that does not work.")
        .figure(weeks(days), weeks(latest), Unit::Wk);
    Some(Candidate::new(view.side(), days / latest, finding))
}

/// Longer than a year no step waits for one measure (common practice, no source).
const LATEST_DAYS: f64 = 365.0;
/// Nor one aligning or levelling wire for half a year to be passive: a heavier one brings its teeth in sooner (common
/// practice, no source).
const LONGEST_WIRE_DAYS: f64 = 26.0 * 7.0;

/// The course's own word counts only for what it computes: spaces, gaps, overjet, overbite, and wires going
/// passive.
fn is_predictable(context: &RuleContext<'_>, view: &StepView<'_>) -> bool {
    use crate::support::account::shortages;
    use springline_model::step::Activation;
    let passive_coil = view.acts().any(
        |a| matches!(&a.kind, ActKind::OpenCoil { activation, .. } if *activation == Activation::Passive),
    );
    view.step.until.terms.iter().all(|t| match t {
        Term::Space { .. } | Term::Gap { .. } => !passive_coil,
        Term::Passive => shortages(context.case, view.arch).is_empty(),
        Term::Time { .. } | Term::Decided | Term::Settled => true,
        // Only where it is known how the bite stands.
        Term::Overjet { .. } => context.bite().overjet_mm.is_some(),
        Term::Overbite { .. } => context.bite().overbite_mm.is_some(),
        // The least force that the law needs leaves a tooth half a millimetre short of where chairs see it come.
        Term::Within { .. } | Term::OverTheBite { .. } => false,
        Term::Midline { .. } => false,
    })
}

/// No act of the plan can bring this term about, and it does not hold yet.
fn nothing_brings(context: &RuleContext<'_>, view: &StepView<'_>, term: &Term) -> bool {
    let case = context.case;
    let acts = || view.acts();
    // Worn in this step: a later set brings nothing about now.
    let worn = context.forecast.timeline.elastics_in(view.side(), view.index);
    let elastics = |kinds: &[ElasticsKind]| {
        worn.iter().filter_map(|i| case.elastics.get(*i)).any(|e| kinds.contains(&e.kind))
    };
    match term {
        Term::Overjet { overjet } => {
            let Some(now) = context.bite().overjet_mm.map(|o| o.value) else { return false };
            // A small overjet grows as the teeth line up; a reverse one does not come right of itself.
            let (down, up) = (overjet.mm() < now - 1e-9, now < 0.0 && overjet.mm() > now + 1e-9);
            let closing = acts()
                .any(|a| matches!(a.kind, ActKind::ClosingCoil { .. } | ActKind::Chain { .. }));
            (down || up)
                && !closing
                && !elastics(&[ElasticsKind::Class2, ElasticsKind::Class3, ElasticsKind::Diagonal])
        }
        Term::Gap { length, first, second } => {
            // Neighbours without a written gap are adjacent.
            let beside = first.place().abs_diff(second.place()) == 1;
            let written = view.mouth.gap_mm(*first, *second);
            let Some(now) = written.or(beside.then_some(0.0)) else { return false };
            if mm(*length) > now {
                // A pull at one of the two may open it without a coil: the forecast says whether so far.
                let comes =
                    view.phase.is_some_and(|p| !matches!(p.end.reason, EndReason::Never { .. }));
                let over = |a: &Act| opens_over(a, *first, *second);
                let coils = |a: &Act| matches!(a.kind, ActKind::OpenCoil { .. });
                !acts().any(coils) || !comes && !acts().any(over)
            } else {
                !acts().any(|a| {
                    matches!(
                        a.kind,
                        ActKind::ClosingCoil { .. }
                            | ActKind::Chain { .. }
                            | ActKind::Laceback { .. }
                    )
                })
            }
        }
        Term::Overbite { length } => {
            let now = context.bite().overbite_mm.map(|o| o.value);
            let vertical = elastics(&[ElasticsKind::Triangle, ElasticsKind::Box]);
            now.is_some_and(|now| mm(*length) > now + 1e-9) && !vertical
        }
        Term::Midline { arch, .. } => {
            let arch = case.arch(*arch);
            arch.is_some_and(|arch| {
                matches!(wanted(context, arch), MidlineTarget::Go(..))
                    && !moves_midline(context, arch.arch)
            })
        }
        Term::Within { teeth, .. } => teeth.iter().any(|t| nothing_moves(view, *t)),
        Term::OverTheBite { teeth } => {
            let open = teeth.iter().filter(|t| !context.bite().over_the_bite.contains(t));
            let mut here = open.filter(|t| t.arch() == view.side());
            !elastics(&[ElasticsKind::Cross]) && here.any(|t| nothing_moves(view, *t))
        }
        // The space of a tooth that is in the wire is its own: nothing makes it.
        Term::Space { teeth, .. } => {
            let mut here = teeth.iter().filter(|t| t.arch() == view.side());
            here.any(|t| view.is_in_wire(*t))
        }
        Term::Passive | Term::Decided | Term::Settled | Term::Time { .. } => false,
    }
}

/// A coil that pushes the two apart.
fn opens_over(act: &Act, first: Tooth, second: Tooth) -> bool {
    let ends = |a: Tooth, b: Tooth| (a.place().min(b.place()), a.place().max(b.place()));
    let (right, left) = ends(first, second);
    matches!(&act.kind, ActKind::OpenCoil { first, second, .. }
        if ends(*first, *second).0 <= right && left <= ends(*first, *second).1)
}

/// A tooth of this arch that neither the wire nor a light one over it holds, nor comes to hold in this step.
fn nothing_moves(view: &StepView<'_>, tooth: Tooth) -> bool {
    let status = view.state.status(tooth);
    let waits = view.acts().any(|act| match &act.kind {
        ActKind::Bypass { teeth, until: Some(_), .. } => teeth.contains(&tooth),
        // Traction brings it.
        ActKind::Traction { teeth, .. } => teeth.contains(&tooth),
        _ => false,
    });
    tooth.arch() == view.side()
        && !status.is_in_wire()
        && status != ToothStatus::Piggyback
        && !waits
}
