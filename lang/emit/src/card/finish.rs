//! Staff card: end of the visit, with fit, elastics, advice to the patient and the next visit.

use super::{ElasticRow, Test, wire_left_in, wire_out};
use crate::elastics_today::WornIf;
use crate::patient_texts::Catalogue;
use crate::plan::{ArchToday, Plan, VisitToday};
use crate::{dates, masked, wording};
use springline_course::{ElasticsRemoval, RemovalReason};
use springline_model::case::Elastics;
use springline_model::house::Task;
use springline_model::step::ActKind;
use springline_units::quantity::plain;
use springline_units::tooth::Arch;

pub fn fit_check(today: &VisitToday<'_>) -> Vec<String> {
    if today.visit.kind == Task::Debond {
        return Vec::new();
    }
    // A wire that stays has passed the check before, unless it goes out or a tooth is taken in now.
    let fits_anew = |a: &ArchToday<'_>| {
        let taken_in = |k: &ActKind| {
            matches!(k, ActKind::PickUp { .. } | ActKind::Engage { .. } | ActKind::Piggyback { .. })
        };
        let next = a.next.is_some_and(|next| {
            !a.same_wire()
                || wire_out::out_and_in(a)
                || next.step.acts.iter().any(|x| taken_in(&x.kind))
        });
        next || wire_left_in::goes_out(a)
    };
    if !today.arches.iter().any(fits_anew) {
        let trimmed = |a: &ArchToday<'_>| {
            let acts = a.next.into_iter().flat_map(|next| &next.step.acts);
            acts.into_iter().any(|x| matches!(x.kind, ActKind::Trim { .. }))
        };
        let cut = today.arches.iter().any(|a| trimmed(a) || wire_left_in::cuts_ends(a));
        return cut.then(|| "Cheek test: no end is felt.".to_owned()).into_iter().collect();
    }
    let other_wire = |a: &ArchToday<'_>| a.now.is_some() && a.next.is_some() && !wire_out::stays(a);
    vec![
        match today.is_ligated() {
            true => "Wire in with finger pressure, every ligature goes on without force.",
            false => "Wire in with finger pressure, every slide closes without force.",
        }
        .to_owned(),
        if today.arches.iter().any(other_wire) {
            "If not: old wire back in, call the doctor.".to_owned()
        } else {
            "If not: leave the wire out, call the doctor.".to_owned()
        },
        "Then: bite together, no bracket is hit; cheek test, no end is felt.".to_owned(),
    ]
}

