//! Provenance: where a value comes from. Every resolved value keeps it, so that hover, card and
//! explanation can say "house: niti-14 until passive; here: niti-12".

use serde::Serialize;

use springline_text::Place;

/// Weakest first: a later origin overrides an earlier one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// Not written anywhere and assumed: "not described" is not "measured".
    Assumed,
    /// Spread over the front teeth from the crowding of the arch: typical, not measured on this patient.
    Pattern,
    /// Built in, with a documented source.
    Default,
    House,
    Sequence,
    /// Read from picked points; a line of the case itself goes first.
    Points,
    Case,
    Visit,
}

impl Origin {
    pub fn describe(self) -> &'static str {
        match self {
            Origin::Assumed => "assumed in line (not described)",
            Origin::Pattern => "spread from the arch's crowding: a pattern, not this patient",
            Origin::Default => "built-in default",
            Origin::House => "practice file",
            Origin::Sequence => "usual sequence",
            Origin::Points => "measured from points",
            Origin::Case => "this case",
            Origin::Visit => "found at a visit",
        }
    }
}

/// A value with its origin, the place it was written, and what it overrode.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sourced<T> {
    pub value: T,
    pub origin: Origin,
    /// Where it was written; `None` for defaults and assumptions.
    pub place: Option<Place>,
    pub displaced: Option<Box<Sourced<T>>>,
}

impl<T> Sourced<T> {
    pub fn default_value(value: T) -> Self {
        Sourced { value, origin: Origin::Default, place: None, displaced: None }
    }

    pub fn written(value: T, origin: Origin, place: Place) -> Self {
        Sourced { value, origin, place: Some(place), displaced: None }
    }

    /// Overrides this value with a stronger one and keeps this one as overridden.
    pub fn displace(self, value: T, origin: Origin, place: Place) -> Self {
        Sourced { value, origin, place: Some(place), displaced: Some(Box::new(self)) }
    }
}

impl<T> std::ops::Deref for Sourced<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}
