//! A progress bar for work on many cases.

use indicatif::{ProgressBar, ProgressStyle};

/// Least number of cases for which the bar is shown and results are cached.
pub const LONG_WORK: usize = 8;

/// On standard error, and only where that is a terminal.
pub fn progress(cases: usize) -> ProgressBar {
    if cases < LONG_WORK {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(cases as u64);
    if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} cases, {eta} left") {
        bar.set_style(style);
    }
    bar
}
