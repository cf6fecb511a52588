//! What physics says of every arch, as properties of random ones.

use crate::support::random::{Random, arch, wires};
use proptest::prelude::*;
use springline_mechanics::*;

/// A random arch with a random wire; softened seeds so that most of them can be engaged.
fn case(seed: u64) -> Setup {
    let mut random = Random(seed);
    let wires = wires();
    let wire = wires[(random.unit() * wires.len() as f64) as usize % wires.len()].1.clone();
    let irregularity = random.between(0.0, 8.0);
    let mut setup = arch(&mut random, irregularity, wire);
    // A third on a form by two widths, from tapered to square.
    if random.chance(0.33) {
        setup.arch = ArchLine::TwoWidths(QuarticLine {
            front_per_mm: random.between(0.03, 0.07),
            sides_per_mm: random.between(-0.02, 0.06),
            reach_mm: random.between(17.0, 27.0),
        });
    }
    setup.settings.force_tolerance_n = 1e-6;
    setup.settings.barrier_nmm = 1e-8;
    setup
}

fn close(a: f64, b: f64, tolerance: f64) -> bool {
    (a - b).abs() <= tolerance
}

/// Sum of forces and of moments of everything that the wire does, in fixed axes.
fn totals(setup: &Setup, solution: &Solution) -> ([f64; 3], [f64; 3], f64) {
    let (mut force, mut moment, mut size) = ([0.0; 3], [0.0; 3], 0.0_f64);
    for edge in solution.teeth.iter().flat_map(|t| &t.edges) {
        let (at, angle) = setup.arch.place(edge.station_mm);
        let (s, c) = angle.sin_cos();
        let turn = |along: f64, inward: f64| [c * along - s * inward, s * along + c * inward];
        let off = turn(0.0, edge.wire_lingual_mm);
        let r = [at[0] + off[0], at[1] + off[1], edge.wire_gingival_mm];
        let f2 = turn(edge.along_n, edge.lingual_n);
        let f = [f2[0], f2[1], edge.gingival_n];
        let (sin_r, cos_r) = edge.wire_rotated_rad.sin_cos();
        let (sin_t, cos_t) = edge.wire_tipped_rad.sin_cos();
        // A slot that holds the roll against the smallest rotation holds it about the line half-way
        // between the arch and the wire.
        let ahead = cos_r * cos_t;
        let t2 = turn(ahead + 1.0, sin_r * cos_t);
        let m = [t2[0], t2[1], sin_t].map(|x| x * edge.torque_nmm / (1.0 + ahead));
        let cross =
            [r[1] * f[2] - r[2] * f[1], r[2] * f[0] - r[0] * f[2], r[0] * f[1] - r[1] * f[0]];
        for i in 0..3 {
            force[i] += f[i];
            moment[i] += cross[i] + m[i];
        }
        size = size.max(f[0].hypot(f[1]).hypot(f[2]));
    }
    // What keeps a form of changing curvature from shifting acts on the wire; here all is on the teeth.
    let [station, lingual, gingival] = solution.held_at_mm;
    let (at, angle) = setup.arch.place(station);
    let (s, c) = angle.sin_cos();
    let r = [at[0] - s * lingual, at[1] + c * lingual, gingival];
    let f = [-c * solution.held_n, -s * solution.held_n, 0.0];
    let cross = [r[1] * f[2] - r[2] * f[1], r[2] * f[0] - r[0] * f[2], r[0] * f[1] - r[1] * f[0]];
    for i in 0..3 {
        force[i] += f[i];
        moment[i] += cross[i];
    }
    (force, moment, size)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// The wire is in equilibrium: forces and moments of all slots cancel, on every arch line. Elements
    /// leave an error that falls with their size; with the finest mesh of these tests it is under four
    /// thousandths of the largest force.
    #[test]
    fn forces_and_moments_cancel(seed in any::<u64>()) {
        let mut setup = case(seed);
        setup.settings.refinement = 9;
        if let Ok(solution) = solve(&setup, Start::Cold) {
            let (force, moment, size) = totals(&setup, &solution);
            for i in 0..3 {
                prop_assert!(force[i].abs() < 4e-3 * size + 1e-3, "{seed} {force:?} of {size}");
                prop_assert!(moment[i].abs() < 4e-3 * size * 20.0 + 2e-2, "{seed} {moment:?} of {size}");
            }
        }
    }

    /// Every step of the search lowers the potential that it minimises.
    #[test]
    fn energy_decreases_along_the_solve(seed in any::<u64>()) {
        if let Ok(solution) = solve(&case(seed), Start::Cold) {
            prop_assert!(!solution.trace.is_empty());
            for step in &solution.trace {
                let rounding = 1e-11 * (1.0 + step.potential_before_nmm.abs());
                prop_assert!(
                    step.potential_after_nmm <= step.potential_before_nmm + rounding,
                    "{seed} {step:?}"
                );
            }
            let last = solution.trace.last().unwrap();
            prop_assert!((last.energy_nmm - solution.energy_nmm).abs() <= 1e-9 * (1.0 + last.energy_nmm));
        }
    }

    /// Right and left exchanged gives the mirrored forces.
    #[test]
    fn left_and_right_mirror(seed in any::<u64>()) {
        let setup = case(seed);
        let mut mirrored = setup.clone();
        for slot in &mut mirrored.slots {
            slot.station_mm = -slot.station_mm;
            slot.stand.along_mm = -slot.stand.along_mm;
            slot.stand.rotated_rad = -slot.stand.rotated_rad;
            slot.stand.tipped_rad = -slot.stand.tipped_rad;
        }
        if let (Ok(a), Ok(b)) = (solve(&setup, Start::Cold), solve(&mirrored, Start::Cold)) {
            let worst = a.worst().unwrap().resultant_n;
            let same = a.teeth.iter().all(|t| {
                let o = b.tooth(t.id).unwrap();
                let tolerance = 2e-3 * worst + 2e-3;
                close(t.lingual_n, o.lingual_n, tolerance)
                    && close(t.gingival_n, o.gingival_n, tolerance)
                    && close(t.along_n, -o.along_n, tolerance)
                    && close(t.torque_nmm, o.torque_nmm, 10.0 * tolerance)
            });
            // A crowded wire may have two resting shapes, and the imperfection that chooses one is not
            // mirrored; then the energies differ.
            let other = (a.energy_nmm - b.energy_nmm).abs() > 1e-4 * a.energy_nmm;
            prop_assert!(same || other, "seed {seed}");
        }
    }

    /// The whole set-up lifted, or turned in its plane about the centre of its circle, changes nothing.
    #[test]
    fn a_rigid_motion_changes_nothing(seed in any::<u64>(), lift in -3.0..3.0_f64, turn in -5.0..5.0_f64) {
        let mut setup = case(seed);
        setup.arch = ArchLine::Circle { radius_mm: 22.0 };
        let mut moved = setup.clone();
        for slot in &mut moved.slots {
            slot.stand.gingival_mm += lift;
            slot.station_mm += turn;
            // Mesial and distal are the same sides as before.
            if slot.engagement != Engagement::Full && (slot.station_mm >= 0.0) != (slot.station_mm - turn >= 0.0) {
                slot.engagement = Engagement::Full;
            }
        }
        if let (Ok(a), Ok(b)) = (solve(&setup, Start::Cold), solve(&moved, Start::Cold)) {
            let full = setup.slots.iter().zip(&moved.slots).all(|(p, q)| p.engagement == q.engagement);
            let worst = a.worst().unwrap().resultant_n;
            let same = a.teeth.iter().zip(&b.teeth).all(|(p, q)| {
                close(p.lingual_n, q.lingual_n, 2e-3 * worst + 2e-3)
                    && close(p.gingival_n, q.gingival_n, 2e-3 * worst + 2e-3)
            });
            let other = (a.energy_nmm - b.energy_nmm).abs() > 1e-4 * a.energy_nmm;
            prop_assert!(!full || same || other, "seed {seed}");
        }
    }

    /// A tooth whose contacts are all open reads exactly nothing.
    #[test]
    fn no_force_on_a_passive_tooth(seed in any::<u64>()) {
        if let Ok(solution) = solve(&case(seed), Start::Cold) {
            for t in &solution.teeth {
                if t.passive {
                    prop_assert_eq!(t.resultant_n, 0.0);
                    prop_assert_eq!(t.torque_nmm, 0.0);
                }
            }
        }
    }

    /// Slots in another order, the same bits; and the same input twice, the same bits.
    #[test]
    fn order_of_input_does_not_matter(seed in any::<u64>()) {
        let setup = case(seed);
        let mut other = setup.clone();
        other.slots.reverse();
        let n = other.slots.len();
        other.slots.rotate_left(n / 3);
        prop_assert_eq!(solve(&setup, Start::Cold), solve(&other, Start::Cold));
        prop_assert_eq!(solve(&setup, Start::Cold), solve(&setup, Start::Cold));
    }

    /// One tooth off in a level arch: its force falls as it comes home, on either branch.
    #[test]
    fn force_falls_as_a_tooth_comes_home(place in 3_usize..9, off in 0.4..1.6_f64, high in any::<bool>()) {
        let station = [-36.0, -27.0, -20.0, -13.5, -7.5, -2.5, 2.5, 7.5, 13.5, 20.0, 27.0, 36.0];
        let at = |mm: f64| {
            let slots = station.iter().enumerate().map(|(i, &s)| {
                let mut slot = Slot::bracket(i as u16, s, if (4..8).contains(&i) { 2.5 } else { 3.0 });
                if i == place {
                    if high { slot.stand.gingival_mm = mm } else { slot.stand.lingual_mm = mm }
                }
                slot
            });
            Setup {
                arch: ArchLine::Catenary { a_mm: 15.0 },
                slots: slots.collect(),
                wire: ArchWire::new(WireSection::round(0.3556), Law::superelastic()),
                loads: Vec::new(),
                settings: SolverSettings::default(),
                ties: Vec::new(),
            }
        };
        let id = place as u16;
        let mut last = solve(&at(off), Start::Cold).unwrap();
        for step in 1..=8 {
            let next = solve(&at(off * (1.0 - f64::from(step) / 8.0)), Start::Carry(&last)).unwrap();
            let (a, b) = (last.tooth(id).unwrap().resultant_n, next.tooth(id).unwrap().resultant_n);
            // Superelastic wire softens at large bends, so a plateau may rise by a trace.
            prop_assert!(b <= 1.05 * a + 5e-3, "{b} after {a}");
            last = next;
        }
        prop_assert!(last.tooth(id).unwrap().resultant_n < 5e-3);
    }

    /// A free wire that slides is squeezed by its own bending: along every span of straight wire the
    /// thrust plus the bending energy per length is nothing, so the pushes of two neighbouring knife
    /// edges along the wire follow from the moments. Checked on the elastica: the push at the outermost
    /// edges is square to the wire and the axial force there is nil.
    #[test]
    fn thrust_of_a_sliding_wire(off in 0.2..2.0_f64) {
        let d = 0.4_f64;
        let modulus = 64.0e3 / (std::f64::consts::PI * d.powi(4));
        let law = Law::Linear(Linear { modulus_mpa: modulus, shear_modulus_mpa: modulus / 2.6, yield_mpa: None, strain_limit: 1.0 });
        let slots = [(0.0, 0.0), (5.0, off), (10.0, 0.0)].into_iter().enumerate().map(|(i, (x, y))| Slot {
            stand: SlotPose { lingual_mm: y, ..SlotPose::default() },
            play: Play::None,
            support: Support::RIGID,
            ..Slot::bracket(i as u16, x, 0.0)
        });
        let setup = Setup {
            arch: ArchLine::Straight,
            slots: slots.collect(),
            wire: ArchWire::new(WireSection::round(d), law),
            loads: Vec::new(),
            settings: SolverSettings { linear_strain_refused: 10.0, refinement: 4, ..SolverSettings::default() },
            ties: Vec::new(),
        };
        let s = solve(&setup, Start::Cold).unwrap();
        // EI = 1000. Just left of the middle the wire runs straight along x: its axial force is the
        // push of the end edge along x, and must be -M^2 / (2 EI).
        let end = &s.teeth[0].edges[0];
        let (fx, fy) = (-end.along_n, -end.lingual_n);
        let moment = fy * 5.0 - fx * off;
        prop_assert!(close(fx.abs(), moment * moment / 2000.0, 2e-3 * fy.abs()), "{fx} {moment}");
    }

    /// Nothing panics, whatever the numbers are.
    #[test]
    fn no_input_panics(seed in any::<u64>(), which in 0_usize..16, value in prop_oneof![
        Just(f64::NAN), Just(f64::INFINITY), Just(f64::NEG_INFINITY), Just(0.0), Just(-1.0), Just(1e300), Just(1e-300), -1e3..1e3_f64
    ]) {
        let mut setup = case(seed);
        let slot = &mut setup.slots[0];
        match which {
            0 => slot.station_mm = value,
            1 => slot.width_mm = value,
            2 => slot.height_mm = value,
            3 => slot.depth_mm = value,
            4 => slot.stand.lingual_mm = value,
            5 => slot.stand.gingival_mm = value,
            6 => slot.stand.rotated_rad = value,
            7 => slot.stand.tipped_rad = value,
            8 => slot.stand.torque_rad = value,
            9 => slot.stand.along_mm = value,
            10 => slot.support.lingual_mm_per_n = value,
            11 => slot.clip = Clip::Active { depth_left_mm: value },
            12 => setup.arch = ArchLine::Circle { radius_mm: value },
            13 => setup.wire.stock.section = WireSection::round(value),
            14 => setup.wire.bends.push(Bend { station_mm: value, kind: BendKind::Step { gingival_mm: value } }),
            _ => setup.wire.reverse_curve = Some(ReverseCurve { depth_mm: value }),
        }
        setup.settings.max_iterations = 40;
        if let Err(refusal) = solve(&setup, Start::Cold) {
            prop_assert!(!refusal.to_string().is_empty());
        }
    }
}

