//! Tests of the crate as a whole.

use super::testing::{crowded_lower, in_line_over_crowded};
use super::*;
use crate::run::chair::FrictionRange;
use crate::run::time_step::StepControl;
use crate::run::trace::RunQuery;
use springline_model::stock::Alloy;

#[test]
fn a_plan_is_lived_through_to_its_end() {
    let case = in_line_over_crowded();
    let forecast = forecast(&case, None);
    println!("{:#?}", forecast.visits);
    for arch in &forecast.arches {
        for p in &arch.phases {
            println!(
                "{} {} {:?}..{:?} quarter {:?} strict {:?} thumb {} booked {} {:?} index {:.2} {:.2} {:.2} room {:?} never {:?}",
                arch.arch,
                p.name,
                p.date_in,
                p.end.date,
                p.passive.quarter.map(|t| t.median_days),
                p.passive.no_bend.map(|t| t.median_days),
                p.passive.rule_of_thumb_days,
                p.booked_days,
                p.end.reason,
                p.passive.index_in_mm,
                p.passive.index_passive_mm,
                p.passive.index_left_mm,
                p.room.demanded_mm,
                p.passive.never,
            );
        }
        assert_eq!(arch.phases.len(), 4);
    }
}

/// A run at the usual pace against one in steps of a sixth of its length, from the same stands: times
/// to passive within a tenth and four days. Patients differ by a factor of two.
#[test]
fn large_steps_tell_what_small_ones_do() {
    let small = StepControl { step_mm: 0.06, step_rad: 0.015, fall: 0.12, most_steps: 600 };
    let case = crowded_lower();
    let arch = &case.arches[0];
    let mut mouth = Mouth::entered(arch);
    let mut solves = 0;
    for step in 0..arch.steps.len() {
        let state = arch_state(arch, step, &Default::default()).unwrap();
        let setup = setup::arch_setup(&case, arch, &state, &mouth, &[]);
        let movers = simulate::movers::movers(
            &state,
            &setup,
            &mouth,
            &simulate::movers::TeethWithRoom::default(),
        );
        let ask = |pace| RunQuery {
            setup: setup.clone(),
            movers: movers.clone(),
            at_insertion: None,
            pushed: Vec::new(),
            carried: Vec::new(),
            friction: FrictionRange::of(Alloy::SuperelasticNiti),
            pace,
        };
        let (usual, fine) =
            (run::trace::run(&ask(StepControl::default())), run::trace::run(&ask(small)));
        println!(
            "{}: {} and {} solves, quarter {:.1?} and {:.1?}, strict {:.1?} and {:.1?}, left {:.2} and {:.2}",
            state.name,
            usual.solves,
            fine.solves,
            usual.quarter,
            fine.quarter,
            usual.strict,
            fine.strict,
            usual.index_left_mm,
            fine.index_left_mm
        );
        solves += usual.solves;
        // Where hardly anything is left to remove the share lingers about the quarter, and the day on
        // which it passes it says little.
        let much = fine.index_in_mm - fine.index_left_mm > 1.0;
        let both = [(usual.quarter, fine.quarter), (usual.strict, fine.strict)];
        for (a, b) in both.into_iter().filter(|_| much) {
            let (a, b) = (a.unwrap(), b.unwrap());
            assert!((a - b).abs() < 0.1 * b + 4.0, "{}: {a} for {b}", state.name);
        }
        let stands = fine.poses_at(fine.quarter.unwrap());
        let now =
            simulate::movers::poses(&movers, &setup::arch_setup::bends(&state), &stands, &mouth);
        mouth.move_to(now);
    }
    assert!(solves <= 55, "{solves} solves for one arch");
}

/// A refusal on the way is no "still active": the reason is the mechanics' own.
#[test]
fn a_refusal_in_the_middle_is_told_as_what_it_is() {
    let case = crowded_lower();
    let arch = &case.arches[0];
    let mouth = Mouth::entered(arch);
    let state = arch_state(arch, 0, &Default::default()).unwrap();
    let setup = setup::arch_setup(&case, arch, &state, &mouth, &[]);
    let movers = simulate::movers::movers(
        &state,
        &setup,
        &mouth,
        &simulate::movers::TeethWithRoom::default(),
    );
    // No step is taken at all: the run ends where it began.
    let pace = StepControl { most_steps: 0, ..StepControl::default() };
    let friction = FrictionRange::of(Alloy::SuperelasticNiti);
    let short = run::trace::run(&RunQuery {
        setup,
        movers,
        at_insertion: None,
        pushed: Vec::new(),
        carried: Vec::new(),
        friction,
        pace,
    });
    assert_eq!(short.broke_off, None);
    assert!(short.never_at_rest().unwrap().contains("still active"), "{short:?}");
    let refusal = springline_mechanics::Refusal::SnapThrough { id: 42, turn_rad: 1.2 };
    let broken = run::trace::PhaseTrace { broke_off: Some(NoFigures::new(refusal)), ..short };
    let why = broken.never_at_rest().unwrap();
    assert!(why.contains("cannot be computed to the end") && why.contains("42"), "{why}");
}

/// The wire of one step in a crowded lower front, and the same with left and right exchanged.
fn both_sides(wire: &str) -> [RunQuery; 2] {
    let crowded = "tooth 42 lingual 2 mm, rotated 15 deg mesial-in\n  tooth 33 labial 1 mm";
    let mirrored = "tooth 32 lingual 2 mm, rotated 15 deg mesial-in\n  tooth 43 labial 1 mm";
    [crowded, mirrored].map(|teeth| {
        let case = springline_test_support::case(&format!(
            "start 2026-09-14\nlower {{\n  bonded 45..35 with twin\n  tubes 46, 36 with molar\n  {teeth}\n  \
             step align, wire {wire}, ends turned-in, until passive, next computed\n}}\n"
        ));
        let arch = &case.arches[0];
        let mouth = Mouth::entered(arch);
        let state = arch_state(arch, 0, &Default::default()).unwrap();
        let setup = setup::arch_setup(&case, arch, &state, &mouth, &[]);
        let room = simulate::movers::TeethWithRoom::default();
        RunQuery {
            movers: simulate::movers::movers(&state, &setup, &mouth, &room),
            setup,
            at_insertion: None,
            pushed: Vec::new(),
            carried: Vec::new(),
            friction: FrictionRange::of(Alloy::SuperelasticNiti),
            pace: StepControl::default(),
        }
    })
}

/// Left and right exchanged, the same days and the same ways, to rounding: neither the side to which a wire leaves its
/// slots nor the branch on which its fibres go on may hang on which side is counted first.
#[test]
fn a_mirrored_arch_takes_the_same_days() {
    for wire in ["niti-14", "niti-14x25", "niti-16x22"] {
        let [run, mirrored] = both_sides(wire).map(|query| run::trace::run(&query));
        assert_eq!((run.samples.len(), run.solves), (mirrored.samples.len(), mirrored.solves));
        for (a, b) in run.samples.iter().zip(&mirrored.samples) {
            assert!((a.days - b.days).abs() < 1e-4, "{wire}: {} {}", a.days, b.days);
            assert!((a.worst_n - b.worst_n).abs() < 1e-4, "{wire}: {} {}", a.worst_n, b.worst_n);
            for (pose, other) in a.poses.iter().zip(b.poses.iter().rev()) {
                let apart = pose.iter().zip(other).map(|(x, y)| (x.abs() - y.abs()).abs());
                assert!(apart.fold(0.0, f64::max) < 1e-5, "{wire}: {pose:?} {other:?}");
            }
        }
    }
}
