//! Cost of one solve of 14 brackets, cold and warm: `cargo bench -p springline-mechanics`.

// The index is the formula's.
#![allow(clippy::needless_range_loop)]

use divan::{Bencher, black_box};
use springline_mechanics::*;

fn main() {
    divan::main();
}

/// A crowded lower arch, 7 to 7, with brackets of the reference widths: an irregularity near 6 mm.
fn crowded(pairs: usize, wire: ArchWire) -> Setup {
    let station = [2.5, 7.75, 14.0, 21.0, 28.0, 37.0, 47.75];
    let mut slots = Vec::new();
    for n in 0..pairs {
        for side in [-1.0, 1.0] {
            let wave = side * (1.3 * n as f64 + 0.4 * side).sin();
            let front = if n < 3 { 1.0 } else { 0.2 };
            let width = if n < 2 { 2.5 } else { 3.0 };
            slots.push(Slot {
                stand: SlotPose {
                    lingual_mm: 0.9 * front * wave,
                    gingival_mm: 0.5 * front * (2.1 * n as f64 + side).cos(),
                    along_mm: 0.0,
                    rotated_rad: 0.15 * front * (n as f64 - 0.7 * side).sin(),
                    tipped_rad: 0.08 * front * wave,
                    torque_rad: 0.05 * wave,
                },
                ..Slot::bracket((10 * n) as u16 + u16::from(side > 0.0), side * station[n], width)
            });
        }
    }
    Setup {
        arch: ArchLine::Catenary { a_mm: 15.0 },
        slots,
        wire,
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    }
}

fn niti(mil: f64) -> ArchWire {
    ArchWire::new(WireSection::round(0.0254 * mil), Law::superelastic())
}

#[divan::bench]
fn cold_14_brackets_niti_014(bencher: Bencher) {
    let setup = crowded(7, niti(14.0));
    bencher.bench(|| solve(black_box(&setup), Start::Cold).unwrap());
}

/// The teeth have given a tenth of a millimetre: history carried, shape known.
#[divan::bench]
fn warm_14_brackets_niti_014(bencher: Bencher) {
    let setup = crowded(7, niti(14.0));
    let first = solve(&setup, Start::Cold).unwrap();
    let mut moved = setup;
    let most = first.worst().unwrap().resultant_n;
    for slot in &mut moved.slots {
        let t = first.tooth(slot.id).unwrap();
        slot.stand.lingual_mm += 0.1 * t.lingual_n / most;
        slot.stand.gingival_mm += 0.1 * t.gingival_n / most;
    }
    bencher.bench(|| solve(black_box(&moved), Start::Carry(&first)).unwrap());
}

#[divan::bench]
fn cold_14_brackets_niti_19x25(bencher: Bencher) {
    let section = WireSection::rectangular(0.0254 * 19.0, 0.0254 * 25.0, 0.0);
    let setup = crowded(7, ArchWire::new(section, Law::superelastic()));
    bencher.bench(|| solve(black_box(&setup), Start::Cold).unwrap());
}

#[divan::bench]
fn cold_14_brackets_steel_016(bencher: Bencher) {
    let setup = crowded(7, ArchWire::new(WireSection::round(0.0254 * 16.0), Law::steel()));
    bencher.bench(|| solve(black_box(&setup), Start::Cold).unwrap());
}

/// How it grows with brackets.
#[divan::bench(args = [2, 3, 4, 5, 6, 7])]
fn cold_by_pairs_of_brackets(bencher: Bencher, pairs: usize) {
    let setup = crowded(pairs, niti(14.0));
    bencher.bench(|| solve(black_box(&setup), Start::Cold).unwrap());
}

/// How it grows with fibres.
#[divan::bench(args = [4, 6, 8, 12, 16])]
fn cold_by_fibres_across(bencher: Bencher, across: usize) {
    let mut setup = crowded(7, niti(14.0));
    setup.settings.fibres_across = across;
    bencher.bench(|| solve(black_box(&setup), Start::Cold).unwrap());
}

#[divan::bench]
fn march_to_half_a_millimetre(bencher: Bencher) {
    let setup = crowded(7, niti(14.0));
    bencher.bench(|| march(black_box(&setup), &March::default()).unwrap());
}

#[divan::bench(sample_count = 10)]
fn band_of_sixteen(bencher: Bencher) {
    let setup = crowded(7, niti(14.0));
    bencher.bench(|| banded(black_box(&setup), &March::default(), &Spread::default()).unwrap());
}
