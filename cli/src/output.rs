//! Terminal output. Where nobody reads it any more, such as a closed pipe or a full disk behind it, the
//! work goes on; `println!` would abort the program.
//!
//! Output may contain names and texts of foreign origin, and a terminal interprets escape sequences.
//! Invisible characters are therefore shown by their number, on standard output and on standard error
//! alike; only a plan's own text on its way to a file or a program is written unchanged.

use std::io::{IsTerminal as _, Write as _};

use springline_lang::text::visible;

/// A document to standard output; a reader who has seen enough is no error.
pub fn print(text: &str) {
    print_as_is(&visible::text(text));
}

/// The text of a plan: unchanged, unless it goes to a terminal.
pub fn print_plan(text: &str) {
    match std::io::stdout().is_terminal() {
        true => print(text),
        false => print_as_is(text),
    }
}

/// What has its own colours, and holds nothing that was not made visible before.
pub fn print_as_is(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes());
    let _ = out.flush();
}

/// The same to standard error.
pub fn show_as_is(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}

/// A line to standard output.
#[macro_export]
macro_rules! say {
    ($($part:tt)*) => {{
        $crate::output::print_as_is(&(springline_lang::text::visible::line(&format!($($part)*)) + "\n"));
    }};
}

/// Part of a line to standard output.
#[macro_export]
macro_rules! say_part {
    ($($part:tt)*) => {{
        $crate::output::print_as_is(&springline_lang::text::visible::line(&format!($($part)*)));
    }};
}

/// A line to standard error.
#[macro_export]
macro_rules! tell {
    ($($part:tt)*) => {{
        $crate::output::show_as_is(&(springline_lang::text::visible::line(&format!($($part)*)) + "\n"));
    }};
}
