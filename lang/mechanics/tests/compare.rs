//! Our side of the comparison with a general finite-element package (docs/compare_opensees.py).

use crate::support::*;
use springline_mechanics::*;
use std::time::Instant;

#[test]
#[ignore = "prints figures for the script"]
fn figures_for_the_comparison() {
    let inputs = case("G02")["inputs"].clone();
    let centre = numbers(&inputs["bracket_centre_x_mm"]);
    let width = numbers(&inputs["bracket_width_mm"]);
    let offset = numbers(&inputs["offset_mm"]);
    let slots = (0..centre.len())
        .map(|i| Slot {
            stand: SlotPose { gingival_mm: offset[i], ..SlotPose::default() },
            play: Play::None,
            support: Support::RIGID,
            ..Slot::bracket(i as u16, centre[i], width[i])
        })
        .collect();
    let mut settings = strict(Kinematics::SmallSlope);
    settings.refinement = 1;
    let setup = straight(slots, WireSection::round(0.4064), elastic(200_000.0), settings);
    let (solution, spent) = fastest(|| solve(&setup, Start::Cold).unwrap());
    let edges: Vec<f64> =
        solution.teeth.iter().flat_map(|t| t.edges.iter().map(|e| -e.gingival_n)).collect();
    println!("COMPARE linear {}", list(&edges));
    println!("COMPARE linear_time {spent}");

    let x = [0.0, 3.0, 8.0, 11.0, 16.0, 19.0];
    let law = Law::Flag(Flag::endless(50_000.0, 800.0, 450.0, 0.55));
    for (key, section, path) in [
        ("round", WireSection::round(0.3556), [0.5, 1.5, 1.0, 0.5, 0.2]),
        ("flat", WireSection::rectangular(0.4826, 0.635, 0.0), [1.5, 1.3, 1.1, 0.9, 0.5]),
    ] {
        let run = || {
            let mut last: Option<Solution> = None;
            let mut forces = Vec::new();
            for target in path {
                let off = |i: usize| if i == 2 || i == 3 { target } else { 0.0 };
                let slots = (0..6).map(|i| knife(i, x[i], off(i))).collect();
                let settings =
                    SolverSettings { force_tolerance_n: 1e-4, ..strict(Kinematics::SmallSlope) };
                let setup = straight(slots, section, law, settings);
                let start = last.as_ref().map_or(Start::Cold, Start::Carry);
                let solution = solve(&setup, start).unwrap();
                forces.extend(on_wire(&solution));
                last = Some(solution);
            }
            forces
        };
        let (forces, spent) = fastest(run);
        println!("COMPARE {key} {}", list(&forces));
        println!("COMPARE {key}_time {spent}");
    }
}

/// The answer, and the fastest of twenty runs, s.
fn fastest<T>(run: impl Fn() -> T) -> (T, f64) {
    let timed = || {
        let start = Instant::now();
        let answer = run();
        (answer, start.elapsed().as_secs_f64())
    };
    (0..20).map(|_| timed()).min_by(|a, b| a.1.total_cmp(&b.1)).unwrap()
}

fn list(numbers: &[f64]) -> String {
    numbers.iter().map(f64::to_string).collect::<Vec<_>>().join(" ")
}
