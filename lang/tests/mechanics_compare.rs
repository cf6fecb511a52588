//! Our side of the comparison with a general finite-element package (docs/compare_opensees.py).

mod mechanics_support;

use mechanics_support::*;
use springline_lang::mechanics::*;
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
            stand: Stand { gingival_mm: offset[i], ..Stand::default() },
            play: Play::None,
            support: Support::RIGID,
            ..Slot::bracket(i as u16, centre[i], width[i])
        })
        .collect();
    let mut settings = strict(Kinematics::SmallSlope);
    settings.refinement = 1;
    let setup = straight(slots, Section::round(0.4064), elastic(200_000.0), settings);
    let start = Instant::now();
    let solution = solve(&setup, Start::Cold).unwrap();
    let spent = start.elapsed().as_secs_f64();
    let edges: Vec<String> = solution
        .teeth
        .iter()
        .flat_map(|t| t.edges.iter().map(|e| (-e.gingival_n).to_string()))
        .collect();
    println!("COMPARE linear {}", edges.join(" "));
    println!("COMPARE linear_time {spent}");

    let x = [0.0, 3.0, 8.0, 11.0, 16.0, 19.0];
    let law = Law::Flag(Flag::endless(50_000.0, 800.0, 450.0, 0.55));
    let mut last: Option<Solution> = None;
    let mut forces = Vec::new();
    let start = Instant::now();
    for target in [0.5, 1.5, 1.0, 0.5, 0.2] {
        let slots =
            (0..6).map(|i| knife(i, x[i], if i == 2 || i == 3 { target } else { 0.0 })).collect();
        let settings = Settings { force_tolerance_n: 1e-4, ..strict(Kinematics::SmallSlope) };
        let setup = straight(slots, Section::round(0.3556), law, settings);
        let solution = solve(&setup, last.as_ref().map_or(Start::Cold, Start::Carry)).unwrap();
        forces.extend(on_wire(&solution).iter().map(f64::to_string));
        last = Some(solution);
    }
    println!("COMPARE superelastic {}", forces.join(" "));
    println!("COMPARE superelastic_time {}", start.elapsed().as_secs_f64());
}
