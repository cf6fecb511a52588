//! Command-line arguments of every command.

use std::path::PathBuf;

use clap::{Args as ClapArgs, CommandFactory as _, Parser, Subcommand, ValueEnum};
use springline_emit::caution::{CAUTION, CAUTION_IN_FULL};

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
        Args::command().after_help(CAUTION).mut_subcommands(cautioned)
    }
}

fn cautioned(command: clap::Command) -> clap::Command {
    command.after_help(CAUTION).mut_subcommands(cautioned)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check cases and report findings with fixes.
    Check(CheckArgs),
    /// Show suggested fixes as diffs, and apply those you choose.
    ///
    /// Without flags nothing is written: every finding with a fix is listed, with the full text of each fix
    /// and what the recomputed plan says of it. A fix is offered only if it resolves the finding, worsens no
    /// figure, and removes no step, condition, goal or extraction.
    ///
    /// Exit codes: 0 listed, or everything requested was applied; 1 some of it was refused and the rest
    /// applied; 2 the command could not run and nothing was written.
    Fix(FixArgs),
    /// Format files.
    Fmt(FmtArgs),
    /// Check, schedule and print cases in one go: all cards (.html), visits (.txt) and a calendar (.ics).
    Compile(CompileArgs),
    /// Show forces and moments on every tooth, by step.
    Forces(ForcesArgs),
    /// Forecast when wires become passive and how much space opens.
    #[command(name = "forecast", alias = "course")]
    Course(CourseArgs),
    /// List visit dates for both arches.
    Schedule(ScheduleArgs),
    /// Print staff cards, repair card and patient's sheet; only a hold card if there are errors.
    Print(PrintArgs),
    /// Verify a printed page against the current plan.
    VerifyPrint(VerifyPrintArgs),
    /// Draw the arches on one day as SVG: from the bite or from the front.
    Draw(DrawArgs),
    /// Read where teeth stand from landmark points of a scan or photograph.
    Measure(MeasureArgs),
    /// Plot force–deflection curves for the practice's wires.
    #[command(name = "bench", alias = "chart")]
    Chart(ChartArgs),
    /// List across cases: appointments, tray set-ups, stock, overdue visits, departures.
    Practice(PracticeArgs),
    /// Compare two versions of a plan clinically; works as a git diff driver.
    Diff(DiffArgs),
    /// Show two plans of one case beside each other: visits, weeks, wires, forces, the end, findings.
    Compare(CompareArgs),
    /// Work out the wires before the working wire from the practice's drawer: a patch, with why and why not.
    ///
    /// Every sequence that the order of the trade allows is a candidate; the checker computes them, those first that
    /// may take the fewest weeks. The practice's own sequence stands unless another has an error or a warning less or
    /// is three weeks better. Where a tooth lacks room it is left out, gets room from a coil and is taken in lightly; where
    /// that room comes from is the doctor's choice (`--with`). Closing and elastics are never drafted.
    ///
    /// Exit codes: 0 drafted, or the practice's sequence stands; 1 nothing could be drafted, and why; 2 the command
    /// could not run.
    Draft(DraftArgs),
    /// Start a case file, or with `new practice` a practice file.
    New(Box<NewArgs>),
    /// Record a visit, interactively or from flags.
    Seen(SeenArgs),
    /// Estimate how long wires stay active in this practice.
    Learn(LearnArgs),
    /// Explain a finding, a term or a default.
    Explain(ExplainArgs),
    /// Show the arch at each step in a browser on this machine, live.
    Preview(PreviewArgs),
    /// Open a folder of plans as a page on this machine: read, write, record visits, print.
    Desk(DeskArgs),
    /// Pick landmark points on a picture or mesh, on a page on this machine; writes the table for `measure`.
    Pick(PickArgs),
    /// Run the language server on stdin/stdout.
    Lsp,
    /// Write completions for a shell.
    Completions(CompletionsArgs),
    /// Write the manual page, or one per command with `--to`.
    Man(ManArgs),
}

#[derive(Debug, ClapArgs)]
pub struct CheckArgs {
    /// Cases, practice files or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = FindingFormat::Human)]
    pub format: FindingFormat,
    /// List advice in full, not just the count.
    #[arg(long)]
    pub all: bool,
    /// Lowest level that causes failure.
    #[arg(long, value_enum, default_value_t = Threshold::Error)]
    pub fail_on: Threshold,
    #[command(flatten)]
    pub storing: StoringArgs,
}

