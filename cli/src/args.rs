//! The arguments of every command.

use std::path::PathBuf;

use clap::{Args as ClapArgs, CommandFactory as _, Parser, Subcommand, ValueEnum};
use springline_lang::caution::{CAUTION, CAUTION_IN_FULL};

/// Check, schedule and print orthodontic case plans.
#[derive(Debug, Parser)]
#[command(name = "springline", version, propagate_version = true, after_long_help = CAUTION_IN_FULL)]
pub struct Args {
    #[command(subcommand)]
    pub command: Command,

    /// When to use colour.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto)]
    pub color: Colour,
}

impl Args {
    /// The command with the caution under every help and every manual page.
    pub fn cautioned() -> clap::Command {
        Args::command().after_help(CAUTION).mut_subcommands(|sub| sub.after_help(CAUTION))
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Judge cases: findings with tooth, figure, limit, reason and fix.
    Check(Check),
    /// Settle the layout of files.
    Fmt(Fmt),
    /// Check, schedule and print cases in one go.
    Compile(Compile),
    /// Force and couple on every tooth, for every step.
    Forces(Forces),
    /// When each wire goes passive and what room is made, with bands.
    Course(CourseTable),
    /// Dated visits, both arches merged.
    Schedule(VisitTable),
    /// Staff cards, repair card and patient's sheet; only a hold card while an error stands.
    Print(Print),
    /// Hold a printed page against the plan on file, by the fingerprint in its foot.
    VerifyPrint(VerifyPrint),
    /// Force against deflection of wires in the drawer.
    Chart(Chart),
    /// All cases of a folder together: day sheet, pull list, stock, what is late, what is unusual.
    Practice(Practice),
    /// Two versions of a plan in clinical terms; also as git's diff driver.
    Diff(Diff),
    /// Start a case file.
    New(New),
    /// Write down a visit: asks what the step needs, or takes it from flags.
    Seen(Seen),
    /// How long wires really stay active here, from the recorded visits of all cases.
    Learn(Learn),
    /// Explain a finding, a term or a default.
    Explain(Explain),
    /// Show the arch at each step in a browser on this machine, following the file.
    Preview(Preview),
    /// Serve an editor over standard input and output.
    Lsp,
    /// Completions for a shell.
    Completions(Completions),
    /// The manual page; one a command with a folder.
    Man(Man),
}

#[derive(Debug, ClapArgs)]
pub struct Check {
    /// Cases, house files or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = FindingFormat::Human)]
    pub format: FindingFormat,
    /// Show every note, not only their number.
    #[arg(long)]
    pub all: bool,
    /// The mildest finding that makes the command fail.
    #[arg(long, value_enum, default_value_t = Threshold::Error)]
    pub fail_on: Threshold,
    #[command(flatten)]
    pub storing: Storing,
}

#[derive(Debug, ClapArgs)]
pub struct Storing {
    /// Where checks are put away, to be taken out again while nothing has changed; your own cache
    /// folder if left out, from eight files on.
    #[arg(long, value_name = "FOLDER")]
    pub cache: Option<PathBuf>,
    /// Compute everything anew and put nothing away.
    #[arg(long, conflicts_with = "cache")]
    pub no_cache: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FindingFormat {
    Human,
    /// One document with every finding; schema in `lang/docs/schemas/findings.json`.
    Json,
    /// One finding a line, for engines that read tables; schema in `lang/docs/schemas/finding-row.json`.
    Jsonl,
    /// SARIF 2.1.0, for code hosts and build servers.
    Sarif,
    /// JUnit XML, for build servers.
    Junit,
    OneLine,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Threshold {
    Error,
    Warning,
    Advice,
}

#[derive(Debug, ClapArgs)]
pub struct Fmt {
    /// Files or folders; `-` reads standard input and writes standard output.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// Write nothing; fail if a file is not settled.
    #[arg(long)]
    pub check: bool,
    /// Write nothing; show what would change, and fail if anything would.
    #[arg(long)]
    pub diff: bool,
}

#[derive(Debug, ClapArgs)]
pub struct Explain {
    /// A finding such as `space/engaged-without-space`, or a word of the language; nothing lists all.
    pub what: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub struct Seen {
    /// The case.
    pub case: PathBuf,
    /// The day of the visit; today if left out.
    #[arg(long)]
    pub date: Option<String>,
    /// Initials of who saw the patient.
    #[arg(long)]
    pub by: Option<String>,
    /// What kind of visit: review, repair, emergency ...
    #[arg(long = "as")]
    pub kind: Option<String>,
    /// How the upper arch was found and what was done: 'passive, now level with niti-16x22'.
    #[arg(long)]
    pub upper: Option<String>,
    /// The same for the lower arch.
    #[arg(long)]
    pub lower: Option<String>,
    /// Any other line of a visit: 'tooth 12 space 4.6 mm'. May be given several times.
    #[arg(long)]
    pub line: Vec<String>,
    /// The patient did not come: no visit, and nothing said of the wire.
    #[arg(long, conflicts_with_all = ["upper", "lower", "line", "kind", "by"])]
    pub missed: bool,
    /// Show the file as it would be, and write nothing.
    #[arg(long)]
    pub dry_run: bool,
}

#[derive(Debug, ClapArgs)]
pub struct Learn {
    /// The folder with the practice's cases, or some of them.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = LearnFormat::Human)]
    pub format: LearnFormat,
    /// Put the estimates into the house file, with the day; the course then uses them.
    #[arg(long)]
    pub write: bool,
    /// With --write: show the house file as it would be, and write nothing.
    #[arg(long, requires = "write")]
    pub dry_run: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LearnFormat {
    Human,
    Json,
    Svg,
}

#[derive(Debug, ClapArgs)]
pub struct New {
    /// The chart reference, such as SM-0501; never a patient's name.
    #[arg(required_unless_present = "demo")]
    pub chart: Option<String>,
    /// Instead of one case write an invented practice of so many patients, to try things on.
    #[arg(long, value_name = "PATIENTS", conflicts_with_all = ["chart", "house", "doctor", "start",
        "adult", "growing", "upper_only", "lower_only"], value_parser = clap::value_parser!(u32).range(1..=900_000))]
    pub demo: Option<u32>,
    /// Another invented practice for every number.
    #[arg(long, requires = "demo", default_value_t = 1)]
    pub seed: u64,
    /// The house file's name, without its ending.
    #[arg(long)]
    pub house: Option<String>,
    /// The doctor's initials.
    #[arg(long)]
    pub doctor: Option<String>,
    /// The day the appliance goes on; today if left out.
    #[arg(long)]
    pub start: Option<String>,
    #[arg(long, conflicts_with = "growing")]
    pub adult: bool,
    #[arg(long)]
    pub growing: bool,
    #[arg(long, conflicts_with = "lower_only")]
    pub upper_only: bool,
    #[arg(long)]
    pub lower_only: bool,
    /// Where to write it; this folder if left out. An invented practice wants a folder of its own.
    #[arg(long)]
    pub folder: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TableFormat {
    Human,
    /// One document: that of the case named, or of a folder all of them; schemas in
    /// `lang/docs/schemas`, of a folder `documents.json`.
    Json,
    /// The document of each case on a line of its own.
    Jsonl,
    Csv,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ScheduleFormat {
    Human,
    /// One document: that of the case named, or of a folder all of them; schemas in
    /// `lang/docs/schemas`, of a folder `documents.json`.
    Json,
    /// The document of each case on a line of its own.
    Jsonl,
    Csv,
    Ics,
    /// HL7 FHIR R4: a care plan with appointments.
    Fhir,
}

#[derive(Debug, ClapArgs)]
pub struct Table {
    /// Cases or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CourseFormat {
    Human,
    /// One document: that of the case named, or of a folder all of them; schemas in
    /// `lang/docs/schemas`, of a folder `documents.json`.
    Json,
    /// The document of each case on a line of its own.
    Jsonl,
    Csv,
    /// A picture of one case.
    Svg,
}

#[derive(Debug, ClapArgs)]
pub struct CourseTable {
    /// Cases or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = CourseFormat::Human)]
    pub format: CourseFormat,
}

#[derive(Debug, ClapArgs)]
pub struct Forces {
    #[command(flatten)]
    pub table: Table,
    /// Leave the bands out; much quicker.
    #[arg(long)]
    pub no_bands: bool,
}

#[derive(Debug, ClapArgs)]
pub struct VisitTable {
    /// Cases or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = ScheduleFormat::Human)]
    pub format: ScheduleFormat,
}

#[derive(Debug, ClapArgs)]
pub struct Print {
    /// Cases or folders.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// Where the pages go; made if it is not there.
    #[arg(long, default_value = "out")]
    pub to: PathBuf,
    #[arg(long, value_enum, default_value_t = PageFormat::Html)]
    pub format: PageFormat,
    /// The sheets in the printer; for PDF, since a browser asks.
    #[arg(long, value_enum, default_value_t = Sheet::A4)]
    pub paper: Sheet,
    /// The practice's own catalogue of the patient's words; without it the language of the house.
    #[arg(long, value_name = "FILE")]
    pub words: Option<PathBuf>,
    /// A font file for a script that the built-in typeface lacks; for PDF. May be given several times.
    #[arg(long, value_name = "FILE")]
    pub font: Vec<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PageFormat {
    Html,
    Pdf,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Sheet {
    A4,
    Letter,
}

#[derive(Debug, ClapArgs)]
pub struct VerifyPrint {
    /// The plan's fingerprint as it stands in the foot of the page, after the word plan.
    pub fingerprint: String,
    /// The case file.
    pub case: PathBuf,
    /// The house file's fingerprint from the same foot.
    #[arg(long)]
    pub house: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub struct Compile {
    /// Cases or folders.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// Where the documents go; made if it is not there.
    #[arg(long, default_value = "out")]
    pub to: PathBuf,
}

#[derive(Debug, ClapArgs)]
pub struct Preview {
    /// The case to show.
    pub file: PathBuf,
    /// Port on 127.0.0.1; any free one if left out.
    #[arg(long, default_value_t = 0, hide_default_value = true)]
    pub port: u16,
}

#[derive(Debug, ClapArgs)]
pub struct Chart {
    /// Wires by name; all of the drawer if none is given.
    pub wires: Vec<String>,
    /// The house file; the only one below this folder if left out.
    #[arg(long)]
    pub house: Option<PathBuf>,
    /// Span of the test in mm; that of the house's chart ceiling if left out, the standard's is 10.
    #[arg(long)]
    pub span: Option<f64>,
    /// How far the wire is bent, in mm.
    #[arg(long, default_value_t = 3.1)]
    pub bend: f64,
    #[arg(long, value_enum, default_value_t = ChartFormat::Human)]
    pub format: ChartFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ChartFormat {
    /// Curves in braille dots, and a table.
    Human,
    Svg,
    Csv,
    Json,
}

#[derive(Debug, ClapArgs)]
pub struct Practice {
    /// Which list.
    #[arg(value_enum, default_value_t = PracticeList::All)]
    pub list: PracticeList,
    /// Cases or folders.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// The day of the day sheet and the pull list; today if left out.
    #[arg(long)]
    pub date: Option<String>,
    /// Weeks from today that the stock must last.
    #[arg(long, default_value_t = 6)]
    pub weeks: u32,
    #[arg(long, value_enum, default_value_t = ListFormat::Human)]
    pub format: ListFormat,
    // Of use to `steps` alone: the other lists need the whole course.
    #[command(flatten)]
    pub storing: Storing,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PracticeList {
    All,
    /// Errors and warnings nobody has answered.
    Findings,
    /// Who comes, what for, how long.
    Day,
    /// What to lay out that day.
    Pull,
    /// What the coming weeks need.
    Stock,
    /// Cases that should have been seen.
    Overdue,
    /// Steps unlike the house sequence, and why.
    Departures,
    /// Wires in the drawer that no case uses.
    Drawer,
    /// Every step of every case, one row each; not among `all`.
    Steps,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ListFormat {
    Human,
    Json,
    /// One row a line, for engines that read tables: of `steps`; schema in
    /// `lang/docs/schemas/step-row.json`.
    Jsonl,
    Csv,
    Html,
}

#[derive(Debug, ClapArgs)]
pub struct Diff {
    /// The old version and the new one; git hands over seven arguments of its own.
    #[arg(required = true, num_args = 1..)]
    pub files: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = DiffFormat::Human)]
    pub format: DiffFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DiffFormat {
    Human,
    Json,
}

#[derive(Debug, ClapArgs)]
pub struct Completions {
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

#[derive(Debug, ClapArgs)]
pub struct Man {
    /// Where the pages go; made if it is not there.
    #[arg(long)]
    pub to: Option<PathBuf>,
}
