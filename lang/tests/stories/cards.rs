//! What the card of the next visit says once so many visits are recorded.

use std::fmt::Write as _;

use jiff::civil::Date;
use springline_emit::card::{StaffCard, staff_card};
use springline_emit::{Plan, PrintStamp};
use springline_lang::finding::Severity;
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_test_support::{Practices, example};

use crate::told::Story;

/// The cards one after another, each printed on the day of the visit before it; the first two before anything is
/// recorded, and those after the last record together.
///
/// # Panics
/// Where a plan with these records has an error, or more than two warnings.
pub fn told(story: &Story) -> String {
    let plan = example(&format!("cases/{}.spring", story.plan));
    let mut checker = Checker::new();
    let mut out = String::new();
    for recorded in 0..=story.visits.len() {
        let text = plan.clone() + &story.visits[..recorded].concat();
        let today =
            recorded.checked_sub(1).map_or(story.planned, |last| day_of(story.visits[last]));
        let options = CheckOptions { today: Some(today) };
        let source = SourceText { name: format!("{}.spring", story.plan), text: text.into() };
        let checked = checker.check(&source, &Practices::saltmarsh(), &options);
        judge(&mut out, &checked, today);
        let cards = match recorded {
            0 => 2,
            n if n == story.visits.len() => usize::MAX,
            _ => 1,
        };
        out.push_str(&next_cards(&checked, today, cards));
    }
    out
}

fn day_of(record: &str) -> Date {
    let day = record.trim_start().strip_prefix("seen ").and_then(|r| r.get(..10));
    day.and_then(|d| d.parse().ok()).expect("a record begins with its day")
}

fn judge(out: &mut String, checked: &Checked, today: Date) {
    let grave: Vec<_> =
        checked.findings.iter().filter(|f| f.severity != Severity::Advice).collect();
    let errors = grave.iter().filter(|f| f.severity == Severity::Error).count();
    assert!(errors == 0 && grave.len() <= 2, "{today}: {grave:#?}");
    for finding in grave {
        let _ = writeln!(out, "{today} found: {}: {}", finding.code, finding.message);
    }
}

fn next_cards(checked: &Checked, today: Date, cards: usize) -> String {
    let (case, forecast) = (checked.case.as_deref(), checked.forecast.as_deref());
    let course = case.zip(forecast);
    let stamp = PrintStamp {
        case: "3f9a12c07be4d1".into(),
        house: "77aa04be91c2f0".into(),
        tool: "springline".into(),
        printed: today,
    };
    let plan = Plan::of(course, &checked.findings, today, &stamp).expect("a plan");
    let coming = plan.coming().take(cards);
    coming.map(|(number, _)| words(&staff_card(&plan, number).expect("its card"))).collect()
}

/// What is done, looked at and measured, in the order of the card.
fn words(card: &StaffCard) -> String {
    let head = &card.head;
    let mut out =
        format!("--- {} {}, visit {} of {}\n", head.date, head.kind, head.number, head.of);
    let mut lines = |name: &str, lines: &mut dyn Iterator<Item = String>| {
        for line in lines {
            let _ = writeln!(out, "{name}{line}");
        }
    };
    lines("first: ", &mut card.first.iter().cloned());
    lines("", &mut card.today.iter().cloned());
    lines("", &mut card.unusual.iter().filter(|u| u.starts_with("Noted")).cloned());
    lines("ask: ", &mut card.ask.iter().cloned());
    lines("look: ", &mut card.look.iter().cloned());
    lines("measure: ", &mut card.measure.iter().map(|m| format!("{} ___ {}", m.what, m.unit)));
    for test in &card.tests {
        lines("test: ", &mut [format!("{}: {}", test.arch, test.question)].into_iter());
        lines("  yes: ", &mut test.yes_do.iter().cloned());
    }
    for arch in &card.doing {
        lines("", &mut [arch.heading.clone()].into_iter());
        lines("  ", &mut arch.lines.iter().map(|l| l.text.clone()));
    }
    let worn = card.elastics.iter();
    let mut worn = worn
        .map(|e| format!("{}: {}, {}, {}, until {}", e.side, e.from_to, e.what, e.hours, e.until));
    lines("elastics: ", &mut worn);
    lines("next: ", &mut card.next.iter().cloned());
    // What is on every card is left out.
    let own = card.call.iter().filter(|c| c.contains("under") || c.contains("over"));
    lines("call if ", &mut own.cloned());
    out
}
