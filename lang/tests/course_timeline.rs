//! What must hold of the timeline of any case at all, and what single records do to it.

use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::{Date, date};
use proptest::prelude::*;
use springline_lang::course::{
    ArchMoment, Attachment, Basis, DeviceKind, Forecast, Hold, Observation, Purpose, RemovalReason,
    Retainer, SpaceAt, Standing, StepMoment, ToothPose, Until, VisitMoment, forecast,
};
use springline_lang::model::Case;
use springline_lang::model::step::ActKind;
use springline_lang::units::tooth::{Arch, Tooth};
use springline_test_support::{Practices, case, examples_in};

fn tooth(code: u32) -> Tooth {
    Tooth::iso(code).expect("a tooth")
}

fn moments(visit: &VisitMoment) -> impl Iterator<Item = (&ArchMoment, &StepMoment)> {
    visit.arches.iter().flat_map(|a| a.arrives.iter().chain(&a.if_passed).map(move |m| (a, m)))
}

/// Everything that a timeline promises.
fn holds(case: &Case, forecast: &Forecast) {
    let timeline = &forecast.timeline;
    let visits = timeline.visits();
    assert_eq!(visits.len(), forecast.visits.len());
    for (moment, visit) in visits.iter().zip(&forecast.visits) {
        assert_eq!(moment.date, visit.date);
        let recorded = matches!(moment.standing, Standing::Recorded(_));
        assert_eq!(recorded, visit.recorded.is_some());
        devices_are_on_from_a_visit(moment);
        engaged_teeth_are_bonded(moment);
        poses_lie_within_their_bounds(case, moment);
        for (arch, here) in moments(moment) {
            let phase = &forecast.arch(arch.arch).expect("the arch").phases[here.phase];
            assert_eq!((phase.step, phase.date_in), (here.step, here.begun));
            assert_eq!(here.teeth.len(), phase.state.teeth.len());
        }
        for index in &moment.open {
            let open = timeline.obligations()[*index];
            assert!(open.since <= moment.date);
            assert!(open.discharged.is_none_or(|d| d >= moment.date));
        }
        if moment.is_debond() {
            assert!(moment.elastics_after.is_empty());
            assert!(moment.arches.iter().all(|a| a.leaves().is_none()));
        }
    }
    what_comes_off_was_on_and_is_on_no_more(forecast);
    for pair in visits.windows(2) {
        assert!(pair[0].date <= pair[1].date, "{} {}", pair[0].date, pair[1].date);
        assert_eq!(pair[0].elastics_after, pair[1].elastics_on_arrival);
        for arch in &pair[1].arches {
            let left = pair[0].arch(arch.arch).and_then(ArchMoment::leaves);
            if let (Some(left), Some(arrives)) = (left, &arch.arrives) {
                assert_eq!(left.phase, arrives.phase, "{} {}", pair[1].date, arch.arch);
            }
        }
    }
    for visit in visits {
        for arch in &visit.arches {
            if let (Some(before), Some(after)) = (&arch.arrives, &arch.if_passed)
                && arch.is_change_expected()
            {
                poses_go_on(case, visit, arch.arch, before, after);
            }
        }
    }
    for obligation in timeline.obligations() {
        assert!(obligation.discharged.is_none_or(|d| d >= obligation.since));
    }
}

