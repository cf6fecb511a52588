//! Axial force: wires blocked between stops, drawn taut between ends, and what such a bound must never do.

use crate::support::random::{Random, arch, wires};
use crate::support::*;
use proptest::prelude::*;
use serde_json::Value;
use springline_mechanics::*;

/// Own solutions of the exact rod by direct transcription, with their sources, errors and tolerances.
fn rod_case(id: &str) -> Value {
    let all: Value = serde_json::from_str(include_str!("data/axial.json")).unwrap();
    let cases = all["cases"].as_array().unwrap().clone();
    cases.into_iter().find(|c| c["id"] == id).unwrap()
}

fn law(value: &Value) -> Law {
    let get = |key: &str| number(&value[key]);
    match value["kind"].as_str().unwrap() {
        "linear" => Law::Linear(Linear {
            modulus_mpa: get("E_MPa"),
            shear_modulus_mpa: get("G_MPa"),
            yield_mpa: None,
            strain_limit: 0.01,
        }),
        _ => {
            let (up, down) =
                (numbers(&value["upper_plateau_MPa"]), numbers(&value["lower_plateau_MPa"]));
            let Law::Flag(flag) = Law::superelastic() else { unreachable!() };
            Law::Flag(Flag {
                austenite_mpa: get("E_austenite_MPa"),
                martensite_mpa: get("E_martensite_MPa"),
                loading_start_mpa: up[0],
                loading_end_mpa: up[1],
                unloading_start_mpa: down[1],
                unloading_end_mpa: down[0],
                transformation_strain: get("transformation_strain"),
                shear_modulus_mpa: get("G_MPa"),
                ..flag
            })
        }
    }
}

fn edge(id: u16, side: EdgeSide) -> SlotEdge {
    SlotEdge { id, side }
}

/// The wire between the facing edges of two brackets.
fn between(right: u16, left: u16, length: LengthLimit) -> LengthBound {
    LengthBound { from: edge(right, EdgeSide::Left), to: edge(left, EdgeSide::Right), length }
}

fn blocked(id: &str, length_mm: f64) -> Setup {
    let case = rod_case(id);
    let inputs = &case["inputs"];
    let d = number(&inputs["wire"]["diameter_mm"]);
    let radius = number(&inputs["arch"]["parameter_mm"]);
    // The slots of these cases are straight: their edges lie on the tangent, a little outside the arch line, and
    // their mouths are square to it. A blocked wire lies against the labial wall.
    let wall = radius + number(&inputs["half_play_mm"]["labiolingual"]);
    let slots = inputs["teeth"].as_array().unwrap().iter().map(|t| {
        let half = 0.5 * number(&t["bracket_mm"]);
        let id = t["tooth"].as_str().unwrap().parse().unwrap();
        let width = 2.0 * radius * (half / wall).atan();
        let lingual_mm = wall - wall.hypot(half);
        Slot {
            support: Support::RIGID,
            stand: SlotPose { lingual_mm, ..SlotPose::default() },
            ..Slot::bracket(id, number(&t["station_mm"]), width)
        }
    });
    let mut wire = ArchWire::new(WireSection::round(d), law(&inputs["law"]));
    wire.bounds = vec![between(13, 11, LengthLimit::AtLeast(length_mm))];
    Setup {
        arch: ArchLine::Circle { radius_mm: radius },
        slots: slots.collect(),
        wire,
        loads: Vec::new(),
        settings: SolverSettings { refinement: 2, ..SolverSettings::default() },
        ties: Vec::new(),
    }
}