/// One tooth moved away in steps of a tenth of a millimetre until it is refused: no step loses a quarter
/// of the force. Over the arch line a wire that slides freely runs through its slots in the end and holds almost
/// nothing from there on; that is refused, never reported.
#[test]
fn no_force_is_reported_beyond_the_jump() {
    for (steps, ended) in moved_away(Steep::Refused) {
        let reason = matches!(ended, Some(Refusal::SnapThrough { .. } | Refusal::Turn { .. }));
        assert!(reason, "after {steps}: {ended:?}");
    }
}

/// The line through the slots takes over where the arch line refuses, without a jump, and takes the tooth on.
#[test]
fn the_slot_line_goes_on_where_the_arch_line_refuses() {
    let refused = moved_away(Steep::Refused);
    let farther = moved_away(Steep::OverTheSlots);
    println!("{refused:?}\n{farther:?}");
    for ((steps, _), (more, ended)) in refused.into_iter().zip(farther) {
        assert!(more > steps, "{more} against {steps}: {ended:?}");
    }
}

/// For several teeth and directions, how many tenths of a millimetre a tooth goes and what ends it.
fn moved_away(steep: Steep) -> Vec<(u32, Option<Refusal>)> {
    let mut out = Vec::new();
    let station = [2.5, 7.75, 14.0, 21.0, 28.0, 37.0];
    for (tooth, direction, mil) in
        [(0, 0, 14.0), (0, 1, 14.0), (0, 2, 16.0), (1, 0, 16.0), (1, 2, 14.0)]
    {
        let at = |mm: f64| {
            let mut slots = Vec::new();
            for (n, s) in station.into_iter().enumerate() {
                for side in [-1.0, 1.0] {
                    let id = 10 * n as u16 + u16::from(side > 0.0);
                    slots.push(Slot::bracket(id, side * s, if n < 2 { 2.5 } else { 3.0 }));
                }
            }
            let stand = &mut slots[2 * tooth + 1].stand;
            match direction {
                0 => stand.lingual_mm = mm,
                1 => stand.lingual_mm = -mm,
                _ => stand.gingival_mm = mm,
            }
            Setup {
                arch: ArchLine::Catenary { a_mm: 15.0 },
                slots,
                wire: ArchWire::new(WireSection::round(0.0254 * mil), Law::superelastic()),
                loads: Vec::new(),
                settings: SolverSettings { steep, ..SolverSettings::default() },
                ties: Vec::new(),
            }
        };
        let mut last: Option<f64> = None;
        let mut steps = 0;
        let mut ended = None;
        for i in 10..70 {
            match solve(&at(0.1 * f64::from(i)), Start::Cold) {
                Ok(s) => {
                    let force = s.worst().unwrap().resultant_n;
                    let fell = last.is_some_and(|l| force < 0.75 * l);
                    assert!(
                        !fell,
                        "tooth {tooth} direction {direction} at {i}: {last:?} to {force}"
                    );
                    last = Some(force);
                    steps = i;
                }
                Err(refusal) => {
                    ended = Some(refusal);
                    break;
                }
            }
        }
        out.push((steps, ended));
    }
    out
}