/// A removal takes off what was there; afterwards no card has it again, unless it is put on anew.
fn what_comes_off_was_on_and_is_on_no_more(forecast: &Forecast) {
    let mut gone: Vec<(Arch, springline_lang::text::Place)> = Vec::new();
    let mut ended: BTreeSet<usize> = BTreeSet::new();
    for visit in forecast.timeline.visits() {
        for (arch, here) in moments(visit) {
            let acts = &forecast.arch(arch.arch).expect("the arch").phases[here.phase].state.acts;
            for (i, _) in here.acts() {
                assert!(!gone.contains(&(arch.arch, acts[i].place)), "{} is back", acts[i].text);
            }
        }
        for arch in &visit.arches {
            let Some(here) = &arch.arrives else { continue };
            let acts = &forecast.arch(arch.arch).expect("the arch").phases[here.phase].state.acts;
            for off in arch.off_today.iter().chain(&arch.off_with_change) {
                assert!(here.devices.iter().any(|d| d.what == off.what), "{off:?}");
            }
            // What goes with the change is not part of the step that follows.
            let next = arch
                .if_passed
                .as_ref()
                .map(|n| (n, &forecast.arch(arch.arch).expect("the arch").phases[n.phase]));
            for off in &arch.off_with_change {
                let (DeviceKind::Act(i), Some((next, phase))) = (off.what, next) else { continue };
                let stays = |(j, act): (usize, &springline_lang::model::step::Act)| {
                    act.kind == acts[i].kind && !next.came_off.contains(&j)
                };
                assert!(!phase.state.acts.iter().enumerate().any(stays), "{} stays", acts[i].text);
            }
            let last = arch.off_today.iter().filter(|r| r.reason.is_final());
            gone.extend(last.filter_map(|r| match r.what {
                DeviceKind::Act(i) => Some((arch.arch, acts[i].place)),
                _ => None,
            }));
        }
        for off in &visit.elastics_off {
            assert!(visit.elastics_on_arrival.contains(&off.block));
            assert!(!visit.elastics_after.contains(&off.block));
            ended.insert(off.block);
        }
        assert!(visit.elastics_after.iter().all(|block| !ended.contains(block)));
    }
}

fn devices_are_on_from_a_visit(visit: &VisitMoment) {
    for (arch, here) in moments(visit) {
        let wires = here.devices.iter().filter(|d| d.what == DeviceKind::Wire).count();
        assert_eq!(wires, 1);
        let wire = here.devices.iter().find(|d| d.what == DeviceKind::Wire).expect("a wire");
        for device in &here.devices {
            // What goes in with a change that is only possible has the day of its own step.
            if arch.is_change_expected() || arch.arrives.as_ref() == Some(here) {
                assert!(device.since.is_none_or(|s| s <= visit.date), "{device:?} {}", visit.date);
            }
            // What lasts a step does not outlive it.
            if device.until == Until::StepEnds(None) {
                assert!(device.since >= here.begun, "{device:?} {:?}", here.begun);
            }
            // Nothing that sits on a wire is older than the wire.
            if device.until == Until::WireOut {
                assert!(device.since >= wire.since, "{device:?} on {wire:?}");
            }
        }
        let acts: BTreeSet<usize> = here.acts().map(|(i, _)| i).collect();
        assert_eq!(acts.len(), here.acts().count(), "one device an act");
    }
}

fn engaged_teeth_are_bonded(visit: &VisitMoment) {
    for (_, here) in moments(visit) {
        for t in &here.teeth {
            let bonded = matches!(t.attachment, Attachment::Bonded | Attachment::Lost(_));
            assert!(!t.hold.is_engaged() || bonded, "{} {:?} {:?}", t.tooth, t.hold, t.attachment);
            assert!(!matches!(t.hold, Hold::Absent(_)) || !t.hold.is_engaged());
        }
    }
}

fn poses_lie_within_their_bounds(case: &Case, visit: &VisitMoment) {
    for (_, here) in moments(visit) {
        for t in &here.teeth {
            let (low, value, high) =
                (t.pose.low.parts(), t.pose.value.parts(), t.pose.high.parts());
            for i in 0..6 {
                assert!(low[i] <= value[i] + 1e-9 && value[i] <= high[i] + 1e-9, "{t:?}");
            }
            if let Basis::Measured(at) | Basis::TestedPassive(at) = t.pose.basis {
                assert!(case.visits[at].on <= visit.date);
            }
            if let Basis::Measured(at) = t.pose.basis {
                assert!(case.visits[at].stands.contains_key(&t.tooth));
            }
        }
        for space in &here.spaces {
            let known = space.length_mm;
            assert!(known.low <= known.value + 1e-9 && known.value <= known.high + 1e-9);
        }
    }
}

