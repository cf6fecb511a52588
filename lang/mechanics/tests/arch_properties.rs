//! What physics says of every wire: energy, mirror, rigid motion, balance, convergence of mesh and of march, on random
//! arches of teeth on roots, and of wires measured from the slot line. A sample here; a thousand of each with
//! `cargo test --release -p springline-mechanics --test physics -- --ignored --nocapture arch_properties`.

use crate::support::random::{Random, arch, wires};
use springline_mechanics::*;

fn across() -> SolverSettings {
    SolverSettings::default().over_the_slots()
}

/// Which arches.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Arches {
    /// Teeth on roots, as in a plan, of up to 8 mm of irregularity.
    OnRoots,
    /// The wire measured from the slot line, of up to 12 mm.
    OverTheSlots,
}

const ROOT: Root = Root {
    centre_mm: [4.0, 10.5, 0.0],
    tip_lever_mm: 3.5,
    torque_lever_mm: 3.5,
    turn_lever_mm: 2.0,
};

fn case(arches: Arches, seed: u64) -> Setup {
    let mut random = Random(seed.wrapping_mul(0x9e37_79b9) + 17);
    let wires = wires();
    let wire = wires[seed as usize % wires.len()].1.clone();
    let most = if arches == Arches::OnRoots { 8.0 } else { 12.0 };
    let irregularity = random.between(0.0, most);
    let mut setup = arch(&mut random, irregularity, wire);
    match arches {
        Arches::OverTheSlots => setup.settings = across(),
        Arches::OnRoots => {
            for slot in &mut setup.slots {
                slot.support = Support::root(random.between(0.03, 0.08), &ROOT);
            }
        }
    }
    setup
}

/// The whole arch lifted; and, on a circle, turned about its centre.
fn moved(setup: &Setup) -> Setup {
    let mut out = setup.clone();
    let turn = if matches!(setup.arch, ArchLine::Circle { .. }) { 1.5 } else { 0.0 };
    for slot in &mut out.slots {
        slot.stand.gingival_mm += 1.3;
        // Mesial and distal stay the same sides.
        if (slot.station_mm > 0.0) == (slot.station_mm + turn > 0.0)
            || slot.engagement == Engagement::Full
        {
            slot.station_mm += turn;
        } else {
            return setup.clone();
        }
    }
    out
}

fn largest_force(s: &Solution) -> f64 {
    let all = s.teeth.iter().flat_map(|t| [t.lingual_n, t.gingival_n, t.along_n]);
    all.fold(0.0, |m, x| m.max(x.abs()))
}

/// Largest difference of any force, over the largest force, where there is one worth telling.
fn apart(a: &Solution, b: &Solution, mirrored: bool) -> f64 {
    let size = largest_force(b).max(0.2);
    let sign = if mirrored { -1.0 } else { 1.0 };
    let count = b.teeth.len();
    (0..count)
        .map(|n| {
            let (x, y) = (&a.teeth[n], &b.teeth[if mirrored { count - 1 - n } else { n }]);
            (x.lingual_n - y.lingual_n)
                .abs()
                .max((x.gingival_n - y.gingival_n).abs())
                .max((x.along_n - sign * y.along_n).abs())
        })
        .fold(0.0, f64::max)
        / size
}

fn mirror(setup: &Setup) -> Setup {
    let mut out = setup.clone();
    for slot in &mut out.slots {
        slot.station_mm = -slot.station_mm;
        slot.stand.along_mm = -slot.stand.along_mm;
        slot.stand.rotated_rad = -slot.stand.rotated_rad;
        slot.stand.tipped_rad = -slot.stand.tipped_rad;
        // A wing is mesial or distal by its side.
    }
    out
}

#[derive(Default)]
struct Found {
    solved: usize,
    rises: usize,
    /// Shares of the largest force by which arches are off, sorted.
    of: std::collections::BTreeMap<&'static str, Vec<(f64, u64)>>,
}

impl Found {
    fn note(&mut self, what: &'static str, off: f64, seed: u64) {
        self.of.entry(what).or_default().push((off, seed));
    }
}

fn look(arches: Arches, count: u64) -> Found {
    let mut found = Found::default();
    for seed in 0..count {
        let setup = case(arches, seed);
        let Ok(s) = solve(&setup, Start::Cold) else { continue };
        found.solved += 1;
        let rises = |step: &SolveStep| {
            let rounding = 1e-10 * (1.0 + step.potential_before_nmm.abs());
            step.potential_after_nmm > step.potential_before_nmm + rounding
        };
        found.rises += usize::from(s.trace.iter().any(rises));
        if let Ok(other) = solve(&mirror(&setup), Start::Cold) {
            found.note("mirror", apart(&other, &s, true), seed);
        }
        let mut fine = setup.clone();
        fine.settings.refinement = 6;
        if let Ok(fine) = solve(&fine, Start::Cold) {
            found.note("mesh", apart(&s, &fine, false), seed);
            let size = largest_force(&fine).max(0.2);
            found.note("balance", fine.unbalanced.force_n / size, seed);
        }
        if arches == Arches::OnRoots
            && let Ok(other) = solve(&moved(&setup), Start::Cold)
        {
            found.note("rigid", apart(&other, &s, false), seed);
        }
        let usual = March::default();
        let many = March { steps: 10, ..usual };
        if let (Ok(few), Ok(many)) = (march(&setup, &usual), march(&setup, &many)) {
            let peak = many.peak().1.max(0.2);
            let (a, b) =
                (few.sustained().1 - many.sustained().1, few.delivered().1 - many.delivered().1);
            found.note("march", a.abs().max(b.abs()) / peak, seed);
        }
    }
    for (what, all) in &mut found.of {
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let at = |share: f64| 100.0 * all[((all.len() - 1) as f64 * share) as usize].0;
        println!(
            "| {what} | {} | {:.2} | {:.2} | {:.2} | {:.2} |",
            all.len(),
            at(0.5),
            at(0.9),
            at(0.99),
            at(1.0)
        );
        if std::env::var_os("SHOW").is_some() {
            println!("  {:?}", &all[all.len().saturating_sub(8)..]);
        }
    }
    println!("{} of {count} solved; the potential rose in {}", found.solved, found.rises);
    found
}

