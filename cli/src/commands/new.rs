//! `springline new CHART`: a case file from a few answers.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use springline_lang::model::tooth::Arch;
use springline_lang::record::{Answers, new_case};
use springline_lang::resolve::{self, Library as _};

use crate::args::New;
use crate::files::{self, Folders};
use crate::problem::Problem;
use crate::today::today;

pub fn run(new: &New) -> Result<ExitCode, Problem> {
    let folder = new.folder.clone().unwrap_or_else(|| PathBuf::from("."));
    if let Some(patients) = new.demo {
        return super::demo::run(&folder, new.seed, patients);
    }
    let chart = new.chart.clone().unwrap_or_default();
    let path = folder.join(format!("{}.{}", stem(&chart), files::EXTENSION));
    if path.exists() {
        return Err(Problem::usage(
            format!("{} already exists.", path.display()),
            "Choose another chart reference, or edit that file.",
        ));
    }
    let start = match &new.start {
        Some(text) => text.parse().map_err(|_| {
            Problem::usage(format!("`{text}` is not a date."), "Write it as year-month-day.")
        })?,
        None => today()?,
    };
    let library = Folders::at(folder);
    let house = match &new.house {
        Some(name) => {
            let (shown, text) = library.house(name).map_err(|_| {
                Problem::usage(
                    format!("There is no practice file `{name}.spring` here or in a folder above."),
                    "Give its name without the extension, such as --house saltmarsh.",
                )
            })?;
            resolve::load(shown, text, &library).house
        }
        None => None,
    };
    let answers = Answers {
        chart,
        house: new.house.clone(),
        doctor: new.doctor.clone(),
        start,
        growing: match (new.adult, new.growing) {
            (true, _) => Some(false),
            (_, true) => Some(true),
            _ => None,
        },
        arches: arches(new),
    };
    write(&path, &new_case(&answers, house.as_deref()))?;
    crate::say!("wrote {}", path.display());
    Ok(ExitCode::SUCCESS)
}

fn arches(new: &New) -> Vec<Arch> {
    match (new.upper_only, new.lower_only) {
        (true, false) => vec![Arch::Upper],
        (false, true) => vec![Arch::Lower],
        _ => vec![Arch::Upper, Arch::Lower],
    }
}

/// A file name made of the chart reference: letters, digits and hyphens between them, so that no program
/// takes it for an option.
fn stem(chart: &str) -> String {
    let text: String = chart
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() || c == '-' { c } else { '-' })
        .collect();
    let text = text.trim_matches('-');
    if text.is_empty() { "case".to_owned() } else { text.to_owned() }
}

fn write(path: &Path, text: &str) -> Result<(), Problem> {
    files::write(path, text.as_bytes())
}
