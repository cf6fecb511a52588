//! `springline verify-print`: verifies a printed page against the current plan.

use std::path::Path;
use std::process::{Command, ExitCode};

use crate::args::VerifyPrintArgs;
use crate::cases::{self, fingerprint};
use crate::problem::Problem;

/// Fewer signs than this could fit two plans by chance.
const SHORTEST: usize = 8;
/// Older versions looked at.
const VERSIONS: usize = 500;

pub fn run(args: &VerifyPrintArgs) -> Result<ExitCode, Problem> {
    let page = asked(&args.fingerprint)?;
    let house = args.house.as_deref().map(asked).transpose()?;
    let loaded = cases::load(std::slice::from_ref(&args.case))?;
    let Some(case) = loaded.cases.first() else {
        if loaded.problems > 0 {
            return Ok(loaded.exit(false));
        }
        return Err(Problem::usage(
            format!("{} is a practice file; a page belongs to a case.", args.case.display()),
            "Name the case file.",
        ));
    };
    let same = case.stamp.case.starts_with(&page);
    let same_house = house.as_deref().is_none_or(|h| case.stamp.house.starts_with(h));
    if same && same_house {
        crate::say!("{}: page matches the current plan.", case.name());
        return Ok(ExitCode::SUCCESS);
    }
    if same {
        crate::say!(
            "{}: the plan is the same, but the practice file has changed since the page was printed. Reprint it.",
            case.name()
        );
        return Ok(ExitCode::from(1));
    }
    crate::say!(
        "{}: page is out of date (current plan {}, page {page}); do not use it; reprint.",
        case.name(),
        &case.stamp.case[..12.min(case.stamp.case.len())]
    );
    if let Some((commit, date)) = older(&case.path, &page) {
        crate::say!(
            "The page is from commit {commit} of {date}; `springline diff` shows what has changed."
        );
    }
    Ok(ExitCode::from(1))
}

/// As it stands on the page: hexadecimal, in either case, perhaps read aloud with blanks.
fn asked(text: &str) -> Result<String, Problem> {
    let bare: String =
        text.chars().filter(|c| !c.is_whitespace()).collect::<String>().to_lowercase();
    if bare.len() < SHORTEST || !bare.chars().all(|c| c.is_ascii_hexdigit()) {
        return Err(Problem::usage(
            format!("`{text}` is not a page fingerprint."),
            "It has twelve characters, 0 to 9 and a to f, in the page footer after the word plan.",
        ));
    }
    Ok(bare)
}

/// The version under version control that the page was printed from, where there is any.
fn older(path: &Path, page: &str) -> Option<(String, String)> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let name = path.file_name()?.to_str()?;
    let git = |args: &[&str]| {
        let out = Command::new("git").arg("-C").arg(folder).args(args).output().ok()?;
        out.status.success().then_some(out.stdout)
    };
    let log = git(&["log", "--follow", "--format=%h %cs", "--", name])?;
    for line in String::from_utf8_lossy(&log).lines().take(VERSIONS) {
        let (commit, date) = line.split_once(' ')?;
        let Some(bytes) = git(&["show", &format!("{commit}:./{name}")]) else { continue };
        if std::str::from_utf8(&bytes).is_ok_and(|t| fingerprint(t).starts_with(page)) {
            return Some((commit.to_owned(), date.to_owned()));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::asked;

    #[test]
    fn a_fingerprint_may_be_read_aloud() {
        assert_eq!(asked("AB12 cd34 ef56").expect("one"), "ab12cd34ef56");
        assert!(asked("ab12").is_err() && asked("plan ab12cd34").is_err());
    }
}
