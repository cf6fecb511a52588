//! The march: what the wire does as the teeth give. Every statement here holds for any step length.

use crate::support::random::{Random, arch, wires};
use proptest::prelude::*;
use springline_mechanics::*;

/// Three brackets on a straight line, the middle one off by so much; nothing has play.
fn three(lingual_mm: f64, wire: ArchWire) -> Setup {
    let slot = |id, station_mm| Slot { play: Play::None, ..Slot::bracket(id, station_mm, 0.0) };
    let mut middle = slot(2, 0.0);
    middle.stand.lingual_mm = lingual_mm;
    Setup {
        arch: ArchLine::Straight,
        slots: vec![slot(1, -8.0), middle, slot(3, 8.0)],
        wire,
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    }
}

/// A linear wire between two neighbours is one spring. All three teeth give at the same mobility, the
/// outer ones half as far, so the force falls by `1.5 k` a millimetre of the middle one, over `1 + 1.5 k c`
/// for the mobility `c` that is there from the start. `k` is 48EI/L^3 on knife edges (statics of the
/// simply supported beam, Timoshenko and Gere, Mechanics of Materials).
#[test]
fn a_linear_wire_loses_force_as_its_spring_says() {
    let section = WireSection::round(0.4064);
    let mut setup = three(0.45, ArchWire::new(section, Law::steel()));
    setup.settings.kinematics = Kinematics::SmallSlope;
    let (vertical, _) = closed::flexural_rigidity(&section, &Law::steel()).unwrap();
    let (k, c) = (48.0 * vertical / 16.0_f64.powi(3), 0.1);
    let slope = k / (1.0 + 1.5 * c * k);
    let marched = march(&setup, &March::default()).unwrap();
    let middle = marched.tooth(2).unwrap();
    let near = |have: f64, way: f64| {
        let want = slope * (0.45 - 1.5 * way);
        assert!((have - want).abs() < 1e-3 * slope * 0.45, "{have} for {want} after {way} mm");
    };
    near(middle.peak_n(), 0.0);
    // All is spent when the middle tooth has given 0.3 mm and its neighbours 0.15, and nothing comes back.
    near(middle.delivered_n(), 0.2);
    assert!(middle.sustained_n() < March::default().floor_n, "{middle:?}");
}

/// A stiff wire with little to give: all of it is gone, and no tooth is thrown out on the other side.
#[test]
fn nothing_is_thrown_beyond_rest() {
    let section = WireSection::rectangular(0.0254 * 19.0, 0.0254 * 25.0, 0.0);
    for off_mm in [0.05, 0.1, 0.2] {
        let setup = three(off_mm, ArchWire::new(section, Law::steel()));
        let marched = march(&setup, &March::default()).unwrap();
        let (peak, later) = (marched.peak().1, marched.sustained().1);
        assert!(peak > 0.2 && later < 0.05, "{off_mm} mm: {peak} N, then {later} N");
        let way = marched.steps.last().unwrap().way_mm;
        assert!(way < off_mm, "{way} of {off_mm} mm");
    }
}

/// An implant gives nothing; its neighbours give all.
#[test]
fn an_implant_stays_where_it_is() {
    let mut setup = three(0.8, ArchWire::new(WireSection::round(0.3556), Law::superelastic()));
    let free = march(&setup, &March::default()).unwrap();
    setup.slots[1].support = Support::RIGID;
    let held = march(&setup, &March::default()).unwrap();
    assert!(held.tooth(2).unwrap().sustained_n() > free.tooth(2).unwrap().sustained_n());
    setup.slots.iter_mut().for_each(|s| s.support = Support::RIGID);
    let stuck = march(&setup, &March::default()).unwrap();
    assert!(stuck.steps.is_empty());
    assert_eq!(stuck.tooth(2).unwrap().inserted, stuck.tooth(2).unwrap().sustained);
}

/// Impossible ways are refused, not marched.
#[test]
fn bad_marches_are_refused() {
    let setup = three(0.3, ArchWire::new(WireSection::round(0.3556), Law::steel()));
    let usual = March::default();
    for how in [
        March { delivered_mm: 0.0, ..usual },
        March { delivered_mm: 0.6, ..usual },
        March { sustained_mm: 50.0, ..usual },
        March { floor_n: 0.0, ..usual },
        March { floor_n: f64::NAN, ..usual },
        March { steps: 1000, ..usual },
    ] {
        assert!(matches!(march(&setup, &how), Err(Refusal::Input { .. })), "{how:?}");
    }
}

fn crowded(seed: u64, irregularity_mm: f64) -> Setup {
    let wires = wires();
    let wire = wires[seed as usize % wires.len()].1.clone();
    arch(&mut Random(seed), irregularity_mm, wire)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// Giving way never stores energy, and the largest force of the arch never grows by it. That of one tooth
    /// may, where its neighbours pass their load on: no law bounds it, so this is what was measured, 26 g where the
    /// arch has 1.1 kg and 17 g where it has 280 g, the worst of 16,543 teeth in 1,500 arches.
    #[test]
    fn energy_and_the_largest_force_never_grow(
        seed in any::<u64>(),
        irregularity_mm in 0.1_f64..6.0,
    ) {
        let setup = crowded(seed, irregularity_mm);
        let Ok(marched) = march(&setup, &March::default()) else { return Ok(()) };
        let drive = |s: &Solution| {
            s.teeth.iter().map(|t| Components::from(t).drive_n()).fold(0.0, f64::max)
        };
        let mut before = &marched.inserted;
        let mut way = 0.0;
        for step in &marched.steps {
            let now = &step.solution;
            prop_assert!(now.energy_nmm <= before.energy_nmm * (1.0 + 1e-3) + 1e-3);
            prop_assert!(drive(now) <= drive(before) * 1.001 + 0.01, "{} then {}", drive(before), drive(now));
            prop_assert!(step.way_mm >= way);
            (before, way) = (now, step.way_mm);
        }
        let worst = [marched.peak().1, marched.delivered().1, marched.sustained().1];
        prop_assert!(worst[1] <= worst[0] + 0.01 && worst[2] <= worst[1] + 0.01, "{worst:?}");
        let passed_on = 0.147 + 0.05 * worst[0];
        for t in &marched.teeth {
            let most = t.peak_n() + passed_on;
            prop_assert!(t.delivered_n() <= most && t.sustained_n() <= most.max(t.delivered_n() + passed_on), "{t:?}");
        }
        let last = marched.steps.last().map_or(&marched.inserted, |s| &s.solution);
        prop_assert!(way >= 0.5 || drive(last) < March::default().floor_n);
    }

    /// The default steps tell what many small ones do: within a fiftieth of the arch's largest force as the
    /// wire goes in, the worst within that of its own.
    #[test]
    fn the_steps_are_small_enough(
        seed in any::<u64>(),
        irregularity_mm in 0.5_f64..4.0,
    ) {
        let setup = crowded(seed, irregularity_mm);
        let usual = March::default();
        let (Ok(coarse), Ok(fine)) = (march(&setup, &usual), march(&setup, &March { steps: 10, ..usual })) else {
            return Ok(());
        };
        let peak = fine.peak().1;
        for (a, b) in [(coarse.delivered(), fine.delivered()), (coarse.sustained(), fine.sustained())] {
            prop_assert!((a.1 - b.1).abs() <= 0.02 * peak + usual.floor_n, "{a:?} for {b:?}, {peak} N going in");
        }
    }
}