#[derive(Debug, ClapArgs)]
pub struct StoringArgs {
    /// Cache folder for checks of unchanged files; from eight files your user cache by default.
    #[arg(long, value_name = "FOLDER")]
    pub cache: Option<PathBuf>,
    /// Ignore the cache and write nothing to it.
    #[arg(long, conflicts_with = "cache")]
    pub no_cache: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FindingFormat {
    Human,
    /// One document with every finding; schema in `lang/docs/schemas/findings.json`.
    Json,
    /// One finding per line, for data tools; schema in `lang/docs/schemas/finding-row.json`.
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
pub struct FmtArgs {
    /// Files or folders; `-` reads standard input and writes standard output.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// Write nothing; fail if a file needs formatting.
    #[arg(long)]
    pub check: bool,
    /// Write nothing; show what would change, and fail if anything would.
    #[arg(long)]
    pub diff: bool,
}

#[derive(Debug, ClapArgs)]
pub struct FixArgs {
    /// Cases, practice files or folders; `-` is standard input, whose fixes are only listed.
    #[arg(required = true)]
    pub paths: Vec<PathBuf>,
    /// Apply these fixes to one file, by their IDs in the list, such as k7m2qd; an ID is valid only while the
    /// file is unchanged.
    #[arg(long, value_name = "ID", value_delimiter = ',', conflicts_with_all = ["all_safe", "ask"])]
    pub apply: Vec<String>,
    /// Apply every fix that changes only how the text is written, never the plan.
    #[arg(long, conflicts_with = "ask")]
    pub all_safe: bool,
    /// Ask for each finding in one file which fix to apply.
    #[arg(long)]
    pub ask: bool,
    #[arg(long, value_enum, default_value_t = FixFormat::Human, conflicts_with = "ask")]
    pub format: FixFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FixFormat {
    Human,
    /// As `check --format json`: findings with fixes or, after applying, all remaining findings.
    Json,
}

#[derive(Debug, ClapArgs)]
pub struct ExplainArgs {
    /// A finding such as `space/engaged-without-space`, or a word of the language; omit to list all.
    pub what: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub struct SeenArgs {
    /// Case to record the visit in.
    pub case: PathBuf,
    /// Date of the visit [default: today].
    #[arg(long)]
    pub date: Option<String>,
    /// Initials of who saw the patient.
    #[arg(long)]
    pub by: Option<String>,
    /// Kind of visit: review, repair, emergency ...
    #[arg(long = "as")]
    pub kind: Option<String>,
    /// Upper arch, as found and what was done: 'passive, now level with niti-16x22'.
    #[arg(long)]
    pub upper: Option<String>,
    /// Lower arch, likewise.
    #[arg(long)]
    pub lower: Option<String>,
    /// Any other line of a visit: 'tooth 12 space 4.6 mm', 'loose 15'; repeatable. What was done in an arch
    /// goes with --upper or --lower: --upper kept --line 'upper rebond 15'.
    #[arg(long)]
    pub line: Vec<String>,
    /// Record a missed appointment.
    #[arg(long, conflicts_with_all = ["upper", "lower", "line", "kind", "by"])]
    pub missed: bool,
    /// Show the file as it would be, and write nothing.
    #[arg(long)]
    pub dry_run: bool,
}

#[derive(Debug, ClapArgs)]
pub struct LearnArgs {
    /// Folder with the practice's cases, or some of the cases.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = LearnFormat::Human)]
    pub format: LearnFormat,
    /// Write the estimates, dated, to the practice file; forecasts then use them.
    #[arg(long)]
    pub write: bool,
    /// With --write: show the practice file as it would be, and write nothing.
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
pub struct MeasureArgs {
    /// Tables of points (CSV), marked points (Markups JSON, picked-points XML) or landmarks (JSON, with --labels and
    /// --mesh), one file or one for each arch; `-` is standard input.
    #[arg(required = true)]
    pub points: Vec<PathBuf>,
    /// Of landmarks that name no tooth: the tooth of every vertex of the scan (JSON), with --mesh.
    #[arg(long, value_name = "FILE", requires = "mesh")]
    pub labels: Option<PathBuf>,
    /// The scan's vertices (OBJ), with --labels.
    #[arg(long, value_name = "FILE", requires = "labels")]
    pub mesh: Option<PathBuf>,
    /// The case whose arch forms are laid through the teeth.
    #[arg(long, value_name = "FILE")]
    pub case: Option<PathBuf>,
    /// Another form: one of the practice by its name, a size such as `catenary 15 mm`, `catenary` of any size, or
    /// `fitted`: by its widths at canines and molars [default: the case's; without a case `catenary`].
    #[arg(long, value_name = "FORM")]
    pub form: Option<String>,
    /// Lay the line through these teeth alone, such as 16,15,13,23,25,26.
    #[arg(long, value_name = "TEETH", value_delimiter = ',')]
    pub in_line: Vec<String>,
    /// Error of a point, mm: the standard deviation of each coordinate.
    #[arg(long, value_name = "MM", default_value_t = 0.2)]
    pub error: f64,
    #[arg(long, value_enum, default_value_t = MeasureFormat::Human)]
    pub format: MeasureFormat,
    /// Write what was measured into the case, as a block of its own that is replaced when measured again; the case's own
    /// lines go first.
    #[arg(long, requires = "case")]
    pub write: bool,
    /// The day of the scan or photograph [default: that of the visit, else today].
    #[arg(long, value_name = "DATE")]
    pub on: Option<jiff::civil::Date>,
    /// With --write: into the recorded visit of this day, as a progress scan.
    #[arg(long, value_name = "DATE", requires = "write")]
    pub visit: Option<jiff::civil::Date>,
    /// What the points were picked on [default: a scan; a photograph where they have no heights].
    #[arg(long = "from", value_enum)]
    pub source: Option<MeasureSource>,
    /// With --write: show the case as it would be, and write nothing.
    #[arg(long, requires = "write")]
    pub dry_run: bool,
}

/// What points were picked on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum MeasureSource {
    Scan,
    Photograph,
    Cast,
}

impl From<MeasureSource> for springline_lang::model::measured_block::PointsSource {
    fn from(source: MeasureSource) -> Self {
        match source {
            MeasureSource::Scan => Self::Scan,
            MeasureSource::Photograph => Self::Photograph,
            MeasureSource::Cast => Self::Cast,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum MeasureFormat {
    Human,
    /// Schema in `lang/docs/schemas/measured.json`.
    Json,
    Csv,
    Svg,
    /// As lines of a plan.
    Plan,
}

#[derive(Debug, ClapArgs)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct NewArgs {
    #[command(subcommand)]
    pub what: Option<NewWhat>,
    /// Chart reference, such as SM-0501, which also names the file; never a patient's name.
    #[arg(required_unless_present = "demo")]
    pub chart: Option<String>,
    /// Generate a demo practice with this many patients instead of one case.
    #[arg(long, value_name = "PATIENTS", conflicts_with_all = ["chart", "practice", "doctor", "start",
        "adult", "growing", "upper_only", "lower_only"], value_parser = clap::value_parser!(u32).range(1..=900_000))]
    pub demo: Option<u32>,
    /// Random seed.
    #[arg(long, requires = "demo", default_value_t = 1)]
    pub seed: u64,
    /// Practice file, by name without its extension [default: the only one here or above].
    #[arg(long, visible_alias = "house", value_name = "NAME")]
    pub practice: Option<String>,
    /// Doctor's initials [default: those in the practice file].
    #[arg(long)]
    pub doctor: Option<String>,
    /// Date the appliance is placed [default: the next clinic day].
    #[arg(long)]
    pub start: Option<String>,
    /// Write `patient adult`: teeth move at the adult rate.
    #[arg(long, conflicts_with = "growing")]
    pub adult: bool,
    /// Write `patient growing`: teeth move about 1.6 times faster than in an adult.
    #[arg(long)]
    pub growing: bool,
    /// Plan the upper arch only.
    #[arg(long, conflicts_with = "lower_only")]
    pub upper_only: bool,
    /// Plan the lower arch only.
    #[arg(long)]
    pub lower_only: bool,
    /// Folder to write to [default: this folder]; a demo practice needs a folder of its own.
    #[arg(long)]
    pub folder: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub enum NewWhat {
    /// Write a practice file: what all your cases share, asked at a terminal or given by flags.
    #[command(visible_alias = "house")]
    Practice(NewPracticeArgs),
}

/// Each flag answers one question; at a terminal the others are asked, elsewhere they keep their default.
#[derive(Debug, ClapArgs)]
pub struct NewPracticeArgs {
    /// What cases call it: small letters, digits and hyphens, such as brook. The file is NAME.spring.
    pub name: String,
    /// The practice's name as it is printed.
    #[arg(long)]
    pub title: Option<String>,
    /// How teeth are written: iso (13), quadrant (UR3) or universal (#6).
    #[arg(long)]
    pub notation: Option<String>,
    /// Days on which patients are seen, such as mon,tue,thu or mon-fri.
    #[arg(long, value_name = "DAYS")]
    pub clinic: Option<String>,
    /// Chair time of such a day, all chairs together, such as '480 min'.
    #[arg(long, value_name = "TIME")]
    pub chair_time: Option<String>,
    /// The brackets' slot: 0.018, 0.022, or both sides such as '0.022 x 0.027'.
    #[arg(long)]
    pub slot: Option<String>,
    /// What the brackets are: passive (slide), active (clip) or ligated.
    #[arg(long)]
    pub brackets: Option<String>,
    /// A file with torque and tip as a table, `-` for standard input, or the table itself: '11 +13 / 14 -6'.
    #[arg(long, value_name = "FILE", allow_hyphen_values = true)]
    pub prescription: Option<PathBuf>,
    /// Teeth whose brackets have a hook, or none; the canines if left out.
    #[arg(long, value_name = "TEETH")]
    pub hooks: Option<String>,
    /// Wires in stock by alloy and size: thermal-14,superelastic-16x22,beta-17x25,steel-19x25.
    #[arg(long)]
    pub wires: Option<String>,
    /// Coils, chains and stops in stock: open-100,keeper,closing-150,chain-closed,stop-round.
    #[arg(long)]
    pub coils: Option<String>,
    /// Elastics in stock: quarter-light,three-16-strong.
    #[arg(long)]
    pub elastics: Option<String>,
    /// Form of the chart references, # for a digit: BK-####.
    #[arg(long, value_name = "FORM")]
    pub chart: Option<String>,
    /// The practice's telephone, for the patient's sheet.
    #[arg(long)]
    pub telephone: Option<String>,
    /// Initials of the doctor whom new cases are written for.
    #[arg(long)]
    pub doctor: Option<String>,
    /// Ask nothing, at a terminal either: what no flag says keeps its default.
    #[arg(long)]
    pub no_questions: bool,
    /// Where to write it; this folder if left out.
    #[arg(long)]
    pub folder: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TableFormat {
    Human,
    /// One document: of the case named, or of all cases in a folder; schemas in
    /// `lang/docs/schemas`, for a folder `documents.json`.
    Json,
    /// One document per case, each on its own line.
    Jsonl,
    Csv,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ScheduleFormat {
    Human,
    /// One document: of the case named, or of all cases in a folder; schemas in
    /// `lang/docs/schemas`, for a folder `documents.json`.
    Json,
    /// One document per case, each on its own line.
    Jsonl,
    Csv,
    Ics,
    /// HL7 FHIR R4: a care plan with appointments.
    Fhir,
}

#[derive(Debug, ClapArgs)]
pub struct TableArgs {
    /// Cases or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CourseFormat {
    Human,
    /// One document: of the case named, or of all cases in a folder; schemas in
    /// `lang/docs/schemas`, for a folder `documents.json`.
    Json,
    /// One document per case, each on its own line.
    Jsonl,
    Csv,
    /// Picture of one case.
    Svg,
}

#[derive(Debug, ClapArgs)]
pub struct CourseArgs {
    /// Cases or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = CourseFormat::Human)]
    pub format: CourseFormat,
}

#[derive(Debug, ClapArgs)]
pub struct DrawArgs {
    /// One case; `-` is standard input.
    pub file: PathBuf,
    /// Where it is looked at from.
    #[arg(long, value_enum, default_value_t = LookFrom::Bite)]
    pub from: LookFrom,
    /// Day of the course [default: today].
    #[arg(long, value_name = "DATE", conflicts_with = "entered")]
    pub on: Option<String>,
    /// As the plan describes the teeth at its start, without wires; from the bite.
    #[arg(long)]
    pub entered: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LookFrom {
    /// Crowns in their arch, with the computed wire.
    Bite,
    /// Facing the patient.
    Front,
}

#[derive(Debug, ClapArgs)]
pub struct ForcesArgs {
    #[command(flatten)]
    pub table: TableArgs,
    /// Omit ranges (much faster).
    #[arg(long)]
    pub no_bands: bool,
}

#[derive(Debug, ClapArgs)]
pub struct ScheduleArgs {
    /// Cases or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = ScheduleFormat::Human)]
    pub format: ScheduleFormat,
}

#[derive(Debug, ClapArgs)]
pub struct PrintArgs {
    /// Cases or folders.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// One visit, with its card and the patient's sheet: `next`, its number, or its date. All of the case if
    /// left out.
    #[arg(long, value_name = "next|N|DATE", conflicts_with = "day")]
    pub visit: Option<String>,
    /// One day of all cases named, in one file: the day list, then each patient's card and sheet in its
    /// order. `today`, `tomorrow`, or a date.
    #[arg(long, value_name = "DATE")]
    pub day: Option<String>,
    /// Only these kinds of page.
    #[arg(long, value_enum, value_delimiter = ',')]
    pub only: Vec<PageKind>,
    /// Folder for the pages; created if missing.
    #[arg(long, default_value = "out")]
    pub to: PathBuf,
    #[arg(long, value_enum, default_value_t = PageFormat::Html)]
    pub format: PageFormat,
    /// Paper size, for PDF (a browser asks).
    #[arg(long, value_enum, default_value_t = PaperSize::A4)]
    pub paper: PaperSize,
    /// Practice's own catalogue of patient texts [default: practice language].
    #[arg(long, value_name = "FILE")]
    pub words: Option<PathBuf>,
    /// Font file for a script that the built-in typeface lacks, for PDF; repeatable.
    #[arg(long, value_name = "FILE")]
    pub font: Vec<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PageKind {
    /// The staff's card of each visit.
    #[value(alias = "card")]
    Cards,
    /// The patient's sheet.
    #[value(alias = "sheets")]
    Sheet,
    /// The repair card.
    Repair,
    /// The course at a glance.
    #[value(alias = "forecast")]
    Course,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PageFormat {
    Html,
    Pdf,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperSize {
    A4,
    Letter,
}

#[derive(Debug, ClapArgs)]
pub struct VerifyPrintArgs {
    /// Plan fingerprint from the page footer, after the word plan.
    pub fingerprint: String,
    /// Case file.
    pub case: PathBuf,
    /// Practice file fingerprint from the page footer.
    #[arg(long)]
    pub house: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub struct CompileArgs {
    /// Cases or folders.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// Folder for the documents; created if missing.
    #[arg(long, default_value = "out")]
    pub to: PathBuf,
}

#[derive(Debug, ClapArgs)]
pub struct PreviewArgs {
    /// Case to show.
    pub file: PathBuf,
    /// Port on 127.0.0.1 [default: any free one].
    #[arg(long, default_value_t = 0, hide_default_value = true)]
    pub port: u16,
}

/// The page is for this machine alone: it is served on 127.0.0.1, and its address opens it once.
#[derive(Debug, ClapArgs)]
pub struct DeskArgs {
    /// Folder with the cases and the practice file.
    #[arg(default_value = ".")]
    pub folder: PathBuf,
    /// Port on 127.0.0.1 [default: any free one].
    #[arg(long, default_value_t = 0, hide_default_value = true)]
    pub port: u16,
    /// Open no browser; only say the address.
    #[arg(long)]
    pub no_browser: bool,
}

/// The page is for this machine alone, and shows this picture or mesh alone. Notes in a picture, such as where it was
/// taken, and names in a mesh are not read; the table holds points only.
#[derive(Debug, ClapArgs)]
pub struct PickArgs {
    /// Photograph of an arch from the bite with a ruler in it (PNG, JPEG), or mesh in mm (STL, PLY, OBJ).
    #[arg(value_name = "PICTURE-OR-MESH")]
    pub source: PathBuf,
    /// The case whose arch forms are laid through the teeth, and into which the stands can be written.
    #[arg(long, value_name = "FILE")]
    pub case: Option<PathBuf>,
    /// Where the points go [default: beside the picture, with the ending .csv].
    #[arg(long, value_name = "FILE.csv")]
    pub out: Option<PathBuf>,
    /// Port on 127.0.0.1 [default: any free one].
    #[arg(long, default_value_t = 0, hide_default_value = true)]
    pub port: u16,
    /// Open no browser; only say the address.
    #[arg(long)]
    pub no_browser: bool,
}

#[derive(Debug, ClapArgs)]
pub struct ChartArgs {
    /// Wires by name [default: all in the practice file].
    pub wires: Vec<String>,
    /// Practice file [default: the only one below this folder].
    #[arg(long)]
    pub house: Option<PathBuf>,
    /// Span of the test in mm [default: that of the practice's bench ceiling]; the standard test uses 10.
    #[arg(long)]
    pub span: Option<f64>,
    /// Deflection of the wire in mm.
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
pub struct PracticeArgs {
    /// Which list.
    #[arg(value_enum, default_value_t = PracticeList::All)]
    pub list: PracticeList,
    /// Cases or folders.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// Date of the day list and tray set-ups [default: today].
    #[arg(long)]
    pub date: Option<String>,
    /// Weeks from today that the stock must last.
    #[arg(long, default_value_t = 6)]
    pub weeks: u32,
    #[arg(long, value_enum, default_value_t = ListFormat::Human)]
    pub format: ListFormat,
    // Of use to `steps` alone: the other lists need the whole forecast.
    #[command(flatten)]
    pub storing: StoringArgs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PracticeList {
    All,
    /// Unaccepted errors and warnings.
    Findings,
    /// Appointments of the day: who, what for, how long.
    Day,
    /// Tray set-up for the day.
    #[value(name = "setup", alias = "pull")]
    Pull,
    /// Stock needed in the coming weeks.
    Stock,
    /// Overdue visits.
    Overdue,
    /// Departures from the usual sequence, with reasons.
    Departures,
    /// Wires in the practice file that no case uses.
    #[value(name = "unused", alias = "drawer")]
    Drawer,
    /// Every step of every case, one row each; not part of `all`.
    Steps,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ListFormat {
    Human,
    Json,
    /// One row per line, for data tools, of `steps` only; schema in
    /// `lang/docs/schemas/step-row.json`.
    Jsonl,
    Csv,
    Html,
}

#[derive(Debug, ClapArgs)]
pub struct DiffArgs {
    /// Old version and new version; git passes seven arguments of its own.
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
pub struct CompareArgs {
    /// Two plans of one case.
    #[arg(required = true, num_args = 2, value_names = ["FIRST", "SECOND"])]
    pub files: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = CompareFormat::Human)]
    pub format: CompareFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CompareFormat {
    Human,
    Json,
    /// A page to print.
    Html,
}

#[derive(Debug, ClapArgs)]
pub struct DraftArgs {
    /// Case to draft steps for; `-` is standard input.
    pub case: PathBuf,
    /// Only this arch [default: all of the case].
    #[arg(long, value_enum)]
    pub arch: Option<DraftArch>,
    /// Where missing room comes from, as the doctor has chosen: `coil`, `enamel 0.3 mm each between 13 and 23`,
    /// `extraction 14, 24`.
    #[arg(long, num_args = 1.., value_name = "CHOICE")]
    pub with: Vec<String>,
    /// Of the sequences in this file, which: written as in a practice file, `sequence NAME {` with its steps.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["with", "write"])]
    pub among: Option<PathBuf>,
    /// Say why not the neighbouring sequences, and how steady the answer is; of a draft that stands in the case as well.
    #[arg(long)]
    pub why: bool,
    #[arg(long, value_enum, default_value_t = DraftFormat::Human)]
    pub format: DraftFormat,
    /// Write the draft into the case, with a `drafted` line: only a hold card is printed until the doctor takes it on.
    #[arg(long)]
    pub write: bool,
    /// Longest time for one arch, and for both together, in seconds, other readings of the mouth and the neighbours
    /// included; what was found by then is said to be unproven.
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..=3600))]
    pub seconds: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DraftArch {
    Upper,
    Lower,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DraftFormat {
    Human,
    /// One document; schema in `lang/docs/schemas/draft.json`.
    Json,
}

#[derive(Debug, ClapArgs)]
pub struct CompletionsArgs {
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

#[derive(Debug, ClapArgs)]
pub struct ManArgs {
    /// Folder for the pages; created if missing.
    #[arg(long)]
    pub to: Option<PathBuf>,
}
