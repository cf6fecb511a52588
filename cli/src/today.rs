//! The program's only clock. `SPRINGLINE_TODAY` overrides it, for tests and for reprinting.

use std::sync::Once;

use jiff::civil::Date;

use crate::problem::Problem;

pub fn today() -> Result<Date, Problem> {
    let clock = jiff::ZonedDateTime::now().date();
    match std::env::var("SPRINGLINE_TODAY") {
        Ok(text) => text.parse().inspect(|day| warn_of_fixed_date(*day, clock)).map_err(|_| {
            Problem::usage(
                format!("SPRINGLINE_TODAY is `{text}`, which is not a date."),
                "Write it as year-month-day, such as 2026-11-25.",
            )
        }),
        Err(_) => Ok(clock),
    }
}

/// Left behind in the environment it would move every date without a word.
fn warn_of_fixed_date(day: Date, clock: Date) {
    static TOLD: Once = Once::new();
    if day != clock {
        TOLD.call_once(|| crate::tell!("Using {day} as today's date, from SPRINGLINE_TODAY."));
    }
}
