//! What follows from teeth that move about their centres of resistance.

use crate::law::movement::{K_SLIDE, rate_mm_per_day};
use crate::law::periodontium::pressure_kpa;
use crate::mouth::positions::Mouth;
use crate::plan::state::arch_state;
use crate::run::carried_teeth::CarriedTooth;
use crate::run::chair::FrictionRange;
use crate::run::drive::MovingTooth;
use crate::run::time_step::StepControl;
use crate::run::trace::{PhaseTrace, RunQuery, run};
use crate::setup::arch_setup::arch_setup;
use crate::simulate::carrying::{drawn, turned};
use crate::simulate::movers::{TeethWithRoom, movers};
use springline_mechanics::closed::third_order_play;
use springline_model::stock::Alloy;
use springline_test_support::case;

const LINGUAL: usize = 0;
const GINGIVAL: usize = 1;
const TIP: usize = 4;
const TORQUE: usize = 5;

/// The wire of one step in an arch from 6 to 6, written as `body` says.
fn query(jaw: &str, wire: &str, body: &str) -> RunQuery {
    let teeth = if jaw == "upper" { ("15..25", "16, 26") } else { ("45..35", "46, 36") };
    let case = case(&format!(
        "start 2026-09-14\n{jaw} {{\n  bonded {} with twin\n  tubes {} with molar\n{body}\n  \
         step align, wire {wire}, ends turned-in, until passive, next computed\n}}\n",
        teeth.0, teeth.1
    ));
    let arch = &case.arches[0];
    let (mouth, state) = (Mouth::entered(arch), arch_state(arch, 0, &Default::default()).unwrap());
    let mut setup = arch_setup(&case, arch, &state, &mouth, &[]);
    // Every tooth stands as its bracket expects, so that no torque of the wire comes in between.
    for slot in &mut setup.base.slots {
        slot.stand.torque_rad = -slot.prescription_rad;
    }
    let movers = movers(&state, &setup, &mouth, &TeethWithRoom::default());
    RunQuery {
        setup,
        movers,
        at_insertion: None,
        pushed: Vec::new(),
        carried: Vec::new(),
        friction: FrictionRange::of(Alloy::Steel),
        pace: StepControl::default(),
    }
}

fn mover(query: &RunQuery, id: u16) -> &MovingTooth {
    query.movers.iter().find(|m| m.id == id).unwrap()
}

/// From the bracket to the centre of resistance, mm.
fn lever(query: &RunQuery, id: u16) -> f64 {
    mover(query, id).support.centre_mm[1]
}

fn carried(
    query: &RunQuery,
    id: u16,
    along_n: f64,
    lingual_n: f64,
    until_days: f64,
) -> CarriedTooth {
    let lever = lever(query, id);
    CarriedTooth { id, tip_nmm: along_n * lever, torque_nmm: lingual_n * lever, until_days }
}

/// How far one part of a tooth's pose has changed after so many days; degrees of a turn.
fn changed(query: &RunQuery, run: &PhaseTrace, id: u16, part: usize, days: f64) -> f64 {
    let at = query.movers.iter().position(|m| m.id == id).unwrap();
    let by = run.poses_at(days)[at][part] - run.samples[0].poses[at][part];
    if part > 2 { by.to_degrees() } else { by }
}

/// Six front teeth drawn back with 150 g a side. On a round wire every incisor's crown comes back at the rate of
/// closing and tips about its root; a full wire lets it go by its play, and then its couple holds it.
#[test]
fn retraction_costs_torque_until_the_wire_holds_it() {
    let drawn_back = |wire: &str| {
        let mut query = query("upper", wire, "");
        let front = [12, 11, 21, 22];
        query.carried = front.map(|id| carried(&query, id, 0.0, 0.5, 500.0)).to_vec();
        let run = run(&query);
        (query, run)
    };
    let lost = |(query, run): &(RunQuery, PhaseTrace), days| changed(query, run, 11, TORQUE, days);
    let (round, full) = (drawn_back("steel-18"), drawn_back("steel-19x25"));
    let (area, lever) = (mover(&round.0, 11).area_mm2, lever(&round.0, 11));
    let way = 60.0 * K_SLIDE * rate_mm_per_day(pressure_kpa(0.5, area));
    let tipped = (way / lever).to_degrees();
    let early = lost(&round, 60.0);
    assert!((0.75 * tipped..1.1 * tipped).contains(&early), "{early} of {tipped}");
    let wire = &full.0.setup.base;
    let play = third_order_play(&wire.wire.stock.section, wire.slots[0].height_mm).unwrap();
    let (play, free, held) = (play.to_degrees(), lost(&round, 490.0), lost(&full, 490.0));
    // Its own play and that of the teeth that hold the wire against it, and some twist of the wire.
    assert!((play..2.0 * play + 5.0).contains(&held), "{held}, play {play}");
    assert!(free > 1.3 * held, "{free} {held}");
    let steady = lost(&full, 400.0);
    assert!((held - steady).abs() < 0.5, "{steady} {held}");
    // When the space is closed the wire takes back what it had been twisted beyond its play.
    let after = lost(&full, 1000.0);
    assert!(after <= held + 0.1 && after > play, "{after} after {held}");
}

