//! Facts from recorded visits up to a date: problems found and not repaired, measurements reached.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::timeline::moment::{Obligation, Observation};
use springline_model::Case;
use springline_model::case::{ArchSeen, Done, Gap, Hygiene, Trouble, Visit};
use springline_model::step::{Act, ActKind, Condition, Term};
use springline_units::quantity::mm;
use springline_units::tooth::Tooth;

/// Visits up to a day with their index in the case, earliest first.
pub(crate) fn up_to(case: &Case, day: Date) -> Vec<(usize, &Visit)> {
    let mut visits: Vec<(usize, &Visit)> =
        case.visits.iter().enumerate().filter(|(_, v)| v.on <= day).collect();
    visits.sort_by_key(|(_, v)| v.on);
    visits
}

/// Teeth that get a bracket by this.
pub fn teeth_bonded(act: &Act) -> Vec<Tooth> {
    match &act.kind {
        ActKind::Rebond { teeth, .. }
        | ActKind::Reposition { teeth, .. }
        | ActKind::PickUp { teeth, .. } => teeth.clone(),
        _ => Vec::new(),
    }
}

/// The acts of the step that a visit began.
fn acts_of_begun_step<'c>(case: &'c Case, seen: &ArchSeen) -> &'c [Act] {
    let Some(Done::Now { step, .. }) = &seen.done else { return &[] };
    let arch = case.arch(seen.arch);
    let step = arch.and_then(|a| a.steps.iter().find(|s| s.name == *step));
    step.map_or(&[], |s| s.acts.as_slice())
}

/// Every recorded breakage, with the date of its repair where one is recorded.
///
/// A bracket is repaired when it is bonded, repositioned or picked up again; a stop when one is placed
/// there or another wire is inserted; an arch has a wire again when a step begins. Other problems (wire
/// out, poking, slide open) count as repaired when a later record of that arch does not repeat them.
pub(crate) fn obligations(case: &Case) -> Vec<Obligation> {
    let mut all: Vec<Obligation> = Vec::new();
    for (index, visit) in up_to(case, Date::MAX) {
        let found: Vec<Observation> = visit.troubles.iter().flat_map(|(t, _)| found(t)).collect();
        // One fault is open once: found again, the later record takes the place of the earlier.
        let again = |o: &&mut Obligation| o.discharged.is_none() && found.contains(&o.observed);
        all.iter_mut().filter(again).for_each(|o| o.discharged = Some(visit.on));
        all.extend(found.iter().map(|observed| Obligation {
            observed: *observed,
            since: visit.on,
            visit: index,
            discharged: None,
        }));
        for seen in &visit.arches {
            let acts = || seen.acts.iter().chain(acts_of_begun_step(case, seen));
            let new_wire = matches!(seen.done, Some(Done::Now { .. }));
            for open in all.iter_mut().filter(|o| o.discharged.is_none()) {
                let mended = match open.observed {
                    Observation::Loose(tooth) => acts().any(|a| teeth_bonded(a).contains(&tooth)),
                    Observation::LostStop(spot) => {
                        spot.tooth.arch() == seen.arch
                            && (new_wire && open.visit != index
                                || acts().any(|a| {
                                    matches!(&a.kind, ActKind::Stop { spots } if spots.contains(&spot))
                                }))
                    }
                    Observation::NoWire(arch) => arch == seen.arch && new_wire,
                    Observation::Out(tooth)
                    | Observation::Poking(tooth)
                    | Observation::SlideOpen(tooth) => {
                        tooth.arch() == seen.arch && open.visit != index
                    }
                };
                if mended {
                    open.discharged = Some(visit.on);
                }
            }
            if seen.done == Some(Done::Out) {
                let observed = Observation::NoWire(seen.arch);
                all.push(Obligation { observed, since: visit.on, visit: index, discharged: None });
            }
        }
    }
    all
}

