//! Interactive prompts at a terminal, one line each, with a way back.

use std::io::{BufRead as _, IsTerminal as _, Write as _};
use std::path::Path;

use crate::problem::Problem;

/// What is typed to see the question before again.
const BACK: &str = "<";

/// Shown once before the first question.
pub const HINT: &str = "`<` goes back to the question before; Ctrl-C leaves and writes nothing.";

pub enum PromptReply {
    Text(String),
    Back,
}

/// Whether the terminal is interactive.
pub fn is_possible() -> bool {
    std::io::stdin().is_terminal()
}

pub fn prompt(text: &str) -> Result<PromptReply, Problem> {
    crate::say_part!("{text}: ");
    Ok(match line()? {
        line if line == BACK => PromptReply::Back,
        line => PromptReply::Text(line),
    })
}

/// An answer of several lines, up to an empty one.
pub fn prompt_lines(text: &str) -> Result<PromptReply, Problem> {
    crate::say!("{text}; an empty line ends it.");
    let mut out = String::new();
    loop {
        match line()? {
            line if line == BACK => return Ok(PromptReply::Back),
            line if line.is_empty() => return Ok(PromptReply::Text(out)),
            line => out.push_str(&(line + "\n")),
        }
    }
}

fn line() -> Result<String, Problem> {
    let failed = |e: std::io::Error| Problem::unreadable(Path::new("the terminal"), &e);
    std::io::stdout().flush().map_err(failed)?;
    let mut line = String::new();
    let read = std::io::stdin().lock().read_line(&mut line).map_err(failed)?;
    if read == 0 {
        return Err(Problem::usage("Nothing was written: input ended.", "Start again."));
    }
    Ok(line.trim().to_owned())
}
