//! Hover on a date: its weekday, whether the clinic is open, and the time since the start.

use jiff::civil::{Date, Weekday};

use crate::analysed_file::AnalysedFile;

pub fn hover(analysed: AnalysedFile<'_>, day: Date) -> Option<String> {
    let mut out = format!("**{day}**, {}", weekday(day.weekday()));
    if let Some(house) = analysed.house()
        && !house.is_open(day)
    {
        out.push_str(", the clinic is closed");
    }
    if let Some((start, _)) = analysed.case().and_then(|c| c.start)
        && start != day
        && let Ok(span) = day.since(start)
    {
        let days = span.get_days();
        let weeks = f64::from(days) / 7.0;
        let side = if days > 0 { "after" } else { "before" };
        out.push_str(&format!("  \n{:.1} weeks {side} the start", weeks.abs()));
    }
    Some(out)
}

pub fn range(analysed: AnalysedFile<'_>, first: Date, last: Date) -> Option<String> {
    if first == last {
        return hover(analysed, first);
    }
    let days = last.since(first).ok()?.get_days() + 1;
    Some(format!(
        "**{first}..{last}**, {} to {}: {days} days, both ends included",
        weekday(first.weekday()),
        weekday(last.weekday())
    ))
}

fn weekday(day: Weekday) -> &'static str {
    match day {
        Weekday::Monday => "Monday",
        Weekday::Tuesday => "Tuesday",
        Weekday::Wednesday => "Wednesday",
        Weekday::Thursday => "Thursday",
        Weekday::Friday => "Friday",
        Weekday::Saturday => "Saturday",
        Weekday::Sunday => "Sunday",
    }
}
