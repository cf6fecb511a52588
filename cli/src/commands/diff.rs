//! `springline diff`: clinical comparison of two versions of a plan. Works as a git diff driver.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use springline_emit::Plan;
use springline_emit::compare;
use springline_emit::compare::Comparison;
use springline_lang::{CheckOptions, Checked, Checker, SourceText};

use crate::args::{DiffArgs, DiffFormat};
use crate::by_git;
use crate::cases;
use crate::files::{self, Folders};
use crate::output::print;
use crate::problem::Problem;
use crate::today::today;

/// What is compared. Git hands over copies in a folder of its own, and the name in the work tree.
struct Sides {
    old: PathBuf,
    new: PathBuf,
    /// The folder in which practice files are searched.
    folder: Option<PathBuf>,
    by_git: bool,
}

pub fn run(args: &DiffArgs) -> Result<ExitCode, Problem> {
    if let ([path], true) = (&args.files[..], by_git::is_called()) {
        crate::say!("{}: not merged yet.", path.display());
        return Ok(ExitCode::SUCCESS);
    }
    let sides = sides(&args.files)?;
    let today = today()?;
    let mut checker = Checker::new();
    let mut read = |path: &Path| -> Result<Option<Checked>, Problem> {
        if path == Path::new("/dev/null") {
            return Ok(None);
        }
        let input = files::read(path)?;
        let library = match &sides.folder {
            Some(folder) => Folders::at(folder.clone()),
            None => input.library(),
        };
        let text: Arc<str> = input.text.clone();
        let source = SourceText { name: input.name.clone(), text };
        Ok(Some(checker.check(&source, &library, &CheckOptions { today: Some(today) })))
    };
    let (old, new) = match (read(&sides.old), read(&sides.new)) {
        (Ok(old), Ok(new)) => (old, new),
        // To git the driver must not fail: it would show nothing of the other files.
        (Err(problem), _) | (_, Err(problem)) if sides.by_git => {
            crate::say!("{}: {problem}", args.files[0].display());
            return Ok(ExitCode::SUCCESS);
        }
        (Err(problem), _) | (_, Err(problem)) => return Err(problem),
    };
    let (Some(old), Some(new)) = (&old, &new) else {
        let what = if old.is_none() { "new plan" } else { "plan deleted" };
        crate::say!("{}: {what}", args.files[0].display());
        return Ok(ExitCode::SUCCESS);
    };
    let (before, after) = (cases::stamp(old, today), cases::stamp(new, today));
    let plans = (
        Plan::of(old.course(), &old.findings, today, &before),
        Plan::of(new.course(), &new.findings, today, &after),
    );
    let (Some(a), Some(b)) = plans else {
        // A practice file, or a text that is no plan: git still expects output.
        if sides.by_git {
            crate::say!("{}: not a readable case; compare the text.", args.files[0].display());
            return Ok(ExitCode::SUCCESS);
        }
        return Err(Problem::usage(
            "One of the two cannot be read as a case.",
            "Run `springline check` on both. For practice files compare the text.",
        ));
    };
    let comparison = compare::compare(&a, &b);
    print(&render(&comparison, args.format));
    let same = comparison.is_empty() || sides.by_git;
    Ok(if same { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

fn render(comparison: &Comparison, format: DiffFormat) -> String {
    match format {
        DiffFormat::Human => compare::human(comparison),
        DiffFormat::Json => serde_json::to_string(comparison).map(|s| s + "\n").unwrap_or_default(),
    }
}

/// Two files; or, from git, the path, then file, hash and mode of each side.
fn sides(files: &[PathBuf]) -> Result<Sides, Problem> {
    match files {
        [old, new] => Ok(Sides { old: old.clone(), new: new.clone(), folder: None, by_git: false }),
        [path, old, _, _, new, _, _, ..] => {
            let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
            Ok(Sides { old: old.clone(), new: new.clone(), folder: Some(folder), by_git: true })
        }
        _ => Err(Problem::usage(
            format!("Two versions are compared, and {} were named.", files.len()),
            "springline diff OLD NEW. As git's driver: git config diff.springline.command 'springline diff', \
             and the line `*.spring diff=springline` in .gitattributes.",
        )),
    }
}