fn blocked_by_stops(id: &str) {
    let case = rod_case(id);
    let out = &case["outputs"];
    let setup = blocked(id, number(&case["inputs"]["stops"][0]["wire_length_between_stops_mm"]));
    let solution = solve(&setup, Start::Cold).unwrap();
    let forces = [
        ("tooth_force_lingual_N", solution.teeth.iter().map(|t| t.lingual_n).collect::<Vec<_>>()),
        ("tooth_force_gingival_N", solution.teeth.iter().map(|t| t.gingival_n).collect()),
        ("tooth_force_along_N", solution.teeth.iter().map(|t| t.along_n).collect()),
    ];
    let couples = [
        (
            "tooth_couple_turn_Nmm",
            solution.teeth.iter().map(|t| t.rotation_nmm).collect::<Vec<_>>(),
        ),
        ("tooth_couple_tip_Nmm", solution.teeth.iter().map(|t| t.tip_nmm).collect()),
    ];
    println!(
        "{id}: {:.4} N of {}, energy {:.4} of {}, {} iterations",
        solution.bounds[0].force_n,
        out["axial_compression_N"],
        solution.energy_nmm,
        out["energy_Nmm"],
        solution.iterations
    );
    let want = number(&out["axial_compression_N"]);
    let tolerance = number(&case["tolerance_rel"]);
    assert!((solution.bounds[0].force_n - want).abs() < tolerance * want);
    let most = forces.iter().map(|(k, _)| largest(&numbers(&out[k]))).fold(0.0, f64::max);
    for (key, have) in &forces {
        let mut want = numbers(&out[key]);
        // Up and down are alike: which of them the wire takes inside its play is chance.
        if *key == "tooth_force_gingival_N" && have[2] * want[2] < 0.0 {
            want.iter_mut().for_each(|f| *f = -*f);
        }
        let off = apart(have, &want) / most;
        println!("  {key} {off:.2e}");
        assert!(off < tolerance, "{id} {key} {have:?}");
    }
    let most = couples.iter().map(|(k, _)| largest(&numbers(&out[k]))).fold(0.0, f64::max);
    for (key, have) in &couples {
        let off = apart(have, &numbers(&out[key])) / most;
        println!("  {key} {off:.2e}");
        assert!(off < number(&case["tolerance_rel_couple"]), "{id} {key} {have:?}");
    }
    let energy = number(&out["energy_Nmm"]);
    assert!((solution.energy_nmm - energy).abs() < tolerance * energy);
}

#[test]
fn q09_superelastic_wire_blocked_with_a_millimetre_too_much() {
    blocked_by_stops("Q09");
}

#[test]
fn q18_steel_wire_blocked_with_a_millimetre_too_much() {
    blocked_by_stops("Q18");
}

/// The figures of the cases' notes, by excess: the play takes up the first tenth and a half.
#[test]
fn force_by_excess() {
    for (id, figures) in [
        ("Q09", [(0.1, 0.0), (0.2, 0.867), (0.4, 2.490), (1.0, 2.656)]),
        ("Q18", [(0.1, 0.0), (0.2, 2.836), (0.4, 8.150), (1.0, 12.821)]),
    ] {
        for (excess, want) in figures {
            let solution = solve(&blocked(id, 11.5 + excess), Start::Cold).unwrap();
            let have = solution.bounds[0].force_n;
            println!("{id} {excess}: {have:.4} {want} in {}", solution.iterations);
            assert!((have - want).abs() <= 0.03 * want + 0.01, "{id} {excess} {have} {want}");
        }
    }
}

/// The axial force is what a little more wire costs: the energy grows by force times length, teeth rigid.
#[test]
fn force_times_length_is_the_work() {
    for id in ["Q09", "Q18"] {
        for length in [11.85, 12.0, 12.3] {
            let at = |length| {
                let mut setup = blocked(id, length);
                setup.settings.force_tolerance_n = 1e-7;
                setup.settings.barrier_nmm = 1e-8;
                solve(&setup, Start::Cold).unwrap()
            };
            let step = 0.01;
            let work = (at(length + step).energy_nmm - at(length - step).energy_nmm) / (2.0 * step);
            let force = at(length).bounds[0].force_n;
            println!("{id} {length}: {work:.5} {force:.5}");
            assert!((work - force).abs() < 2e-3 * force, "{id} {length} {work} {force}");
        }
    }
}

/// Patient's right and left exchanged: the same force, and every tooth's forces mirrored.
#[test]
fn a_mirrored_arch_is_pressed_alike() {
    let setup = blocked("Q18", 12.2);
    let mut mirrored = setup.clone();
    for slot in &mut mirrored.slots {
        slot.station_mm = -slot.station_mm;
    }
    mirrored.wire.bounds = vec![between(11, 13, LengthLimit::AtLeast(12.2))];
    let (a, b) = (solve(&setup, Start::Cold).unwrap(), solve(&mirrored, Start::Cold).unwrap());
    let force = a.bounds[0].force_n;
    assert!((force - b.bounds[0].force_n).abs() < 1e-3 * force);
    for tooth in &a.teeth {
        let other = b.tooth(tooth.id).unwrap();
        assert!((tooth.lingual_n - other.lingual_n).abs() < 2e-3 * force);
        assert!((tooth.along_n + other.along_n).abs() < 2e-3 * force);
    }
}