/// Two slots or fewer than two: nothing, or a reason.
#[test]
fn one_tooth_is_refused_and_two_can_be_passive() {
    let setup = |n: u16| Setup {
        arch: ArchLine::Catenary { a_mm: 15.0 },
        slots: (0..n).map(|i| Slot::bracket(i, 7.0 * f64::from(i), 3.0)).collect(),
        wire: ArchWire::new(WireSection::round(0.4064), Law::steel()),
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    };
    assert_eq!(solve(&setup(0), Start::Cold), Err(Refusal::TooFewTeeth { engaged: 0 }));
    assert_eq!(solve(&setup(1), Start::Cold), Err(Refusal::TooFewTeeth { engaged: 1 }));
    let two = solve(&setup(2), Start::Cold).unwrap();
    assert!(two.teeth.iter().all(|t| t.passive));
}

/// A released tooth hangs on the wire: with a load, it moves until the wire carries it.
#[test]
fn a_released_tooth_hangs_on_the_wire() {
    let mut slots: Vec<Slot> =
        (0..7).map(|i| Slot::bracket(i, 7.0 * f64::from(i) - 21.0, 3.0)).collect();
    slots[3].support = Support::RELEASED;
    let load = Load { id: 3, lingual_n: 0.0, gingival_n: 1.0, along_n: 0.0, at_mm: [0.0; 3] };
    let setup = |wire: ArchWire| Setup {
        arch: ArchLine::Catenary { a_mm: 15.0 },
        slots: slots.clone(),
        wire,
        loads: vec![load],
        settings: SolverSettings::default(),
        ties: Vec::new(),
    };
    let give = |wire: ArchWire| {
        let s = solve(&setup(wire), Start::Cold).unwrap();
        let t = s.tooth(3).unwrap();
        assert!((t.gingival_n + 1.0).abs() < 1e-2, "{t:?}");
        t.gave.gingival_mm
    };
    let soft = give(ArchWire::new(WireSection::round(0.3556), Law::superelastic()));
    let stiff = give(ArchWire::new(WireSection::rectangular(0.4826, 0.635, 0.0), Law::steel()));
    assert!(soft > 1.5 * stiff && stiff > 0.0, "{soft} {stiff}");
}

