//! `springline print` and `springline compile`: documents on disk.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use springline_lang::caution::CAUTION;
use springline_lang::emit::pages::{self, Papers};
use springline_lang::emit::tables::{calendar, schedule};
use springline_lang::emit::words::Catalogue;
use springline_lang::emit::{self, Plan};
use springline_lang::visible;

#[cfg(feature = "pdf")]
use crate::args::Sheet;
use crate::args::{Args, Compile, PageFormat, Print};
use crate::cases::{self, CheckedCase, Loaded};
use crate::commands::check::colour;
use crate::commands::tables::not_read;
use crate::files;
use crate::problem::Problem;
use crate::render::human::{self, Style};
use crate::say::{print, print_as_is};

/// One file a case: cards, patient's sheet, repair card; only the hold card while an error stands.
pub fn run(args: &Print) -> Result<ExitCode, Problem> {
    let mut loaded = cases::load(&args.paths)?;
    let words = args.words.as_deref().map(own_words).transpose()?;
    let press = Press::of(args)?;
    folder(&args.to)?;
    let mut held = false;
    apart(&mut loaded);
    for case in &loaded.cases {
        let (papers, what) = match case.plan() {
            Some(plan) => {
                let words = words.as_ref().unwrap_or_else(|| pages::house_words(&plan));
                let blocked = !plan.blocking().is_empty();
                held |= blocked;
                let what = if blocked { "HOLD card only: there are errors" } else { "cards" };
                (pages::of_case(&plan, words), what)
            }
            None => {
                not_read(case);
                held = true;
                (
                    pages::of_unread(&case.name(), &case.stamp),
                    "HOLD card only: the case cannot be read",
                )
            }
        };
        let path = place(case, &args.to, press.ending())?;
        files::write(&path, &press.print(&papers, case)?)?;
        crate::say!("{}: {what} in {}", case.name(), path.display());
    }
    Ok(loaded.exit(held))
}

/// A practice's own catalogue; a line that cannot be used is no reason to print half a sheet.
fn own_words(path: &Path) -> Result<Catalogue, Problem> {
    let input = files::read(path)?;
    let (words, faults) = Catalogue::parse(&input.text);
    if let Some(fault) = faults.first() {
        let place = if fault.line > 0 { format!(", line {}", fault.line) } else { String::new() };
        return Err(Problem::usage(
            format!("{}{place}: {}.", input.name, fault.what),
            "A line is `key = text`; the keys are those of lang/src/emit/words/en.words.",
        ));
    }
    let missing = words.missing();
    if !missing.is_empty() {
        crate::tell!(
            "{}: {} texts are missing and stay in English: {}",
            input.name,
            missing.len(),
            missing.join(", ")
        );
    }
    Ok(words)
}

/// What turns papers into bytes.
enum Press {
    Html,
    #[cfg(feature = "pdf")]
    Pdf {
        paper: springline_pdf::Paper,
        fonts: Vec<Vec<u8>>,
    },
}

impl Press {
    fn of(args: &Print) -> Result<Press, Problem> {
        match args.format {
            PageFormat::Html => Ok(Press::Html),
            #[cfg(feature = "pdf")]
            PageFormat::Pdf => {
                let font =
                    |path: &PathBuf| fs::read(path).map_err(|e| Problem::unreadable(path, &e));
                Ok(Press::Pdf {
                    paper: match args.paper {
                        Sheet::A4 => springline_pdf::Paper::A4,
                        Sheet::Letter => springline_pdf::Paper::Letter,
                    },
                    fonts: args.font.iter().map(font).collect::<Result<_, _>>()?,
                })
            }
            #[cfg(not(feature = "pdf"))]
            PageFormat::Pdf => Err(Problem::usage(
                "This springline was built without PDF.",
                "Print HTML and make the PDF in a browser, or build with the feature `pdf`.",
            )),
        }
    }

    fn ending(&self) -> &'static str {
        match self {
            Press::Html => "html",
            #[cfg(feature = "pdf")]
            Press::Pdf { .. } => "pdf",
        }
    }

    fn print(&self, papers: &Papers, _case: &CheckedCase) -> Result<Vec<u8>, Problem> {
        match self {
            Press::Html => Ok(emit::html::papers(papers).into_bytes()),
            #[cfg(feature = "pdf")]
            Press::Pdf { paper, fonts } => {
                let day = _case.today;
                let day = (
                    day.year().unsigned_abs(),
                    day.month().unsigned_abs(),
                    day.day().unsigned_abs(),
                );
                let written = springline_pdf::write(papers, *paper, day, fonts).map_err(|e| {
                    Problem::usage(format!("{}: {e}.", _case.name()), "Print HTML instead.")
                })?;
                for reason in &written.not_accessible {
                    crate::tell!(
                        "{}: the PDF prints, but a screen reader may have difficulty: {reason}. A font file \
                         with the missing letters helps: --font FILE.",
                        _case.name()
                    );
                }
                Ok(written.bytes)
            }
        }
    }
}