/// A canine drawn back with 150 g tips until the wire holds it upright, less on a stiffer wire with less play; once it
/// is there the wire brings the root after.
#[test]
fn a_canine_tips_in_its_play_and_uprights() {
    let tips = |wire: &str| {
        let mut query = query("upper", wire, "");
        query.carried = vec![carried(&query, 13, -1.5, 0.0, 90.0)];
        let run = run(&query);
        let tip = |days: f64| -changed(&query, &run, 13, TIP, days);
        let most = (0..=90).map(|d| tip(f64::from(d))).fold(0.0, f64::max);
        (tip(20.0), most, tip(1000.0))
    };
    let (soon, round, after) = tips("steel-18");
    assert!(soon > 0.2 * round && round > 2.0, "{soon} {round}");
    assert!(after < 0.8 * round, "{after} after {round}");
    let (_, full, after) = tips("steel-19x25");
    assert!(full < 0.8 * round && after < 0.8 * full, "{round} {full} {after}");
}

/// A wire that brings incisors forwards tips them: their crowns turn to the lip by what they come forwards, over the
/// distance to the point about which a pushed crown tips.
#[test]
fn incisors_that_a_light_wire_brings_forwards_tip_forwards() {
    let query = query("lower", "niti-14", "  tooth 41 lingual 2 mm\n  tooth 42 lingual 1 mm");
    let run = run(&query);
    for id in [41, 42] {
        let (by, turned) =
            (changed(&query, &run, id, LINGUAL, 300.0), changed(&query, &run, id, TORQUE, 300.0));
        let support = mover(&query, id).support;
        let beyond = support.lingual_mm_per_n / support.torque_rad_per_nmm / lever(&query, id);
        let about = (by / (lever(&query, id) + beyond)).to_degrees();
        assert!((turned / about - 1.0).abs() < 0.1, "{id}: {by} {turned} {about}");
    }
    assert!(changed(&query, &run, 41, TORQUE, 300.0) < -3.0);
}

/// A spring between canine and molar: the premolar that stands in the molar's way takes its part of the pull, and both
/// tip less than the canine, the molar on its larger roots the less for it.
#[test]
fn anchor_teeth_tip_less_than_the_canine_they_draw() {
    let mut query = query("upper", "niti-14", "");
    let area = |id: u16| mover(&query, id).area_mm2;
    let [premolar, molar] = [15, 16].map(|id| 1.5 * area(id) / (area(15) + area(16)));
    query.carried = vec![
        carried(&query, 13, -1.5, 0.0, 60.0),
        carried(&query, 15, premolar, 0.0, 60.0),
        carried(&query, 16, molar, 0.0, 60.0),
    ];
    let run = run(&query);
    let tip = |id: u16| changed(&query, &run, id, TIP, 20.0);
    let [canine, premolar, molar] = [-tip(13), tip(15), tip(16)];
    assert!(canine > 1.0 && premolar > 0.3, "{canine} {premolar} {molar}");
    assert!((0.3..0.96 * canine).contains(&molar), "{canine} {premolar} {molar}");
    let crown = |id: u16, tip: f64| tip * lever(&query, id);
    assert!(crown(16, molar) < 0.9 * crown(13, canine), "{canine} {molar}");
}

/// A light wire up to a high canine draws its neighbours up, and their crowns towards it.
#[test]
fn neighbours_of_a_high_canine_intrude_and_tip_towards_it() {
    let query = query("upper", "niti-14", "  tooth 13 gingival 2.5 mm");
    let run = run(&query);
    let most = |id: u16, part: usize, sign: f64| {
        let all = (0..40).map(|d| sign * changed(&query, &run, id, part, 5.0 * f64::from(d)));
        all.fold(f64::MIN, f64::max)
    };
    assert!(most(12, GINGIVAL, 1.0) > 0.05);
    assert!(most(12, TIP, -1.0) > 0.5 && most(14, TIP, 1.0) > 0.3);
    assert!(changed(&query, &run, 13, GINGIVAL, 300.0) < -1.0);
}

/// Elastics from the upper canines to the lower molars: molars and premolars below are drawn forwards and tip so, and
/// push the incisors, whose crowns turn to the lip; by 0.4 to 1 degree a month on a wire that does not hold them.
#[test]
fn class_ii_elastics_tip_the_lower_incisors_forwards() {
    let (upper, lower) = (
        "bonded 15..25 with twin\n  tubes 16, 26 with molar",
        "bonded 45..35 with twin\n  tubes 46, 36 with molar",
    );
    let step = "step work, wire steel-18, ends turned-in, until doctor-decides, next 6 wk";
    let case = case(&format!(
        "start 2026-09-14\nupper {{\n  {upper}\n  {step}\n}}\nlower {{\n  {lower}\n  {step}\n}}\n\
         elastics class-2 {{\n  right 13 to 46 with medium, wear 22 h\n  left 23 to 36 with medium, wear 22 h\n  from work\n}}\n"
    ));
    let arch = &case.arches[1];
    let (mouth, state) = (Mouth::entered(arch), arch_state(arch, 0, &Default::default()).unwrap());
    let mut query = query("lower", "steel-18", "");
    query.carried = drawn((&case, arch), &state, &mouth, &[0])
        .iter()
        .flat_map(|group| turned(group, &state, &query.setup))
        .collect();
    let run = run(&query);
    let month = |id: u16, part: usize| changed(&query, &run, id, part, 60.0) / 2.0;
    for incisor in [42, 41, 31, 32] {
        let labial = -month(incisor, TORQUE);
        assert!((0.4..2.5).contains(&labial), "{incisor}: {labial}");
    }
    // Mesial edges of the molars go towards the gum.
    assert!(month(46, TIP) > 0.0 && month(36, TIP) < 0.0);
}