/// What the stops push with balances between the two teeth whatever the mesh: the axial force begins at one and ends
/// at the other. Across a straight line the whole balances to the solver's tolerance.
#[test]
fn stops_balance() {
    let mut setup = three_brackets(0.0, 0.4064, elastic(180_000.0));
    setup.wire.bounds = vec![between(0, 1, LengthLimit::AtLeast(5.4))];
    setup.settings.linear_strain_refused = 1.0;
    let solution = solve(&setup, Start::Cold).unwrap();
    let force = solution.bounds[0].force_n;
    assert!(force > 10.0, "{force}");
    let across: f64 = solution.teeth.iter().map(|t| t.lingual_n).sum();
    assert!(across.abs() < 1e-6 * force, "{across} of {force}");
    let levels = &solution.levels_n;
    assert_eq!(levels.iter().filter(|c| **c != 0.0).count(), 1);
    assert!((levels[1] - force).abs() < 1e-12 * force);
    let along: f64 = solution.teeth.iter().map(|t| t.along_n).sum();
    println!("{force:.4} N, along {along:.2e}");
    assert!(along.abs() < 1e-3 * force, "{along} of {force}");
}

/// Drawn taut between cinched ends: a tenth of a millimetre less wire is worth a large part of a newton, and a
/// molar that gives is drawn towards the front.
#[test]
fn a_cinched_wire_draws_both_ends_forward() {
    let mut setup = three_brackets(1.0, 0.4064, elastic(180_000.0));
    for slot in &mut setup.slots {
        slot.support = Support::mobility(0.1);
    }
    let ends = |mm| LengthBound {
        from: edge(0, EdgeSide::Right),
        to: edge(2, EdgeSide::Left),
        length: LengthLimit::AtMost(mm),
    };
    setup.wire.bounds = vec![ends(1000.0)];
    let length = free_length_mm(&solve(&setup, Start::Cold).unwrap());
    let mut last = 0.0;
    for short in [0.1, 0.2] {
        setup.wire.bounds = vec![ends(length - short)];
        let solution = solve(&setup, Start::Cold).unwrap();
        let force = solution.bounds[0].force_n;
        println!("{short} mm: {force:.3} N, along {:.3}", solution.teeth[0].along_n);
        assert!(force > last + 0.2 && force < short / 0.2 + 1e-6, "{force}");
        assert!(solution.levels_n.iter().all(|c| (c + force).abs() < 1e-9));
        assert!(solution.teeth[0].gave.along_mm > 0.0 && solution.teeth[2].gave.along_mm < 0.0);
        last = force;
    }
}

/// Force at which what both molars of these tests give along the arch comes to so much, N: soft at first and five times
/// stiffer after.
fn molars_give_by_hand(needs_mm: f64) -> f64 {
    let c = 0.038 / (1.0 + (10.0 / 4.2_f64).powi(2));
    let along = c * (1.0 + (5.0 / 3.6_f64).powi(2) + (10.0 / 3.6_f64).powi(2));
    // Of both under a force along the arch: 1 N of the first stage is felt as a labiolingual one that gives as much work.
    let gives = |force: f64| {
        let felt = force * (along / 0.038_f64).sqrt();
        let (mut low, mut high) = (0.0, felt);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if 5.0 * middle - 4.0 * middle.tanh() < felt { low = middle } else { high = middle }
        }
        2.0 * low * (along * 0.038).sqrt()
    };
    let (mut low, mut high) = (0.0, 50.0);
    for _ in 0..80 {
        let middle: f64 = 0.5 * (low + high);
        if gives(middle) < needs_mm { low = middle } else { high = middle }
    }
    low
}

const MOLAR: Root = Root {
    centre_mm: [5.0, 10.0, 0.0],
    tip_lever_mm: 3.6,
    torque_lever_mm: 4.2,
    turn_lever_mm: 3.6,
};

