//! Words to the user. Where nobody takes them any more - a closed pipe, a full disk behind it - the work
//! goes on: `println!` would end the program in the middle of it.

/// A line to standard output.
#[macro_export]
macro_rules! say {
    ($($part:tt)*) => {{
        use std::io::Write as _;
        let _ = writeln!(std::io::stdout(), $($part)*);
    }};
}

/// Part of a line to standard output.
#[macro_export]
macro_rules! say_part {
    ($($part:tt)*) => {{
        use std::io::Write as _;
        let _ = write!(std::io::stdout(), $($part)*);
    }};
}

/// A line to standard error.
#[macro_export]
macro_rules! tell {
    ($($part:tt)*) => {{
        use std::io::Write as _;
        let _ = writeln!(std::io::stderr(), $($part)*);
    }};
}
