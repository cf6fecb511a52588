//! Sound examples with faults put into them: unsafe ones are found, harmless ones give no new finding.
//!
//! The everyday run takes a bounded, seeded sample. The full run takes all of them and writes the page:
//! `UPDATE_DOCS=1 cargo test --release -p springline-tests --test faults -- --ignored`.
//! `SPRINGLINE_FAULT=coil TELL=1` runs the operators whose name holds that, and tells.

use std::fs;
use std::path::Path;

use springline_tests::faults::operators::all;
use springline_tests::faults::report::Report;
use springline_tests::faults::run::{Draw, run};

fn tell(report: &Report<'_>) {
    if std::env::var_os("TELL").is_some() {
        println!("{}\n{}", report.told(), report.summary());
    }
}

#[test]
fn there_are_enough_kinds() {
    let operators = all();
    let harmless = operators.iter().filter(|o| o.is_harmless()).count();
    assert!(harmless >= 15, "{harmless} harmless kinds");
    assert!(operators.len() - harmless >= 40, "{} unsafe kinds", operators.len() - harmless);
    let mut names: Vec<_> = operators.iter().map(|o| o.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), operators.len(), "a name stands twice");
    for o in operators {
        assert!(!o.criterion.is_empty(), "{}: nothing says what it is", o.name);
        assert!(o.is_harmless() || !o.place.is_empty(), "{}: no lines are named", o.name);
    }
}

#[test]
fn a_sample_of_faults_is_found() {
    let results = run(Draw::SAMPLE);
    let report = Report::of(&results);
    tell(&report);
    let unexplained: Vec<_> =
        report.misses().filter(|r| r.operator.known.is_empty()).map(|r| r.operator.name).collect();
    assert!(unexplained.is_empty(), "{unexplained:?}\n{}", report.told());
    assert!(report.harmful.made >= 40, "{}", report.summary());
}

#[test]
#[ignore = "minutes; in release: see DEVELOPERS.md"]
fn all_faults_are_found() {
    let results = run(Draw::FULL);
    let report = Report::of(&results);
    tell(&report);
    if std::env::var_os("SPRINGLINE_FAULT").is_some() {
        return;
    }
    let page = report.page();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("faults.md");
    if std::env::var_os("UPDATE_DOCS").is_some() {
        fs::write(&path, &page).unwrap();
    }
    let unexplained: Vec<_> =
        report.misses().filter(|r| r.operator.known.is_empty()).map(|r| r.operator.name).collect();
    assert!(report.harmful.made >= 2000, "{}", report.summary());
    assert!(report.harmful.caught() >= 0.99, "{}", report.summary());
    assert!(report.harmful.at_its_place() >= 0.95, "{}", report.summary());
    assert_eq!(report.harmless.otherwise, 0, "{}", report.summary());
    assert!(unexplained.is_empty(), "{unexplained:?}");
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == page, "tests/faults.md is stale: run this with UPDATE_DOCS=1");
}
