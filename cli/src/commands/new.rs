//! `springline new CHART`: writes a case file from a few answers.

use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;

use springline_emit::dates;
use springline_lang::lower;
use springline_lang::lower::Library as _;
use springline_lang::model::House;
use springline_lang::model::builtin::NO_PRACTICE_FILE;
use springline_lang::record::{NewCaseAnswers, file_stem, new_case};
use springline_lang::units::tooth::Arch;

use crate::args::{NewArgs, NewWhat};
use crate::files::{self, Folders};
use crate::problem::Problem;
use crate::today::today;

pub fn run(new: &NewArgs) -> Result<ExitCode, Problem> {
    if let Some(NewWhat::Practice(practice)) = &new.what {
        return super::new_practice::run(practice);
    }
    if let Some(patients) = new.demo {
        let folder = new.folder.as_deref().unwrap_or(Path::new("."));
        return super::demo::run(folder, new.seed, patients);
    }
    let folder = new.folder.clone().unwrap_or_default();
    let chart = new.chart.clone().unwrap_or_default();
    let path = folder.join(format!("{}.{}", file_stem(&chart), files::EXTENSION));
    if let Some(there) = files::there_already(&path) {
        return Err(Problem::usage(
            format!("{} already exists.", there.display()),
            "Choose another chart reference, or edit that file.",
        ));
    }
    let practice = practice(new, &Folders::at(folder))?;
    let house = practice.as_ref().map(|(_, house)| &**house);
    if let Some(form) =
        house.filter(|h| !h.accepts_chart(&chart)).and_then(|h| h.chart_form.as_ref())
    {
        return Err(Problem::usage(
            format!("`{chart}` is not a chart reference of this practice."),
            format!(
                "Write it as {}, # for a digit; never a patient's name, which would stand on every page.",
                form.value
            ),
        ));
    }
    let start = match &new.start {
        Some(text) => text.parse().map_err(|_| {
            Problem::usage(format!("`{text}` is not a date."), "Write it as year-month-day.")
        })?,
        None => house.map_or_else(today, |h| Ok(dates::next_open(h, today()?)))?,
    };
    let answers = NewCaseAnswers {
        chart,
        house: practice.as_ref().map(|(name, _)| name.clone()),
        doctor: new.doctor.clone(),
        start,
        growing: match (new.adult, new.growing) {
            (true, _) => Some(false),
            (_, true) => Some(true),
            _ => None,
        },
        arches: arches(new),
    };
    files::create(&path, new_case(&answers, house).as_bytes())?;
    crate::say!("wrote {}, start {}", path.display(), dates::long(start));
    Ok(ExitCode::SUCCESS)
}

/// The practice file that was named, or the only one there is; what is taken without having been named is
/// said, and first of all that there is none.
fn practice(new: &NewArgs, library: &Folders) -> Result<Option<(String, Arc<House>)>, Problem> {
    let name = match &new.practice {
        Some(name) => name.trim_end_matches(".spring").to_owned(),
        None => match &library.practices()[..] {
            [] => {
                crate::say!("{NO_PRACTICE_FILE}");
                return Ok(None);
            }
            [one] => {
                crate::say!("{one}.{} is used, the only practice file here.", files::EXTENSION);
                one.clone()
            }
            several => {
                return Err(Problem::usage(
                    format!("There are several practice files here: {}.", several.join(", ")),
                    format!("Say which: --practice {}.", several[0]),
                ));
            }
        },
    };
    let Ok((shown, text)) = library.house(&name) else {
        let help = match &library.practices()[..] {
            [] => "Write one: `springline new practice NAME`.".to_owned(),
            present => format!("There are: {}.", present.join(", ")),
        };
        return Err(Problem::usage(
            format!("There is no practice file `{name}.{}` here or above.", files::EXTENSION),
            help,
        ));
    };
    match lower::load(shown.clone(), text, library).house {
        Some(house) => Ok(Some((name, house))),
        None => Err(Problem::usage(
            format!("{shown} cannot be read as a practice file."),
            format!("`springline check {shown}` says why."),
        )),
    }
}

fn arches(new: &NewArgs) -> Vec<Arch> {
    match (new.upper_only, new.lower_only) {
        (true, false) => vec![Arch::Upper],
        (false, true) => vec![Arch::Lower],
        _ => vec![Arch::Upper, Arch::Lower],
    }
}
