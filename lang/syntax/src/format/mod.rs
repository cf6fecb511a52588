//! The formatter. It changes layout only: meaning and comments are preserved, and it verifies both before
//! it returns the text.

mod atoms;
mod printer;
mod verify;

use std::fmt;

pub use atoms::named_teeth;

use super::limits::EDITION;
use super::tree::{FragmentMatch, Parse, Unread};
use springline_units::tooth::Notation;

/// Lines are wrapped after a comma beyond this many columns.
pub const WIDTH: usize = 100;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FormatOptions {
    /// The practice's tooth notation. Without it teeth stay as typed.
    pub notation: Option<Notation>,
}

/// Why a file is not formatted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormatRefusal {
    TooLarge,
    TooDeep,
    NewerEdition(u32),
    /// A brace is missing or surplus, so blocks would have to be guessed.
    Braces,
    /// Verification failed; the file is left unchanged.
    WouldChange,
}

impl fmt::Display for FormatRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FormatRefusal::TooLarge => f.write_str("The file is too large to be read; file unchanged."),
            FormatRefusal::TooDeep => f.write_str("The file's braces are nested too deep to be read; file unchanged."),
            FormatRefusal::NewerEdition(edition) => write!(
                f,
                "The file is written for edition {edition}; this program knows edition {EDITION}; file unchanged."
            ),
            FormatRefusal::Braces => f.write_str(
                "cannot format: unbalanced braces; file unchanged",
            ),
            FormatRefusal::WouldChange => f.write_str(
                "The formatted text would not have read the same; file unchanged. Please report this file.",
            ),
        }
    }
}

/// The formatted text. Its line endings are those of the first line of the source.
pub fn format(parse: &Parse, options: &FormatOptions) -> Result<String, FormatRefusal> {
    match parse.unread {
        Some(Unread::TooLarge) => return Err(FormatRefusal::TooLarge),
        Some(Unread::TooDeep) => return Err(FormatRefusal::TooDeep),
        Some(Unread::NewerEdition(edition)) => return Err(FormatRefusal::NewerEdition(edition)),
        None => {}
    }
    if parse.braces_guessed {
        return Err(FormatRefusal::Braces);
    }
    let text = line_ends(printer::print(parse, options), &parse.source);
    if verify::reads_the_same(parse, &text) { Ok(text) } else { Err(FormatRefusal::WouldChange) }
}

/// A statement without its block, or a part of one, as the formatter writes it, on one line. Teeth stay
/// in the notation they were typed in.
pub fn written(group: FragmentMatch<'_>) -> String {
    printer::segment(&atoms::atoms(group, &FormatOptions::default()))
}

fn line_ends(text: String, source: &str) -> String {
    let first = source.find('\n').and_then(|at| source[..at].chars().next_back());
    if first != Some('\r') {
        return text;
    }
    // What stays verbatim may hold its own.
    text.replace("\r\n", "\n").replace('\n', "\r\n")
}
