//! `springline draft`: steps of an arch worked out from its teeth and the practice's drawer, shown as a patch.

use std::process::ExitCode;
use std::time::{Duration, Instant};

use springline_lang::draft::{ArchDraft, DRAFT_CAUTION, DraftDocument, NotDrafted};
use springline_lang::units::tooth::Arch;
use springline_lang::{CheckOptions, Checker, SourceText};

use crate::args::{DraftArch, DraftArgs, DraftFormat};
use crate::commands::fmt::changes;
use crate::files::{self, Input};
use crate::output::print;
use crate::problem::Problem;
use crate::today::today;

/// What came of one arch.
type Answer = (Arch, Result<ArchDraft, NotDrafted>);

pub fn run(args: &DraftArgs) -> Result<ExitCode, Problem> {
    let input = files::read(&args.case)?;
    let mut text = input.source();
    let mut answers = Vec::new();
    for arch in arches(args, &input)? {
        let answer = draft(args, &input, &text, arch)?;
        if let Ok(draft) = &answer.1 {
            text.text = draft.text.clone().into();
        }
        answers.push(answer);
    }
    let drafted = format!("{} as drafted", input.name);
    let patch = match text.text == input.text {
        true => String::new(),
        false => changes(&input.name, &input.text, &text.text, &drafted),
    };
    print(&match args.format {
        DraftFormat::Human => human(&answers, &patch, args.why),
        DraftFormat::Json => {
            let document = DraftDocument::new(&input.name, &answers, &patch);
            serde_json::to_string(&document).map(|s| s + "\n").unwrap_or_default()
        }
    });
    if args.write && !patch.is_empty() {
        write(&input, &text)?;
    }
    let any = answers.iter().any(|(_, draft)| draft.is_ok());
    Ok(if any { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Puts the draft into the file, if nobody has changed that meanwhile.
fn write(input: &Input, drafted: &SourceText) -> Result<(), Problem> {
    let Some(path) = &input.path else {
        return Err(Problem::usage(
            "A draft of standard input cannot be written.",
            "Name the file of the case.",
        ));
    };
    files::replace(path, input, drafted.text.as_bytes())?;
    crate::tell!("Written to {}: read the steps, then take them on or out.", input.name);
    Ok(())
}

/// The arches that are asked for: one, or all of the case.
fn arches(args: &DraftArgs, input: &Input) -> Result<Vec<Arch>, Problem> {
    match args.arch {
        Some(DraftArch::Upper) => return Ok(vec![Arch::Upper]),
        Some(DraftArch::Lower) => return Ok(vec![Arch::Lower]),
        None => {}
    }
    let read = Checker::new().read(&input.source(), &input.library());
    let case = read.case.as_deref().ok_or_else(|| {
        Problem::usage(
            format!("{} cannot be read as a case.", input.name),
            "Steps are drafted for one case; run `springline check` on it.",
        )
    })?;
    if case.arches.is_empty() {
        return Err(Problem::usage(
            "The case has no arch yet.",
            "Describe its teeth in `upper {` or `lower {` first.",
        ));
    }
    Ok(case.arches.iter().map(|a| a.arch).collect())
}

fn draft(
    args: &DraftArgs,
    input: &Input,
    text: &SourceText,
    arch: Arch,
) -> Result<Answer, Problem> {
    let options = CheckOptions { today: Some(today()?) };
    let begun = Instant::now();
    let most = Duration::from_secs(u64::from(args.seconds));
    let mut proceed = |_: usize| begun.elapsed() < most;
    let draft = Checker::new().draft(text, arch, &input.library(), &options, &mut proceed);
    Ok((arch, draft))
}

fn human(answers: &[Answer], patch: &str, why: bool) -> String {
    let mut out = String::new();
    let mut line = |text: &str| {
        out.push_str(text);
        out.push('\n');
    };
    for (_, draft) in answers {
        match draft {
            Ok(draft) => {
                draft.headline().iter().for_each(|l| line(l));
                if why {
                    draft.why().iter().for_each(|l| line(&format!("  {l}")));
                }
            }
            Err(refusal) => line(&refusal.to_string()),
        }
        line("");
    }
    if !patch.is_empty() {
        line(patch);
    }
    line(DRAFT_CAUTION);
    out
}
