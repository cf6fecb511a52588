//! What was seen counts: the matrix of every word of a record (`rows`) is true of the program, and the page made
//! of it is in the tree. A new word of the record fails here until it has its row.

mod rows;
#[path = "../rules_common/mod.rs"]
mod rules_common;

use std::collections::BTreeSet;

use jiff::civil::{Date, date};
use rows::{Found, ObservationRow, ROWS, Record, Schedule};
use springline_emit::{Plan, PrintStamp, card};
use springline_lang::syntax::Context;
use springline_lang::syntax::patterns::patterns;
use springline_lang::syntax::vocabulary::{CHOICES, FRAGMENTS};
use springline_lang::{CheckOptions, Checked, check};

/// The last record, and the day after it.
const SEEN: Date = date(2026, 11, 17);
const TODAY: Date = date(2026, 11, 25);

/// A plan with elastics in its second record.
fn plan(record: Option<Record>, again: bool) -> String {
    let of_case = match record {
        Some(Record::OfCase(line)) => format!("{line}\n"),
        _ => String::new(),
    };
    let last = visit(SEEN, record);
    let before = visit(date(2026, 10, 6), record.filter(|_| again));
    format!(
        "springline 1\ncase \"SM-9700\"\nuse saltmarsh\nstart 2026-08-25\npatient growing\nbite {{\n  overjet 4 mm\n  \
         overbite 3 mm\n  molars class-2 2 mm\n  canines class-2 2 mm\n  crossbite 12\n}}\ngoal {{\n  overjet 2.5 mm\n  \
         molars class-1\n  canines class-1\n  upper midline on face\n}}\nupper {{\n  bonded 15..25 with twin\n  \
         tubes 17, 16, 26, 27 with molar\n  tooth 11 rotated 10 deg mesial-in\n  tooth 12 palatal 1 mm\n  \
         midline 0.5 mm to patient-left of face\n  follow usual\n  change align {{\n    stop mesial of 11, mesial of 21\n  }}\n}}\n\
         lower {{\n  bonded 45..35 with twin\n  tubes 46, 36 with molar\n  follow usual\n}}\n\
         elastics class-2 {{\n  right 13 to 46 with light, wear 22 h\n  left 23 to 36 with light, wear 22 h\n  from align\n  \
         until overjet 2.5 mm\n}}\nretain {{\n  night-time both\n}}\n\
         {of_case}seen 2026-08-25 by MT as bond-up {{\n  upper now align with niti-14\n  lower now align with niti-14\n}}\n\
         {before}{last}"
    )
}

fn visit(on: Date, record: Option<Record>) -> String {
    let kind = match record {
        Some(Record::As(kind, _)) => format!(" as {kind}"),
        _ => String::new(),
    };
    let upper = match record {
        Some(Record::Upper(line)) => line.to_owned(),
        Some(Record::InUpper(line) | Record::As(_, line)) => {
            format!("upper kept {{\n    {line}\n  }}")
        }
        _ => "upper kept".to_owned(),
    };
    let lower = if matches!(record, Some(Record::WithoutLower)) { "" } else { "  lower kept\n" };
    let beside = match record {
        Some(Record::Beside(line)) => format!("  {line}\n"),
        _ => String::new(),
    };
    format!("seen {on} by MT{kind} {{\n  {upper}\n{lower}{beside}}}\n")
}

fn judged(text: &str) -> Checked {
    check(
        &rules_common::source(text),
        &rules_common::library(),
        &CheckOptions { today: Some(TODAY) },
    )
}

/// The next visit, and its card as text.
fn next(checked: &Checked) -> Option<(Date, String)> {
    let (case, house, tool) = Default::default();
    let stamp = PrintStamp { case, house, tool, printed: TODAY };
    let plan = Plan::of(checked.course(), &checked.findings, TODAY, &stamp)?;
    let (number, visit) = plan.coming().next()?;
    let card = card::staff_card(&plan, number)?;
    Some((
        visit.date,
        format!("{:?} {:?} {:?} {:?}", card.first, card.look, card.tests, card.doing),
    ))
}

fn found(checked: &Checked, wanted: Found) -> bool {
    wanted.is_none_or(|(code, severity)| {
        checked.findings.iter().any(|f| f.code.as_str() == code && f.severity == severity)
    })
}

fn days(from: Date, to: Date) -> i64 {
    i64::from(from.until(to).unwrap().get_days())
}