impl Found {
    /// Off by so much at most in all but the worst share of the arches.
    fn hold(&self, what: &str, but: f64, most: f64) {
        let all = &self.of[what];
        let (off, seed) = all[((all.len() - 1) as f64 * (1.0 - but)) as usize];
        assert!(off <= most, "{what}: {off} at {seed}");
    }
}

/// The first two are asked of the answer and found up to the search's accuracy; where a crowded wire has two resting shapes
/// the imperfection that chooses one is mirrored but not moved, so that a turned arch may rest in the other, in one in
/// twenty at most. The others are what
/// the chosen mesh and the few steps of a march leave, as found: nine in ten arches within these shares of the largest force.
fn as_found(arches: Arches, found: &Found) {
    assert_eq!(found.rises, 0, "the potential rose");
    found.hold("mirror", 0.05, 0.01);
    found.hold("mesh", 0.1, 0.03);
    found.hold("balance", 0.1, 0.03);
    found.hold("march", 0.1, 0.04);
    if arches == Arches::OnRoots {
        found.hold("rigid", 0.05, 0.01);
    }
}

#[test]
fn forty_random_arches() {
    as_found(Arches::OverTheSlots, &look(Arches::OverTheSlots, 40));
}

#[test]
fn thirty_random_arches_on_roots() {
    as_found(Arches::OnRoots, &look(Arches::OnRoots, 30));
}

#[test]
#[ignore = "many minutes"]
fn a_thousand_random_arches() {
    as_found(Arches::OverTheSlots, &look(Arches::OverTheSlots, 1000));
}

#[test]
#[ignore = "many minutes"]
fn a_thousand_random_arches_on_roots() {
    as_found(Arches::OnRoots, &look(Arches::OnRoots, 1000));
}

/// All slots of a straight arch moved together: as many degrees about an axis across it, and the same forces in the
/// axes that went with them. The arch line stays where it was.
#[test]
fn slots_moved_together_feel_the_same() {
    let offs = [0.0, 0.6, -0.3, 0.9, 0.0, -0.5];
    for wire in [
        ArchWire::new(WireSection::round(0.3556), Law::superelastic()),
        ArchWire::new(WireSection::rectangular(0.4318, 0.635, 0.0), Law::beta_titanium()),
    ] {
        for inward in [false, true] {
            let setup = |angle: f64| {
                let (sin, cos) = angle.sin_cos();
                let slots = offs.iter().enumerate().map(|(n, off)| {
                    let x = 7.0 * n as f64 - 17.5;
                    let mut stand = SlotPose { along_mm: x * cos - x, ..SlotPose::default() };
                    if inward {
                        stand.along_mm -= off * sin;
                        stand.lingual_mm = x * sin + off * cos;
                        stand.rotated_rad = angle;
                    } else {
                        stand.along_mm -= off * sin;
                        stand.gingival_mm = x * sin + off * cos;
                        stand.tipped_rad = angle;
                    }
                    Slot { stand, support: Support::RIGID, ..Slot::bracket(n as u16, x, 3.0) }
                });
                Setup {
                    arch: ArchLine::Straight,
                    slots: slots.collect(),
                    wire: wire.clone(),
                    loads: Vec::new(),
                    settings: across(),
                    ties: Vec::new(),
                }
            };
            let level = solve(&setup(0.12), Start::Cold).unwrap();
            let turned = solve(&setup(0.5), Start::Cold).unwrap();
            let off = (turned.energy_nmm / level.energy_nmm - 1.0).abs();
            assert!(off < 1e-4, "{off}");
            let (sin, cos) = 0.38_f64.sin_cos();
            for (a, b) in level.teeth.iter().zip(&turned.teeth) {
                let (x, y) =
                    if inward { (a.lingual_n, b.lingual_n) } else { (a.gingival_n, b.gingival_n) };
                let size = 1e-3 * largest_force(&level);
                assert!((b.along_n - (cos * a.along_n - sin * x)).abs() < size, "{a:?} {b:?}");
                assert!((y - (sin * a.along_n + cos * x)).abs() < size, "{a:?} {b:?}");
            }
        }
    }
}
