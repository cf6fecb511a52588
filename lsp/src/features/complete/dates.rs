//! Completion of dates, likeliest first: no future date for a recorded visit, no past date for a planned
//! one.

use jiff::ToSpan as _;
use jiff::civil::Date;
use springline_lang::syntax::Expected;

use super::{CompletionSite, Offer, OfferKind, OfferSubject};
use springline_lang::text::Span;

/// Days offered at most.
const MOST: usize = 40;

pub fn offers(
    scene: &CompletionSite<'_>,
    place: &Expected,
    replace: Span,
    typed: &str,
    out: &mut Vec<Offer>,
) {
    let mut seen: Vec<Date> = Vec::new();
    for (day, detail) in days(scene, place.keyword, scene.last_word()) {
        let label = day.to_string();
        if seen.contains(&day) || !label.starts_with(typed) || seen.len() >= MOST {
            continue;
        }
        seen.push(day);
        out.push(Offer {
            insert: label.clone(),
            label,
            kind: OfferKind::Date,
            detail: detail.to_owned(),
            is_snippet: false,
            replace,
            about: OfferSubject::Nothing,
        });
    }
}

type Day = (Date, &'static str);

fn days(scene: &CompletionSite<'_>, keyword: Option<&str>, after: &str) -> Vec<Day> {
    let analysed = scene.analysed;
    let today = analysed.forecast().and_then(|f| f.today).or(scene.today());
    let start = analysed.case().and_then(|c| c.start).map(|(day, _)| day);
    let Some(today) = today.or(start) else { return Vec::new() };
    match keyword {
        Some("seen" | "missed") => past(scene, today, start),
        Some("extract" | "extracted" | "separators") if start.is_some() => {
            before_start(scene, start.unwrap_or(today), after == "before")
        }
        Some("in-place" | "upper" | "lower" | "learned") => back(scene, today, None),
        _ => to_come(scene, today, keyword == Some("start")),
    }
}

/// The visit that was due, today, then clinic days back to the visit before.
fn past(scene: &CompletionSite<'_>, today: Date, start: Option<Date>) -> Vec<Day> {
    let Some(forecast) = scene.analysed.forecast() else { return back(scene, today, start) };
    let last = scene.analysed.case().and_then(|c| c.visits.iter().map(|v| v.on).max());
    let mut out: Vec<Day> = Vec::new();
    if let Some(next) = forecast.next_visit() {
        let due = next.was_planned_for.unwrap_or(next.date);
        if due <= today {
            out.push((due, "the visit that was due"));
            // Patients come some days sooner or later.
            let near =
                (1..=21).flat_map(|n| [due.checked_add(n.days()), due.checked_sub(n.days())]);
            let near = near.flatten().filter(|d| *d <= today && last.is_none_or(|l| *d > l));
            out.extend(near.filter(|d| scene.is_open(*d)).map(|d| (d, "the clinic is open")));
        }
    }
    out.insert(out.len().min(1), (today, "today"));
    out.extend(back(scene, today, last.or(start)));
    out
}

/// Today and the clinic's days before it.
fn back(scene: &CompletionSite<'_>, today: Date, until: Option<Date>) -> Vec<Day> {
    let days = (0..90).filter_map(|n| today.checked_sub(n.days()).ok());
    days.filter(|d| until.is_none_or(|u| *d > u) && (*d == today || scene.is_open(*d)))
        .map(|d| (d, if d == today { "today" } else { "the clinic is open" }))
        .collect()
}

fn before_start(scene: &CompletionSite<'_>, start: Date, strictly: bool) -> Vec<Day> {
    let first = i32::from(strictly);
    let days = (first..28).filter_map(|n| start.checked_sub(n.days()).ok());
    let days: Vec<Date> = days.collect();
    let open = days.iter().copied().filter(|d| scene.is_open(*d) && *d != start);
    let rest = days.iter().copied();
    open.chain(rest)
        .map(|d| (d, if d == start { "the start" } else { "before the start" }))
        .collect()
}

/// The next visit and the clinic's days after today; today too where something begins.
fn to_come(scene: &CompletionSite<'_>, today: Date, begins: bool) -> Vec<Day> {
    let mut out: Vec<Day> = Vec::new();
    if begins {
        out.push((today, "today"));
    } else if let Some(visit) = scene.analysed.forecast().and_then(|f| f.next_visit()) {
        out.push((visit.date.max(today), "the next visit"));
    }
    let days = (1..120).filter_map(|n| today.checked_add(n.days()).ok());
    out.extend(days.filter(|d| scene.is_open(*d)).map(|d| (d, "the clinic is open")));
    if !begins {
        out.push((today, "today"));
    }
    out
}
