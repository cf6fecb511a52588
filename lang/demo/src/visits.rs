//! Generates recorded visits: every two to three months, on a day on which Saltmarsh sees patients.

use jiff::ToSpan as _;
use jiff::civil::{Date, Weekday};

use super::draw::Draw;
use super::kinds::{DemoKind, Patient};

/// Days when the house is closed, as in its file, of the years a demonstration may reach back to.
const CLOSED: [(Date, Date); 4] = [
    (jiff::civil::date(2025, 12, 24), jiff::civil::date(2026, 1, 2)),
    (jiff::civil::date(2026, 4, 3), jiff::civil::date(2026, 4, 6)),
    (jiff::civil::date(2026, 8, 3), jiff::civil::date(2026, 8, 14)),
    (jiff::civil::date(2026, 12, 24), jiff::civil::date(2027, 1, 2)),
];

fn is_open(day: Date) -> bool {
    matches!(day.weekday(), Weekday::Monday | Weekday::Tuesday | Weekday::Thursday)
        && !CLOSED.iter().any(|(from, to)| *from <= day && day <= *to)
}

pub fn open_before(day: Date) -> Date {
    (0..30).filter_map(|n| day.checked_sub(n.days()).ok()).find(|d| is_open(*d)).unwrap_or(day)
}

/// The first open day after that many days.
pub fn open_after(day: Date, days: i64) -> Date {
    let from = day.checked_add(days.days()).unwrap_or(day);
    (0..30).filter_map(|n| from.checked_add(n.days()).ok()).find(|d| is_open(*d)).unwrap_or(from)
}

/// The visits up to today, in the order of their days.
pub fn written(patient: &Patient, draw: &mut Draw, today: Date) -> String {
    let mut out = String::new();
    let mut at: Vec<usize> = patient.arches.iter().map(|_| 0).collect();
    let mut bonded: Vec<bool> = patient.arches.iter().map(|a| a.starts.is_none()).collect();
    let mut last = patient.start;
    for _ in 0..patient.most_visits {
        let weeks = draw.between(8, 10);
        // A lower arch that begins later begins at a visit.
        let starts =
            patient.arches.iter().zip(&bonded).find(|(_, b)| !**b).and_then(|(a, _)| a.starts);
        let day = starts.unwrap_or_else(|| open_after(last, weeks * 7));
        if day >= today {
            break;
        }
        let by = draw.one(&["MT", "KM"]);
        let mut lines = Vec::new();
        let mut changed = false;
        for (i, arch) in patient.arches.iter().enumerate() {
            let word = if arch.upper { "upper" } else { "lower" };
            if !bonded[i] {
                bonded[i] = true;
                lines.push(format!("{word} now {} with {}", arch.steps[0].0, arch.steps[0].1));
                changed = true;
                continue;
            }
            let next = arch.steps.get(at[i] + 1).filter(|(name, _)| *name != "finish");
            let passive = if patient.growing { 80 } else { 60 };
            match next {
                Some((name, wire)) if draw.chance(passive) => {
                    lines.push(format!("{word} passive, now {name} with {wire}"));
                    at[i] += 1;
                    changed = true;
                }
                Some(_) if draw.chance(50) => lines.push(format!("{word} nearly-passive, kept")),
                Some(_) => lines.push(format!("{word} binds at {}, kept", arch.worst)),
                None => lines.push(format!("{word} kept")),
            }
        }
        if changed && patient.kind != DemoKind::DeepBite {
            lines.push("done as-planned".to_owned());
        }
        let kind = match (changed, bonded.len() > 1 && last == patient.start) {
            (true, true) if patient.kind == DemoKind::DeepBite => " as bond-up",
            (true, _) => " as wire-change",
            (false, _) => "",
        };
        out += &format!("seen {day} by {by}{kind} {{\n");
        lines.iter().for_each(|l| out += &format!("  {l}\n"));
        out += "}\n";
        last = day;
    }
    out
}
