//! Every combination of answers makes a visit that reads, and none of them is lost.

use super::*;
use springline_lang::record::{VisitEntry, gather, write_visit};
use springline_lang::syntax::{FormatOptions, format, parse};
use springline_lang::text::FileId;
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_test_support::{Practices, example};
use springline_units::tooth::Notation;

fn checked(text: &str, today: Date) -> Checked {
    let source = SourceText { name: "case.spring".to_owned(), text: text.into() };
    Checker::new().check(&source, &Practices::saltmarsh(), &CheckOptions { today: Some(today) })
}

const SAMPLES: [&str; 5] = [
    "cases/sm-0417-lateral-blocked-out.spring",
    "cases/sm-0410-both-arches.spring",
    "cases/sm-0399-missing-lateral.spring",
    "cases/sm-0388-class-2-on-beta-titanium.spring",
    "cases/sm-0458-palatal-canine.spring",
];

/// Answers to each statement: all that it can say, one after the other.
fn variants(statement: &FormStatement) -> Vec<FormAnswers> {
    let mut out = vec![FormAnswers::new()];
    let ticks: Vec<(&str, &str)> = statement
        .parts
        .iter()
        .filter_map(|p| match p {
            FormPart::Tick { id, group, .. } => Some((id.as_str(), group.as_deref().unwrap_or(id))),
            _ => None,
        })
        .collect();
    let mut groups: Vec<&str> = ticks.iter().map(|(_, group)| *group).collect();
    groups.dedup();
    for group in groups {
        let of_group = ticks.iter().filter(|(_, g)| *g == group).map(|(id, _)| *id);
        let choices: Vec<Option<&str>> = std::iter::once(None).chain(of_group.map(Some)).collect();
        out = crossed(&out, &choices, |_| FormAnswer::Ticked);
    }
    for part in &statement.parts {
        if let FormPart::Write { id, kind, .. } = part {
            out = crossed(&out, &[None, Some(id)], |id| sample(id, *kind));
        }
    }
    out
}

fn crossed(
    all: &[FormAnswers],
    choices: &[Option<&str>],
    answer: impl Fn(&str) -> FormAnswer,
) -> Vec<FormAnswers> {
    let each = all.iter().flat_map(|before| {
        choices.iter().map(|choice| {
            let mut here = before.clone();
            if let Some(id) = choice {
                here.insert((*id).to_owned(), answer(id));
            }
            here
        })
    });
    each.collect()
}

fn sample(id: &str, kind: FieldType) -> FormAnswer {
    match kind {
        FieldType::Teeth if id.starts_with("lower") => FormAnswer::Written("35, 34".to_owned()),
        FieldType::Teeth => FormAnswer::Written("15, 14".to_owned()),
        FieldType::Mm => FormAnswer::Figure(4.5),
        FieldType::Initials => FormAnswer::Written("KM".to_owned()),
        FieldType::Score => FormAnswer::Figure(3.0),
        FieldType::Text => FormAnswer::Written("a \"long\"  note".to_owned()),
        FieldType::SideOfTooth => FormAnswer::Written("mesial of 11, distal of 21".to_owned()),
    }
}

/// What of each answer must stand in the visit.
fn words(form: &VisitForm, answers: &FormAnswers) -> Vec<String> {
    let parts = form.lines.iter().flatten().filter(|s| s.rule != RecordRule::Head);
    let said = parts.flat_map(|s| &s.parts).filter_map(|part| {
        let answer = answers.get(part.id()?)?;
        Some(match (part, answer) {
            (FormPart::Tick { text, .. }, _) => text.clone(),
            (FormPart::Write { kind: FieldType::Text, .. }, _) => "\"a 'long' note\"".to_owned(),
            (_, FormAnswer::Figure(figure)) => format!("{figure}"),
            (_, FormAnswer::Written(text)) => text.clone(),
            (_, FormAnswer::Ticked) => String::new(),
        })
    });
    said.collect()
}