/// No tooth jumps when a wire is changed, unless it was measured then or its bracket moved.
fn poses_go_on(
    case: &Case,
    visit: &VisitMoment,
    arch: Arch,
    before: &StepMoment,
    after: &StepMoment,
) {
    let step = &case.arch(arch).expect("the arch").steps[after.step];
    let moved = |t: Tooth| {
        step.acts
            .iter()
            .any(|a| matches!(&a.kind, ActKind::Reposition { teeth, .. } if teeth.contains(&t)))
    };
    for (a, b) in before.teeth.iter().zip(&after.teeth) {
        assert_eq!(a.tooth, b.tooth);
        if matches!(a.pose.basis, Basis::Measured(_)) || moved(a.tooth) {
            continue;
        }
        let off = apart(a.pose.value, b.pose.value);
        // A path is interpolated between the integrator's samples, so both sides agree to its rounding. A
        // hundredth of what any output shows (0.1 mm) would be no jump either.
        assert!(off < 1e-3, "{} on {}: {off}", a.tooth, visit.date);
    }
}

fn apart(a: ToothPose, b: ToothPose) -> f64 {
    a.parts().iter().zip(b.parts()).map(|(x, y)| (x - y).abs()).fold(0.0, f64::max)
}

#[test]
fn every_example_keeps_the_promises() {
    let mut seen = 0;
    for (name, text) in ["cases", "year"].into_iter().flat_map(examples_in) {
        let case = Practices::saltmarsh().case(&text);
        for today in [None, Some(date(2026, 11, 25))] {
            println!("{name}");
            holds(&case, &forecast(&case, today));
        }
        seen += 1;
    }
    assert!(seen > 30, "{seen}");
}

/// An upper arch in two steps, with what is written more.
fn upper(inside: &str, second: &str, rest: &str) -> (Case, Forecast) {
    let case = case(&format!(
        "start {START}\npatient adult\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  \
         tooth 11 labial 1 mm\n  step first as align, wire niti-14, until passive, next computed {{\n{inside}  }}\n  \
         step second as align, {second}, until passive, next computed\n}}\n{rest}"
    ));
    let forecast = forecast(&case, None);
    holds(&case, &forecast);
    (case, forecast)
}

fn next(forecast: &Forecast) -> &VisitMoment {
    let foreseen = |v: &&VisitMoment| v.standing == Standing::Foreseen;
    forecast.timeline.visits().iter().find(foreseen).expect("a visit to come")
}

fn arrives(visit: &VisitMoment) -> &StepMoment {
    visit.arches[0].arrives.as_ref().expect("a wire")
}

#[test]
fn a_loose_bracket_is_open_until_a_record_puts_it_back() {
    let loose = "seen 2026-10-12 by KL {\n  upper kept\n  loose 12\n}\n";
    let (_, open) = upper("", "wire niti-16", loose);
    let lost = Attachment::Lost(date(2026, 10, 12));
    let visit = next(&open);
    assert_eq!(arrives(visit).tooth(tooth(12)).expect("there").attachment, lost);
    let found: Vec<_> =
        visit.open.iter().map(|i| open.timeline.obligations()[*i].observed).collect();
    assert_eq!(found, [Observation::Loose(tooth(12))]);
    let mended = "seen 2026-10-26 by KL as repair {\n  upper kept {\n    rebond 12\n  }\n}\n";
    let (_, closed) = upper("", "wire niti-16", &format!("{loose}{mended}"));
    assert_eq!(closed.timeline.obligations()[0].discharged, Some(date(2026, 10, 26)));
    assert!(next(&closed).open.is_empty());
    assert_eq!(
        arrives(next(&closed)).tooth(tooth(12)).expect("there").attachment,
        Attachment::Bonded
    );
}

#[test]
fn a_tooth_without_its_bracket_is_out_of_the_wire_until_it_is_bonded_again() {
    let phase = |forecast: &Forecast, step: usize| {
        let phases = &forecast.arch(Arch::Upper).expect("an arch").phases;
        phases.iter().find(|p| p.step == step).expect("a phase").clone()
    };
    let in_wire =
        |forecast: &Forecast, step| phase(forecast, step).state.status(tooth(11)).is_in_wire();
    let left_mm = |forecast: &Forecast| {
        let course = phase(forecast, 0);
        course.tooth(tooth(11)).expect("there").exit.off_mm()
    };
    let (_, held) = upper("", "wire niti-16", "seen 2026-09-28 by KL {\n  upper kept\n}\n");
    let loose = "seen 2026-09-28 by KL {\n  upper kept\n  loose 11\n}\n";
    let (_, open) = upper("", "wire niti-16", loose);
    assert!(in_wire(&held, 0) && !in_wire(&open, 0));
    // Nothing moves it any more.
    assert!(left_mm(&open) > left_mm(&held) + 0.05, "{} {}", left_mm(&open), left_mm(&held));
    // The card of the next visit asks for it: the next wire holds it.
    assert!(in_wire(&open, 1));
    let bonded = "seen 2026-09-29 by KL as repair {\n  upper kept {\n    rebond 11\n  }\n}\n";
    let (_, again) = upper("", "wire niti-16", &format!("{loose}{bonded}"));
    assert!(in_wire(&again, 0));
    assert!((left_mm(&again) - left_mm(&held)).abs() < 0.1);
    assert!(
        phase(&again, 0).insertion_since.is_some()
            && phase(&again, 0).insertion.tooth(tooth(11)).is_some()
    );
}

