//! The curve bent into a wire in the sagittal plane: its sense and size against beam statics.

use springline_mechanics::*;

const CURVE: ReverseCurve = ReverseCurve { depth_mm: 2.0 };

fn steel_16() -> ArchWire {
    ArchWire::new(WireSection::round(0.016 * 25.4), Law::steel())
}

fn curved(wire: ArchWire, depth_mm: f64) -> ArchWire {
    ArchWire { reverse_curve: Some(ReverseCurve { depth_mm }), ..wire }
}

/// A bench slot: no play, nothing gives.
fn held(id: u16, station_mm: f64, width_mm: f64) -> Slot {
    Slot { play: Play::None, support: Support::RIGID, ..Slot::bracket(id, station_mm, width_mm) }
}

fn setup(arch: ArchLine, slots: Vec<Slot>, wire: ArchWire) -> Setup {
    Setup {
        arch,
        slots,
        wire,
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    }
}

/// The same, solved to the last digit on a fine mesh.
fn finely(arch: ArchLine, slots: Vec<Slot>, wire: ArchWire) -> Solution {
    let settings = SolverSettings {
        refinement: 4,
        force_tolerance_n: 1e-7,
        barrier_nmm: 1e-10,
        ..SolverSettings::default()
    };
    solve(&Setup { settings, ..setup(arch, slots, wire) }, Start::Cold).unwrap()
}

fn gingival(solution: &Solution, id: u16) -> f64 {
    solution.tooth(id).unwrap().gingival_n
}

/// Depth 2 mm over 30 mm is an arc of radius 56 mm (sagitta of a flat arc, c^2 / 8d).
#[test]
fn the_depth_is_read_over_the_chord() {
    assert!((CURVE.curvature_per_mm() - 1.0 / 56.25).abs() < 1e-12);
}

/// Where the wire runs straight back, an arc of curvature k over two spans L, held level by three knife
/// edges: 3 EI k / L in the middle, to the bite, and half of it at either end, to the gum (a simple beam of
/// span 2 L pressed flat by its sagitta k L^2 / 2: F = 48 EI / (2 L)^3 times that; structural handbooks).
#[test]
fn three_supports_take_what_a_beam_of_that_sag_takes() {
    // A quarter of a huge circle: there the wire runs backwards, and is as good as straight.
    let arch = ArchLine::Circle { radius_mm: 600.0 };
    let middle = 300.0 * std::f64::consts::PI;
    // A square wire in slots of its own size, or it would roll its curve to the side.
    let section = WireSection::square(0.4, 0.0);
    let slot = |(x, id)| Slot {
        height_mm: 0.4,
        depth_mm: 0.4,
        play: Play::Geometric,
        ..held(id, middle + x, 0.0)
    };
    let slots = [-15.0, 0.0, 15.0].into_iter().zip(1..).map(slot).collect();
    let wire = ArchWire { shear: Shear::Off, ..curved(ArchWire::new(section, Law::steel()), 2.0) };
    let s = solve(&setup(arch, slots, wire), Start::Cold).unwrap();
    let (ei, _) = closed::flexural_rigidity(&section, &Law::steel()).unwrap();
    let wanted = 3.0 * ei * CURVE.curvature_per_mm() / 15.0;
    for (id, share) in [(1, 0.5), (2, -1.0), (3, 0.5)] {
        let have = gingival(&s, id);
        assert!((have - share * wanted).abs() < 0.01 * wanted, "{id}: {have} for {wanted}");
    }
}

/// Gingival forces on the teeth of one side, at these places of contact, from small-slope statics of the
/// curved wire: the forces whose complementary energy is least, `sum of M C M / 2 + M k`, among those that
/// balance. It shares nothing with the solver. Stations from the midline; both sides alike.
fn statics(arch: &ArchLine, at: &[f64], wire: &ArchWire, depth_mm: f64) -> Vec<f64> {
    let Stock { section, law } = wire.stock;
    let (ei, _) = closed::flexural_rigidity(&section, &law).unwrap();
    let gj = closed::torsional_rigidity(&section, &law).unwrap();
    let k = ReverseCurve { depth_mm }.curvature_per_mm();
    let place: Vec<[f64; 2]> = at.iter().map(|s| arch.place(*s).0).collect();
    // Balanced sets of forces: two first ones, and each other against them.
    let sets: Vec<Vec<f64>> = (2..at.len())
        .map(|i| {
            let (y0, y1, y) = (place[0][1], place[1][1], place[i][1]);
            let second = -(y - y0) / (y1 - y0);
            let mut set = vec![0.0; at.len()];
            (set[0], set[1], set[i]) = (-1.0 - second, second, 1.0);
            set
        })
        .collect();
    // Moment at a place of the wire from all that pushes farther out: about the wire and across it.
    let moment = |set: &[f64], s: f64| {
        let ([x, y], angle) = arch.place(s);
        let mut m = [0.0; 2];
        for (i, f) in set.iter().enumerate().filter(|(i, _)| at[*i] > s) {
            m[0] += f * (place[i][1] - y);
            m[1] -= f * (place[i][0] - x);
        }
        let (sin, cos) = angle.sin_cos();
        ([m[0] * cos + m[1] * sin, m[1] * cos - m[0] * sin], [k * sin * cos, -k * sin * sin])
    };
    let n = sets.len();
    let (mut a, mut b) = (vec![vec![0.0; n]; n], vec![0.0; n]);
    let end = at[at.len() - 1];
    let parts = 40_000;
    for part in 0..parts {
        let ds = end / f64::from(parts);
        let s = (f64::from(part) + 0.5) * ds;
        let all: Vec<_> = sets.iter().map(|set| moment(set, s)).collect();
        for i in 0..n {
            let ([t, v], [twist, bend]) = all[i];
            b[i] -= ds * (t * twist + v * bend);
            for j in 0..n {
                let [u, w] = all[j].0;
                a[i][j] += ds * (t * u / gj + v * w / ei);
            }
        }
    }
    let share = eliminate(a, b);
    // What presses on the wire presses the other way on the teeth.
    (0..at.len()).map(|p| -(0..n).map(|i| share[i] * sets[i][p]).sum::<f64>()).collect()
}

