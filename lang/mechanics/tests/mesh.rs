//! The mesh that the solver chooses, against one of five times as many elements everywhere.

use crate::support::random::{Random, arch, wires};
use springline_mechanics::*;

/// On random arches of up to 6 mm of irregularity whose strain a wire may bear (8 %): every force within
/// one per cent of the arch's largest, half of the arches within a thousandth.
#[test]
fn the_chosen_mesh_tells_what_a_fine_one_does() {
    let wires = wires();
    let mut deviations = Vec::new();
    for seed in 0..60_u64 {
        let mut random = Random(7000 + seed);
        let (name, wire) = &wires[seed as usize % wires.len()];
        let irregularity = random.between(0.5, 6.0);
        let setup = arch(&mut random, irregularity, wire.clone());
        let mut fine = setup.clone();
        fine.settings.refinement = 5;
        let (Ok(have), Ok(want)) = (solve(&setup, Start::Cold), solve(&fine, Start::Cold)) else {
            continue;
        };
        let largest = want.worst().unwrap().resultant_n;
        if want.strain > 0.08 || largest < 0.1 {
            continue;
        }
        let off = have
            .teeth
            .iter()
            .zip(&want.teeth)
            .map(|(a, b)| (a.lingual_n - b.lingual_n).hypot(a.gingival_n - b.gingival_n))
            .fold(0.0, f64::max);
        deviations.push((off / largest, seed, *name, largest, want.strain));
    }
    deviations.sort_by(|a, b| a.0.total_cmp(&b.0));
    let worst = deviations[deviations.len() - 1];
    let median = deviations[deviations.len() / 2].0;
    println!("{} arches, median {median:.1e}, worst {worst:?}", deviations.len());
    assert!(deviations.len() > 30);
    assert!(worst.0 < 1e-2, "{worst:?}");
    assert!(median < 1e-3, "{median}");
}
