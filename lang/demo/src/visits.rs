//! Generates recorded visits: every two to three months, on a day on which Saltmarsh sees patients.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::clinic_days::open_after;
use super::draw::Draw;
use super::kinds::{DemoKind, Patient};

/// The visits up to today, in the order of their days.
pub fn written(patient: &Patient, draw: &mut Draw, today: Date) -> String {
    let mut out = String::new();
    let mut at: Vec<usize> = patient.arches.iter().map(|_| 0).collect();
    let mut bonded: Vec<bool> = patient.arches.iter().map(|a| a.starts.is_none()).collect();
    // The working wire has been looked at once.
    let mut worked: Vec<bool> = patient.arches.iter().map(|_| false).collect();
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
            let ends = worked[i] && patient.works_by_time() && nears(day, today);
            let next = arch.steps.get(at[i] + 1).filter(|(name, _)| *name != "finish" || ends);
            worked[i] = arch.steps[at[i]].0 == "work";
            let passive = if patient.growing { 80 } else { 60 };
            match next {
                Some(("finish", wire)) => {
                    lines.push(format!("{word} passive, now finish with {wire}"));
                    at[i] += 1;
                }
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

/// Weeks that a finish takes in Saltmarsh's sequences: nobody here is done before today.
const FINISH_WEEKS: i64 = 12;

/// So late that a finish which begins now still goes on today.
fn nears(day: Date, today: Date) -> bool {
    day.checked_add((7 * FINISH_WEEKS).days()).is_ok_and(|end| end > today)
}