/// An end bent before the middle tooth is tied in, by hand: the wire needs `3/5 d^2 / L` more in each of its two spans,
/// clamped on both sides by its slots without play, and the two molars give that much along the arch. Left out: the molars
/// also give to the side and turn, and the drawn wire straightens a little, both of which spare it up to a fifth.
#[test]
fn an_end_bent_first_by_hand() {
    for off in [0.3_f64, 0.6] {
        let mut setup = three_brackets(off, 0.2032, elastic(180_000.0));
        for slot in &mut setup.slots {
            slot.support = if slot.id == 1 { Support::RIGID } else { Support::root(0.038, &MOLAR) };
        }
        let span = setup.slots[1].station_mm - setup.slots[0].station_mm - 3.0;
        let (from, to) = (edge(0, EdgeSide::Right), edge(2, EdgeSide::Left));
        let passive = setup.slots[2].station_mm - setup.slots[0].station_mm + 3.0;
        setup.wire.bounds = vec![LengthBound { from, to, length: LengthLimit::AtMost(passive) }];
        let force = solve(&setup, Start::Cold).unwrap().bounds[0].force_n;
        let needs = 2.0 * 0.6 * off * off / span;
        let by_hand = molars_give_by_hand(needs);
        println!("{off} mm off: {force:.3} N, by hand {by_hand:.3} N for {needs:.4} mm");
        assert!(force < by_hand && force > 0.8 * by_hand, "{off}: {force} for {by_hand}");
    }
}

/// One end bent behind the first tooth, and a stop on the far side of the third: the wire between them can grow no longer,
/// so the second tooth draws both together with the force of the test before. Beyond the stop the wire is free: it carries nothing
/// along itself there, and the last tooth is not drawn, however far out it stands. A length that is not missed carries nothing.
#[test]
fn a_bent_end_against_a_stop_holds_the_wire_between_them() {
    for (off, beyond) in [(0.3_f64, 0.0), (0.6, 0.0), (0.6, 0.6)] {
        let mut setup = three_brackets(off, 0.2032, elastic(180_000.0));
        let last = setup.slots[2];
        setup.slots.extend([1.0, 2.0].map(|n| Slot {
            id: 2 + n as u16,
            station_mm: last.station_mm + 8.0 * n,
            stand: SlotPose { lingual_mm: if n == 1.0 { beyond } else { 0.0 }, ..last.stand },
            ..last
        }));
        for slot in &mut setup.slots {
            let molar = slot.id == 0 || slot.id == 2;
            slot.support = if molar { Support::root(0.038, &MOLAR) } else { Support::RIGID };
        }
        let span = setup.slots[1].station_mm - setup.slots[0].station_mm - 3.0;
        let (from, to) = (edge(0, EdgeSide::Right), edge(2, EdgeSide::Left));
        let passive = last.station_mm - setup.slots[0].station_mm + 3.0;
        let at_most = |mm| LengthBound { from, to, length: LengthLimit::AtMost(mm) };
        setup.wire.bounds = vec![at_most(passive)];
        let solution = solve(&setup, Start::Cold).unwrap();
        let force = solution.bounds[0].force_n;
        let by_hand = molars_give_by_hand(2.0 * 0.6 * off * off / span);
        println!("{off} mm off, {beyond} beyond: {force:.3} N, by hand {by_hand:.3} N");
        if beyond == 0.0 {
            assert!(force < by_hand && force > 0.8 * by_hand, "{off}: {force} for {by_hand}");
        }
        // Pieces between held edges: five slots and the four spans between them, the first five of them held.
        let (held, free) = solution.levels_n.split_at(5);
        assert!(held.iter().all(|c| (c + force).abs() < 1e-9), "{:?}", solution.levels_n);
        assert!(free.iter().all(|c| *c == 0.0), "{:?}", solution.levels_n);
        assert!(solution.teeth[0].gave.along_mm > 0.0 && solution.teeth[2].gave.along_mm < 0.0);
        setup.wire.bounds = vec![at_most(passive + 0.5)];
        let slack = solve(&setup, Start::Cold).unwrap().bounds[0];
        assert!(slack.force_n == 0.0 && slack.room_mm > 0.0, "{slack:?}");
    }
}

fn dry(coefficient: f64) -> Friction {
    Friction { coefficient, clip_n: 0.0 }
}

/// Three brackets on a straight line without play, the middle one off.
fn three_brackets(off_mm: f64, d: f64, law: Law) -> Setup {
    let slots = (0..3).map(|i| Slot {
        stand: SlotPose { lingual_mm: if i == 1 { off_mm } else { 0.0 }, ..SlotPose::default() },
        play: Play::None,
        support: Support::RIGID,
        ..Slot::bracket(i, 1.5 + 8.0 * f64::from(i), 3.0)
    });
    straight(slots.collect(), WireSection::round(d), law, strict(Kinematics::Exact))
}

