//! The arguments of every command.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};

/// Check, schedule and print orthodontic case plans.
///
/// Springline supports a licensed clinician's own judgement; it does not diagnose, prescribe or
/// replace examination. Local rules and the treating clinician's judgement come first.
#[derive(Debug, Parser)]
#[command(name = "springline", version, propagate_version = true)]
pub struct Args {
    #[command(subcommand)]
    pub command: Command,

    /// When to use colour.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto)]
    pub color: Colour,
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
    Course(Table),
    /// Dated visits, both arches merged.
    Schedule(VisitTable),
    /// Staff cards, repair card and patient's sheet; only a hold card while an error stands.
    Print(Print),
    /// Force against deflection of wires in the drawer.
    Chart(Chart),
    /// Start a case file.
    New(New),
    /// Write down a visit: asks what the step needs, or takes it from flags.
    Seen(Seen),
    /// Explain a finding, a term or a default.
    Explain(Explain),
    /// Show the arch at each step in a browser on this machine, following the file.
    Preview(Preview),
    /// Serve an editor over standard input and output.
    Lsp,
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
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FindingFormat {
    Human,
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
    /// Show the file as it would be, and write nothing.
    #[arg(long)]
    pub dry_run: bool,
}

#[derive(Debug, ClapArgs)]
pub struct New {
    /// The chart reference, such as SM-0501; never a patient's name.
    pub chart: String,
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
    /// Where to write it; this folder if left out.
    #[arg(long)]
    pub folder: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TableFormat {
    Human,
    Json,
    Csv,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ScheduleFormat {
    Human,
    Json,
    Csv,
    Ics,
}

#[derive(Debug, ClapArgs)]
pub struct Table {
    /// Cases or folders; `-` is standard input.
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
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
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}
