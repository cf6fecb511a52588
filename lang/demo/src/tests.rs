//! Invented patients are reproducible, different from one another, and mostly sound.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::{Date, date};

use super::{HOUSE_NAME, case, house};
use springline_lang::finding::Severity;
use springline_lang::{CheckOptions, Checker, SourceText};
use springline_test_support::Practices;

const TODAY: Date = date(2026, 11, 25);

#[test]
fn a_seed_and_a_number_are_a_patient() {
    assert_eq!(case(1, 7, TODAY), case(1, 7, TODAY));
    assert_ne!(case(1, 7, TODAY).text, case(2, 7, TODAY).text);
    let texts: BTreeSet<String> = (0..500).map(|n| case(1, n, TODAY).text).collect();
    let files: BTreeSet<String> = (0..500).map(|n| case(1, n, TODAY).file).collect();
    assert_eq!((texts.len(), files.len()), (500, 500));
}

/// All can be read, and nine in ten may be printed. `TELL=1` lists what is found.
#[test]
fn most_patients_are_sound() {
    let library = Practices::default().and(HOUSE_NAME, house());
    let mut checker = Checker::new();
    let many: u32 = std::env::var("MANY").ok().and_then(|n| n.parse().ok()).unwrap_or(60);
    let (mut sound, mut codes) = (0, BTreeMap::new());
    for number in 0..many {
        let made = case(1, number, TODAY);
        let source = SourceText { name: made.file.clone(), text: made.text.as_str().into() };
        let checked = checker.check(&source, &library, &CheckOptions { today: Some(TODAY) });
        for f in &checked.findings {
            assert!(
                !f.code.is_language(),
                "{}: {} {}\n{}",
                made.file,
                f.code,
                f.message,
                made.text
            );
            if f.severity < Severity::Advice {
                *codes.entry((f.severity, f.code.clone())).or_insert(0) += 1;
                if std::env::var_os("TELL").is_some() {
                    println!("{}: {}: {} {}", made.file, f.severity, f.code, f.message);
                }
            }
        }
        sound += u32::from(checked.may_print());
    }
    println!("{sound} of {many} may be printed; {codes:?}");
    assert!(sound * 10 >= many * 9, "only {sound} of {many} may be printed: {codes:?}");
}
