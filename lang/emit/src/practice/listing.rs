//! Practice lists as tables, for terminal, spreadsheet and paper.

use maud::{Markup, html};

use crate::caution::{CAUTION, CAUTION_IN_FULL};
use crate::document::document;
use crate::spreadsheet;
use crate::spreadsheet::Cell;
use crate::tables::grid::columns;

/// One list: its columns, its rows, and its text when there are none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listing {
    pub title: String,
    pub head: Vec<&'static str>,
    pub rows: Vec<Vec<String>>,
    pub none: String,
}

pub fn human(listings: &[Listing]) -> String {
    let one = |l: &Listing| {
        if l.rows.is_empty() {
            return format!("{}\n  {}\n", l.title, l.none);
        }
        let head: Vec<String> = l.head.iter().map(|h| h.to_lowercase()).collect();
        let rows: Vec<Vec<String>> = std::iter::once(&head)
            .chain(&l.rows)
            .map(|row| std::iter::once(" ".to_owned()).chain(row.iter().cloned()).collect())
            .collect();
        format!("{}\n{}", l.title, columns(&rows))
    };
    format!("{}\n{CAUTION}\n", listings.iter().map(one).collect::<Vec<_>>().join("\n"))
}

/// One list, since its columns are its own.
pub fn csv(listing: &Listing) -> String {
    let noted =
        |row: &Vec<String>| row.iter().map(Cell::words).chain([Cell::words(CAUTION)]).collect();
    let rows: Vec<Vec<Cell>> = listing.rows.iter().map(noted).collect();
    let head: Vec<&str> = listing.head.iter().copied().chain(["Note"]).collect();
    spreadsheet::heading(&head) + &spreadsheet::lines(rows.iter())
}

/// A page for the wall or the front desk.
pub fn page(title: &str, foot: &str, listings: &[Listing]) -> String {
    document(title, "en", &[(title.to_owned(), lists(listings, title, foot))])
}

/// The same as one page of a file with others.
pub fn lists(listings: &[Listing], title: &str, foot: &str) -> Markup {
    html! {
        section.page.plain.lists {
            header.head-top { h2 { (title) } }
            @for listing in listings { (table(listing)) }
            footer.foot { (CAUTION_IN_FULL) " " span.stamp { (foot) } }
        }
    }
}

fn table(listing: &Listing) -> Markup {
    html! {
        div {
            h3 { (listing.title) }
            @if listing.rows.is_empty() {
                p { (listing.none) }
            } @else {
                table {
                    thead { tr { @for name in &listing.head { th scope="col" { (name) } } } }
                    tbody { @for row in &listing.rows {
                        tr { @for cell in row { td { (cell) } } }
                    } }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_quoted_where_they_must_be() {
        let listing = Listing {
            title: "x".to_owned(),
            head: vec!["a", "b"],
            rows: vec![
                vec!["1, 2".to_owned(), "say \"no\"".to_owned()],
                vec!["=1".to_owned(), "".to_owned()],
            ],
            none: "nothing".to_owned(),
        };
        let rows =
            format!("a,b,Note\r\n\"1, 2\",\"say \"\"no\"\"\",{CAUTION}\r\n'=1,,{CAUTION}\r\n");
        assert_eq!(csv(&listing), rows);
    }
}