#[test]
fn every_cell_is_true_of_the_program() {
    let plain = judged(&plan(None, false));
    let errors: Vec<_> =
        plain.findings.iter().filter(|f| f.code.is_language()).map(|f| &f.message).collect();
    assert!(errors.is_empty(), "{errors:?}");
    let (as_before, _) = next(&plain).expect("a next visit");
    let mut wrong = String::new();
    for row in ROWS {
        let checked = judged(&plan(Some(row.record), false));
        let mut say = |what: String| wrong.push_str(&format!("{}: {what}\n", row.word));
        for finding in checked.findings.iter().filter(|f| f.code.is_language()) {
            say(format!("cannot be read: {}", finding.message));
        }
        let Some((date, card)) = next(&checked) else {
            say("no next visit".to_owned());
            continue;
        };
        if let Some(words) = row.card
            && !card.contains(words)
        {
            say(format!("the card has not {words:?}: {card}"));
        }
        match row.schedule {
            Schedule::Stays if date != as_before => {
                say(format!("next visit {date}, without it {as_before}"));
            }
            Schedule::Within(most) if days(SEEN.max(TODAY), date) > most => {
                say(format!("next visit {date}, {} days on", days(SEEN, date)));
            }
            _ => {}
        }
        let told = |c: &Checked| {
            c.findings.iter().map(|f| format!("{} {}", f.severity, f.code)).collect::<Vec<_>>()
        };
        if !found(&checked, row.finding) {
            say(format!("not found {:?}: {:?}", row.finding, told(&checked)));
        }
        if row.again.is_some() {
            let twice = judged(&plan(Some(row.record), true));
            if !found(&twice, row.again) {
                say(format!("twice not found {:?}: {:?}", row.again, told(&twice)));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// The words of the record: statements, how a wire is found, what is done, wear and hygiene.
fn words() -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    for pattern in &patterns().all {
        if pattern.row.inside.contains(&Context::Seen) {
            out.extend(pattern.keywords.iter().map(|word| format!("seen {word}")));
        }
    }
    for (name, group) in [("found", "found"), ("done", "done"), ("worn", "worn")] {
        let body = FRAGMENTS.iter().find(|(n, _)| *n == name).map(|(_, body)| *body).unwrap();
        out.extend(alternatives(body).into_iter().map(|word| format!("{group} {word}")));
    }
    let hygiene = CHOICES.iter().find(|(n, _)| *n == "hygiene").map(|(_, body)| *body).unwrap();
    out.extend(hygiene.split(" | ").map(|word| format!("hygiene {word}")));
    // Sides of what is worn are said before how.
    for side in ["worn right", "worn left"] {
        out.remove(side);
    }
    out
}

/// The first word of each alternative of a choice in brackets.
fn alternatives(body: &str) -> Vec<String> {
    let mut depth = 0;
    let mut parts = vec![String::new()];
    for c in body.trim_start_matches('(').trim_end_matches(')').chars() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth -= 1,
            '|' if depth == 0 => parts.push(String::new()),
            _ => {}
        }
        if (c != '|' || depth > 0)
            && let Some(last) = parts.last_mut()
        {
            last.push(c);
        }
    }
    parts.iter().filter_map(|p| p.split_whitespace().next().map(str::to_owned)).collect()
}

#[test]
fn every_word_of_a_record_has_its_row() {
    let rows: BTreeSet<String> = ROWS.iter().map(|r| r.word.to_owned()).collect();
    assert_eq!(rows.len(), ROWS.len(), "a row stands twice");
    let missing: Vec<String> = words().into_iter().filter(|w| !rows.contains(w)).collect();
    assert!(missing.is_empty(), "no row in lang/tests/observations/rows.rs for {missing:#?}");
}

#[test]
fn the_page_is_that_of_the_rows() {
    let mut page = String::from(
        "# Observations\n\nWhat follows from every word that a visit can record: what is done the same day, what the card of the next \
         visit says, what the schedule does, what is found, and what the same said twice in a row means. Written by \
         `lang/tests/observations`, which proves each cell of a plan that has that record; a word of the record without a row \
         fails there. What is done the same day is common practice, no source.\n\n\
         | record | same day | next card | next visit | finding | said again |\n| --- | --- | --- | --- | --- | --- |\n",
    );
    for row in ROWS {
        page.push_str(&line(row));
    }
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/observations.md");
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(path, &page).unwrap();
    }
    let there = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        there == page,
        "lang/docs/observations.md is not of these rows: run with UPDATE_DOCS=1"
    );
}

fn line(row: &ObservationRow) -> String {
    let record = match row.record {
        Record::Beside(text)
        | Record::Upper(text)
        | Record::InUpper(text)
        | Record::OfCase(text) => text.lines().last().unwrap_or_default().trim().to_owned(),
        Record::As(kind, text) => format!("as {kind}, {text}"),
        Record::WithoutLower => "an arch is not mentioned".to_owned(),
    };
    let schedule = match row.schedule {
        Schedule::Stays => "same day".to_owned(),
        Schedule::Within(_) => "within two weeks".to_owned(),
        Schedule::Follows => "forecast anew".to_owned(),
    };
    let cell = |found: Found| {
        found.map_or("-".to_owned(), |(code, severity)| format!("{severity} `{code}`"))
    };
    let card = row.card.map_or("-".to_owned(), |words| format!("\u{201c}{words}\u{201d}"));
    format!(
        "| `{record}` | {} | {card} | {schedule} | {} | {} |\n",
        row.same_day,
        cell(row.finding),
        cell(row.again)
    )
}

/// Raisers that a record says to be off end with it: no later card has them, and nothing is raised in the forecast.
#[test]
fn raisers_recorded_as_off_are_off() {
    let raised = |record: Option<Record>| {
        let text = plan(record, false).replacen(
            "tubes 46, 36 with molar\n  follow usual\n",
            "tubes 46, 36 with molar\n  follow usual\n  change align {\n    bite-raisers 36, 46 until crossbite-corrected 12\n  }\n",
            1,
        );
        next(&judged(&text)).expect("a next card").1
    };
    let on = raised(None);
    assert!(on.contains("Bite raisers on 46, 36"), "{on}");
    let off = raised(Some(Record::Beside("bite-raisers-off 36, 46")));
    assert!(off.contains("Bite raisers off"), "{off}");
    assert!(!off.contains("Bite raisers on"), "{off}");
    let one = raised(Some(Record::Beside("bite-raisers-off 36")));
    assert!(one.contains("Bite raisers on 46, 36"), "the other one is on: {one}");
}
