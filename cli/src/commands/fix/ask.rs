//! Interactive mode: for every finding the user picks a fix, skips, or quits. Each chosen fix is written
//! at once.

use std::io::{BufRead as _, Write as _};
use std::path::Path;
use std::process::ExitCode;

use springline_lang::finding::{Code, Finding};

use super::apply::{EditedText, OfferedFix};
use super::session::FixSession;
use super::sheet::FixSheet;
use super::show;
use crate::args::FixFormat;
use crate::files;
use crate::problem::Problem;

enum FixChoice {
    Fix(usize),
    Skip,
    Quit,
}

pub fn run(session: &mut FixSession, path: &Path) -> Result<ExitCode, Problem> {
    let mut skipped: Vec<(Code, Option<String>, String)> = Vec::new();
    let mut applied = 0usize;
    let about =
        |f: &Finding| (f.code.clone(), f.step.as_ref().map(|s| s.to_string()), f.message.clone());
    loop {
        let sheet = FixSheet::of(session, files::read(path)?);
        let next = sheet.offers().find(|f| !skipped.contains(&about(f)));
        let Some(finding) = next else { break };
        crate::output::print_as_is(&show::finding(&sheet, finding));
        for (number, fix) in finding.fixes.iter().enumerate() {
            let text = show::one(&sheet, fix, session.colour);
            crate::output::print_as_is(&format!("\n   {}  {text}", number + 1));
        }
        match answer(finding.fixes.len())? {
            FixChoice::Quit => break,
            FixChoice::Skip => skipped.push(about(finding)),
            FixChoice::Fix(at) => {
                let Some(fix) = finding.fixes.get(at) else { continue };
                let asked =
                    OfferedFix { id: sheet.id(fix), finding: finding.clone(), fix: fix.clone() };
                let mut bench = EditedText::of(&sheet.input);
                match bench.put_in(session, &asked) {
                    Ok(()) => {
                        bench.save(session, path, &sheet, FixFormat::Human)?;
                        applied += 1;
                    }
                    Err(why) => {
                        crate::say!("refused: {why}");
                        skipped.push(about(finding));
                    }
                }
            }
        }
        crate::say!("");
    }
    let fixes = if applied == 1 { "1 fix".to_owned() } else { format!("{applied} fixes") };
    crate::say!("{fixes} applied, {} skipped.", skipped.len());
    Ok(ExitCode::SUCCESS)
}

fn answer(fixes: usize) -> Result<FixChoice, Problem> {
    let failed = |e: std::io::Error| Problem::unreadable(Path::new("the terminal"), &e);
    let numbers = if fixes == 1 { "1".to_owned() } else { format!("1 to {fixes}") };
    loop {
        crate::say_part!("\n{numbers} applies it, s skips, q ends: ");
        std::io::stdout().flush().map_err(failed)?;
        let mut line = String::new();
        let read = std::io::stdin().lock().read_line(&mut line).map_err(failed)?;
        match line.trim() {
            // Input that ends is an end.
            "q" | "quit" => return Ok(FixChoice::Quit),
            _ if read == 0 => return Ok(FixChoice::Quit),
            "s" | "skip" | "" => return Ok(FixChoice::Skip),
            number => match number.parse::<usize>() {
                Ok(n) if (1..=fixes).contains(&n) => return Ok(FixChoice::Fix(n - 1)),
                _ => crate::say!("Please type {numbers}, s or q."),
            },
        }
    }
}
