//! Shows the fixes of a text: what each does, its outcome in the recomputed plan, and the diff.

use springline_emit::findings::starts_at;
use springline_lang::finding::{Finding, Fix, FixKind};
use springline_lang::text::FileId;
use springline_lang::text::visible;

use super::sheet::FixSheet;
use crate::commands::fmt::changes;

/// All of them, findings numbered.
pub fn sheet(sheet: &FixSheet, colour: bool) -> String {
    let findings = counted(sheet.offers().count(), "finding");
    let fixes = counted(sheet.fixes(), "fix");
    let name = visible::line(&sheet.input.name).into_owned();
    let mut out = format!("{name}: {findings} with {fixes}\n\n");
    for (index, found) in sheet.offers().enumerate() {
        out.push_str(&format!("{}. {}", index + 1, finding(sheet, found)));
        for fix in &found.fixes {
            out.push_str(&format!("\n   {}  ", sheet.id(fix)));
            out.push_str(&one(sheet, fix, colour));
        }
        out.push('\n');
    }
    out
}

/// "error, line 12: ... [force/sustained]".
pub fn finding(sheet: &FixSheet, found: &Finding) -> String {
    let (name, at) = starts_at(&sheet.checked, found);
    let place = match name == sheet.input.name {
        true => format!("line {}", at.line),
        false => format!("{}, line {}", visible::line(&name), at.line),
    };
    let message = visible::line(&found.message).into_owned();
    format!("{}, {place}: {message} [{}]\n", found.severity, found.code)
}

/// One fix under its name.
pub fn one(sheet: &FixSheet, fix: &Fix, colour: bool) -> String {
    let who = match fix.kind {
        FixKind::Safe => "changes only how it is written",
        FixKind::Clinical => "needs the doctor's approval",
    };
    let said = match fix.outcome.as_deref() {
        Some(outcome) if outcome.starts_with(RESOLVES) => outcome.to_owned(),
        Some(outcome) => format!("{RESOLVES}; {outcome}"),
        None => RESOLVES.to_owned(),
    };
    let head = format!("{} ({who})\n   {said}\n", fix.title);
    let text = fix.apply(FileId(0), &sheet.input.text).unwrap_or_default();
    let name = visible::line(&sheet.input.name).into_owned();
    let after = format!("{name} with {}", sheet.id(fix));
    let difference = visible::text(&changes(&name, &sheet.input.text, &text, &after)).into_owned();
    visible::text(&head).into_owned() + &indented(&difference, colour)
}

/// Said of every fix that is shown: no other is.
const RESOLVES: &str = "checked: resolves this finding";

fn indented(difference: &str, colour: bool) -> String {
    let line = |line: &str| match (colour, line.as_bytes().first()) {
        (true, Some(b'+')) => format!("     \u{1b}[32m{line}\u{1b}[0m\n"),
        (true, Some(b'-')) => format!("     \u{1b}[31m{line}\u{1b}[0m\n"),
        _ => format!("     {line}\n"),
    };
    difference.lines().map(line).collect()
}

fn counted(count: usize, noun: &str) -> String {
    match (count, noun) {
        (1, noun) => format!("1 {noun}"),
        (n, "fix") => format!("{n} fixes"),
        (n, noun) => format!("{n} {noun}s"),
    }
}