#[test]
fn a_stop_stays_as_long_as_the_wire_it_sits_on() {
    let stop = "    stop mesial of 15\n";
    let devices = |forecast: &Forecast, step: usize| {
        let visits = forecast.timeline.visits().iter().flat_map(|v| &v.arches);
        let here = visits.filter_map(|a| a.arrives.as_ref()).find(|m| m.step == step);
        let here = here.unwrap_or_else(|| panic!("no {step}: {:?}", forecast.visits)).clone();
        here.acts().map(|(_, d)| (d.purpose, d.since, d.until.clone())).collect::<Vec<_>>()
    };
    let (_, kept) = upper(stop, "wire keep", "");
    assert_eq!(devices(&kept, 1), [(Purpose::HoldWire, Some(START), Until::WireOut)]);
    let (_, changed) = upper(stop, "wire niti-16", "");
    assert_eq!(devices(&changed, 0).len(), 1);
    assert_eq!(devices(&changed, 1), []);
}

#[test]
fn a_pose_says_how_it_is_known() {
    let basis = |rest: &str, code: u32| {
        let (_, forecast) = upper("", "wire niti-16", rest);
        let first = &forecast.timeline.visits()[0].arches[0];
        let entry = first.if_passed.as_ref().or(first.arrives.as_ref()).expect("a wire");
        let entry = entry.tooth(tooth(code)).expect("there").pose.basis;
        (entry, arrives(next(&forecast)).tooth(tooth(code)).expect("there").pose.basis)
    };
    // The first visit with a wire in is the second of the course.
    let (_, plain) = upper("", "wire niti-16", "");
    let visits = plain.timeline.visits();
    let on = |v: &VisitMoment, m: fn(&ArchMoment) -> Option<&StepMoment>, code| {
        m(&v.arches[0]).expect("a wire").tooth(tooth(code)).expect("there").pose
    };
    fn enters(arch: &ArchMoment) -> Option<&StepMoment> {
        arch.if_passed.as_ref()
    }
    fn comes(arch: &ArchMoment) -> Option<&StepMoment> {
        arch.arrives.as_ref()
    }
    assert_eq!(on(&visits[0], enters, 11).basis, Basis::Entered);
    assert_eq!(on(&visits[0], enters, 12).basis, Basis::Assumed);
    let then = on(&visits[1], comes, 11);
    assert_eq!(then.basis, Basis::Predicted);
    assert!(then.low.lingual_mm < then.value.lingual_mm, "a slow patient is behind: {then:?}");
    assert!(then.high.lingual_mm > then.value.lingual_mm, "a fast one ahead: {then:?}");
    let seen = "seen 2026-10-12 by KL {\n  upper active, kept\n  tooth 11 labial 0.5 mm\n}\n";
    assert_eq!(basis(seen, 11).0, Basis::Measured(0));
    assert_eq!(basis(seen, 11).1, Basis::Predicted);
}

#[test]
fn the_appliance_leaves_with_the_debond_and_the_retainers_come() {
    let (_, forecast) = upper("", "wire niti-16", "retain {\n  fixed 13..23\n}\n");
    let last = forecast.timeline.visits().last().expect("a debond");
    assert!(last.is_debond() && last.arches[0].leaves().is_none());
    assert!(matches!(&last.retainers[..], [Retainer::Bonded(teeth)] if teeth.len() == 6));
}