pub fn elastics(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<ElasticRow> {
    let n = plan.notation();
    let worn = today.elastics_today(plan).into_iter();
    let worn = worn.filter_map(|e| plan.case.elastics.get(e.index).map(|block| (e, block)));
    let rows = worn.flat_map(|(here, block)| {
        let until = until(plan, here.index, block);
        let from = match &here.worn {
            WornIf::UnlessMet => ", unless off today".to_owned(),
            WornIf::Passed(gates) => format!(", from today if {}", today.passed(gates)),
            WornIf::NotPassed(gates) => format!(", as before unless {}", today.passed(gates)),
            WornIf::Always if here.new => ", from today".to_owned(),
            WornIf::Always => String::new(),
        };
        let last = today.last_day_of(plan, here.index).filter(|_| !here.new);
        let from = match last {
            Some(day) => format!("{from}; the last day is {}", dates::long(day)),
            None => from,
        };
        block.runs.iter().map(move |run| {
            let teeth: Vec<String> = run.teeth.iter().map(|t| t.write(n)).collect();
            ElasticRow {
                side: springline_text::capital(run.side.word()),
                what: wording::elastic(&run.elastic),
                from_to: teeth.join(" to "),
                hours: format!("{} h per day, new each day{from}", plain(run.hours_a_day)),
                until: until.clone(),
            }
        })
    });
    rows.collect()
}

/// What ends them: a measure, a day, or the doctor.
fn until(plan: &Plan<'_>, index: usize, elastics: &Elastics) -> String {
    let measure =
        elastics.until.as_ref().map(|(c, _)| super::condition::condition_text(c, plan.notation()));
    let life = plan.forecast.timeline.elastics().get(index).filter(|life| life.longest_said);
    let last = life.and_then(|life| life.last_day).map(dates::long);
    let ends_by = |reason: fn(&RemovalReason) -> bool| {
        plan.forecast.timeline.visits().iter().find(|v| {
            let ends = |e: &ElasticsRemoval| e.block == index && reason(&e.reason);
            v.elastics_off.iter().any(ends)
        })
    };
    let replaced = ends_by(|reason| matches!(reason, RemovalReason::ReplacedBy(_)));
    let step = elastics.until_step.as_ref().map(|(name, _)| {
        let begins = ends_by(|reason| matches!(reason, RemovalReason::StepBegins));
        let about = begins.map(|v| format!(", about {}", dates::long(v.date)));
        format!("the step {name} begins{}", about.unwrap_or_default())
    });
    let aim = measure.or(step);
    if let Some(visit) = replaced {
        let then = format!("new ones take their place, about {}", dates::long(visit.date));
        return aim.map_or(then.clone(), |aim| format!("{aim}, or {then}"));
    }
    match (aim, last) {
        (Some(aim), Some(day)) => format!("{aim}, or {day} at the latest"),
        (Some(aim), None) => aim,
        (None, Some(day)) => day,
        (None, None) => "the doctor says stop".to_owned(),
    }
}

/// Two blocks that hang on the same hooks: only the doctor knows whether both are meant.
pub fn elastics_doubt(plan: &Plan<'_>, worn: &[&Elastics]) -> Option<String> {
    let runs: Vec<_> = worn.iter().flat_map(|e| &e.runs).collect();
    let twice = runs.iter().enumerate().find_map(|(i, run)| {
        runs[i + 1..].iter().any(|other| other.teeth == run.teeth).then_some(run)
    })?;
    let teeth: Vec<String> = twice.teeth.iter().map(|t| t.write(plan.notation())).collect();
    Some(format!(
        "Two elastics on the same hooks ({}): ask the doctor which is worn. Hand out one.",
        teeth.join(" to ")
    ))
}

/// Three sentences, in the practice's own words where it has some.
pub fn wire_end_sentences(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let words = Catalogue::english();
    // The card is in English, whatever the patient reads.
    let own = |key: &str| {
        let own = plan.house().patient_text(key, words.language());
        own.map_or_else(|| words.get(&format!("tell.{key}")).to_owned(), masked)
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
        if !matches!(today.visit.kind, Task::Debond | Task::RetainerCheck) {
            let who = plan.case.doctor.as_deref().map_or("The doctor".to_owned(), masked);
            return vec![format!(
                "Nothing is dated after this visit: what the plan waits for is not foreseen. {who} decides, and \
                 gives the next date."
            )];
        }
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
    let house = plan.house();
    let (from, to) =
        (dates::next_open(house, then.window.0), dates::last_open(house, then.window.1));
    if from < to && to > then.date {
        let earlier = match from < then.date {
            true => format!("No earlier than {}. ", dates::long(from)),
            false => String::new(),
        };
        out.push(format!("{earlier}No later than {}.", dates::long(to)));
    }
    let tested: Vec<Arch> = tests.iter().map(|test| test.arch).collect();
    let count = |expected: bool| {
        let here = |a: &&ArchToday<'_>| tested.contains(&a.arch.arch) && a.expected() == expected;
        today.arches.iter().filter(here).count()
    };
    if count(true) > 0 {
        out.push("If a wire stays after its test: the date in its box.".to_owned());
    }
    if count(false) > 0 {
        out.push("If a test is passed early: the date the doctor gives.".to_owned());
    }
    let stay = super::test::back(plan, today);
    if count(false) > 0 || (count(true) > 0 && stay != then.date) {
        let which =
            if tested.len() > 1 { "If two dates apply, use the earlier. Write" } else { "Write" };
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