#[test]
fn q11_pushed_and_pulled_past_three_brackets() {
    let case = rod_case("Q11");
    let (inputs, out) = (&case["inputs"], &case["outputs"]);
    let setup = three_brackets(0.5, number(&inputs["wire"]["diameter_mm"]), law(&inputs["law"]));
    let free = solve(&setup, Start::Cold).unwrap();
    let friction = dry(number(&inputs["friction"]));
    let tolerance = number(&case["tolerance_rel"]);
    for (hand, force, normal) in [
        (Hand::Pushes, "push_N", "edge_normal_force_push_N"),
        (Hand::Pulls, "pull_N", "edge_normal_force_pull_N"),
    ] {
        let shifted = shift(&setup, Start::Warm(&free), &friction, hand, Towards::Left);
        let shifted = shifted.unwrap().sliding().unwrap();
        let want = number(&out[force]);
        println!("{force} {:.4} {want}", shifted.force_n);
        assert!((shifted.force_n - want).abs() < tolerance * want);
        // The outer slots are turned against one another; the far one carries the axial force as well.
        assert_eq!(shifted.tightest().unwrap().0, 2);
        let edges: Vec<f64> = SlidingWire::of(&setup, &shifted.solution)
            .slots(&friction)
            .iter()
            .map(|s| s.pressed_n)
            .collect();
        let want: Vec<f64> = numbers(&out[normal]).chunks(2).map(|e| e[0] + e[1]).collect();
        assert!(apart(&edges, &want) < tolerance * largest(&want), "{edges:?} {want:?}");
    }
}

#[test]
fn q14_loading_and_unloading_against_friction() {
    let case = rod_case("Q14");
    let out = &case["outputs"];
    let (section, law) = unit_rigidity();
    let SectionShape::Round { diameter_mm } = section.shape else { unreachable!() };
    let setup = three_brackets(1.5, diameter_mm, law);
    let free = solve(&setup, Start::Cold).unwrap();
    let friction = dry(number(&case["inputs"]["friction"]));
    let tolerance = number(&case["tolerance_rel"]);
    let near = |have: f64, key: &str| {
        let want = number(&out[key]);
        println!("{key} {have:.7} {want}");
        assert!((have - want).abs() < tolerance * want, "{key} {have} {want}");
    };
    near(on_wire(&free)[1].abs(), "middle_force_over_EI_frictionless");
    for (flow, key) in [
        (WireTravel::In, "middle_force_over_EI_loading"),
        (WireTravel::Out, "middle_force_over_EI_unloading"),
    ] {
        let running = running_wire(&setup, Start::Warm(&free), &friction, flow).unwrap();
        near(on_wire(&running.sliding().unwrap().solution)[1].abs(), key);
    }
}

/// Pushed the other way, the mirrored arch: the same force.
#[test]
fn a_mirrored_wire_is_shifted_alike() {
    let mut setup = three_brackets(0.5, 0.4064, elastic(180_000.0));
    setup.slots[0].stand.lingual_mm = 0.2;
    let mut mirrored = setup.clone();
    for slot in &mut mirrored.slots {
        slot.station_mm = 19.0 - slot.station_mm;
    }
    for hand in [Hand::Pushes, Hand::Pulls] {
        let force = |setup: &Setup, towards| {
            let shifted = shift(setup, Start::Cold, &dry(0.2), hand, towards).unwrap();
            shifted.sliding().unwrap().force_n
        };
        let (a, b) = (force(&setup, Towards::Left), force(&mirrored, Towards::Right));
        assert!((a - b).abs() < 1e-4 * a, "{a} {b}");
        assert!((a - force(&setup, Towards::Right)).abs() > 1e-3 * a);
    }
}

/// A wire wound back and forth by steep steps holds itself at a high coefficient, as a rope on bollards.
#[test]
fn a_wire_that_holds_itself_is_said_to_lock() {
    let slots = (0..8).map(|i| Slot {
        stand: SlotPose { lingual_mm: if i % 2 == 1 { 2.5 } else { 0.0 }, ..SlotPose::default() },
        play: Play::None,
        support: Support::RIGID,
        ..Slot::bracket(i, 7.0 * f64::from(i), 2.5)
    });
    let setup = straight(
        slots.collect(),
        WireSection::round(0.4),
        elastic(60_000.0),
        strict(Kinematics::Exact),
    );
    let locks = shift(&setup, Start::Cold, &dry(0.8), Hand::Pulls, Towards::Left).unwrap();
    assert_eq!(locks, WithFriction::Locks);
}