/// A step bent into the wire does what a tooth standing off by as much would.
#[test]
fn a_step_in_the_wire_pushes_the_teeth_apart() {
    let slots: Vec<Slot> =
        (0..7).map(|i| Slot::bracket(i, 7.0 * f64::from(i) - 21.0, 3.0)).collect();
    let mut wire =
        ArchWire::new(WireSection::rectangular(0.4826, 0.635, 0.0), Law::beta_titanium());
    wire.bends.push(Bend { station_mm: 3.5, kind: BendKind::Step { gingival_mm: 0.5 } });
    let setup = Setup {
        arch: ArchLine::Catenary { a_mm: 18.0 },
        slots,
        wire,
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    };
    let s = solve(&setup, Start::Cold).unwrap();
    let (near, far) = (s.tooth(3).unwrap(), s.tooth(4).unwrap());
    assert!(near.gingival_n < -0.1 && far.gingival_n > 0.1, "{near:?} {far:?}");
}

/// Bands: seeded, hold the nominal figure, and repeat bit by bit.
#[test]
fn bands_hold_the_nominal_figure_and_repeat() {
    let mut random = Random(5);
    let wire = ArchWire::new(WireSection::round(0.3556), Law::superelastic());
    let setup = arch(&mut random, 4.0, wire);
    let spread = Spread { samples: 6, ..Spread::default() };
    let a = banded(&setup, &March::default(), &spread).unwrap();
    assert_eq!(a, banded(&setup, &March::default(), &spread).unwrap());
    let peak_n = a.worst.unwrap().peak_n;
    assert!(peak_n.low <= a.nominal.peak().1 && a.nominal.peak().1 <= peak_n.high);
    assert!(peak_n.high > peak_n.low);
    let none = Spread {
        wire_size: 0.0,
        plateau_sd: 0.0,
        modulus_sd: 0.0,
        stand_mm: 0.0,
        stand_rad: 0.0,
        ..spread
    };
    let exact = banded(&setup, &March::default(), &none).unwrap();
    let peak_n = exact.worst.unwrap().peak_n;
    let width = peak_n.high - peak_n.low;
    assert!(width < 1e-2 * exact.nominal.peak().1, "{exact:?}");
}