/// Checks, schedules and prints in one go.
pub fn compile(args: &Compile, all: &Args) -> Result<ExitCode, Problem> {
    let mut loaded = cases::load(&args.paths)?;
    folder(&args.to)?;
    let mut unread = 0;
    let mut held = 0;
    let mut index = Vec::new();
    apart(&mut loaded);
    for case in &loaded.cases {
        let style = Style { colour: colour(all), all: false };
        print_as_is(&human::findings(&case.checked, style));
        let Some(plan) = case.plan() else {
            not_read(case);
            let papers = pages::of_unread(&case.name(), &case.stamp);
            write(&place(case, &args.to, "html")?, &emit::html::papers(&papers))?;
            unread += 1;
            continue;
        };
        let page = place(case, &args.to, "html")?;
        write(&page, &emit::html::case_document(&plan))?;
        let table = schedule::schedule(&plan);
        let visits = visible::text(&schedule::human(&table, &plan)).into_owned();
        write(&place(case, &args.to, "txt")?, &visits)?;
        write(&place(case, &args.to, "ics")?, &calendar::calendar([&table], plan.today))?;
        let blocked = !plan.blocking().is_empty();
        held += usize::from(blocked);
        index.push(line(&plan, &page, blocked));
    }
    print("\n");
    print(&index.concat());
    let cases = loaded.cases.len();
    let missing = match loaded.not_looked_at() {
        0 => String::new(),
        n => format!(", {n} more files not checked or not printed"),
    };
    print(&format!(
        "\n{cases} cases: {} printed, {held} on hold, {unread} not read{missing}. Cards (.html), visits \
         (.txt) and calendar (.ics) are in {}.\n{CAUTION}\n",
        cases - held - unread,
        visible::line(&args.to.display().to_string())
    ));
    Ok(loaded.exit(held + unread > 0))
}

/// One case in one line.
fn line(plan: &Plan<'_>, page: &Path, blocked: bool) -> String {
    let next = match plan.forecast.next_visit() {
        _ if blocked => "on hold: errors".to_owned(),
        Some(visit) => format!("next visit {}", visit.date),
        None => "no further visit".to_owned(),
    };
    let (chart, page) = (visible::line(&plan.case.chart), page.display().to_string());
    format!("{chart:<10} {next:<28} {}\n", visible::line(&page))
}

/// Takes out the cases whose pages would be one file, and says which: nobody could tell which of them a
/// page is of. File systems that take small and capital letters for the same count.
fn apart(loaded: &mut Loaded) {
    let name = |case: &CheckedCase| case.within.with_extension("").to_string_lossy().to_lowercase();
    let mut by_name: BTreeMap<String, Vec<PathBuf>> = BTreeMap::new();
    for case in &loaded.cases {
        by_name.entry(name(case)).or_default().push(case.path.clone());
    }
    by_name.retain(|_, paths| paths.len() > 1);
    loaded.cases.retain(|case| !by_name.contains_key(&name(case)));
    for (name, paths) in by_name {
        let names: Vec<String> = paths.iter().map(|p| p.display().to_string()).collect();
        loaded.problems += paths.len();
        Problem::usage(
            format!(
                "{} would all be printed as {name}; none of them has been.",
                names.join(" and ")
            ),
            "Give them different names, or print each with a folder of its own: --to FOLDER.",
        )
        .show();
    }
}

/// Where a page of a case goes: called as its file is, since charts may hold signs that file systems do
/// not take, and in the same folders below `to` as its file below the folder that was named.
fn place(case: &CheckedCase, to: &Path, ending: &str) -> Result<PathBuf, Problem> {
    let stem = match case.within.as_os_str() == "-" {
        true => Path::new("case"),
        false => case.within.as_path(),
    };
    // A name may hold more points than that of its ending.
    let mut name = stem.with_extension("").into_os_string();
    name.push(format!(".{ending}"));
    let path = to.join(name);
    if let Some(parent) = path.parent() {
        folder(parent)?;
    }
    Ok(path)
}

fn folder(path: &Path) -> Result<(), Problem> {
    fs::create_dir_all(path).map_err(|e| Problem::unwritable(path, &e))
}

fn write(path: &Path, text: &str) -> Result<(), Problem> {
    files::write(path, text.as_bytes())
}
