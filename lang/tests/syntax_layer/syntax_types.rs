//! The typed tree against statements that are read: every one has its type.

use proptest::prelude::*;
use springline_lang::syntax::ast::{
    ArchStatement, BiteStatement, CaseStatement, ElasticsStatement, FileStatement, FitStatement,
    GoalStatement, HouseStatement, InPlaceStatement, LearnedStatement, MeasuredStatement,
    RetainStatement, SeenArchStatement, SeenStatement, SequenceStatement, StepStatement,
};
use springline_lang::syntax::vocabulary::{ROWS, SupportLevel};
use springline_lang::syntax::{Context, StatementRef};

use crate::common::{in_context, read};
use crate::generate::Maker;

/// Whether a statement has a type, with all that its pattern demands.
fn is_typed(line: StatementRef<'_>) -> bool {
    match line.context().expect("a block that is known") {
        Context::File => FileStatement::cast(line).is_some(),
        Context::House => HouseStatement::cast(line).is_some(),
        Context::Fit => FitStatement::cast(line).is_some(),
        Context::Learned => LearnedStatement::cast(line).is_some(),
        Context::Sequence => SequenceStatement::cast(line).is_some(),
        Context::Case => CaseStatement::cast(line).is_some(),
        Context::InPlace => InPlaceStatement::cast(line).is_some(),
        Context::Bite => BiteStatement::cast(line).is_some(),
        Context::Goal => GoalStatement::cast(line).is_some(),
        Context::Elastics => ElasticsStatement::cast(line).is_some(),
        Context::Retain => RetainStatement::cast(line).is_some(),
        Context::Arch => ArchStatement::cast(line).is_some(),
        Context::Measured => MeasuredStatement::cast(line).is_some(),
        Context::Step => StepStatement::cast(line).is_some(),
        Context::Seen => SeenStatement::cast(line).is_some(),
        Context::SeenArch => SeenArchStatement::cast(line).is_some(),
    }
}

#[test]
fn every_example_has_its_type_in_every_block() {
    for row in ROWS.iter().filter(|row| row.stage != SupportLevel::Later) {
        for context in row.inside {
            let source = in_context(row, *context, row.example);
            let parse = read(&source);
            let own = parse.all_lines().find(|l| l.row().is_some_and(|r| std::ptr::eq(r, row)));
            assert!(own.is_some_and(is_typed), "{source}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn every_statement_that_is_read_has_its_type(
        choices in prop::collection::vec(any::<u16>(), 1..400)
    ) {
        let source = Maker::new(&choices, false).file();
        let parse = read(&source);
        for line in parse.all_lines().filter(|line| line.is_read()) {
            prop_assert!(is_typed(line), "{}", line.text());
        }
    }
}
