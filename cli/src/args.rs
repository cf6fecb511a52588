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
    // Fmt(Fmt),
    /// Explain a finding, a term or a default.
    Explain(Explain),
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