fn found(trouble: &Trouble) -> Vec<Observation> {
    let each =
        |teeth: &[Tooth], of: fn(Tooth) -> Observation| teeth.iter().copied().map(of).collect();
    match trouble {
        Trouble::Loose { teeth } => each(teeth, Observation::Loose),
        Trouble::Out { teeth } => each(teeth, Observation::Out),
        Trouble::Poking { teeth } => each(teeth, Observation::Poking),
        Trouble::SlideOpen { teeth } => each(teeth, Observation::SlideOpen),
        Trouble::LostStop { spots } => spots.iter().copied().map(Observation::LostStop).collect(),
    }
}

/// Teeth whose bracket is off at the end of that day, with the day of that record.
pub(crate) fn loose(open: &[Obligation], day: Date) -> BTreeMap<Tooth, Date> {
    let loose = |o: &Obligation| match o.observed {
        Observation::Loose(tooth) => Some((tooth, o.since)),
        _ => None,
    };
    open.iter().filter(|o| o.is_open_on(day)).filter_map(loose).collect()
}

/// Number of consecutive last visits with poor hygiene. A visit without a note on hygiene is skipped.
pub(crate) fn poor_hygiene(case: &Case, day: Date) -> usize {
    let said = up_to(case, day).into_iter().rev().filter_map(|(_, v)| v.hygiene);
    said.take_while(|h| *h == Hygiene::Poor).count()
}

/// Whether the records show by a day that a condition is met; only what is measured counts.
pub(crate) fn is_met(case: &Case, condition: &Condition, day: Date) -> bool {
    let holds = |term: &Term| reached(case, term, day);
    match condition.terms.as_slice() {
        [] => false,
        terms if condition.all => terms.iter().all(holds),
        terms => terms.iter().any(holds),
    }
}

pub(crate) fn reached(case: &Case, term: &Term, day: Date) -> bool {
    let visits: Vec<&Visit> = up_to(case, day).into_iter().map(|(_, v)| v).collect();
    match term {
        Term::Overjet { overjet } => {
            let start = case.bite.overjet.map(|(jet, _)| jet.mm());
            let last = visits.iter().filter_map(|v| Some(v.bite.overjet?.0.mm())).next_back();
            passed(start, last, overjet.mm())
        }
        Term::Overbite { length } => {
            let last = visits.iter().filter_map(|v| overbite_mm(&v.bite)).next_back();
            passed(overbite_mm(&case.bite), last, mm(*length))
        }
        Term::OverTheBite { teeth } => {
            teeth.iter().all(|t| visits.iter().any(|v| v.over_the_bite.contains(t)))
        }
        Term::Space { length, teeth } if !teeth.is_empty() => teeth.iter().all(|t| {
            let last = visits.iter().filter_map(|v| v.stands.get(t)?.0.space).next_back();
            last.is_some_and(|l| mm(l) >= mm(*length) - 0.05)
        }),
        Term::Gap { length, first, second } => {
            let here = |g: &Gap| {
                (g.first == *first && g.second == *second)
                    || (g.first == *second && g.second == *first)
            };
            let start = case
                .arch(first.arch())
                .and_then(|a| a.gaps.iter().find(|g| here(g)))
                .map(|g| mm(g.length));
            let last = visits.iter().filter_map(|v| v.gaps.iter().rfind(|g| here(g))).next_back();
            passed(start, last.map(|g| mm(g.length)), mm(*length))
        }
        _ => false,
    }
}

/// An open bite is an overbite under nothing.
pub(crate) fn overbite_mm(bite: &springline_model::case::Bite) -> Option<f64> {
    match (bite.overbite, bite.open_bite) {
        (Some((l, _)), _) => Some(mm(l)),
        (None, Some((l, _))) => Some(-mm(l)),
        (None, None) => None,
    }
}

/// The last measure has come to the aim from the side on which it began.
pub(crate) fn passed(start: Option<f64>, last: Option<f64>, aim: f64) -> bool {
    let Some(last) = last else { return false };
    match start {
        Some(start) if start >= aim => last <= aim,
        Some(_) => last >= aim,
        None => (last - aim).abs() < 0.25,
    }
}
