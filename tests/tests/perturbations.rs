//! Perturbations by method (see `tests/src/perturb`).

use springline_tests::perturb::kinds;
use springline_tests::perturb::run::{Draw, run};
use springline_tests::perturb::table::{PAGE, Table, Wanted};

#[test]
fn every_kind_of_the_vocabulary_has_its_row() {
    let table = Table::read(PAGE).unwrap();
    let kinds = kinds::all();
    let missing: Vec<_> = kinds.iter().filter(|k| table.row(k).is_none()).collect();
    assert!(missing.is_empty(), "no row in tests/perturbations.md for {missing:#?}");
    let unused = table.unused(&kinds);
    assert!(
        unused.is_empty(),
        "tests/perturbations.md has rows that the vocabulary has not: {unused:#?}"
    );
}

#[test]
#[ignore = "minutes; in release: see DEVELOPERS.md"]
fn all_of_them() {
    let table = Table::read(PAGE).unwrap();
    let tallies = run(Draw::FULL.asked_for(), &table);
    for wanted in [Wanted::Must, Wanted::Harmless, Wanted::Opinion] {
        let (mut made, mut error, mut warning, mut otherwise, mut silent) = (0, 0, 0, 0, 0);
        for ((kind, condition), t) in &tallies {
            if table.wanted(kind, *condition) != Some(wanted) {
                continue;
            }
            let condition = condition.map_or(String::new(), |words| format!(" where {words}"));
            made += t.made;
            error += t.error;
            warning += t.warning;
            otherwise += t.otherwise;
            silent += t.silent;
            println!(
                "{wanted:?} | {} | {}{condition} | {} | {} made, {} errors, {} warnings, {} otherwise, {} silent, {} with any error",
                kind.statement,
                kind.part,
                kind.change,
                t.made,
                t.error,
                t.warning,
                t.otherwise,
                t.silent,
                t.any_error
            );
            for told in &t.told {
                println!("    {told}");
            }
        }
        println!(
            "ALL {wanted:?}: {made} made, {error} errors, {warning} warnings, {otherwise} otherwise, {silent} silent"
        );
    }
}
