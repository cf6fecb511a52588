//! `springline new practice NAME`: writes a practice file from answers at a terminal or from flags.

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use springline_lang::record::practice::{
    PracticeAnswers, PracticeQuestion, QuestionKey, practice_name,
};

use crate::args::NewPracticeArgs;
use crate::ask::{self, PromptReply};
use crate::files;
use crate::problem::Problem;

pub fn run(new: &NewPracticeArgs) -> Result<ExitCode, Problem> {
    let name = practice_name(&new.name).map_err(|r| Problem::usage(r.what, r.fix))?;
    let folder = new.folder.clone().unwrap_or_default();
    let path = folder.join(format!("{name}.{}", files::EXTENSION));
    free(&path)?;
    let mut draft = PracticeAnswers::new(&new.name);
    let given = given(new)?;
    match ask::is_possible() && !new.no_questions {
        true => dialogue(&mut draft, &given, &name)?,
        false => from_flags(&mut draft, &given)?,
    }
    let Some(text) = draft.write() else {
        let flags: Vec<String> =
            draft.missing().iter().map(|k| format!("--{}", k.flag())).collect();
        return Err(Problem::usage(
            format!("{} cannot be written: {} not said.", path.display(), and_are(&flags)),
            "Run it at a terminal to be asked, or say them: --slot 0.022 --brackets passive --wires \
             thermal-14,thermal-14x25,steel-19x25.",
        ));
    };
    files::create(&path, text.as_bytes())?;
    crate::say!("wrote {}", path.display());
    match draft.sequence() {
        Some(Ok(usual)) => crate::say!("usual sequence: {}", usual.shown()),
        _ => draft.remark(QuestionKey::Wires).iter().for_each(|line| crate::say!("{line}")),
    }
    crate::say!("next: springline new CHART, such as `springline new {}`", example(&draft));
    Ok(ExitCode::SUCCESS)
}

/// A chart reference in the practice's own form.
fn example(draft: &PracticeAnswers) -> String {
    let form = draft.chart_form().unwrap_or("AB-####");
    let digits = form.matches('#').count();
    let mut left = digits;
    let digit = |c: char| match c {
        '#' => {
            left -= 1;
            if left == 0 { '1' } else { '0' }
        }
        c => c,
    };
    form.chars().map(digit).collect()
}

fn and_are(flags: &[String]) -> String {
    match flags {
        [one] => format!("{one} is"),
        [most @ .., last] => format!("{} and {last} are", most.join(", ")),
        [] => "an answer is".to_owned(),
    }
}

/// Nothing that is there is written over, whatever the case of its letters.
fn free(path: &Path) -> Result<(), Problem> {
    if let Some(there) = crate::files::there_already(path) {
        return Err(Problem::usage(
            format!("{} already exists.", there.display()),
            "Choose another name, or edit that file.",
        ));
    }
    Ok(())
}

/// The answers from flags, question by question; the table may be a file.
fn given(new: &NewPracticeArgs) -> Result<Vec<(QuestionKey, String)>, Problem> {
    let flags = [
        (QuestionKey::Title, &new.title),
        (QuestionKey::Notation, &new.notation),
        (QuestionKey::Clinic, &new.clinic),
        (QuestionKey::ChairTime, &new.chair_time),
        (QuestionKey::Slot, &new.slot),
        (QuestionKey::Brackets, &new.brackets),
        (QuestionKey::Hooks, &new.hooks),
        (QuestionKey::Wires, &new.wires),
        (QuestionKey::Coils, &new.coils),
        (QuestionKey::Elastics, &new.elastics),
        (QuestionKey::Chart, &new.chart),
        (QuestionKey::Telephone, &new.telephone),
        (QuestionKey::Doctor, &new.doctor),
    ];
    let mut out: Vec<(QuestionKey, String)> =
        flags.into_iter().filter_map(|(key, said)| Some((key, said.clone()?))).collect();
    if let Some(file) = &new.prescription {
        let text = match files::read(file) {
            Ok(input) => input.text.to_string(),
            // Typed in place of a file's name.
            Err(_) if !fs::exists(file).unwrap_or(false) && holds_figures(file) => {
                file.display().to_string()
            }
            Err(problem) => return Err(problem),
        };
        out.push((QuestionKey::Prescription, text));
    }
    Ok(out)
}

/// `11 +13 / 14 -7` is a table and no name of a file.
fn holds_figures(path: &Path) -> bool {
    let text = path.display().to_string();
    let words: Vec<&str> = text.split_whitespace().collect();
    let figure = |w: &&str| w.trim_start_matches(['+', '-', '\u{2212}']).parse::<f64>().is_ok();
    words.len() > 1 && words.iter().skip(1).any(figure)
}

fn from_flags(draft: &mut PracticeAnswers, given: &[(QuestionKey, String)]) -> Result<(), Problem> {
    for key in QuestionKey::ALL {
        if let Some((_, said)) = given.iter().find(|(k, _)| *k == key) {
            take(draft, key, said)?;
        }
    }
    Ok(())
}

fn take(draft: &mut PracticeAnswers, key: QuestionKey, said: &str) -> Result<(), Problem> {
    draft
        .take(key, said)
        .map_err(|r| Problem::usage(format!("--{}: {}", key.flag(), r.what), r.fix))
}

/// Asks one question after the other, except those answered by a flag.
fn dialogue(
    draft: &mut PracticeAnswers,
    given: &[(QuestionKey, String)],
    name: &str,
) -> Result<(), Problem> {
    crate::say!("A practice file {name}.{}, from a few answers. {}", files::EXTENSION, ask::HINT);
    let mut at = 0;
    while let Some(key) = QuestionKey::ALL.get(at).copied() {
        if let Some((_, said)) = given.iter().find(|(k, _)| *k == key) {
            take(draft, key, said)?;
            at += 1;
            continue;
        }
        crate::say!("");
        let said = match put(&draft.question(key))? {
            PromptReply::Text(said) => said,
            PromptReply::Back => {
                let asked = |key: &QuestionKey| !given.iter().any(|(k, _)| k == key);
                at = QuestionKey::ALL[..at].iter().rposition(asked).unwrap_or(at);
                continue;
            }
        };
        match draft.take(key, &said) {
            Ok(()) => {
                draft.remark(key).iter().for_each(|line| crate::say!("  {line}"));
                at += 1;
            }
            Err(refusal) => crate::say!("{refusal}"),
        }
    }
    Ok(())
}

fn put(question: &PracticeQuestion) -> Result<PromptReply, Problem> {
    let empty = match &question.empty {
        Some(empty) => format!(" [Enter: {empty}]"),
        None => String::new(),
    };
    if question.lines {
        return ask::prompt_lines(&format!("{}{empty}", question.text));
    }
    if question.choices.is_empty() {
        return ask::prompt(&format!("{}{empty}", question.text));
    }
    let typed = question.typed.map(|how| format!(" {how}")).unwrap_or_default();
    crate::say!("{}{typed}{empty}", question.text);
    let mut number = 0;
    let wide = question.choices.iter().map(|c| c.heading.chars().count()).max().unwrap_or(0);
    for group in &question.choices {
        let items: Vec<String> = group
            .items
            .iter()
            .map(|(shown, _)| {
                number += 1;
                format!("{number} {shown}")
            })
            .collect();
        crate::say!("  {:<wide$}  {}", group.heading, items.join("   "));
    }
    ask::prompt("Answer")
}