/// A random arch with a wire of any kind, and the length of wire between two neighbours.
fn bound_case(seed: u64) -> (Setup, LengthBound, Random) {
    let mut random = Random(seed);
    let wires = wires();
    let wire = wires[(random.unit() * wires.len() as f64) as usize % wires.len()].1.clone();
    let irregularity = random.between(0.0, 4.0);
    let mut setup = arch(&mut random, irregularity, wire);
    setup.slots.sort_by(|a, b| a.station_mm.total_cmp(&b.station_mm));
    let i = (random.unit() * (setup.slots.len() - 1) as f64) as usize;
    let far = between(setup.slots[i].id, setup.slots[i + 1].id, LengthLimit::AtMost(1000.0));
    setup.wire.bounds = vec![far];
    (setup, far, random)
}

/// The length that a wire has between two edges, its bound far away.
fn free_length_mm(solution: &Solution) -> f64 {
    1000.0 - solution.bounds[0].room_mm
}

/// What acts on the wire in fixed axes must cancel: the sum, and the largest force.
fn unbalanced(setup: &Setup, solution: &Solution) -> (f64, f64) {
    let (mut force, mut size) = ([0.0; 3], 0.0_f64);
    let mut add = |station: f64, f: [f64; 3]| {
        let (s, c) = setup.arch.place(station).1.sin_cos();
        let f = [c * f[0] - s * f[1], s * f[0] + c * f[1], f[2]];
        for i in 0..3 {
            force[i] += f[i];
        }
        size = size.max(f[0].hypot(f[1]).hypot(f[2]));
    };
    for edge in solution.teeth.iter().flat_map(|t| &t.edges) {
        add(edge.station_mm, [edge.along_n, edge.lingual_n, edge.gingival_n]);
    }
    add(solution.held_at_mm[0], [-solution.held_n, 0.0, 0.0]);
    (largest(&force), size)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Bit for bit.
    #[test]
    fn a_bound_that_is_not_reached_changes_nothing(seed in any::<u64>()) {
        let (setup, _, _) = bound_case(seed);
        let free = Setup { wire: ArchWire { bounds: Vec::new(), ..setup.wire.clone() }, ..setup.clone() };
        match (solve(&setup, Start::Cold), solve(&free, Start::Cold)) {
            (Ok(bound), Ok(free)) => {
                prop_assert_eq!(bound.bounds[0].force_n, 0.0);
                prop_assert!(bound.bounds[0].room_mm > 1.0);
                prop_assert_eq!(&bound.teeth, &free.teeth);
                prop_assert_eq!(bound.energy_nmm, free.energy_nmm);
                prop_assert_eq!(largest(&bound.levels_n), 0.0);
            }
            (Err(a), Err(b)) => prop_assert_eq!(a, b),
            (a, b) => prop_assert!(false, "{seed} {:?} {:?}", a.err(), b.err()),
        }
    }

    /// Wire pressed between two brackets, or drawn taut: the bound is met or carries nothing, the axial force has
    /// its sign, the teeth have given by their compliance, and what the wire does in fixed axes cancels. The
    /// error of that is the elements'.
    #[test]
    fn a_bound_is_met_and_balances(seed in any::<u64>()) {
        let (mut setup, far, mut random) = bound_case(seed);
        let Ok(free) = solve(&setup, Start::Cold) else { return Ok(()) };
        let length = free_length_mm(&free);
        let by = random.between(0.05, 0.8);
        let (sign, limit) = match random.chance(0.5) {
            true => (1.0, LengthLimit::AtLeast(length + by)),
            false => (-1.0, LengthLimit::AtMost(length - 0.1 * by)),
        };
        setup.wire.bounds = vec![LengthBound { length: limit, ..far }];
        setup.settings.refinement = 3;
        match solve(&setup, Start::Cold) {
            Ok(solution) => {
                let bound = solution.bounds[0];
                prop_assert!(bound.room_mm == 0.0);
                prop_assert!((bound.gave_mm - 0.2 * bound.force_n).abs() < 1e-9);
                let pressed = solution.levels_n.iter().filter(|c| **c != 0.0).count();
                prop_assert!(pressed <= 1);
                prop_assert!(solution.levels_n.iter().all(|c| *c == 0.0 || (c - sign * bound.force_n).abs() < 1e-12));
                let (off, size) = unbalanced(&setup, &solution);
                prop_assert!(off < 1e-2 * size + 3e-3, "{seed} {off} of {size}");
            }
            Err(refusal) => prop_assert!(false, "{seed} {sign} by {by} {refusal}"),
        }
    }
}
