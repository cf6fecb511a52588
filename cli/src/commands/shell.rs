//! `springline completions` and `springline man`: shell completions and manual pages.

use std::fs;
use std::process::ExitCode;

use crate::args::{Args, CompletionsArgs, ManArgs};
use crate::files;
use crate::output::print;
use crate::problem::Problem;

pub fn completions(args: &CompletionsArgs) -> Result<ExitCode, Problem> {
    let mut out = Vec::new();
    clap_complete::generate(args.shell, &mut Args::cautioned(), "springline", &mut out);
    print(&String::from_utf8_lossy(&out));
    Ok(ExitCode::SUCCESS)
}

/// The page of the whole; with a folder, that and one page a command.
pub fn man(args: &ManArgs) -> Result<ExitCode, Problem> {
    let command = Args::cautioned();
    let Some(folder) = &args.to else {
        print(&page("springline", command)?);
        return Ok(ExitCode::SUCCESS);
    };
    fs::create_dir_all(folder).map_err(|e| Problem::unwritable(folder, &e))?;
    let mut pages = vec![("springline".to_owned(), command.clone())];
    for sub in command.get_subcommands() {
        add_page("springline", sub, &mut pages);
    }
    for (name, command) in pages {
        let path = folder.join(format!("{name}.1"));
        files::write(&path, page(&name, command)?.as_bytes())?;
    }
    Ok(ExitCode::SUCCESS)
}

/// A command's page, and those of the commands below it.
fn add_page(above: &str, command: &clap::Command, pages: &mut Vec<(String, clap::Command)>) {
    let name = format!("{above}-{}", command.get_name());
    for sub in command.get_subcommands() {
        add_page(&name, sub, pages);
    }
    pages.push((name, command.clone().version(env!("CARGO_PKG_VERSION"))));
}

fn page(name: &str, command: clap::Command) -> Result<String, Problem> {
    let mut out = Vec::new();
    clap_mangen::Man::new(command)
        .title(name)
        .render(&mut out)
        .map_err(|e| Problem::usage(format!("The page could not be made: {e}."), "Try again."))?;
    Ok(String::from_utf8_lossy(&out).into_owned())
}
