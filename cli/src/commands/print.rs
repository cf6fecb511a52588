//! `springline print` and `springline compile`: writes documents to disk.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use jiff::civil::Date;
use springline_emit as emit;
use springline_emit::Plan;
use springline_emit::caution::CAUTION;
use springline_emit::dates;
use springline_emit::pages;
use springline_emit::pages::{Body, Papers};
use springline_emit::patient_texts::Catalogue;
use springline_emit::pick;
use springline_emit::pick::{Kinds, NoVisit, Which};
use springline_emit::practice::{full_days, visits_on};
use springline_emit::tables::{calendar, schedule};
use springline_lang::text::visible;

#[cfg(feature = "pdf")]
use crate::args::PaperSize;
use crate::args::{Args, CompileArgs, PageFormat, PageKind, PrintArgs};
use crate::cases::{self, CheckedCase, LoadedCases};
use crate::commands::check::colour;
use crate::commands::tables::not_read;
use crate::files;
use crate::output::{print, print_as_is};
use crate::problem::Problem;
use crate::render::human::{self, Style};
use crate::today::today;

/// One file a case: cards, patient's sheet, repair card, or what of them is wanted; only the hold card while
/// an error stands.
pub fn run(args: &PrintArgs) -> Result<ExitCode, Problem> {
    let wanted = PrintSelection::of(args)?;
    let mut loaded = cases::load(&args.paths)?;
    let words = args.words.as_deref().map(own_words).transpose()?;
    let press = Press::of(args)?;
    folder(&args.to)?;
    if let Some(day) = wanted.day {
        return one_day(args, &loaded, day, &wanted, words.as_ref(), &press);
    }
    let mut held = false;
    apart(&mut loaded);
    let alone = loaded.cases.len() == 1;
    for case in &loaded.cases {
        let (papers, what) = match of_one(case, &wanted, words.as_ref()) {
            Ok((papers, what)) => (papers, what),
            // Of a whole folder some may have no next visit; of one case that was the question.
            Err(none) if !alone && wanted.visit == Some(Which::Next) => {
                crate::say!("{}: {}. {}", case.name(), none.what, none.instead);
                continue;
            }
            Err(none) => {
                loaded.problems += 1;
                Problem::usage(format!("{}: {}.", case.name(), none.what), none.instead).show();
                continue;
            }
        };
        held |= papers.pages.iter().any(|p| matches!(p.body, Body::Hold(_)));
        let path = place(case, &args.to, &format!("{}{}", wanted.suffix, press.ending()))?;
        files::write(&path, &press.print(&papers, &case.name(), case.today)?)?;
        crate::say!("{}: {what} in {}", case.name(), path.display());
    }
    Ok(loaded.exit(held))
}

/// One document, not yet on disk.
#[derive(Debug)]
pub struct PrintedDocument {
    pub name: String,
    pub bytes: Vec<u8>,
    /// Errors stand: it is a hold card, or holds one.
    pub held: bool,
}

/// The pages of one case, or of one day, as one document.
pub fn document(args: &PrintArgs) -> Result<PrintedDocument, Problem> {
    let wanted = PrintSelection::of(args)?;
    let loaded = cases::load(&args.paths)?;
    let press = Press::of(args)?;
    let words = args.words.as_deref().map(own_words).transpose()?;
    if let Some(date) = wanted.day {
        let plans: Vec<Plan<'_>> = loaded.cases.iter().filter_map(CheckedCase::plan).collect();
        let (papers, held) = papers_of_day(&plans, date, &wanted, words.as_ref())?;
        let name = format!("day-{date}.{}", press.ending());
        let bytes = press.print(&papers, &format!("day {date}"), today()?)?;
        return Ok(PrintedDocument { name, bytes, held: held > 0 });
    }
    let Some(case) = loaded.cases.first() else {
        return Err(Problem::usage("It is a practice file.", "Papers are printed of cases."));
    };
    let (papers, _) = of_one(case, &wanted, words.as_ref())
        .map_err(|none| Problem::usage(format!("{}.", none.what), none.instead))?;
    let held = papers.pages.iter().any(|p| matches!(p.body, Body::Hold(_)));
    let name = format!("{}.{}{}", case.name(), wanted.suffix, press.ending());
    let bytes = press.print(&papers, &case.name(), case.today)?;
    Ok(PrintedDocument { name, bytes, held })
}

