//! The formatter: settles how a file is laid out, keeps what it means and every comment, and
//! proves both before it gives the text out.

mod atoms;
mod printer;
mod verify;

use std::fmt;

pub use atoms::named_teeth;

use super::read::EDITION;
use super::tree::{Group, Parse, Unread};
use crate::model::tooth::Notation;

/// Lines are wrapped after a comma beyond this many columns.
pub const WIDTH: usize = 100;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Options {
    /// The house's way to write teeth. Without it teeth stay as typed.
    pub notation: Option<Notation>,
}

/// Why a file is left as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    TooLarge,
    TooDeep,
    NewerEdition(u32),
    /// A brace is missing or left over: laying the file out would guess where.
    Braces,
    /// The formatter's own proof failed; the file is left alone.
    WouldChange,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::TooLarge => f.write_str("The file is too large to be read; file unchanged."),
            Refusal::TooDeep => f.write_str("The file's braces are nested too deep to be read; file unchanged."),
            Refusal::NewerEdition(edition) => write!(
                f,
                "The file is written for edition {edition}; this program knows edition {EDITION}; file unchanged."
            ),
            Refusal::Braces => f.write_str(
                "cannot format: unbalanced braces; file unchanged",
            ),
            Refusal::WouldChange => f.write_str(
                "The formatted text would not have read the same; file unchanged. Please report this file.",
            ),
        }
    }
}

/// The text in its settled layout. Its line ends are those that the file begins with: a file from a
/// machine that ends lines with two characters goes back there as it came.
pub fn format(parse: &Parse, options: &Options) -> Result<String, Refusal> {
    match parse.unread {
        Some(Unread::TooLarge) => return Err(Refusal::TooLarge),
        Some(Unread::TooDeep) => return Err(Refusal::TooDeep),
        Some(Unread::NewerEdition(edition)) => return Err(Refusal::NewerEdition(edition)),
        None => {}
    }
    if parse.braces_guessed {
        return Err(Refusal::Braces);
    }
    let text = line_ends(printer::print(parse, options), &parse.source);
    if verify::reads_the_same(parse, &text) { Ok(text) } else { Err(Refusal::WouldChange) }
}

/// A statement without its block, or a part of one, as the formatter writes it, on one line. Teeth stay
/// in the notation they were typed in.
pub fn written(group: Group<'_>) -> String {
    printer::segment(&atoms::atoms(group, &Options::default()))
}

fn line_ends(text: String, source: &str) -> String {
    let first = source.find('\n').and_then(|at| source[..at].chars().next_back());
    if first != Some('\r') {
        return text;
    }
    // What stays verbatim may hold its own.
    text.replace("\r\n", "\n").replace('\n', "\r\n")
}
