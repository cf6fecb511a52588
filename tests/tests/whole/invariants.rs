//! What must hold for any input: the inputs kept by the fuzz targets, every past crash among them, and
//! seeded draws. Longer runs: see `tests/fuzz`.

use std::path::Path;

use springline_tests::invariants::CHECKS;

/// A seed is an input for ever.
fn bytes(seed: u64) -> Vec<u8> {
    let mut random = fastrand::Rng::with_seed(seed);
    (0..random.usize(8..408)).map(|_| random.u8(..)).collect()
}

fn check(name: &str) -> fn(&[u8]) {
    CHECKS.iter().find(|(n, _)| *n == name).expect("a check of that name").1
}

fn run(name: &str, draws: u64) {
    let check = check(name);
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(name);
    let mut kept: Vec<_> = std::fs::read_dir(folder)
        .map(|all| all.flatten().map(|e| e.path()).collect())
        .unwrap_or_default();
    kept.sort();
    for path in &kept {
        println!("{}", path.display());
        check(&std::fs::read(path).expect("a kept input"));
    }
    for seed in 0..draws {
        println!("{name}, seed {seed}");
        check(&bytes(seed));
    }
}

#[test]
fn reading_is_lossless() {
    run("parse", 300);
}

#[test]
fn the_formatter_settles_once() {
    run("format", 200);
}

#[test]
fn any_text_compiles_or_is_told_why() {
    run("compile", 30);
}

#[test]
fn a_record_loses_nothing() {
    run("seen", 200);
}

#[test]
fn the_wire_gives_numbers_or_a_reason() {
    run("mechanics", 100);
}

#[test]
fn an_edited_document_is_as_a_fresh_one() {
    run("server", 4);
}
