//! Figures as tables, for terminal, spreadsheet and programs.

pub mod calendar;
pub mod chart;
pub mod course;
pub mod fhir;
pub mod forces;
pub(crate) mod grid;
pub mod learn;
pub mod measured;
pub mod schedule;

/// Version of the JSON of several documents together; see `lang/docs/schemas/documents.json`.
pub const DOCUMENTS: &str = "springline.documents/1";

/// The documents of several cases, of one kind, as one document.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct DocumentList<T> {
    pub schema: &'static str,
    /// Each according to its own schema.
    pub documents: Vec<T>,
}

impl<T> DocumentList<T> {
    pub fn of(documents: Vec<T>) -> DocumentList<T> {
        DocumentList { schema: DOCUMENTS, documents }
    }
}

/// Two significant digits are all that published scatter allows.
pub(crate) fn two_digits(value: f64) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    let size = value.abs();
    if size < 1.0 {
        return springline_units::quantity::plain((value * 10.0).round() / 10.0);
    }
    let unit = 10f64.powf(size.log10().floor() - 1.0).max(1.0);
    springline_units::quantity::plain((value / unit).round() * unit)
}

#[cfg(test)]
mod tests {
    #[test]
    fn two_digits_are_kept() {
        for (value, text) in [(412.7, "410"), (41.3, "41"), (4.13, "4"), (0.44, "0.4"), (0.0, "0")]
        {
            assert_eq!(super::two_digits(value), text);
        }
    }
}