#[test]
fn a_measured_gap_replaces_the_forecast() {
    let gap = "  gap 2 mm between 11 and 21\n";
    let text = format!(
        "start {START}\npatient adult\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n{gap}  \
         step first as work, wire steel-19x25, until 20 wk, next computed\n}}\n\
         seen 2026-10-12 by KL {{\n  upper kept\n  gap 1.5 mm between 11 and 21\n}}\n"
    );
    let case = case(&text);
    let forecast = forecast(&case, None);
    holds(&case, &forecast);
    let at = SpaceAt::Between(tooth(11), tooth(21));
    let known = |v: &VisitMoment| {
        let space = arrives(v).spaces.iter().find(|s| s.at == at).expect("the gap").length_mm;
        (space.value, space.basis)
    };
    let seen = &forecast.timeline.visits()[0];
    assert_eq!(known(seen), (1.5, Basis::Measured(0)));
}

/// Upper lateral behind the bite, raisers on the lower molars until it is over it.
fn behind_the_bite(record: &str) -> Forecast {
    let case = case(&format!(
        "start {START}\npatient growing\nbite {{\n  crossbite 12\n}}\nupper {{\n  bonded 15..25 with twin\n  \
         tubes 16, 26 with molar\n  tooth 12 palatal 2 mm\n  follow firm\n  change align {{\n    \
         bite-raisers 36, 46 until crossbite-corrected 12\n  }}\n}}\n{record}"
    ));
    let forecast = forecast(&case, None);
    holds(&case, &forecast);
    forecast
}

/// At every visit: whether raisers are on when the patient comes, and why they come off.
fn raisers(forecast: &Forecast) -> Vec<(bool, Option<RemovalReason>)> {
    let phases = &forecast.arches[0].phases;
    let visit = |v: &VisitMoment| {
        let arch = &v.arches[0];
        let here = arch.arrives.as_ref()?;
        let is_raiser = |what: DeviceKind| match what {
            DeviceKind::Act(i) => {
                matches!(phases[here.phase].state.acts[i].kind, ActKind::BiteRaisers { .. })
            }
            _ => false,
        };
        let on = here.devices.iter().any(|d| is_raiser(d.what));
        let off = arch.off_today.iter().find(|r| is_raiser(r.what));
        Some((on, off.map(|r| r.reason)))
    };
    forecast.timeline.visits().iter().filter_map(visit).collect()
}

/// What is put on comes off, at one visit, and no later card knows of it.
#[test]
fn bite_raisers_come_off_once_and_are_silent_afterwards() {
    let once = |visits: &[(bool, Option<RemovalReason>)], why: RemovalReason| {
        let at = visits.iter().position(|(_, off)| off.is_some()).expect("they come off");
        assert_eq!(visits[at].1, Some(why), "{visits:?}");
        assert!(visits[..=at].iter().all(|(on, _)| *on), "{visits:?}");
        assert!(visits[at + 1..].iter().all(|v| *v == (false, None)), "{visits:?}");
        assert!(at + 2 < visits.len(), "before the debond: {visits:?}");
    };
    once(&raisers(&behind_the_bite("")), RemovalReason::Foreseen);
    let seen = "seen 2026-11-09 by KL {\n  upper active, kept\n  crossbite-corrected 12\n}\n";
    once(&raisers(&behind_the_bite(seen)), RemovalReason::Recorded);
    // The card of the visit after it had them taken off, and it went as planned.
    let done = "seen 2026-11-23 by KL {\n  upper kept\n  done as-planned\n}\n";
    let forecast = behind_the_bite(&format!("{seen}{done}"));
    once(&raisers(&forecast), RemovalReason::Recorded);
    let off = |v: &VisitMoment| v.arches.iter().any(|a| !a.off_today.is_empty());
    let visit = forecast.timeline.visits().iter().find(|v| off(v)).expect("they come off");
    assert_eq!(visit.date, date(2026, 11, 23));
}

/// Both arches on the firm sequence, with these elastics.
fn elastics(blocks: &str) -> Forecast {
    let arch = |name: &str, teeth: &str, molars: &str| {
        format!(
            "{name} {{\n  bonded {teeth} with twin\n  tubes {molars} with molar\n  follow firm\n}}\n"
        )
    };
    let case = case(&format!(
        "start {START}\npatient growing\nbite {{\n  overjet 6 mm\n}}\n{}{}{blocks}",
        arch("upper", "15..25", "16, 26"),
        arch("lower", "45..35", "46, 36"),
    ));
    let forecast = forecast(&case, None);
    holds(&case, &forecast);
    forecast
}

