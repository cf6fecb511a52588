//! `springline fmt`: settle the layout.

use std::path::Path;
use std::process::ExitCode;

use springline_lang::finding::FileId;
use springline_lang::syntax::{format, parse};

use crate::args::Fmt;
use crate::commands::check::print;
use crate::files;
use crate::problem::Problem;

pub fn run(fmt: &Fmt) -> Result<ExitCode, Problem> {
    let mut unsettled = Vec::new();
    for path in files::find(&fmt.paths)? {
        let input = files::read(&path)?;
        let parsed = parse(FileId(0), &input.text);
        let notation = notation(&input, &parsed);
        let text = match format(&parsed, notation) {
            Ok(text) => text,
            Err(refusal) => {
                eprintln!("{}: left as it is: {refusal}", input.name);
                continue;
            }
        };
        if path.as_os_str() == "-" && !fmt.check {
            print(&text);
            continue;
        }
        if text == *input.text {
            continue;
        }
        if fmt.check {
            unsettled.push(input.name.clone());
        } else {
            write(&path, &text)?;
            println!("settled {}", input.name);
        }
    }
    for name in &unsettled {
        println!("not settled: {name}");
    }
    Ok(if unsettled.is_empty() { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

fn write(path: &Path, text: &str) -> Result<(), Problem> {
    files::write(path, text.as_bytes())
}