fn eliminate(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Vec<f64> {
    let n = b.len();
    for i in 0..n {
        for j in i + 1..n {
            let f = a[j][i] / a[i][i];
            let (above, below) = a.split_at_mut(j);
            for (x, y) in below[0][i..].iter_mut().zip(&above[i][i..]) {
                *x -= f * y;
            }
            b[j] -= f * b[i];
        }
    }
    for i in (0..n).rev() {
        for j in i + 1..n {
            b[i] -= a[i][j] * b[j];
        }
        b[i] /= a[i][i];
    }
    b
}

/// Both sides of a row of stations and widths.
fn both(side: &[(f64, f64)], slot: impl Fn(u16, f64, f64) -> Slot) -> Vec<Slot> {
    let mut slots = Vec::new();
    for (n, (s, w)) in side.iter().enumerate() {
        slots.push(slot(n as u16, *s, *w));
        slots.push(slot(100 + n as u16, -s, *w));
    }
    slots
}

const ARCHES: [ArchLine; 2] =
    [ArchLine::Circle { radius_mm: 22.0 }, ArchLine::Catenary { a_mm: 15.0 }];
/// Centrals, laterals and the tubes of the first molars.
const TWO_BY_FOUR: [(f64, f64); 3] = [(4.25, 0.0), (11.0, 0.0), (37.0, 4.0)];

/// Incisors and first molars only: the tubes' couples push the incisors to the gum.
#[test]
fn a_two_by_four_intrudes_as_statics_has_it() {
    for arch in ARCHES {
        let wire = steel_16();
        let s =
            solve(&setup(arch, both(&TWO_BY_FOUR, held), curved(wire.clone(), 0.2)), Start::Cold)
                .unwrap();
        let wanted = statics(&arch, &[4.25, 11.0, 35.0, 39.0], &wire, 0.2);
        let incisors = wanted[0] + wanted[1];
        assert!(incisors > 0.0, "{wanted:?}");
        for id in [0, 100] {
            for n in 0..2 {
                let have = gingival(&s, id + n);
                let want = wanted[n as usize];
                assert!((have - want).abs() < 0.01 * incisors, "{arch:?} {id} {n}: {have} {want}");
            }
            let molar = s.tooth(id + 2).unwrap();
            for (edge, want) in molar.edges.iter().zip(if id == 0 {
                [wanted[2], wanted[3]]
            } else {
                [wanted[3], wanted[2]]
            }) {
                let have = edge.gingival_n;
                assert!((have - want).abs() < 0.01 * want.abs(), "{arch:?} {id}: {have} {want}");
            }
            // All that the incisors are pushed the molars are pushed the other way.
            assert!((molar.gingival_n + incisors).abs() < 0.02 * incisors);
        }
    }
}

/// A full arch as statics has it, in knife edges: to the gum in front and behind, to the bite between.
#[test]
fn incisors_and_molars_go_to_the_gum_and_premolars_to_the_bite() {
    let side = [2.75, 8.5, 15.0, 22.0, 29.0, 38.0];
    let knives: Vec<(f64, f64)> = side.map(|s| (s, 0.0)).to_vec();
    for arch in ARCHES {
        let wire = steel_16();
        let s = solve(&setup(arch, both(&knives, held), curved(wire.clone(), 0.2)), Start::Cold)
            .unwrap();
        let wanted = statics(&arch, &side, &wire, 0.2);
        let most = wanted.iter().fold(0.0_f64, |a, b| a.max(b.abs()));
        for (n, want) in wanted.iter().enumerate() {
            for id in [0, 100] {
                let have = gingival(&s, id + n as u16);
                assert!((have - want).abs() < 0.01 * most, "{arch:?} {n}: {have} for {want}");
            }
        }
        let front = wanted[0] + wanted[1];
        assert!(front > 0.0 && wanted[5] > 0.0 && wanted[3] + wanted[4] < 0.0, "{wanted:?}");
    }
}

/// Where the slots lie on the bent wire's own curve it does nothing.
#[test]
fn slots_on_the_curve_itself_are_left_alone() {
    for arch in ARCHES {
        for (depth_mm, share) in [(0.2, 1e-3), (2.0, 1e-2)] {
            let radius = 1.0 / ReverseCurve { depth_mm }.curvature_per_mm();
            let sides = [2.75, 8.5, 15.0, 22.0, 29.0, 36.0];
            let all: Vec<f64> = sides.iter().flat_map(|s| [*s, -s]).collect();
            let on_curve = all.iter().zip(1..).map(|(s, id)| {
                // The flat form laid on the cylinder, level at the first premolars.
                let level = arch.place(22.0).0[1];
                let [x, y] = arch.place(*s).0;
                let back = level + radius * ((y - level) / radius).sin();
                let (station, lingual) = beside(&arch, [x, back], *s);
                let mut slot = held(id, station, 0.0);
                slot.stand.lingual_mm = lingual;
                slot.stand.gingival_mm = radius * (1.0 - ((y - level) / radius).cos());
                slot
            });
            let level = all.iter().zip(1..).map(|(s, id)| held(id, *s, 0.0)).collect();
            let wire = curved(steel_16(), depth_mm);
            let most = |slots| {
                let s = finely(arch, slots, wire.clone());
                s.teeth.iter().map(|t| t.resultant_n).fold(0.0, f64::max)
            };
            let (follows, flat) = (most(on_curve.collect()), most(level));
            assert!(follows < share * flat, "{arch:?} {depth_mm}: {follows} of {flat}");
        }
    }
}

/// Station and depth of a point beside the line.
fn beside(arch: &ArchLine, point: [f64; 2], guess: f64) -> (f64, f64) {
    let mut s = guess;
    for _ in 0..100 {
        let (at, angle) = arch.place(s);
        let (sin, cos) = angle.sin_cos();
        s += cos * (point[0] - at[0]) + sin * (point[1] - at[1]);
    }
    let (at, angle) = arch.place(s);
    let (sin, cos) = angle.sin_cos();
    (s, cos * (point[1] - at[1]) - sin * (point[0] - at[0]))
}

/// Brackets with play on teeth that give, the curve of a working wire: no net force or moment, both sides
/// alike, and the sense that opens a bite. The incisors are rolled crown to the lip.
#[test]
fn a_working_wire_is_in_balance_and_opens_the_bite() {
    let all =
        [(2.75, 2.5), (8.5, 2.5), (15.0, 3.0), (22.0, 3.0), (29.0, 3.0), (38.0, 4.0), (48.0, 4.0)];
    for (arch, last) in ARCHES.into_iter().flat_map(|a| [(a, 5), (a, 6)]) {
        let section = WireSection::rectangular(0.019 * 25.4, 0.025 * 25.4, 0.04);
        let slots = both(&all[..=last], Slot::bracket);
        let s = finely(arch, slots, curved(ArchWire::new(section, Law::steel()), 2.0));
        let most = s.worst().unwrap().resultant_n;
        let (mut force, mut moment) = (0.0, 0.0);
        for edge in s.teeth.iter().flat_map(|t| &t.edges) {
            let ([_, y], angle) = arch.place(edge.station_mm);
            let (sin, cos) = angle.sin_cos();
            force += edge.gingival_n;
            moment += edge.gingival_n * (y + cos * edge.wire_lingual_mm) + edge.torque_nmm * cos;
            // What pushes along the sloping wire does so above or below the line.
            moment -= (edge.along_n * sin + edge.lingual_n * cos) * edge.wire_gingival_mm;
        }
        assert!(force.abs() < 1e-5, "{force}");
        // The curve stays at its stations while the wire slides, which costs a trace of the balance.
        assert!(moment.abs() < 0.01 * most * 30.0, "{moment}");
        for n in 0..=last as u16 {
            let (left, right) = (gingival(&s, n), gingival(&s, 100 + n));
            assert!((left - right).abs() < 1e-4, "{n}: {left} {right}");
        }
        let front = gingival(&s, 0) + gingival(&s, 1);
        let between = gingival(&s, 3) + gingival(&s, 4);
        let back = gingival(&s, last as u16);
        assert!(front > 0.1 && back > 0.1 && between < -0.1, "{front} {between} {back}");
        assert!(s.tooth(0).unwrap().torque_nmm < 0.0);
    }
}
