//! Tables as CSV (RFC 4180). Every table of the program is written here, with one guard against
//! spreadsheet formulas and one heading.

use crate::caution::CAUTION;

/// The content of a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cell {
    /// Words, which a spreadsheet must not take for a formula.
    Words(String),
    /// A figure, a date, true or false; empty where there is none.
    Figure(String),
}

impl Cell {
    pub fn words(text: impl Into<String>) -> Cell {
        Cell::Words(text.into())
    }

    /// With so many digits behind the point.
    pub fn figure(value: f64, digits: usize) -> Cell {
        Cell::Figure(format!("{value:.digits$}"))
    }

    pub fn maybe(value: Option<f64>, digits: usize) -> Cell {
        value.map_or(Cell::none(), |value| Cell::figure(value, digits))
    }

    /// A whole number, a date, true or false.
    pub fn plain(value: impl std::fmt::Display) -> Cell {
        Cell::Figure(value.to_string())
    }

    pub fn none() -> Cell {
        Cell::Figure(String::new())
    }

    fn text(&self) -> std::borrow::Cow<'_, str> {
        match self {
            Cell::Figure(text) => text.as_str().into(),
            // A spreadsheet takes a cell that begins like this for a formula (OWASP, "CSV Injection").
            Cell::Words(text) if text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) => {
                format!("'{text}").into()
            }
            Cell::Words(text) => text.as_str().into(),
        }
    }
}

/// A table of one kind, of one case or of many.
pub trait Table {
    /// The columns.
    const HEAD: &'static [&'static str];

    fn rows(&self) -> Vec<Vec<Cell>>;
}

/// The heading of such tables. Rows travel without the page they come from: each carries the caution.
pub fn head<T: Table>() -> String {
    let head: Vec<&str> = T::HEAD.iter().copied().chain(["note"]).collect();
    heading(&head)
}

/// The rows of one of them, to stand under the heading.
pub fn rows<T: Table>(table: &T) -> String {
    let noted = |mut row: Vec<Cell>| {
        row.push(Cell::words(CAUTION));
        row
    };
    let rows: Vec<Vec<Cell>> = table.rows().into_iter().map(noted).collect();
    lines(rows.iter())
}

/// A heading of these columns.
pub fn heading(columns: &[&str]) -> String {
    let cells: Vec<Cell> = columns.iter().map(|c| Cell::words(*c)).collect();
    lines(std::iter::once(&cells))
}

/// Rows without a heading.
pub fn lines<'a>(rows: impl Iterator<Item = &'a Vec<Cell>>) -> String {
    let mut writer = csv::WriterBuilder::new()
        .flexible(true)
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for row in rows {
        // Writing to memory cannot fail.
        let _ = writer.write_record(row.iter().map(|cell| cell.text().into_owned()));
    }
    writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_no_formula_and_figures_are_figures() {
        let row = vec![
            Cell::words("=HYPERLINK(1,2)"),
            Cell::words("@x"),
            Cell::words("say \"no\", \nthen"),
            Cell::figure(-1.25, 1),
            Cell::maybe(None, 2),
            Cell::words("\t=1"),
        ];
        assert_eq!(
            lines(std::iter::once(&row)),
            "\"'=HYPERLINK(1,2)\",'@x,\"say \"\"no\"\", \nthen\",-1.2,,'\t=1\r\n"
        );
    }
}
