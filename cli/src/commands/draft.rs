//! `springline draft`: steps of an arch worked out from its teeth and the practice's drawer, shown as a patch.

use std::process::ExitCode;
use std::time::{Duration, Instant};

use springline_lang::draft::{
    CaseDraft, CaseDraftRequest, DRAFT_CAUTION, DoctorChoice, DraftDocument, DraftStage, NotDrafted,
};
use springline_lang::units::tooth::Arch;
use springline_lang::{CheckOptions, Checker};

use crate::args::{DraftArch, DraftArgs, DraftFormat};
use crate::commands::fmt::changes;
use crate::files::{self, Input};
use crate::output::print;
use crate::problem::Problem;
use crate::today::today;

pub fn run(args: &DraftArgs) -> Result<ExitCode, Problem> {
    let input = files::read(&args.case)?;
    let arches = arches(args, &input)?;
    let options = CheckOptions { today: Some(today()?) };
    if let Some(list) = &args.among {
        return among(args, &input, &arches, &files::read(list)?, &options);
    }
    let request = CaseDraftRequest { arches, with: choice(args)? };
    let mut clock = StageClock::new(args);
    let mut go_on = |stage: DraftStage, judged: usize| clock.go_on(stage, judged);
    let source = input.source();
    let draft =
        Checker::new().draft_case(&source, &request, &input.library(), &options, &mut go_on);
    let drafted = format!("{} as drafted", input.name);
    let patch = match draft.text == *input.text {
        true => String::new(),
        false => changes(&input.name, &input.text, &draft.text, &drafted),
    };
    print(&match args.format {
        DraftFormat::Human => {
            let standing = match args.why {
                true => standing(args, &input, &draft, &options),
                false => String::new(),
            };
            standing + &human(&draft, &patch, args.why)
        }
        DraftFormat::Json => json(&DraftDocument::new(&input.name, &draft, &patch)),
    });
    if args.write && !patch.is_empty() {
        write(&input, &draft.text)?;
    }
    let any = draft.arches.iter().any(|(_, draft)| draft.is_ok());
    Ok(if any { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Why the steps of the drafts that stand in the case.
fn standing(args: &DraftArgs, input: &Input, draft: &CaseDraft, options: &CheckOptions) -> String {
    let mut out = String::new();
    for (arch, answer) in &draft.arches {
        if !matches!(answer, Err(NotDrafted::AlreadyDrafted(_))) {
            continue;
        }
        let mut clock = StageClock::new(args);
        let mut proceed = |judged: usize| clock.go_on(DraftStage::Neighbours, judged);
        let (source, library) = (input.source(), input.library());
        let why = Checker::new().why_drafted(&source, *arch, &library, options, &mut proceed);
        if let Ok(Some(why)) = why {
            out += &format!("The {arch} arch as drafted: {}\n", why.says.join("\n"));
            out += &why.why.iter().map(|l| format!("  {l}\n")).collect::<String>();
            out += "\n";
        }
    }
    out
}

/// Of the listed sequences, which.
fn among(
    args: &DraftArgs,
    input: &Input,
    arches: &[Arch],
    list: &Input,
    options: &CheckOptions,
) -> Result<ExitCode, Problem> {
    let mut answers = Vec::new();
    for arch in arches {
        let mut clock = StageClock::new(args);
        let mut go_on = |stage: DraftStage, judged: usize| clock.go_on(stage, judged);
        let (source, library) = (input.source(), input.library());
        let mut checker = Checker::new();
        let answer = checker.draft_among(&source, *arch, &list.text, &library, options, &mut go_on);
        answers.push((*arch, answer));
    }
    print(&match args.format {
        DraftFormat::Human => {
            let mut out = String::new();
            for (_, answer) in &answers {
                let lines = match answer {
                    Ok(among) => among.words(),
                    Err(why) => vec![why.to_string()],
                };
                out += &format!("{}\n\n", lines.join("\n"));
            }
            out + DRAFT_CAUTION + "\n"
        }
        DraftFormat::Json => json(&DraftDocument::among(&input.name, &answers)),
    });
    let any = answers.iter().any(|(_, answer)| answer.is_ok());
    Ok(if any { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

fn json(document: &DraftDocument) -> String {
    serde_json::to_string(document).map(|s| s + "\n").unwrap_or_default()
}

/// The time that each arch has, and both together, and each stage by.
struct StageClock {
    begun: Instant,
    stage: DraftStage,
    most: Duration,
}

impl StageClock {
    fn new(args: &DraftArgs) -> StageClock {
        StageClock {
            begun: Instant::now(),
            stage: DraftStage::Search,
            most: Duration::from_secs(u64::from(args.seconds)),
        }
    }

    fn go_on(&mut self, stage: DraftStage, judged: usize) -> bool {
        let begins = (stage == DraftStage::Search && judged == 0)
            || (stage == DraftStage::Pairs && self.stage != stage);
        if begins {
            self.begun = Instant::now();
        }
        self.stage = stage;
        let share = match stage {
            DraftStage::Search => 0.6,
            DraftStage::Readings => 0.9,
            DraftStage::Neighbours | DraftStage::Pairs => 1.0,
        };
        self.begun.elapsed() < self.most.mul_f64(share)
    }
}

/// Puts the draft into the file, if nobody has changed that meanwhile.
fn write(input: &Input, drafted: &str) -> Result<(), Problem> {
    let Some(path) = &input.path else {
        return Err(Problem::usage(
            "A draft of standard input cannot be written.",
            "Name the file of the case.",
        ));
    };
    files::replace(path, input, drafted.as_bytes())?;
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

/// Where room comes from, as said on the command line.
fn choice(args: &DraftArgs) -> Result<Option<DoctorChoice>, Problem> {
    if args.with.is_empty() {
        return Ok(None);
    }
    let said = args.with.join(" ");
    DoctorChoice::parse(&said)
        .map(Some)
        .map_err(|why| Problem::usage(format!("`--with {said}` is not understood."), why))
}

fn human(draft: &CaseDraft, patch: &str, why: bool) -> String {
    let mut out = String::new();
    let mut line = |text: &str| {
        out.push_str(text);
        out.push('\n');
    };
    for (_, draft) in &draft.arches {
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
    if let Some(together) = &draft.together {
        together.words().iter().for_each(|l| line(l));
        line("");
    }
    if !patch.is_empty() {
        line(patch);
    }
    line(DRAFT_CAUTION);
    out
}
