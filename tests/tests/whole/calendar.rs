//! The calendar file, read by a parser that did not write it (crate `ical`; the writer is
//! `icalendar`), and its events kept when the plan changes.

use std::collections::{BTreeMap, BTreeSet};

use ical::parser::ical::component::IcalEvent;
use jiff::civil::{Date, date};
use springline_emit::tables::{calendar, schedule};
use springline_emit::{Plan, PrintStamp};
use springline_lang::{CheckOptions, SourceText, check};
use springline_test_support::{Practices, example, examples_in};

const TODAY: Date = date(2026, 11, 25);

/// The calendar of a plan, as text.
fn export(text: &str, today: Date) -> String {
    let source = SourceText { name: "case".to_owned(), text: text.into() };
    let checked = check(&source, &Practices::saltmarsh(), &CheckOptions { today: Some(today) });
    let stamp = PrintStamp {
        case: "1".into(),
        house: "2".into(),
        tool: "springline".into(),
        printed: today,
    };
    let plan = Plan::of(checked.course(), &checked.findings, today, &stamp).expect("a plan");
    calendar::calendar([&schedule::schedule(&plan)], today)
}

fn value(event: &IcalEvent, name: &str) -> String {
    let mut found = event.properties.iter().filter(|p| p.name == name);
    let value = found.next().and_then(|p| p.value.clone()).unwrap_or_else(|| panic!("no {name}"));
    assert!(found.next().is_none(), "{name} twice");
    value
}

/// UID to (day, summary).
fn events(text: &str) -> BTreeMap<String, (String, String)> {
    let calendars: Vec<_> = ical::IcalParser::new(text.as_bytes()).collect();
    assert_eq!(calendars.len(), 1);
    let calendar = calendars[0].as_ref().expect("a calendar that parses");
    for (name, want) in [("VERSION", Some("2.0")), ("PRODID", None)] {
        let own: Vec<_> = calendar.properties.iter().filter(|p| p.name == name).collect();
        assert_eq!(own.len(), 1, "{name} once");
        assert!(want.is_none() || own[0].value.as_deref() == want);
    }
    let mut out = BTreeMap::new();
    for event in &calendar.events {
        // RFC 5545, 3.6.1: UID and DTSTAMP are a must, and without a METHOD so is DTSTART.
        let stamp = value(event, "DTSTAMP");
        assert!(stamp.len() == 16 && stamp.ends_with('Z'), "{stamp}");
        assert!(value(event, "SEQUENCE").parse::<u32>().is_ok());
        let start = event.properties.iter().find(|p| p.name == "DTSTART").expect("DTSTART");
        let whole_day = vec![("VALUE".to_owned(), vec!["DATE".to_owned()])];
        assert_eq!(start.params.as_ref(), Some(&whole_day));
        let day = start.value.clone().expect("a day");
        assert!(day.len() == 8 && day.bytes().all(|b| b.is_ascii_digit()), "{day}");
        let double = out.insert(value(event, "UID"), (day, value(event, "SUMMARY")));
        assert!(double.is_none(), "the same UID twice");
    }
    out
}

#[test]
fn an_independent_parser_reads_every_calendar() {
    let mut read = 0;
    for (_, text) in examples_in("cases") {
        let out = export(&text, TODAY);
        read += events(&out).len();
        // RFC 5545, 3.1: lines end with CR LF and have no more than 75 octets.
        for line in out.split("\r\n") {
            assert!(line.len() <= 75 && !line.contains('\n'), "{line}");
        }
    }
    assert!(read > 30, "{read}");
}

#[test]
fn a_changed_plan_moves_the_booked_events_and_adds_none_beside_them() {
    let text = example("cases/sm-0410-both-arches.spring");
    let before = events(&export(&text, TODAY));
    // Other days: the same events.
    let slower = text.replace("  change finish {", "  change finish, next 10 wk {");
    assert_ne!(text, slower);
    let after = events(&export(&slower, TODAY));
    let next = |e: &BTreeMap<String, (String, String)>| {
        e.iter().min_by_key(|(_, (day, _))| day.clone()).map(|(uid, _)| uid.clone()).unwrap()
    };
    assert_eq!(next(&before), next(&after));
    assert_ne!(before, after);
    let shared = before.keys().filter(|uid| after.contains_key(*uid)).count();
    assert_eq!(shared, before.len().min(after.len()), "{before:?}\n{after:?}");
}

#[test]
fn a_recorded_visit_leaves_the_events_that_follow_it() {
    let text = example("cases/sm-0410-both-arches.spring");
    let before = events(&export(&text, TODAY));
    let mut order: Vec<(&String, &String)> =
        before.iter().map(|(uid, (day, _))| (day, uid)).collect();
    order.sort();
    let day = order[0].0;
    let on = format!("{}-{}-{}", &day[..4], &day[4..6], &day[6..]);
    let rest: BTreeSet<&String> = order[1..].iter().map(|(_, uid)| *uid).collect();
    // Found otherwise than planned: one arch only is changed, so the visits fall apart anew.
    let seen = format!("seen {on} by MT {{\n  upper kept\n  lower binds at 42, kept\n}}\n");
    let emergency =
        "seen 2026-11-30 by MT as emergency {\n  poking 46\n  lower kept {\n    trim 46\n  }\n}\n";
    let today: Date = on.parse().unwrap();
    for addition in [seen.clone(), format!("{emergency}{seen}")] {
        let after = events(&export(&format!("{text}{addition}"), today));
        assert!(!after.contains_key(order[0].1), "what has been is no longer booked");
        let kept = rest.iter().filter(|uid| after.contains_key(**uid)).count();
        assert!(kept >= rest.len().min(after.len()) - 1, "{before:?}\n{after:?}");
        let next = after.iter().min_by_key(|(_, (day, _))| day.clone()).unwrap().0;
        assert_eq!(next, order[1].1, "the next visit is the event that was booked for it");
    }
}