/// The papers of a day, and how many of its cases are on hold.
fn papers_of_day(
    plans: &[Plan<'_>],
    date: Date,
    wanted: &PrintSelection,
    words: Option<&Catalogue>,
) -> Result<(Papers, usize), Problem> {
    let visits = visits_on(plans, date);
    if visits.is_empty() {
        return Err(Problem::usage(
            format!("Nobody is planned for {} ({date}).", dates::long(date)),
            nearest_days(plans, date),
        ));
    }
    let stamp = format!("{} \u{b7} printed {}", cases::TOOL, today()?);
    let words = |plan: &Plan<'_>| words.unwrap_or_else(|| pages::house_words(plan));
    let papers = pick::of_day(plans, date, words, wanted.kinds, stamp);
    let held = visits.iter().filter(|(i, _)| !plans[*i].blocking().is_empty()).count();
    Ok((papers, held))
}

/// The papers of one case, and what they are in a few words.
fn of_one(
    case: &CheckedCase,
    wanted: &PrintSelection,
    words: Option<&Catalogue>,
) -> Result<(Papers, &'static str), NoVisit> {
    let Some(plan) = case.plan() else {
        not_read(case);
        let papers = pages::of_unread(&case.name(), &case.stamp);
        return Ok((papers, "HOLD card only: the case cannot be read"));
    };
    if words.is_none() {
        told_in_english(case, &plan);
    }
    let papers = wanted.papers(&plan, words.unwrap_or_else(|| pages::house_words(&plan)))?;
    let what = match papers.pages.first().map(|p| &p.body) {
        Some(Body::Hold(_)) => "HOLD card only: there are errors",
        Some(Body::Nothing(_)) => "no visit to come; why stands",
        _ => wanted.what(),
    };
    Ok((papers, what))
}

/// A sheet in another language than the practice's is not handed out unnoticed.
fn told_in_english(case: &CheckedCase, plan: &Plan<'_>) {
    let language = &plan.house().language.value;
    if Catalogue::built_in(language).is_none() {
        crate::tell!(
            "{}: no words in `{language}` come with the program; the patient's sheet is in English. Bring your \
             own with --words FILE.",
            case.name()
        );
    }
}

/// The requested part of the documents.
struct PrintSelection {
    visit: Option<Which>,
    day: Option<Date>,
    kinds: Kinds,
    /// Set between name and ending, so that a part never takes the place of the whole.
    suffix: String,
}

impl PrintSelection {
    fn of(args: &PrintArgs) -> Result<PrintSelection, Problem> {
        let visit = args.visit.as_deref().map(which).transpose()?;
        let day = args.day.as_deref().map(day).transpose()?;
        let has = |kind| args.only.contains(&kind);
        let kinds = match (args.only.is_empty(), visit.is_some() || day.is_some()) {
            (true, false) => Kinds::ALL,
            (true, true) => Kinds::VISIT,
            (false, _) => Kinds {
                cards: has(PageKind::Cards),
                sheet: has(PageKind::Sheet),
                repair: has(PageKind::Repair),
                course: has(PageKind::Course),
            },
        };
        let mut suffix = match visit {
            None => String::new(),
            Some(Which::Next) => "next-visit.".to_owned(),
            Some(Which::Number(n)) => format!("visit-{n}."),
            Some(Which::On(date)) => format!("{date}."),
        };
        for kind in &args.only {
            let name = clap::ValueEnum::to_possible_value(kind);
            suffix.push_str(&name.map_or_else(String::new, |n| format!("{}.", n.get_name())));
        }
        Ok(PrintSelection { visit, day, kinds, suffix })
    }

    fn papers(&self, plan: &Plan<'_>, words: &Catalogue) -> Result<Papers, NoVisit> {
        let papers = match self.visit {
            None => pick::of_case(plan, words, self.kinds),
            Some(which) => {
                let number = pick::visit(plan, which)?;
                pick::of_visit(plan, number, words, self.kinds).unwrap_or_default()
            }
        };
        if !papers.pages.is_empty() {
            return Ok(papers);
        }
        let what = "There is no such page".to_owned();
        Err(match plan.coming().next() {
            None => {
                let instead = format!("The case has no visit to come: {}.", plan.why_no_visit());
                NoVisit { what, instead }
            }
            Some((_, visit)) => NoVisit {
                what: "Nothing is in the mouth yet, so there is no repair card".to_owned(),
                instead: format!("The next visit is on {}.", dates::long(visit.date)),
            },
        })
    }

    fn what(&self) -> &'static str {
        match (self.visit.is_some(), self.kinds == Kinds::ALL) {
            (true, _) => "one visit",
            (false, true) => "cards",
            (false, false) => "the pages asked for",
        }
    }
}

fn which(text: &str) -> Result<Which, Problem> {
    if text.eq_ignore_ascii_case("next") {
        return Ok(Which::Next);
    }
    if let Ok(number) = text.parse() {
        return Ok(Which::Number(number));
    }
    text.parse().map(Which::On).map_err(|_| {
        Problem::usage(
            format!("`{text}` names no visit."),
            "Write `next`, the visit's number, or its date as year-month-day.",
        )
    })
}

