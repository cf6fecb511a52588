//! Figures as tables: for a person at a terminal, for a spreadsheet, for a program.

pub mod calendar;
pub mod chart;
pub mod course;
pub mod fhir;
pub mod forces;
mod grid;
pub mod learn;
pub mod schedule;

/// Two significant digits are all that published scatter allows.
pub(crate) fn two_digits(value: f64) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    let size = value.abs();
    if size < 1.0 {
        return crate::model::quantity::plain((value * 10.0).round() / 10.0);
    }
    let unit = 10f64.powf(size.log10().floor() - 1.0).max(1.0);
    crate::model::quantity::plain((value / unit).round() * unit)
}

/// The same table as CSV with the caution in a last column: a row is read without the rest.
pub(crate) fn noted(csv: &str) -> String {
    let mut out = String::with_capacity(csv.len() * 2);
    let mut note = "note";
    let mut quoted = false;
    for c in csv.chars() {
        quoted ^= c == '"';
        if c == '\n' && !quoted {
            out.push(',');
            out.push_str(note);
            note = crate::caution::CAUTION;
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_row_of_a_table_has_the_caution() {
        let caution = crate::caution::CAUTION;
        let rows = super::noted("a,b\n\"one\ntwo\",\"say \"\"no\"\"\"\n1,2\n");
        assert_eq!(
            rows,
            format!("a,b,note\n\"one\ntwo\",\"say \"\"no\"\"\",{caution}\n1,2,{caution}\n")
        );
        assert!(!caution.contains([',', '"', '\n']), "a cell without quotes");
    }

    #[test]
    fn two_digits_are_kept() {
        for (value, text) in [(412.7, "410"), (41.3, "41"), (4.13, "4"), (0.44, "0.4"), (0.0, "0")]
        {
            assert_eq!(super::two_digits(value), text);
        }
    }
}
