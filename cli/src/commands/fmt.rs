//! `springline fmt`: formats files.

use std::process::ExitCode;

use springline_lang::TextDatabase;
use springline_lang::syntax;
use springline_lang::syntax::format;

use crate::args::FmtArgs;
use crate::cases;
use crate::files;
use crate::output::{print, print_plan};
use crate::problem::Problem;

pub fn run(fmt: &FmtArgs) -> Result<ExitCode, Problem> {
    let mut unsettled = Vec::new();
    let mut refused = false;
    let mut texts = TextDatabase::new();
    let found = cases::listed(&fmt.paths)?;
    let mut problems = found.problems;
    for path in found.plans.into_iter().map(|plan| plan.path) {
        let input = match files::read(&path) {
            Ok(input) => input,
            Err(problem) => {
                problems += 1;
                problem.show();
                continue;
            }
        };
        let read = texts.read(&input.source(), &input.library());
        // Teeth are written in the practice's notation, where the practice file can be read.
        let notation = read.house.as_ref().map(|h| h.notation.value);
        let text = match format(&read.parse, &syntax::FormatOptions { notation }) {
            Ok(text) => text,
            Err(refusal) => {
                crate::tell!("{}: {refusal}", input.name);
                refused = true;
                continue;
            }
        };
        if fmt.diff {
            if text != *input.text {
                let settled = format!("{} settled", input.name);
                print(&changes(&input.name, &input.text, &text, &settled));
                unsettled.push(input.name.clone());
            }
        } else if path.as_os_str() == "-" && !fmt.check {
            print_plan(&text);
        } else if text == *input.text {
            continue;
        } else if fmt.check {
            unsettled.push(input.name.clone());
        } else {
            files::replace(&path, &input, text.as_bytes())?;
            crate::say!("formatted {}", input.name);
        }
    }
    for name in &unsettled {
        crate::say!("needs formatting: {name}");
    }
    if !unsettled.is_empty() {
        crate::tell!("To lay them out: springline fmt {}", unsettled.join(" "));
    }
    Ok(match (problems > 0, unsettled.is_empty() && !refused) {
        (true, _) => ExitCode::from(2),
        (false, true) => ExitCode::SUCCESS,
        (false, false) => ExitCode::from(1),
    })
}

/// As a patch; `then` is what the changed text is called.
pub fn changes(name: &str, before: &str, after: &str, then: &str) -> String {
    similar::TextDiff::from_lines(before, after)
        .unified_diff()
        .context_radius(2)
        .header(name, then)
        .to_string()
}
