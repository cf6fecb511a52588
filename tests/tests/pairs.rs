//! Pairs of statements by method (see `tests/src/pairs`).

use springline_lang::Checker;
use springline_tests::pairs::run::tried;
use springline_tests::pairs::table::{PAGE, PairTable};

#[test]
fn every_two_statements_of_the_vocabulary_have_their_row() {
    let table = PairTable::read(PAGE).unwrap();
    let (without, unknown) = table.unclassed();
    assert!(without.is_empty(), "no class in tests/pairs.md for {without:#?}");
    assert!(unknown.is_empty(), "tests/pairs.md classes what the vocabulary has not: {unknown:#?}");
    let (missing, counted) = table.cover();
    assert!(missing.is_empty(), "no row in tests/pairs.md for {missing:#?}");
    println!("{counted:?}");
}

#[test]
fn what_two_statements_are_together_is_found() {
    let table = PairTable::read(PAGE).unwrap();
    let mut checker = Checker::new();
    let (mut made, mut missed) = (0, String::new());
    for row in &table.rows {
        for recipe in &row.recipes {
            for plan in tried(row, recipe, &mut checker) {
                made += 1;
                if !plan.found {
                    let told = plan.told.join("\n");
                    missed += &format!("{} x {}\n{}{told}\n", row.one, row.other, plan.text);
                }
            }
        }
    }
    assert!(missed.is_empty(), "of {made} plans\n{missed}");
    assert!(made >= 80, "{made} plans");
}