/// A wire measured on the bench is found again from a few of its own points.
#[test]
fn a_measured_curve_is_fitted() {
    let section = WireSection::round(0.4064);
    let Law::Flag(flag) = Law::superelastic() else { unreachable!() };
    let truth = Law::Flag(Flag {
        loading_start_mpa: 1.2 * flag.loading_start_mpa,
        loading_end_mpa: 1.2 * flag.loading_end_mpa,
        unloading_start_mpa: 1.4 * flag.unloading_start_mpa,
        unloading_end_mpa: 1.4 * flag.unloading_end_mpa,
        ..flag
    });
    let curve =
        bench::three_point(&Stock { section, law: truth }, &bench::ThreePoint::standard()).unwrap();
    let measured = MeasuredWire {
        span_mm: 10.0,
        loading: [1.0, 2.0].iter().map(|&x| (x, curve.loading_at(x).unwrap())).collect(),
        unloading: [2.0, 1.0].iter().map(|&x| (x, curve.unloading_at(x).unwrap())).collect(),
        to_mm: 3.1,
        edgewise: false,
    };
    let fitted = fit(&section, &Law::superelastic(), &measured).unwrap();
    assert!(fitted.worst_share < 0.01, "{fitted:?}");
    let Law::Flag(found) = fitted.law else { unreachable!() };
    let Law::Flag(truth) = truth else { unreachable!() };
    assert!((found.unloading_end_mpa / truth.unloading_end_mpa - 1.0).abs() < 0.05, "{found:?}");
}
