//! Fields of typed statements, each typed by the kind of its placeholder: a length cannot be taken for an
//! angle.

use std::marker::PhantomData;

use super::super::item::{DateMark, Measure, ToothSpan};
use super::super::pattern::PlaceholderKind;
use super::super::tree::{FieldValue, StatementRef};
use springline_text::{Place, Span};

/// The kinds of placeholder, as types.
pub mod kind {
    use super::PlaceholderKind;

    /// A kind of placeholder.
    pub trait FieldKind: Copy {
        const KIND: PlaceholderKind;
    }

    macro_rules! kinds {
        ($($name:ident)*) => {$(
            #[derive(Debug, Clone, Copy)]
            pub struct $name;

            impl FieldKind for $name {
                const KIND: PlaceholderKind = PlaceholderKind::$name;
            }
        )*};
    }

    kinds! {
        Tooth Teeth Name Text Date Dates Count Length Force Stress Stresses Angle Time Times Dims Temperature
        Ratio Percent Any Rule Day
    }

    /// A kind that holds a number with a unit, or two.
    pub trait FigureKind: FieldKind {}

    impl FigureKind for Length {}
    impl FigureKind for Force {}
    impl FigureKind for Stress {}
    impl FigureKind for Stresses {}
    impl FigureKind for Angle {}
    impl FigureKind for Time {}
    impl FigureKind for Times {}
    impl FigureKind for Dims {}
    impl FigureKind for Temperature {}
    impl FigureKind for Ratio {}
    impl FigureKind for Percent {}
    impl FigureKind for Any {}
}

use kind::FieldKind;
pub use kind::FigureKind;

pub type ToothField<'a> = Field<'a, kind::Tooth>;
pub type TeethField<'a> = Field<'a, kind::Teeth>;
pub type NameField<'a> = Field<'a, kind::Name>;
pub type TextField<'a> = Field<'a, kind::Text>;
pub type DateField<'a> = Field<'a, kind::Date>;
pub type DatesField<'a> = Field<'a, kind::Dates>;
pub type CountField<'a> = Field<'a, kind::Count>;
pub type LengthField<'a> = Field<'a, kind::Length>;
pub type ForceField<'a> = Field<'a, kind::Force>;
pub type StressField<'a> = Field<'a, kind::Stress>;
pub type StressesField<'a> = Field<'a, kind::Stresses>;
pub type AngleField<'a> = Field<'a, kind::Angle>;
pub type TimeField<'a> = Field<'a, kind::Time>;
pub type TimesField<'a> = Field<'a, kind::Times>;
pub type DimsField<'a> = Field<'a, kind::Dims>;
pub type TemperatureField<'a> = Field<'a, kind::Temperature>;
pub type RatioField<'a> = Field<'a, kind::Ratio>;
pub type PercentField<'a> = Field<'a, kind::Percent>;
pub type AnyField<'a> = Field<'a, kind::Any>;
pub type RuleField<'a> = Field<'a, kind::Rule>;
pub type DayField<'a> = Field<'a, kind::Day>;

/// A value as it was typed, of a kind.
#[derive(Debug, Clone, Copy)]
pub struct Field<'a, K> {
    value: FieldValue<'a>,
    kind: PhantomData<K>,
}

impl<'a, K: FieldKind> Field<'a, K> {
    /// `None` where the value is of another kind.
    pub fn cast(value: FieldValue<'a>) -> Option<Self> {
        (value.slot.hole == K::KIND).then_some(Field { value, kind: PhantomData })
    }

    /// The value without its type, for what is the same for values of every kind.
    pub fn value(self) -> FieldValue<'a> {
        self.value
    }

    pub fn statement(self) -> StatementRef<'a> {
        self.value.line
    }

    pub fn span(self) -> Span {
        self.value.span()
    }

    pub fn place(self) -> Place {
        self.value.place()
    }

    /// The value with the word just before it: `force 100 g`.
    pub fn span_with_word(self) -> Span {
        let (span, mut items) = (self.span(), self.value.line.items().iter().rev());
        let before = items.find(|item| item.span.end <= span.start).filter(|item| item.is_word());
        before.map_or(span, |word| word.span.to(span))
    }

    /// As typed; a text in quotes without them.
    pub fn text(self) -> &'a str {
        self.value.text()
    }
}

impl<'a, K: FigureKind> Field<'a, K> {
    pub fn measure(self) -> Option<&'a Measure> {
        self.value.measure()
    }
}

impl TeethField<'_> {
    /// Teeth and ranges of teeth, in the order typed; exclusions are in
    /// [`excepted`](TeethField::excepted).
    pub fn teeth(self) -> impl Iterator<Item = ToothSpan> {
        self.value.teeth()
    }

    /// The teeth after `except`.
    pub fn excepted(self) -> impl Iterator<Item = ToothSpan> {
        self.value.excepted()
    }
}

impl ToothField<'_> {
    /// Where the tooth is written.
    pub fn tooth(self) -> Option<Span> {
        self.value.teeth().next().map(|tooth| tooth.first)
    }
}

impl CountField<'_> {
    pub fn count(self) -> Option<u32> {
        self.value.count()
    }
}

impl DateField<'_> {
    pub fn date(self) -> Option<DateMark> {
        self.value.date()
    }
}

impl DatesField<'_> {
    /// Both ends; twice the same day for a single date.
    pub fn dates(self) -> Option<(DateMark, DateMark)> {
        self.value.dates()
    }
}
