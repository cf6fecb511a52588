//! The typed syntax tree: one struct for each statement of the vocabulary, with a field for each value,
//! choice and part of its pattern; one enum for each block, with a variant for each statement allowed in
//! it.
//!
//! `generated.rs` is written from the vocabulary by a test, which fails when it is out of date; its
//! building blocks are in this folder. Only a statement that matched its pattern has a type: `cast`
//! returns `None` for any other, so that mandatory parts are always present.

mod field;
mod found;
mod generated;

pub use field::{
    AngleField, AnyField, CountField, DateField, DatesField, DayField, DimsField, Field,
    FigureKind, ForceField, LengthField, NameField, PercentField, RatioField, RuleField,
    StressField, StressesField, TeethField, TemperatureField, TextField, TimeField, TimesField,
    ToothField, kind,
};
pub use found::{ChoiceList, FieldList, PartList};
pub use generated::*;

use super::tree::StatementRef;
use super::vocabulary::ROWS;

impl<'a> StatementRef<'a> {
    /// Which statement it is, or comes closest to where it could not be read; `None` where no statement
    /// of its block begins like it.
    pub fn kind(self) -> Option<StatementKind> {
        let row = self.row()?;
        let index = ROWS.element_offset(row)?;
        StatementKind::ALL.get(index).copied()
    }

    /// Whether it is of this kind, read or not.
    pub fn is(self, kind: StatementKind) -> bool {
        self.kind() == Some(kind)
    }

    /// The step that it defines or changes.
    pub fn step_name(self) -> Option<NameField<'a>> {
        let own = StepLine::cast(self).map(|line| line.step);
        own.or_else(|| ChangeLine::cast(self).map(|line| line.step))
    }

    /// The clauses of a `step` or `change`.
    pub fn step_clauses(self) -> Option<PartList<'a, ClausePart<'a>>> {
        let own = StepLine::cast(self).map(|line| line.clauses);
        own.or_else(|| ChangeLine::cast(self).map(|line| line.clauses))
    }
}
