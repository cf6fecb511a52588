//! Items, the parts of a statement as typed: word, figure, teeth, date, text.
//!
//! An item keeps what was typed. Whether the tooth exists or the unit fits is checked when the statement
//! is lowered.

use jiff::civil;

use springline_text::Span;
use springline_units::quantity::{Quantity, Unit};

/// One part of a statement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Item {
    pub kind: ItemKind,
    pub span: Span,
    /// A recoverable typing error, reported by its own finding.
    pub slip: Option<RecoverableTypo>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ItemKind {
    /// A word, with its keyword in canonical form if the language has it.
    Word(Option<&'static str>),
    /// One or more numbers, with or without a unit. A bare number may be a tooth, depending on the
    /// context.
    Measure(Measure),
    /// Teeth recognised by notation: `UR3`, `#6`, `#6..#11`.
    Teeth(ToothSpan),
    Date(DateMark),
    Dates(DateMark, DateMark),
    /// A text in quotes; the span excludes the quotes.
    Text(Span),
    /// The name of a finding: `force/sustained`.
    Rule,
    Comma,
    /// A character that is not part of the language.
    Bad,
}

/// A number as typed, with the unit that was typed right after it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    pub value: f64,
    pub span: Span,
    pub unit: Option<UnitMark>,
    /// Typed as `3/16`.
    pub is_fraction: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnitMark {
    pub unit: Unit,
    pub span: Span,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ItemShape {
    /// `2.4 mm`, `3/16 in`
    Single,
    /// `8..10 wk`
    Range,
    /// `0.016 x 0.022 in`
    Dims,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    pub shape: ItemShape,
    pub first: Amount,
    /// The second number of a range or of two sizes.
    pub second: Option<Amount>,
}

impl Measure {
    /// The unit that counts for a bare number: its own, or the one at the end.
    pub fn unit(&self) -> Option<UnitMark> {
        self.second.and_then(|a| a.unit).or(self.first.unit)
    }

    /// The first number with its unit; a range or two sizes give the unit once, at the end.
    pub fn first_quantity(&self) -> Option<Quantity> {
        let unit = self.first.unit.or(self.unit())?;
        Some(Quantity::new(self.first.value, unit.unit))
    }

    pub fn second_quantity(&self) -> Option<Quantity> {
        let second = self.second?;
        Some(Quantity::new(second.value, self.unit()?.unit))
    }

    /// Where a missing unit would be written.
    pub fn unit_place(&self) -> Span {
        let end = self.second.unwrap_or(self.first).span.end;
        Span { start: end, end }
    }

    /// A number without unit: a tooth or a count.
    pub fn bare(&self) -> Option<f64> {
        let plain = self.shape == ItemShape::Single && self.first.unit.is_none();
        (plain && !self.first.is_fraction).then_some(self.first.value)
    }
}

/// One tooth or a range of teeth, as typed; the text is in the source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ToothSpan {
    pub first: Span,
    /// The other end of a range.
    pub last: Option<Span>,
}

impl ToothSpan {
    pub fn span(self) -> Span {
        self.last.map_or(self.first, |last| self.first.to(last))
    }
}

/// A date as typed; `None` where the calendar has no such day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DateMark {
    pub date: Option<civil::Date>,
    pub span: Span,
}

/// A typing error whose meaning is certain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RecoverableTypo {
    /// `2,4 mm`
    DecimalComma,
    /// `8-10 wk`
    DashRange,
    /// `-1.5 mm`
    Minus,
    /// `0.014"`
    InchMark,
    /// `MM`
    UnitCase,
    /// `14/09/2026`
    DateForm,
    /// `2026-02-30`
    NoSuchDay,
    /// A text without its closing quote.
    OpenText,
    /// `0.016 x 0.022 x 0.028 in`
    ThreeSizes,
}

impl RecoverableTypo {
    /// The formatter rewrites it; the finding is advice.
    pub fn is_harmless(self) -> bool {
        matches!(self, RecoverableTypo::InchMark)
    }
}

impl Item {
    pub fn measure(&self) -> Option<&Measure> {
        match &self.kind {
            ItemKind::Measure(measure) => Some(measure),
            _ => None,
        }
    }

    /// The keyword of this item, in canonical form.
    pub fn keyword(&self) -> Option<&'static str> {
        match self.kind {
            ItemKind::Word(keyword) => keyword,
            _ => None,
        }
    }

    pub fn is_word(&self) -> bool {
        matches!(self.kind, ItemKind::Word(_))
    }

    pub fn is_comma(&self) -> bool {
        matches!(self.kind, ItemKind::Comma)
    }

    /// One tooth or a range of teeth, if the notation allows: a tooth mark, or whole numbers without a
    /// unit.
    pub fn teeth(&self) -> Option<ToothSpan> {
        match self.kind {
            ItemKind::Teeth(teeth) => Some(teeth),
            ItemKind::Measure(m) => m.as_teeth(),
            _ => None,
        }
    }

    /// One tooth.
    pub fn tooth(&self) -> Option<Span> {
        self.teeth().filter(|t| t.last.is_none()).map(|t| t.first)
    }

    /// A single date or a range of dates, a single day being both its ends.
    pub fn dates(&self) -> Option<(DateMark, DateMark)> {
        match self.kind {
            ItemKind::Date(day) => Some((day, day)),
            ItemKind::Dates(first, last) => Some((first, last)),
            _ => None,
        }
    }
}

impl Measure {
    fn as_teeth(&self) -> Option<ToothSpan> {
        let whole = |a: &Amount| a.unit.is_none() && !a.is_fraction && a.value.fract() == 0.0;
        if self.shape == ItemShape::Dims || !whole(&self.first) {
            return None;
        }
        match &self.second {
            None => Some(ToothSpan { first: self.first.span, last: None }),
            Some(last) if whole(last) => {
                Some(ToothSpan { first: self.first.span, last: Some(last.span) })
            }
            Some(_) => None,
        }
    }
}
