//! Two lines of which only one could count: told, with the other beside it and a way out.

use springline_lang::finding::{Finding, FixKind};
use springline_lang::text::FileId;
use springline_lang::{Checker, SourceText};
use springline_test_support::Practices;

fn told(text: &str) -> Vec<Finding> {
    let source = SourceText { name: "case.spring".to_owned(), text: text.into() };
    let found = Checker::new().read(&source, &Practices::saltmarsh()).findings;
    found.into_iter().filter(|f| f.code.as_str() == "name/said-twice").collect()
}

fn arch(lines: &str) -> String {
    format!(
        "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nupper {{\n  bonded 15..25 with twin\n{lines}\n}}\n"
    )
}

fn step(lines: &str) -> String {
    arch(&format!("  follow usual\n  change align {{\n{lines}\n  }}"))
}

/// What the review found to be silent, and some that are alike.
#[test]
fn the_second_of_two_is_told_with_the_first_and_a_way_out() {
    let arches = [
        "  follow usual\n  follow firm",
        "  follow firm\n  follow usual",
        "  follow usual\n  start 2026-11-09\n  start 2026-11-16",
        "  gap 2 mm between 12 and 13\n  gap 3 mm between 13 and 12",
        "  overlap 2 mm between 12 and 13\n  overlap 3 mm between 13 and 12",
        "  hold 12 7 mm\n  hold 12 6 mm",
        "  caution 21 because \"short root\"\n  caution 21 because \"another\"",
        "  palatal-arch 16 to 26\n  palatal-arch 26 to 16",
    ];
    let steps = [
        "bypass 12 until space 7 mm\nbypass 12 until space 8 mm",
        "reduce 0.2 mm between 12 and 13\nreduce 0.3 mm between 13 and 12",
        "torque 11 10 deg root-palatal\ntorque 11 15 deg root-palatal",
        "bend 12 gingival 0.5 mm\nbend 12 gingival 1 mm",
        "reverse-curve 2 mm\nreverse-curve 3 mm",
        "open-coil between 11 and 13\nopen-coil between 13 and 11, activated 2 mm",
        "tie 13..11\ntie 13..11 figure-eight",
        "stop mesial of 11\nstop mesial of 11",
        "engage 12\nengage 12 mesial-wing",
    ];
    let texts = arches.iter().map(|l| arch(l)).chain(steps.iter().map(|l| step(l)));
    for text in texts {
        let found = told(&text);
        assert_eq!(found.len(), 1, "{text}\n{found:#?}");
        let finding = &found[0];
        assert_eq!(finding.related.len(), 1, "{text}");
        assert!(finding.related[0].place.span.start < finding.place.span.start, "{text}");
        assert!(!finding.fixes.is_empty(), "{text}");
        for fix in &finding.fixes {
            let mended = fix.apply(FileId(0), &text).expect("it fits");
            assert!(told(&mended).is_empty(), "{}:\n{mended}", fix.title);
            assert_eq!(mended.lines().count() + 1, text.lines().count(), "{mended}");
        }
    }
}

#[test]
fn word_for_word_the_same_is_taken_out_safely() {
    let found = told(&step("stop mesial of 11\nstop mesial of 11"));
    assert!(matches!(&found[0].fixes[..], [only] if only.kind == FixKind::Safe), "{found:#?}");
}

/// Nothing goes that is said nowhere else.
#[test]
fn a_list_is_not_taken_out_for_one_tooth_of_it() {
    let found = told(&step("bypass 12, 13\nbypass 12 until space 7 mm"));
    let titles: Vec<&str> = found[0].fixes.iter().map(|f| f.title.as_str()).collect();
    assert_eq!(titles, ["keep `bypass 12, 13`"]);
    let found = told(&step("bypass 12, 13\nbypass 13, 14"));
    assert!(found[0].fixes.is_empty() && !found[0].notes.is_empty(), "{found:#?}");
}

/// Two that speak of two things.
#[test]
fn what_is_said_of_another_tooth_place_or_side_is_no_second_time() {
    let lines = [
        "bypass 12\nbypass 22",
        "bend 12 gingival 0.5 mm\nbend 12 labial 0.5 mm",
        "stop mesial of 11\nstop distal of 11",
        "open-coil between 11 and 13\nopen-coil between 21 and 23",
        "halt-if overjet under 2 mm\nhalt-if overjet over 6 mm",
        "note \"a\"\nnote \"a\"",
        "no stop\nno bypass",
    ];
    for line in lines {
        assert!(told(&step(line)).is_empty(), "{line}");
    }
    // One in each of two blocks.
    let two = arch(
        "  follow usual\n  change align {\n    reverse-curve 2 mm\n  }\n  change level {\n    reverse-curve 2 mm\n  }",
    );
    assert!(told(&two).is_empty());
}

#[test]
fn chair_time_is_said_once_for_a_day() {
    let house =
        |lines: &str| format!("springline 1\nhouse \"Brook\"\nclinic mon, tue, fri\n{lines}");
    assert!(told(&house("chair-time 480 min\nchair-time 240 min on fri\n")).is_empty());
    for twice in [
        "chair-time 480 min\nchair-time 400 min\n",
        "chair-time 240 min on mon, fri\nchair-time 200 min on fri\n",
    ] {
        let found = told(&house(twice));
        assert_eq!(found.len(), 1, "{found:?}");
    }
}
