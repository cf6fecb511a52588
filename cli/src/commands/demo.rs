//! `springline new --demo N`: writes an invented practice of any size.

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use rayon::prelude::*;
use springline_demo as demo;

use crate::files;
use crate::problem::Problem;
use crate::today::today;

pub fn run(folder: &Path, seed: u64, patients: u32) -> Result<ExitCode, Problem> {
    let today = today()?;
    let house = folder.join(format!("{}.{}", demo::HOUSE_NAME, files::EXTENSION));
    let inside = folder.join("cases");
    for place in [&house, &inside] {
        if place.exists() {
            return Err(Problem::usage(
                format!(
                    "{} already exists; a demo practice is not mixed with it.",
                    place.display()
                ),
                "Name an empty folder: --folder FOLDER.",
            ));
        }
    }
    fs::create_dir_all(&inside).map_err(|e| Problem::unwritable(&inside, &e))?;
    files::write(&house, demo::house().as_bytes())?;
    let progress = crate::progress::progress(patients as usize);
    (0..patients).into_par_iter().try_for_each(|number| {
        let case = demo::case(seed, number, today);
        progress.inc(1);
        files::write_again(&inside.join(case.file), case.text.as_bytes())
    })?;
    progress.finish_and_clear();
    crate::say!(
        "wrote {patients} invented cases and their practice file to {}; seed {seed}. Nobody in them exists.",
        folder.display()
    );
    Ok(ExitCode::SUCCESS)
}
