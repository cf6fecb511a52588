//! `springline pick`: a page on this machine for the landmark points of one picture or mesh.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use crate::args::PickArgs;
use crate::commands::desk::{Invitation, host};
use crate::commands::measure::case_at;
use crate::desk::{PickTask, PlansFolder, SourceKind};
use crate::problem::Problem;

pub fn run(args: &PickArgs) -> Result<ExitCode, Problem> {
    let source = present(&args.source)?;
    if SourceKind::of(&source.to_string_lossy()).is_none() {
        return Err(Problem::usage(
            format!("{} is no picture or mesh that can be shown.", args.source.display()),
            "Pictures are PNG or JPEG, meshes STL, PLY or OBJ; other formats are saved as one of these first.",
        ));
    }
    let points = match &args.out {
        Some(out) => out.clone(),
        None => args.source.with_extension("csv"),
    };
    if points.extension().is_none_or(|e| e != "csv") {
        return Err(Problem::usage(
            format!("{} is no name of a table of points.", points.display()),
            "Its name ends in .csv, such as sm-0392-upper.csv.",
        ));
    }
    let points = to_write(&points)?;
    let case = args.case.as_deref().map(case_path).transpose()?;
    let all: Vec<&Path> = [Some(&source), Some(&points), case.as_ref()]
        .into_iter()
        .flatten()
        .map(PathBuf::as_path)
        .collect();
    let root = common_folder(&all).ok_or_else(|| {
        Problem::usage(
            "The files have no folder in common.",
            "Put picture, points and case on one disk.",
        )
    })?;
    let name = |path: &Path| -> String {
        let within = path.strip_prefix(&root).unwrap_or(path);
        let parts: Vec<_> = within.iter().map(|part| part.to_string_lossy()).collect();
        parts.join("/")
    };
    let task =
        PickTask { source: name(&source), points: name(&points), case: case.as_deref().map(name) };
    let folder = PlansFolder::open(&root)?;
    for doc in [&task.source, &task.points] {
        let found = if doc == &task.source { folder.source(doc) } else { folder.place(doc) };
        found.map_err(|why| {
            Problem::usage(why, "Rename files and folders that begin with a dot.")
        })?;
    }
    host(folder, Some(task), &Invitation { port: args.port, quietly: args.no_browser })
}

fn present(path: &Path) -> Result<PathBuf, Problem> {
    let found = std::fs::canonicalize(path).map_err(|e| Problem::not_found(path, &e))?;
    if found.is_file() { Ok(found) } else { Err(Problem::no_file(path, "a folder")) }
}

fn case_path(path: &Path) -> Result<PathBuf, Problem> {
    case_at(path)?;
    present(path)
}

/// A file that may be there or not; its folder is.
fn to_write(path: &Path) -> Result<PathBuf, Problem> {
    if path.exists() {
        return present(path);
    }
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let folder = std::fs::canonicalize(folder).map_err(|e| Problem::not_found(folder, &e))?;
    Ok(folder.join(path.file_name().unwrap_or_default()))
}

fn common_folder(paths: &[&Path]) -> Option<PathBuf> {
    let first = paths.first()?.parent()?;
    first
        .ancestors()
        .find(|folder| paths.iter().all(|path| path.starts_with(folder)))
        .map(Path::to_path_buf)
}
