//! Torque is one figure: the solver's couple; the degrees that arrive follow from it.

mod course_support;

use course_support::arch;
use springline_lang::course::torque::torque;
use springline_lang::course::{Forecast, Phase, forecast};
use springline_lang::mechanics;
use springline_lang::mechanics::{March, Spread, Start, solve};
use springline_lang::model::Case;
use springline_lang::units::tooth::{Arch, Tooth};
use springline_test_support::{Practices, SALTMARSH};

/// The house of the invented practice with one line written otherwise.
fn read(old: &str, new: &str, body: &str) -> (Case, Forecast) {
    assert!(SALTMARSH.contains(old), "{old}");
    let text = format!(
        "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-11-23\nupper {{\n  bonded 15..25 with twin\n  \
         tubes 16, 26 with molar\n  follow usual\n{body}}}\n"
    );
    let case = Practices::of(SALTMARSH.replacen(old, new, 1)).case(&text);
    let forecast = forecast(&case, None);
    (case, forecast)
}

fn phase<'f>(forecast: &'f Forecast, name: &str) -> &'f Phase {
    let phases = &arch(forecast, Arch::Upper).phases;
    phases.iter().find(|p| &*p.name == name).expect("the step")
}

fn tooth(code: u32) -> Tooth {
    Tooth::iso(code).unwrap()
}

const ASKED: &str = "  change finish {\n    torque 11, 21 28 deg root-lingual\n  }\n";

#[test]
fn the_degrees_that_arrive_spend_the_couple() {
    let (_, forecast) = read("slide passive", "slide passive", ASKED);
    let finish = phase(&forecast, "finish");
    let at = torque(finish, tooth(11)).expect("torque");
    // The bracket's 13 deg and what was asked of the wire.
    assert!((at.asked_deg - 41.0).abs() < 1.0, "{at:?}");
    assert_eq!(at.couple_nmm, -finish.insertion.tooth(tooth(11)).unwrap().at_insertion.torque_nmm);
    assert!(at.couple_nmm > 5.0, "{at:?}");
    // Its own play is gone for certain, its neighbours' for the most part.
    let play = at.play_deg.expect("a rectangular wire");
    assert!(at.arrives_deg > 3.0 && at.arrives_deg < at.asked_deg - play, "{at:?}");
    // With every tooth where the wire lets it rest, the solver finds no couple to speak of.
    let mut spent = finish.setup.base.clone();
    for slot in &mut spent.slots {
        let course = finish.tooth(tooth(u32::from(slot.id))).unwrap();
        slot.stand.torque_rad += course.left_by_play.torque_rad - course.entry.torque_rad;
    }
    let left = solve(&spent, Start::Cold).unwrap();
    let left = left.tooth(11).unwrap().torque_nmm.abs();
    assert!(left < 0.2 * at.couple_nmm + 2.0, "{left} of {at:?}");
}

/// Where nothing arrives the couple says so too, and the other way round.
#[test]
fn no_couple_no_degrees() {
    let (_, forecast) = read("slide passive", "slide passive", "");
    for phase in &arch(&forecast, Arch::Upper).phases {
        for code in [11, 12, 21, 22] {
            let Some(at) = torque(phase, tooth(code)) else { continue };
            // Under the floor of the course nothing turns: 0.15 N at a lever of 11 mm.
            let both = at.couple_nmm.abs() < 1.7 && at.arrives_deg.abs() < 0.5;
            let neither = at.couple_nmm.abs() > 0.5 && at.arrives_deg.abs() > 0.05;
            assert!(both || neither, "{} {code}: {at:?}", phase.name);
        }
    }
}

/// A bracket's torque is in the solve: one that the play cannot hide makes a couple that turns the crown
/// its way.
#[test]
fn the_brackets_own_torque_makes_a_couple() {
    let own = "torque 13 deg crown-labial on 11, 21";
    let (_, forecast) = read(own, "torque 30 deg crown-labial on 11, 21", "");
    let at = torque(phase(&forecast, "work"), tooth(11)).expect("torque");
    assert!((at.asked_deg - 30.0).abs() < 1.0 && at.couple_nmm > 3.0, "{at:?}");
    let (_, forecast) = read(own, "torque 30 deg crown-lingual on 11, 21", "");
    let at = torque(phase(&forecast, "work"), tooth(11)).expect("torque");
    assert!((at.asked_deg + 30.0).abs() < 1.0 && at.couple_nmm < -3.0, "{at:?}");
}

/// Nobody knows a slot by its name: it is taken 5 % higher, with a band of 0.7 to 9.7 %. A house that has
/// measured its slots is believed, to half a hundredth of a millimetre.
#[test]
fn a_measured_slot_counts() {
    let slot = "slot 0.022 x 0.028 in";
    let of = |new: &str| {
        let (_, forecast) = read(slot, new, ASKED);
        let finish = phase(&forecast, "finish");
        let slot = finish.setup.base.slots.iter().find(|s| s.id == 11).unwrap();
        let setup: &mechanics::Setup = &finish.setup.base;
        let band = mechanics::banded(setup, &March::default(), &Spread::default()).unwrap();
        let own = band.teeth.iter().find(|t| t.id == 11).unwrap().torque_nmm;
        let value = finish.insertion.tooth(tooth(11)).unwrap().at_insertion.torque_nmm;
        assert!(own.low <= value && value <= own.high, "{value} in {own:?}");
        (slot.height_mm, slot.height_range, value.abs(), own.high - own.low)
    };
    let (height, [least, most], by_name, wide) = of(slot);
    assert!((height - 1.05 * 0.5588).abs() < 1e-9);
    assert!((height * least - 1.007 * 0.5588).abs() < 1e-9, "{least}");
    assert!((height * most - 1.097 * 0.5588).abs() < 1e-9, "{most}");
    let (height, [least, most], known, narrow) = of("slot 0.022 x 0.028 in measured 0.565 mm");
    assert!((height - 0.565).abs() < 1e-9 && height * (most - least) < 0.0101);
    assert!(known > by_name && narrow < wide, "{known} {by_name} {narrow} {wide}");
}
