//! `springline learn FOLDER`: estimates from records how long wires stay active in a practice.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use jiff::civil::Date;
use rayon::prelude::*;
use springline_emit::draw;
use springline_emit::tables::DocumentList;
use springline_emit::tables::learn::{CaseCounts, human, learn as table};
use springline_lang::course::PhaseCache;
use springline_lang::course::learn;
use springline_lang::course::learn::{Gathered, Learning};
use springline_lang::finding::Severity;
use springline_lang::model::{Case, House};
use springline_lang::record::{learned_lines, write_learned};
use springline_lang::syntax;
use springline_lang::syntax::{FileKind, format, parse};
use springline_lang::text::FileId;
use springline_lang::{SourceText, TextDatabase};

use crate::args::{LearnArgs, LearnFormat};
use crate::cases;
use crate::commands::tables::json;
use crate::files::{self, Input};
use crate::find::PlanFile;
use crate::output::{print, print_plan};
use crate::problem::Problem;
use crate::today::today;

/// The cases of one practice file.
struct PracticeCases {
    house: Arc<House>,
    cases: Vec<Arc<Case>>,
    gathered: Gathered,
}

/// By practice file, `None` where cases use none.
type Practices = BTreeMap<Option<String>, PracticeCases>;

pub fn run(args: &LearnArgs) -> Result<ExitCode, Problem> {
    let today = today()?;
    let (practices, problems) = practices(args, today)?;
    let mut found = false;
    let mut documents = Vec::new();
    for (name, practice) in practices {
        let PracticeCases { house, cases, gathered } = practice;
        let with_visits = cases.iter().filter(|c| !c.visits.is_empty()).count();
        let read = CaseCounts { cases: cases.len(), with_visits };
        let learning =
            learn::learn_from(gathered.observations, gathered.left_out).with_chair(&gathered.chair);
        let table = table(&learning, &house, read, today);
        match args.format {
            LearnFormat::Human => print(&human(&table)),
            LearnFormat::Svg => print(&draw::svg::file(&draw::learnt(&table))),
            LearnFormat::Json => documents.push(table),
        }
        found |= learning.house.is_err();
        if args.write {
            match (&learning.house, &name) {
                (Err(_), _) => crate::tell!("Nothing was written: there is no estimate to write."),
                (Ok(_), Some(name)) => write(name, &learning, &house, today, args.dry_run)?,
                (Ok(_), None) => {
                    crate::tell!("Nothing was written: these cases use no practice file.");
                    found = true;
                }
            }
        }
    }
    // Cases of one house are one document, as most practices have it.
    match documents.len() {
        0 => {}
        1 => documents.iter().for_each(|table| print(&json(table))),
        _ => print(&json(&DocumentList::of(documents))),
    }
    Ok(match (problems > 0, found) {
        (true, _) => ExitCode::from(2),
        (false, true) => ExitCode::from(1),
        (false, false) => ExitCode::SUCCESS,
    })
}

/// All cases below the paths, by the practice file they use. One that cannot be read is named and left
/// out.
fn practices(args: &LearnArgs, today: Date) -> Result<(Practices, usize), Problem> {
    let found = cases::listed(&args.paths)?;
    type LearnInput = Option<(Option<String>, Arc<House>, Arc<Case>, Gathered)>;
    let read = |(texts, memory): &mut (TextDatabase, PhaseCache), plan: &PlanFile| {
        let input = match files::read(&plan.path) {
            Ok(input) => input,
            // Named by the user it is a mistake; found in a folder it is one record less.
            Err(problem) if args.paths.contains(&plan.path) => return Err(problem),
            Err(problem) => {
                crate::tell!("skipped: {problem}");
                return Ok(None);
            }
        };
        let read = texts.read(&input.source(), &input.library());
        if read.parse.kind == FileKind::House {
            return Ok(None);
        }
        let (Some(case), Some(house)) = (read.case, read.house) else {
            crate::tell!("{}: not a readable case; `springline check` says why.", input.name);
            return Ok(None);
        };
        let name = read.files.get(1).map(|f| f.name.clone());
        let gathered = learn::observe(&case, Some(today), memory);
        Ok(Some((name, house, case, gathered)))
    };
    let results: Vec<Result<LearnInput, Problem>> = found
        .plans
        .par_iter()
        .map_init(|| (TextDatabase::new(), PhaseCache::default()), read)
        .collect();
    let mut out = Practices::new();
    let mut problems = found.problems;
    for result in results {
        let (name, house, case, gathered) = match result {
            Ok(Some(found)) => found,
            Ok(None) => continue,
            Err(problem) => {
                problems += 1;
                problem.show();
                continue;
            }
        };
        let entry = out.entry(name).or_insert_with(|| PracticeCases {
            house,
            cases: Vec::new(),
            gathered: Gathered::default(),
        });
        entry.cases.push(case);
        entry.gathered.extend(gathered);
    }
    if out.is_empty() {
        return Err(Problem::usage(
            "There is no readable case here.",
            "Name the folder that holds the practice's cases.",
        ));
    }
    Ok((out, problems))
}

/// Writes the block into the practice file: atomically, and nothing else in it changes.
fn write(
    name: &str,
    learning: &Learning,
    house: &House,
    today: Date,
    dry_run: bool,
) -> Result<(), Problem> {
    let path = PathBuf::from(name);
    let input = files::read(&path)?;
    let text = with_block(&input, &learned_lines(learning, house), today)?;
    if dry_run {
        print_plan(&text);
        return Ok(());
    }
    files::replace(&path, &input, text.as_bytes())?;
    crate::tell!("written to {name}: learned {today}");
    Ok(())
}

/// The practice file's text with the block, formatted where it was formatted before; an error where it
/// would add a finding.
fn with_block(input: &Input, lines: &[String], on: Date) -> Result<String, Problem> {
    let refused = |why: String| {
        Problem::usage(
            format!("Nothing was written to {}: {why}.", input.name),
            "The file is unchanged. `springline check` on it shows the reason.",
        )
    };
    let mut text = write_learned(&input.text, on, lines).map_err(|r| refused(r.to_string()))?;
    let mut texts = TextDatabase::new();
    let mut errors = |text: &str| {
        let source = SourceText { name: input.name.clone(), text: text.into() };
        let read = texts.read(&source, &input.library());
        let notation = read.house.as_ref().map(|h| h.notation.value);
        let is_error = |f: &&springline_lang::finding::Finding| f.severity == Severity::Error;
        (read.findings.iter().filter(is_error).count(), notation)
    };
    let (before, notation) = errors(&input.text);
    let layout = syntax::FormatOptions { notation };
    let settled = |text: &str| format(&parse(FileId(0), text), &layout).ok();
    if settled(&input.text).as_deref() == Some(&*input.text)
        && let Some(again) = settled(&text)
    {
        text = again;
    }
    if errors(&text).0 > before {
        return Err(refused("the practice file would no longer be readable".to_owned()));
    }
    Ok(text)
}
