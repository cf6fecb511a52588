//! Applies chosen fixes to a file: one after the other, with a check between, written in one go at the
//! end.

use std::path::Path;
use std::process::ExitCode;

use springline_emit::findings;
use springline_lang::finding::{Code, Finding, Fix, Severity};
use springline_lang::fixes::only_safe;
use springline_lang::text::{FileId, Span};
use springline_lang::{Checked, SourceText};

use super::session::FixSession;
use super::sheet::FixSheet;
use super::show;
use crate::args::FixFormat;
use crate::files::{self, Input};
use crate::problem::Problem;

/// The fixes of these names; nothing is written unless all of them are offered for the file as it is.
pub fn chosen(
    session: &mut FixSession,
    path: &Path,
    ids: &[String],
    format: FixFormat,
) -> Result<ExitCode, Problem> {
    let first = FixSheet::of(session, files::read(path)?);
    let mut asked: Vec<OfferedFix> = Vec::new();
    for id in ids.iter().map(|id| id.trim()) {
        let Some((finding, fix)) = first.find(id) else { return Err(unknown(&first, id)) };
        if asked.iter().all(|a| a.id != id) {
            asked.push(OfferedFix {
                id: id.to_owned(),
                finding: finding.clone(),
                fix: fix.clone(),
            });
        }
    }
    let mut bench = EditedText { now: first.input.clone(), written: Vec::new() };
    let mut refused = false;
    for one in &asked {
        let (id, title) = (&one.id, &one.fix.title);
        match bench.put_in(session, one) {
            Ok(()) => crate::tell!("{id} applied: {title}"),
            Err(why) => {
                refused = true;
                crate::tell!("{id} refused: {title}: {why}");
            }
        }
    }
    bench.save(session, path, &first, format)?;
    Ok(if refused { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

fn unknown(sheet: &FixSheet, id: &str) -> Problem {
    let numbered = id.chars().all(|c| c.is_ascii_digit());
    let message = match numbered {
        true => format!("`{id}` is a number of the list, not the name of a fix."),
        false => format!("No fix `{id}` is offered for {} as it is now.", sheet.input.name),
    };
    let help = match numbered {
        true => {
            "Each fix has a name of six letters and figures before it; it holds for this text alone."
        }
        false => {
            "The file may have changed since the list was shown. Nothing was written; run `springline fix` \
                  on it again."
        }
    };
    Problem::usage(message, help)
}

/// Every fix that changes nothing but how the text is written. `true` where none was left.
pub fn all_safe(session: &mut FixSession, path: &Path, format: FixFormat) -> Result<bool, Problem> {
    let input = files::read(path)?;
    let library = input.library();
    let mut now = input.clone();
    let mut refused: Vec<(Code, String)> = Vec::new();
    let mut applied = 0usize;
    loop {
        let read = session.checker.read(&now.source(), &library);
        let known = |f: &Finding| refused.iter().any(|(c, m)| *c == f.code && *m == f.message);
        let here = |f: &Finding| f.place.file == FileId(0) && !known(f);
        let next = read.findings.iter().filter(|f| here(f)).find_map(|f| Some((f, only_safe(f)?)));
        let Some((finding, fix)) = next else { break };
        let same = |f: &&Finding| f.code == finding.code && f.message == finding.message;
        let before = read.findings.iter().filter(same).count();
        let text = fix.apply(FileId(0), &now.text);
        let then = text.map(|text| Input { text: text.into(), ..now.clone() });
        let after = then.as_ref().map(|t| session.checker.read(&t.source(), &library).findings);
        let mends = after.is_some_and(|a| a.iter().filter(same).count() < before);
        match then.filter(|_| mends) {
            Some(then) => {
                crate::tell!("applied: {}", fix.title);
                applied += 1;
                now = then;
            }
            None => {
                crate::tell!("refused: {}: the finding would stand", fix.title);
                refused.push((finding.code.clone(), finding.message.clone()));
            }
        }
    }
    if applied == 0 && format == FixFormat::Human {
        crate::say!("{}: no fix is offered that only changes how it is written.", input.name);
    } else {
        let options = session.options();
        let checked = session.checker.check(&input.source(), &library, &options);
        let first = FixSheet { input, checked };
        EditedText { now, written: Vec::new() }.save(session, path, &first, format)?;
    }
    Ok(refused.is_empty())
}

/// A fix as it was offered for the text that was shown.
pub struct OfferedFix {
    pub id: String,
    pub finding: Finding,
    pub fix: Fix,
}

/// The text after the fixes applied so far.
pub struct EditedText {
    pub now: Input,
    /// Where earlier fixes have written.
    written: Vec<Span>,
}

impl EditedText {
    pub fn of(input: &Input) -> EditedText {
        EditedText { now: input.clone(), written: Vec::new() }
    }

    /// Applies one fix, if it is still offered and overlaps none before it.
    pub fn put_in(&mut self, session: &mut FixSession, asked: &OfferedFix) -> Result<(), String> {
        let sheet = FixSheet::of(session, self.now.clone());
        let (code, title) = (&asked.finding.code, &asked.fix.title);
        let of_it = sheet.offers().filter(|f| f.code == *code && f.step == asked.finding.step);
        let Some(fix) = of_it.flat_map(|f| &f.fixes).find(|f| f.title == *title) else {
            let found = sheet.checked.findings.iter().any(|f| f.code == *code);
            return Err(match found {
                true => "with those before it, it is no longer offered".to_owned(),
                false => "those before it have taken the finding away".to_owned(),
            });
        };
        let over = |e: Span, w: &Span| e.start < w.end && w.start < e.end;
        let replaced = || fix.edits.iter().map(|e| e.place.span).filter(|s| s.start < s.end);
        if replaced().any(|e| self.written.iter().any(|w| over(e, w))) {
            return Err("it would write over one before it".to_owned());
        }
        let text = fix.apply(FileId(0), &self.now.text).ok_or("it does not fit the text")?;
        self.move_written(fix);
        self.now.text = text.into();
        Ok(())
    }

    /// Ranges of earlier fixes after this one, and its own.
    fn move_written(&mut self, fix: &Fix) {
        let mut edits: Vec<_> = fix.edits.iter().collect();
        edits.sort_by_key(|e| e.place.span.start);
        let returns = self.now.text.contains("\r\n");
        let mut by = 0i64;
        let mut own = Vec::new();
        let moved = |at: u32, by: i64| u32::try_from(i64::from(at) + by).unwrap_or(u32::MAX);
        let before = self.written.clone();
        let mut shift = vec![0i64; before.len()];
        for edit in edits {
            let Span { start, end } = edit.place.span;
            let lines = edit.text.replace("\r\n", "\n");
            let ends = if returns { lines.matches('\n').count() } else { 0 };
            let length = if returns { lines.len() + ends } else { edit.text.len() };
            let grows = length as i64 - i64::from(end - start);
            let from = moved(start, by);
            own.push(Span { start: from, end: moved(from, length as i64) });
            for (span, shift) in before.iter().zip(&mut shift) {
                if span.start >= end {
                    *shift += grows;
                }
            }
            by += grows;
        }
        self.written = before
            .iter()
            .zip(shift)
            .map(|(s, by)| Span { start: moved(s.start, by), end: moved(s.end, by) })
            .chain(own)
            .collect();
    }

    /// Writes the changed text, if it changed, and reports the effect.
    pub fn save(
        &self,
        session: &mut FixSession,
        path: &Path,
        first: &FixSheet,
        format: FixFormat,
    ) -> Result<Checked, Problem> {
        let options = session.options();
        let source = SourceText { name: self.now.name.clone(), text: self.now.text.clone() };
        let checked = session.checker.check(&source, &self.now.library(), &options);
        if self.now.text != first.input.text {
            files::replace(path, &first.input, self.now.text.as_bytes())?;
        }
        match format {
            FixFormat::Json => crate::output::print(&findings::json::text(&[&checked])),
            FixFormat::Human => {
                let after = FixSheet { input: self.now.clone(), checked: checked.clone() };
                crate::output::print_as_is(&summary(first, &after));
            }
        }
        Ok(checked)
    }
}

/// Findings resolved, new and remaining.
fn summary(first: &FixSheet, after: &FixSheet) -> String {
    let mut out = match first.input.text == after.input.text {
        true => format!("{}: nothing was written.\n", first.input.name),
        false => format!("{}: written.\n", first.input.name),
    };
    let open = |s: &FixSheet| -> Vec<Finding> {
        let all = s.checked.findings.iter().filter(|f| f.accepted.is_none());
        all.filter(|f| f.severity != Severity::Advice).cloned().collect()
    };
    let (before, now) = (open(first), open(after));
    let same = |a: &Finding, b: &Finding| a.code == b.code && a.step == b.step;
    let list = |sheet: &FixSheet, head: &str, of: &[&Finding]| -> String {
        of.iter().map(|f| format!("{head} {}", show::finding(sheet, f))).collect()
    };
    let gone: Vec<_> = before.iter().filter(|f| !now.iter().any(|n| same(f, n))).collect();
    let new: Vec<_> = now.iter().filter(|f| !before.iter().any(|b| same(f, b))).collect();
    let left: Vec<_> = now.iter().filter(|f| before.iter().any(|b| same(f, b))).collect();
    out.push_str(&list(first, "gone:", &gone));
    out.push_str(&list(after, "new:", &new));
    out.push_str(&list(after, "remains:", &left));
    if now.is_empty() {
        out.push_str("No error and no warning remains.\n");
    }
    springline_lang::text::visible::text(&out).into_owned()
}
