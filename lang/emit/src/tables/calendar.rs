//! Coming visits as an iCalendar file (RFC 5545).
//!
//! UIDs stay the same when dates move, so that a changed plan updates the booked event instead of adding
//! one.

use icalendar::{Calendar, Component as _, Event, Property};
use jiff::civil::Date;

use super::schedule::{Schedule, VisitRow};

/// One calendar of all the cases. `today` stamps the events: the file holds no clock reading, so the same plan gives the same text.
pub fn calendar<'a>(schedules: impl IntoIterator<Item = &'a Schedule>, today: Date) -> String {
    // The library would name itself as the maker beside us.
    let mut out = Calendar::empty();
    out.append_property(Property::new("VERSION", "2.0"));
    out.append_property(Property::new("PRODID", "-//Springline//case plans//EN"));
    for schedule in schedules {
        for visit in schedule.visits.iter().filter(|v| !v.recorded) {
            out.push(event(schedule, visit, today));
        }
    }
    out.done().to_string()
}

fn event(schedule: &Schedule, visit: &VisitRow, today: Date) -> Event {
    let arches: Vec<String> =
        visit.arches.iter().map(|a| format!("{}: {}", a.arch, a.words)).collect();
    let mut event = Event::new();
    event
        .uid(&format!("{}-{}@springline", name(&schedule.chart), name(&visit.key)))
        .summary(&format!("{} {} ({:.0} min)", schedule.chart, visit.kind.word(), visit.minutes))
        .description(&format!(
            "{}\nMay be moved between {} and {}. {}",
            arches.join("\n"),
            visit.earliest,
            visit.latest,
            schedule.note
        ));
    event.append_property(Property::new("DTSTAMP", format!("{}T000000Z", basic(today))));
    // A later export is a later version of the same event.
    event.append_property(Property::new("SEQUENCE", version(today)));
    // Whole days: the practice's own book gives the hour.
    let mut day = Property::new("DTSTART", basic(visit.date));
    day.add_parameter("VALUE", "DATE");
    event.append_property(day.done());
    event.done()
}

/// Days since 2020: grows from export to export without anything to remember.
fn version(today: Date) -> String {
    let days = today.since(jiff::civil::date(2020, 1, 1)).map_or(0, |span| span.get_days());
    days.max(0).to_string()
}

fn basic(date: Date) -> String {
    date.to_string().replace('-', "")
}

/// Letters, digits and hyphens only.
fn name(text: &str) -> String {
    text.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}
