//! The practice of Saltmarsh under the rules: sound cases are left in peace, unsafe ones are not.

use springline_lang::finding::Severity;
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_test_support::{Practices, examples_in};

fn run(checker: &mut Checker, name: &str, text: &str) -> Checked {
    // The day up to which the examples' visits are written.
    let today = jiff::civil::date(2026, 11, 24);
    let source = SourceText { name: format!("{name}.spring"), text: text.into() };
    checker.check(&source, &Practices::saltmarsh(), &CheckOptions { today: Some(today) })
}

fn told(text: &str, checked: &Checked) -> String {
    checked
        .findings
        .iter()
        .map(|f| {
            let start = f.place.span.start as usize;
            let line = text.get(..start).map_or(0, |t| t.matches('\n').count() + 1);
            let accepted = if f.accepted.is_some() { " (accepted)" } else { "" };
            format!("  {line} {} {}{accepted}: {}\n", f.severity, f.code, f.message)
        })
        .collect()
}

#[test]
fn sound_cases_show_no_error_and_at_most_two_warnings() {
    let mut checker = Checker::new();
    let mut wrong = String::new();
    for (name, text) in examples_in("cases").into_iter().chain(examples_in("year")) {
        let checked = run(&mut checker, &name, &text);
        let open =
            |s| checked.findings.iter().filter(|f| f.accepted.is_none() && f.severity == s).count();
        let (errors, warnings) = (open(Severity::Error), open(Severity::Warning));
        if std::env::var_os("TELL").is_some() {
            println!("{name}: {errors} errors, {warnings} warnings\n{}", told(&text, &checked));
        }
        if errors > 0 || warnings > 2 {
            wrong.push_str(&format!("{name}\n{}", told(&text, &checked)));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn unsafe_cases_are_found_at_their_mark() {
    let mut checker = Checker::new();
    let mut wrong = String::new();
    for (name, text) in examples_in("unsafe") {
        if !text.contains("\ncase ") {
            continue;
        }
        let checked = run(&mut checker, &name, &text);
        let mut missing = String::new();
        for (n, line) in text.lines().enumerate() {
            let Some((_, marks)) = line.split_once("//! ") else { continue };
            for code in marks.split(',').map(str::trim) {
                let family = code.split('/').next().unwrap_or_default();
                if matches!(family, "syntax" | "name" | "unit") || code == "record/identity" {
                    continue;
                }
                let hit = checked.findings.iter().any(|f| {
                    let start = f.place.span.start as usize;
                    f.code.as_str() == code
                        && text.get(..start).is_some_and(|t| t.matches('\n').count() == n)
                });
                if !hit {
                    missing.push_str(&format!("  {} wants {code}\n", n + 1));
                }
            }
        }
        if std::env::var_os("TELL").is_some() {
            println!("{name}\n{}", told(&text, &checked));
        }
        if !missing.is_empty() {
            wrong.push_str(&format!("{name}\n{missing}{}", told(&text, &checked)));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// What stands in a sound case is known to its doctor: a remark in the file names the finding and says why.
#[test]
fn a_warning_in_a_sound_case_has_its_sentence() {
    let mut checker = Checker::new();
    let mut wrong = String::new();
    for folder in ["cases", "year"] {
        for (name, text) in examples_in(folder) {
            let checked = run(&mut checker, &name, &text);
            let open = checked.findings.iter().filter(|f| f.accepted.is_none());
            for finding in open.filter(|f| f.severity != Severity::Advice) {
                let said = text.lines().filter_map(|l| l.split_once("//")).any(|(_, remark)| {
                    remark.contains(finding.code.as_str()) && remark.split_whitespace().count() >= 4
                });
                if finding.severity == Severity::Error || !said {
                    wrong.push_str(&format!("{name}: {}: {}\n", finding.code, finding.message));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// A step that was recorded twice, or gone back to, is judged as it is now.
#[test]
fn a_step_recorded_twice_is_judged() {
    let text = "springline 1\ncase \"SM-0002\"\nuse saltmarsh\nstart 2026-06-04\nupper {\n  bonded 15..25 with twin\n  \
                tubes 16, 26 with molar\n  tooth 12 rotated 10 deg mesial-in\n  follow usual\n  \
                change level, next 16 wk\n}\nretain {\n  night-time upper\n}\n\
                seen 2026-08-27 by KM as wire-change {\n  upper passive, now level with niti-14x25\n}\n\
                seen 2026-10-01 by KM as repair {\n  upper now level with niti-14x25\n}\n";
    let checked = run(&mut Checker::new(), "twice.spring", text);
    let found = |code: &str| checked.findings.iter().any(|f| f.code.as_str() == code);
    assert!(found("time/interval-too-long"), "{}", told(text, &checked));
}

/// Whatever is not computed is reported: no step without figures passes unnoticed.
#[test]
fn a_step_without_figures_is_told() {
    let case = |bonded: &str| {
        format!(
            "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-11-23\nupper {{\n{bonded}  step align, \
             wire niti-14, until passive, next 6 wk\n}}\nretain {{\n  night-time upper\n}}\n"
        )
    };
    for (bonded, says) in
        [("  bonded 11 with twin\n", "Only one tooth is in"), ("", "No tooth is in")]
    {
        let checked = run(&mut Checker::new(), "few.spring", &case(bonded));
        let told = checked.findings.iter().any(|f| f.message.starts_with(says));
        assert!(told, "{bonded:?}: {:#?}", checked.findings);
    }
}

/// What a coil pushes with decides: too little moves nothing, too much is solid, and what is spent leaves a
/// tooth waiting whose own `until` ends no step.
/// A coil that brings some of the space it is asked for is spent, and is not said to bring nothing.
#[test]
fn a_coil_that_brings_most_of_a_space_is_not_said_to_bring_nothing() {
    let plan = |teeth: &str, until: &str, bypass: &str| {
        format!(
            "springline 1\ncase \"SM-9298\"\nuse saltmarsh\nstart 2026-11-24\nupper {{\n  \
             bonded 15..13, 11..25 with twin\n  tubes 16, 26 with molar\n  {teeth}\n  follow usual\n  \
             change level, wire niti-18, until {until} {{\n{bypass}    tie 11..22 figure-eight\n    \
             open-coil between 13 and 11 with open-100, activated 3.5 mm\n  }}\n}}\nretain {{\n  night-time upper\n}}\n"
        )
    };
    let gap = plan("missing 12\n  gap 2 mm between 13 and 11", "gap 6.5 mm between 13 and 11", "");
    let space = plan(
        "tooth 12 palatal 2 mm, space 2.5 mm",
        "space 7 mm at 12",
        "    bypass 12 unbonded until space 7 mm\n",
    );
    for text in [gap, space] {
        let checked = run(&mut Checker::new(), "coil", &text);
        let codes: Vec<_> = checked.findings.iter().map(|f| f.code.to_string()).collect();
        assert!(codes.iter().any(|c| c == "space/coil-spent"), "{codes:?}");
        assert!(!codes.iter().any(|c| c == "time/never-ends"), "{codes:?}");
        let said = format!("{:?}", checked.findings).to_lowercase();
        assert!(!said.contains("nothing in this step brings"), "{said}");
    }
}

#[test]
fn coils_pressed_too_little_too_far_or_too_seldom_are_found() {
    let plan = |activated: &str| {
        format!(
            "springline 1\ncase \"SM-9299\"\nuse saltmarsh\nstart 2026-11-24\nupper {{\n  \
             bonded 15..13, 11..25 with twin\n  tubes 16, 26 with molar\n  \
             tooth 12 palatal 2 mm, space 5.5 mm\n  follow usual\n  change align, wire niti-18 {{\n    \
             bypass 12 unbonded until space 7 mm\n    tie 11..22 figure-eight\n    \
             open-coil between 13 and 11 with open-100, activated {activated}\n  }}\n  \
             change level {{\n    pick-up 12 with twin\n  }}\n}}\nretain {{\n  night-time upper\n}}\n"
        )
    };
    let mut checker = Checker::new();
    let mut coils = |activated: &str| {
        let text = plan(activated);
        let checked = run(&mut checker, "coil", &text);
        let about =
            |f: &&springline_lang::finding::Finding| f.code.to_string().starts_with("space/coil");
        checked.findings.iter().filter(about).map(|f| f.code.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(coils("0.5 mm"), ["space/coil-inert"]);
    assert_eq!(coils("1.5 mm"), ["space/coil-spent"]);
    assert_eq!(coils("7.5 mm"), ["space/coil-over-pressed", "space/coil-too-heavy"]);
    assert!(coils("1.5 mm each visit").is_empty());
    assert!(coils("3 mm").is_empty());
}