fn day(text: &str) -> Result<Date, Problem> {
    let today = today()?;
    match text.to_lowercase().as_str() {
        "today" => Ok(today),
        "tomorrow" => Ok(today.tomorrow().unwrap_or(today)),
        _ => text.parse().map_err(|_| {
            Problem::usage(
                format!("`{text}` is not a date."),
                "Write `today`, `tomorrow`, or year-month-day such as 2026-12-07.",
            )
        }),
    }
}

/// The day's list and cards of all cases, in one file.
fn one_day(
    args: &PrintArgs,
    loaded: &LoadedCases,
    date: Date,
    wanted: &PrintSelection,
    words: Option<&Catalogue>,
    press: &Press,
) -> Result<ExitCode, Problem> {
    let mut plans: Vec<Plan<'_>> = Vec::new();
    let mut unread = 0;
    for case in &loaded.cases {
        match case.plan() {
            Some(plan) => plans.push(plan),
            None => {
                not_read(case);
                unread += 1;
            }
        }
    }
    let (papers, held) = papers_of_day(&plans, date, wanted, words)?;
    let visits = visits_on(&plans, date);
    let path = args.to.join(format!("day-{date}.{}{}", wanted.suffix, press.ending()));
    files::write(&path, &press.print(&papers, &format!("day {date}"), today()?)?)?;
    for full in full_days(&plans, date, date) {
        crate::say!("{}.", full.words());
    }
    let hold = if held > 0 { format!(", {held} of them on hold") } else { String::new() };
    let count =
        if visits.len() == 1 { "1 visit".to_owned() } else { format!("{} visits", visits.len()) };
    crate::say!("{}: {count}{hold} in {}", dates::long(date), path.display());
    Ok(loaded.exit(held + unread > 0))
}

/// The days with visits before and after a day without.
fn nearest_days(plans: &[Plan<'_>], date: Date) -> String {
    let days: BTreeSet<Date> = plans.iter().flat_map(|p| p.coming()).map(|(_, v)| v.date).collect();
    let before = days.range(..date).next_back();
    let after = days.range(date..).next();
    let named: Vec<String> =
        before.into_iter().chain(after).map(|d| format!("{} ({d})", dates::long(*d))).collect();
    match named.is_empty() {
        true => "No case here has a visit to come.".to_owned(),
        false => format!("Nearest days with visits: {}.", named.join(", ")),
    }
}

/// A practice's own catalogue; a line that cannot be used is no reason to print half a sheet.
fn own_words(path: &Path) -> Result<Catalogue, Problem> {
    let input = files::read(path)?;
    let (words, faults) = Catalogue::parse(&input.text);
    if let Some(fault) = faults.first() {
        let place = if fault.line > 0 { format!(", line {}", fault.line) } else { String::new() };
        return Err(Problem::usage(
            format!("{}{place}: {}.", input.name, fault.what),
            "A line is `key = text`; the keys are those of lang/emit/src/patient_texts/en.words.",
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
    fn of(args: &PrintArgs) -> Result<Press, Problem> {
        match args.format {
            PageFormat::Html => Ok(Press::Html),
            #[cfg(feature = "pdf")]
            PageFormat::Pdf => {
                let font =
                    |path: &PathBuf| fs::read(path).map_err(|e| Problem::unreadable(path, &e));
                Ok(Press::Pdf {
                    paper: match args.paper {
                        PaperSize::A4 => springline_pdf::Paper::A4,
                        PaperSize::Letter => springline_pdf::Paper::Letter,
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

    /// `_name` and `_day` are of use to PDF alone.
    fn print(&self, papers: &Papers, _name: &str, _day: Date) -> Result<Vec<u8>, Problem> {
        match self {
            Press::Html => Ok(emit::html::papers(papers).into_bytes()),
            #[cfg(feature = "pdf")]
            Press::Pdf { paper, fonts } => {
                let day = (
                    _day.year().unsigned_abs(),
                    _day.month().unsigned_abs(),
                    _day.day().unsigned_abs(),
                );
                let written = springline_pdf::write(papers, *paper, day, fonts).map_err(|e| {
                    Problem::usage(format!("{}: {e}.", _name), "Print HTML instead.")
                })?;
                for reason in &written.not_accessible {
                    crate::tell!(
                        "{}: the PDF prints, but a screen reader may have difficulty: {reason}. A font file \
                         with the missing letters helps: --font FILE.",
                        _name
                    );
                }
                Ok(written.bytes)
            }
        }
    }
}

/// Checks, schedules and prints in one go.
pub fn compile(args: &CompileArgs, all: &Args) -> Result<ExitCode, Problem> {
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
fn apart(loaded: &mut LoadedCases) {
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
