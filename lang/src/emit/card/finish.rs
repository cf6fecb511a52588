//! The end of the visit: ends of the wire, fit, elastics, what the patient is told, what comes next.

use super::{ElasticRow, EndRow, Test};
use crate::emit::plan::{ArchToday, Plan, VisitToday};
use crate::emit::words::Catalogue;
use crate::emit::{dates, own_words, say};
use crate::model::case::Elastics;
use crate::model::house::Task;
use crate::model::quantity::plain;
use crate::model::step::{ActKind, EndKind, Ends};
use crate::model::tooth::{Arch, Side};

/// Only the arches that get a new wire today.
pub fn ends(today: &VisitToday<'_>) -> Vec<EndRow> {
    if today.visit.kind == Task::Debond {
        return Vec::new();
    }
    let mut rows: Vec<EndRow> = Vec::new();
    for arch in &today.arches {
        let Some(next) = arch.next else { continue };
        let as_before = arch.now.is_some_and(|now| now.state.ends == next.state.ends);
        if arch.same_wire() && as_before {
            continue;
        }
        let ends: &Ends = &next.state.ends;
        let row = EndRow {
            arches: say::arch(arch.arch.arch).to_owned(),
            right: say::end(&ends.right.value),
            left: say::end(&ends.left.value),
            unusual: next.step.departures.iter().any(|d| &*d.what == "ends"),
        };
        match rows.last_mut() {
            Some(last)
                if last.right == row.right
                    && last.left == row.left
                    && last.unusual == row.unusual =>
            {
                "Both arches".clone_into(&mut last.arches);
            }
            _ => rows.push(row),
        }
    }
    rows
}

/// Superelastic ends spring back.
pub fn ends_note(today: &VisitToday<'_>) -> Option<&'static str> {
    let springs =
        today.arches.iter().filter(|a| !a.same_wire()).filter_map(|a| a.next).any(|next| {
            let bent = [Side::Right, Side::Left].iter().any(|s| {
                matches!(next.state.ends.of(*s).kind, EndKind::TurnedIn | EndKind::Cinched)
            });
            next.state.wire.wire.alloy.is_niti() && bent
        });
    springs.then_some(
        "NiTi springs back: heat the end before the wire goes in, or use the bending plier.",
    )
}

pub fn fit_check(today: &VisitToday<'_>) -> Vec<String> {
    // A wire that stays has passed the check before, unless a tooth is taken in now.
    let fits_anew = today.arches.iter().filter(|a| a.next.is_some()).any(|a| {
        let taken_in = |k: &ActKind| {
            matches!(k, ActKind::PickUp { .. } | ActKind::Engage { .. } | ActKind::Piggyback { .. })
        };
        !a.same_wire() || a.next.is_some_and(|n| n.step.acts.iter().any(|x| taken_in(&x.kind)))
    });
    if today.visit.kind == Task::Debond {
        return Vec::new();
    }
    if !fits_anew {
        let cut = today
            .arches
            .iter()
            .filter_map(|a| a.next)
            .any(|next| next.step.acts.iter().any(|a| matches!(a.kind, ActKind::Trim { .. })));
        return cut.then(|| "Cheek test: no end is felt.".to_owned()).into_iter().collect();
    }
    vec![
        "The wire goes in with finger pressure and every slide shuts without force.".to_owned(),
        if today.arches.iter().any(|a| a.now.is_some()) {
            "If not: old wire back in, call the doctor.".to_owned()
        } else {
            "If not: leave the wire out, call the doctor.".to_owned()
        },
        "Then: bite together, no tooth hits a bracket. Cheek test: no end is felt.".to_owned(),
    ]
}

pub fn elastics(plan: &Plan<'_>, worn: &[&Elastics]) -> Vec<ElasticRow> {
    let n = plan.notation();
    worn.iter()
        .flat_map(|e| &e.runs)
        .map(|run| {
            let teeth: Vec<String> = run.teeth.iter().map(|t| t.write(n)).collect();
            ElasticRow {
                side: say::capital(run.side.word()),
                what: say::elastic(&run.elastic),
                from_to: teeth.join(" to "),
                hours: format!("{} h a day", plain(run.hours_a_day)),
            }
        })
        .collect()
}

/// Three sentences, in the practice's own words where it has some.
pub fn tell(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let words = Catalogue::english();
    let own = |key: &str| {
        let house = plan.house().patient_texts.get(key);
        house.map_or_else(|| words.get(&format!("tell.{key}")).to_owned(), |t| own_words(t))
    };
    match today.visit.kind {
        Task::Debond => vec![own("retainer"), own("call-us")],
        Task::RetainerCheck => vec![own("retainer")],
        _ if today.arches.iter().any(|a| a.next.is_some()) => {
            vec![own("wire-stays"), own("soreness"), own("call-us")]
        }
        _ => vec![own("wire-stays"), own("call-us")],
    }
}

pub fn next(plan: &Plan<'_>, today: &VisitToday<'_>, tests: &[Test]) -> Vec<String> {
    let Some(then) = today.then else {
        return match plan.case.retention.as_ref().and_then(|r| r.check) {
            Some(every) => vec![format!("Retainer check in {}.", dates::period(every))],
            None if today.visit.kind == Task::Debond => {
                vec!["The plan names no retainer check: ask the doctor for a date.".to_owned()]
            }
            None => vec!["No further visit is planned: ask the doctor.".to_owned()],
        };
    };
    let mut out = vec![format!(
        "{} (in {}), {} min.",
        dates::long(then.date),
        dates::apart(today.visit.date, then.date),
        plain(then.minutes)
    )];
    let (from, to) = then.window;
    if from < to && to > then.date {
        out.push(format!(
            "No earlier than {}, no later than {}.",
            dates::short(from),
            dates::short(to)
        ));
    }
    let tested: Vec<Arch> = tests.iter().map(|test| test.arch).collect();
    let count = |expected: bool| {
        let here = |a: &&ArchToday<'_>| tested.contains(&a.arch.arch) && a.expected() == expected;
        today.arches.iter().filter(here).count()
    };
    if count(true) > 0 {
        out.push("If a wire had to stay: the date in its box above.".to_owned());
    }
    if count(false) > 0 {
        out.push("If a test is passed early: the date the doctor gives.".to_owned());
    }
    let stay = super::test::back(plan, today);
    if count(false) > 0 || (count(true) > 0 && stay != then.date) {
        let which = if tested.len() > 1 { "Of two dates, the earlier; write" } else { "Write" };
        out.push(format!("{which} it on the patient\u{2019}s sheet."));
    }
    out.extend(learned(today));
    out
}

/// Whose experience the day rests on, once the practice has recorded enough of its own.
fn learned(today: &VisitToday<'_>) -> Option<String> {
    let stays = today.arches.iter().filter_map(|a| a.next.or(a.now));
    let cases = stays.filter_map(|m| m.phase.passive.learned_cases).max()?;
    Some(format!("Timed by what {cases} cases of this practice have shown."))
}
