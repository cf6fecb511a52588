//! The one clock of the program. `SPRINGLINE_TODAY` sets it, for tests and for printing again what
//! was printed before.

use jiff::civil::Date;

use crate::problem::Problem;

pub fn today() -> Result<Date, Problem> {
    match std::env::var("SPRINGLINE_TODAY") {
        Ok(text) => text.parse().map_err(|_| {
            Problem::usage(
                format!("SPRINGLINE_TODAY is `{text}`, which is no date."),
                "Write it as year-month-day, such as 2026-11-25.",
            )
        }),
        Err(_) => Ok(jiff::ZonedDateTime::now().date()),
    }
}
