//! Facts from recorded visits up to a date: problems found and not repaired.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::plan::loose_brackets::{acts_of_visit, teeth_bonded};
use crate::plan::measures::up_to;
use crate::timeline::moment::{Obligation, Observation};
use springline_model::Case;
use springline_model::case::{Done, Hygiene, Trouble};
use springline_model::step::ActKind;
use springline_units::quantity::Period;
use springline_units::tooth::Tooth;

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
            let acts = || acts_of_visit(case, seen);
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

/// A bracket that is off, or an arch without a wire, waits no longer than this; nor does a patient who missed a visit
/// (common practice, no source).
const MEND_DAYS: f64 = 14.0;

/// The day by which the patient should come because of what the last record left, or missed since.
pub(crate) fn repair_due(case: &Case) -> Option<Date> {
    let last = case.visits.iter().map(|v| v.on).max()?;
    let urgent = |o: &Obligation| {
        o.discharged.is_none()
            && matches!(o.observed, Observation::Loose(_) | Observation::NoWire(_))
    };
    let broken = obligations(case).iter().any(urgent).then_some(last);
    let missed = case.missed.iter().map(|(day, _)| *day).filter(|day| *day > last).max();
    Period::days_of(MEND_DAYS).after(missed.or(broken)?)
}

/// Number of consecutive last visits with poor hygiene. A visit without a note on hygiene is skipped.
pub(crate) fn poor_hygiene(case: &Case, day: Date) -> usize {
    let said = up_to(case, day).into_iter().rev().filter_map(|(_, v)| v.hygiene);
    said.take_while(|h| *h == Hygiene::Poor).count()
}