fn class_2(band: &str, hours: u32, rest: &str) -> String {
    format!(
        "elastics class-2 {{\n  right 13 to 46 with {band}, wear {hours} h\n  \
         left 23 to 36 with {band}, wear {hours} h\n{rest}}}\n"
    )
}

#[test]
fn later_elastics_on_the_same_hooks_replace_the_earlier() {
    let first = class_2("light", 20, "  from level-2\n  until overjet 2 mm\n");
    let second = class_2("medium", 22, "  from work expressed\n  until overjet 2.5 mm\n");
    let forecast = elastics(&format!("{first}{second}"));
    let visits = forecast.timeline.visits();
    assert!(visits.iter().any(|v| v.elastics_after == [0]));
    assert!(visits.iter().all(|v| v.elastics_after.len() < 2), "one set at a time");
    let replaced = visits.iter().find(|v| v.elastics_after == [1]).expect("the second set");
    let off: Vec<_> = replaced.elastics_off.iter().map(|e| (e.block, e.reason)).collect();
    assert_eq!(off, [(0, RemovalReason::ReplacedBy(1))]);
}

#[test]
fn elastics_end_by_their_measure_or_by_the_step_that_ends_them() {
    let ends = |rest: &str| {
        let forecast = elastics(&class_2("medium", 22, rest));
        let visits = forecast.timeline.visits().to_vec();
        let at = visits.iter().position(|v| !v.elastics_off.is_empty()).expect("an end");
        let silent = |v: &VisitMoment| v.elastics_after.is_empty() && v.elastics_off.is_empty();
        assert!(visits[at].elastics_after.is_empty() && visits[at + 1..].iter().all(silent));
        (visits[at].elastics_off[0].reason, visits[at].is_debond())
    };
    assert_eq!(ends("  from work\n  until overjet 4.5 mm\n"), (RemovalReason::Foreseen, false));
    assert_eq!(ends("  from level\n  until step work\n"), (RemovalReason::StepBegins, false));
    assert_eq!(ends("  from level\n  longest 8 wk\n"), (RemovalReason::LongestTime, false));
}

const START: Date = date(2026, 9, 14);

fn out_of_line(code: u32) -> impl Strategy<Value = String> {
    (0_u32..4, 0_u32..5).prop_map(move |(halves, fives)| {
        format!(
            "  tooth {code} labial {} mm, rotated {} deg mesial-in\n",
            f64::from(halves + 1) * 0.5,
            5 * (fives + 1)
        )
    })
}

/// Some visits, and what each found and did.
fn visits() -> impl Strategy<Value = Vec<String>> {
    let lines = prop::sample::select(vec![
        "  upper active, kept",
        "  upper passive, kept",
        "  upper passive, now second with niti-16",
        "  upper kept\n  loose 12",
        "  upper kept\n  rebond 12",
        "  upper kept\n  tooth 11 labial 0.5 mm",
        "  upper out",
        "  upper kept\n  hygiene poor",
    ]);
    prop::collection::vec((10_i64..80, lines), 0..5).prop_map(|all| {
        let mut on = START;
        all.into_iter()
            .map(|(days, line)| {
                on = on.saturating_add(days.days());
                format!("seen {on} by KL {{\n{line}\n}}\n")
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn every_case_keeps_the_promises(
        teeth in [12_u32, 11, 21].map(out_of_line),
        visits in visits(),
        coil in any::<bool>(),
    ) {
        let stop = if coil { "    stop mesial of 15\n" } else { "" };
        let text = format!(
            "start {START}\npatient adult\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n{}  \
             step first as align, wire niti-14, until passive, next computed {{\n{stop}  }}\n  \
             step second as align, wire niti-16, until passive, next computed\n  \
             step third as work, wire steel-19x25, until 8 wk, next computed\n}}\n{}",
            teeth.concat(),
            visits.concat(),
        );
        let case = case(&text);
        holds(&case, &forecast(&case, None));
    }
}