fn entry(form: &VisitForm, lines: &[String]) -> VisitEntry {
    let arch = |name: &str| lines.iter().find_map(|l| l.strip_prefix(&format!("{name} ")));
    let seen = |l: &&String| {
        let is_midline = l.contains(" midline ");
        is_midline || !(l.starts_with("upper ") || l.starts_with("lower "))
    };
    let others: Vec<String> = lines.iter().filter(seen).cloned().collect();
    let arch_of = |name: &str| arch(name).filter(|l| !l.starts_with("midline"));
    let lines = gather(arch_of("upper"), arch_of("lower"), &others).expect("gathered");
    VisitEntry {
        on: form.on,
        by: Some("KM".to_owned()),
        kind: Some(form.kind.word().to_owned()),
        lines,
    }
}

#[test]
fn every_combination_of_answers_reads_and_none_is_lost() {
    let mut draw = fastrand::Rng::with_seed(3);
    let (mut written, mut refused) = (0, 0);
    for name in SAMPLES {
        let text = example(name);
        let today: Date = "2027-02-03".parse().expect("a day");
        let found = checked(&text, today);
        let (case, forecast) = found.course().expect("a course");
        for kind in [None].into_iter().chain(FORM_KINDS.map(Some)) {
            let form = visit_form(case, forecast, today, kind);
            let all: Vec<Vec<FormAnswers>> = form.lines.iter().flatten().map(variants).collect();
            for round in 0..14 {
                // Each statement alone once, then several at random.
                let mut answers = FormAnswers::new();
                for (i, of_statement) in all.iter().enumerate() {
                    if round % 2 == 0 || i % 7 == round / 2 {
                        answers.extend(of_statement[draw.usize(0..of_statement.len())].clone());
                    }
                }
                let lines = match form.lines_of(&answers, Notation::Iso) {
                    Ok(lines) => lines,
                    Err(problem) => {
                        assert!(answers.contains_key(&problem.id) || !problem.why.is_empty());
                        refused += 1;
                        continue;
                    }
                };
                if lines.is_empty() {
                    continue;
                }
                let mut read = |text: &str| {
                    let source = SourceText { name: "case.spring".to_owned(), text: text.into() };
                    Checker::new().read(&source, &Practices::saltmarsh())
                };
                let done = write_visit(&text, &entry(&form, &lines), &mut read)
                    .unwrap_or_else(|why| panic!("{name} {kind:?} {answers:?}\n{lines:?}\n{why}"));
                for word in words(&form, &answers) {
                    assert!(done.block.contains(&word), "{word} in\n{}", done.block);
                }
                let layout = FormatOptions { notation: Some(Notation::Iso) };
                let again = format(&parse(FileId(0), &done.text), &layout).expect("laid out");
                assert_eq!(again, done.text, "{name}");
                written += 1;
            }
        }
    }
    assert!(written > 150, "{written} written, {refused} refused");
}

#[test]
fn what_excludes_or_misses_something_is_told_at_its_field() {
    let text = example(SAMPLES[0]);
    let today: Date = "2026-12-28".parse().expect("a day");
    let found = checked(&text, today);
    let (case, forecast) = found.course().expect("a course");
    let form = visit_form(case, forecast, today, None);
    let tick = |id: &str| (id.to_owned(), FormAnswer::Ticked);
    let write = |id: &str, text: &str| (id.to_owned(), FormAnswer::Written(text.to_owned()));
    let told = |answers: Vec<(String, FormAnswer)>| {
        form.lines_of(&answers.into_iter().collect(), Notation::Iso).map_err(|p| p.id)
    };
    assert_eq!(
        told(vec![tick("upper: passive"), tick("upper: kept")]),
        Ok(vec!["upper passive, kept".to_owned()])
    );
    assert_eq!(
        told(vec![tick("upper: binds at"), write("upper: teeth", "13 , 14"), tick("upper: kept")]),
        Ok(vec!["upper binds at 13, 14, kept".to_owned()])
    );
    assert_eq!(
        told(vec![tick("upper: passive"), tick("upper: active")]),
        Err("upper: active".to_owned())
    );
    assert_eq!(told(vec![tick("upper: binds at")]), Err("upper: teeth".to_owned()));
    assert_eq!(told(vec![write("upper: teeth", "13")]), Err("upper: teeth".to_owned()));
    assert_eq!(told(vec![write("pain of 10", "11")]), Err("pain of 10".to_owned()));
    assert_eq!(told(vec![write("loose: brackets", "molar")]), Err("loose: brackets".to_owned()));
    assert_eq!(told(vec![tick("nothing")]), Err("nothing".to_owned()));
}
