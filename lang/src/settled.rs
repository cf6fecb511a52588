//! A changed text, laid out where it was laid out before.

use springline_syntax::{FormatOptions, Parse, format, parse};
use springline_text::FileId;
use springline_units::tooth::Notation;

/// The changed text, formatted if the text before was formatted and it can be; else as it is.
pub fn settled(before: &Parse, text: String, notation: Option<Notation>) -> String {
    let layout = FormatOptions { notation };
    let was_settled = format(before, &layout).is_ok_and(|laid_out| laid_out == *before.source);
    if !was_settled {
        return text;
    }
    format(&parse(FileId(0), &text), &layout).unwrap_or(text)
}
