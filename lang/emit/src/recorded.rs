//! Facts from recorded visits up to a date: brackets that are loose and not rebonded, measurements
//! reached.

use std::collections::BTreeMap;

use jiff::civil::Date;

use springline_model::Case;
use springline_model::case::{ArchSeen, Done, Hygiene, Trouble, Visit};
use springline_model::step::{Act, ActKind, Condition, Term};
use springline_units::quantity::mm;
use springline_units::tooth::Tooth;

/// Visits up to a day, earliest first.
fn up_to(case: &Case, day: Date) -> Vec<&Visit> {
    let mut visits: Vec<&Visit> = case.visits.iter().filter(|v| v.on <= day).collect();
    visits.sort_by_key(|v| v.on);
    visits
}

/// Teeth whose bracket was recorded loose and not put back, with the day of that record.
pub fn loose(case: &Case, day: Date) -> BTreeMap<Tooth, Date> {
    let mut out = BTreeMap::new();
    for visit in up_to(case, day) {
        for (trouble, _) in &visit.troubles {
            if let Trouble::Loose { teeth } = trouble {
                out.extend(teeth.iter().map(|t| (*t, visit.on)));
            }
        }
        for seen in &visit.arches {
            let begun = acts_of_begun_step(case, seen).into_iter().flatten();
            for tooth in seen.acts.iter().chain(begun).flat_map(teeth_bonded) {
                out.remove(&tooth);
            }
        }
    }
    out
}

/// The acts of the step that a visit began.
fn acts_of_begun_step<'c>(case: &'c Case, seen: &ArchSeen) -> Option<&'c [Act]> {
    let Some(Done::Now { step, .. }) = &seen.done else { return None };
    let step = case.arch(seen.arch)?.steps.iter().find(|s| s.name == *step)?;
    Some(&step.acts)
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

/// How many of the last visits in a row found the cleaning poor. A visit that says nothing of it
/// ends no row.
pub fn poor_hygiene(case: &Case, day: Date) -> usize {
    let said = up_to(case, day).into_iter().rev().filter_map(|v| v.hygiene);
    said.take_while(|h| *h == Hygiene::Poor).count()
}

/// Whether the records show that a condition is met; only what is measured counts.
pub fn is_met(case: &Case, condition: &Condition, day: Date) -> bool {
    let holds = |term: &Term| reached(case, term, day);
    match condition.terms.as_slice() {
        [] => false,
        terms if condition.all => terms.iter().all(holds),
        terms => terms.iter().any(holds),
    }
}

fn reached(case: &Case, term: &Term, day: Date) -> bool {
    let visits = up_to(case, day);
    match term {
        Term::Overjet { overjet } => {
            let start = case.bite.overjet.map(|(jet, _)| jet.mm());
            let last = visits.iter().filter_map(|v| Some(v.bite.overjet?.0.mm())).next_back();
            passed(start, last, overjet.mm())
        }
        Term::Overbite { length } => {
            // An open bite is an overbite under nothing.
            let start = case.bite.overbite.or(case.bite.open_bite.map(|(l, at)| (-l, at)));
            let start = start.map(|(l, _)| mm(l));
            let last = |v: &&Visit| match (v.bite.overbite, v.bite.open_bite) {
                (Some((l, _)), _) => Some(mm(l)),
                (None, Some((l, _))) => Some(-mm(l)),
                (None, None) => None,
            };
            passed(start, visits.iter().filter_map(last).next_back(), mm(*length))
        }
        Term::OverTheBite { teeth } => {
            teeth.iter().all(|t| visits.iter().any(|v| v.over_the_bite.contains(t)))
        }
        Term::Space { length, teeth } if !teeth.is_empty() => teeth.iter().all(|t| {
            let last = visits.iter().filter_map(|v| v.stands.get(t)?.0.space).next_back();
            last.is_some_and(|l| mm(l) >= mm(*length) - 0.05)
        }),
        Term::Gap { length, first, second } => {
            let here = |g: &springline_model::case::Gap| {
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

/// The last measure has come to the aim from the side on which it began.
fn passed(start: Option<f64>, last: Option<f64>, aim: f64) -> bool {
    let Some(last) = last else { return false };
    match start {
        Some(start) if start >= aim => last <= aim,
        Some(_) => last >= aim,
        None => (last - aim).abs() < 0.25,
    }
}
