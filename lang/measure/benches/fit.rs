//! Cost of reading both arches with their bands, 64 re-picks each: `cargo bench -p springline-measure`. An editor that shows
//! line and stands while points are picked asks for it at every point, so it may take 50 ms.

use divan::{Bencher, black_box};
use springline_measure::*;
use springline_mechanics::ArchLine;
use springline_text::FileId;

fn main() {
    divan::main();
}

fn measured(bencher: Bencher, line: FormToLay) {
    let text = include_str!("../tests/points/both-arches.csv");
    let table = read_csv(FileId(0), text).0.expect("points");
    let options = MeasureOptions {
        upper: line,
        lower: line,
        loss: FitLoss::Cauchy,
        in_line: Vec::new(),
        error_mm: 0.2,
        anatomy: MeasureAnatomy::default(),
    };
    bencher.bench(|| measure_points(black_box(&table), &options));
}

#[divan::bench]
fn both_arches_form_given(bencher: Bencher) {
    measured(bencher, FormToLay::Given(ArchLine::Catenary { a_mm: 14.0 }));
}

#[divan::bench]
fn both_arches_catenary_fitted(bencher: Bencher) {
    measured(bencher, FormToLay::FittedCatenary);
}

#[divan::bench]
fn both_arches_by_widths_fitted(bencher: Bencher) {
    measured(bencher, FormToLay::FittedWidths);
}
