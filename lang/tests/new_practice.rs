//! Whatever is answered, the practice file that is written is sound and in its settled layout.

use proptest::prelude::*;
use springline_lang::finding::Severity;
use springline_lang::lower::NoLibrary;
use springline_lang::record::practice::{PracticeAnswers, QuestionKey};
use springline_lang::record::{NewCaseAnswers, new_case};
use springline_lang::syntax;
use springline_lang::syntax::{format, parse};
use springline_lang::text::FileId;
use springline_lang::{CheckOptions, Checker, SourceText};
use springline_test_support::Practices;

/// Some of the numbers of a list, or nothing.
fn ticks(most: usize, least: usize) -> impl Strategy<Value = String> {
    prop::collection::btree_set(1..=most, least..=most)
        .prop_map(|set| set.into_iter().map(|n| n.to_string()).collect::<Vec<_>>().join(", "))
}

/// A table of one side with signed figures; teeth in the notation's own letters.
fn table() -> impl Strategy<Value = Vec<(u32, i32, Option<i32>)>> {
    let quadrant = prop_oneof![Just(1u32), Just(4)];
    let row = (quadrant, 1u32..=7, -30i32..=30, prop::option::of(-15i32..=15));
    prop::collection::vec(row, 0..14).prop_map(|rows| {
        let mut seen = std::collections::BTreeSet::new();
        rows.into_iter()
            .map(|(q, p, torque, tip)| (q * 10 + p, torque, tip))
            .filter(|(tooth, ..)| seen.insert(*tooth))
            .collect()
    })
}

fn written(rows: &[(u32, i32, Option<i32>)]) -> String {
    let quadrant = |tooth: u32| if tooth / 10 == 1 { "UR" } else { "LR" };
    let row = |(tooth, torque, tip): &(u32, i32, Option<i32>)| {
        let tip = tip.map_or_else(String::new, |t| format!(" {t}"));
        format!("{}{} {torque:+}{tip}", quadrant(*tooth), tooth % 10)
    };
    rows.iter().map(row).collect::<Vec<_>>().join(" / ")
}

fn draft() -> impl Strategy<Value = PracticeAnswers> {
    let first = (
        "[A-Za-z' &.-]{1,40}",
        1usize..=3,
        prop::sample::subsequence(vec!["mon", "tue", "wed", "thu", "fri", "sat", "sun"], 1..=7),
        prop::option::of(120u32..=5760),
        prop_oneof![Just("1"), Just("2"), Just("0.022 x 0.027"), Just("20x26")],
        1usize..=3,
    );
    let second = (
        table(),
        ticks(11, 0),
        ticks(16, 0),
        prop::option::of("[A-Z]{1,3}-#{2,6}"),
        prop::option::of("[0-9]{5} [0-9]{3} [0-9]{3}"),
        prop::option::of("[A-Z]{2,3}"),
        prop::collection::vec(any::<prop::sample::Index>(), 1..20),
    );
    (first, second).prop_map(|((title, notation, days, minutes, slot, closing), rest)| {
        let (table, coils, elastics, chart, telephone, doctor, wires) = rest;
        let mut draft = PracticeAnswers::new("brook");
        // What the file refuses - a title that looks like a name - is refused, and the default kept.
        let _ = draft.take(QuestionKey::Title, &title);
        let mut take = |key, said: &str| {
            draft.take(key, said).unwrap_or_else(|r| panic!("{key:?} `{said}`: {r}"));
        };
        take(QuestionKey::Notation, &notation.to_string());
        take(QuestionKey::Clinic, &days.join(" "));
        take(QuestionKey::ChairTime, &minutes.map_or_else(String::new, |m| format!("{m} min")));
        take(QuestionKey::Slot, slot);
        take(QuestionKey::Brackets, &closing.to_string());
        take(QuestionKey::Prescription, &written(&table));
        take(QuestionKey::Coils, &coils);
        take(QuestionKey::Elastics, &elastics);
        take(QuestionKey::Chart, chart.as_deref().unwrap_or_default());
        take(QuestionKey::Telephone, telephone.as_deref().unwrap_or_default());
        let _ = draft.take(QuestionKey::Doctor, doctor.as_deref().unwrap_or_default());
        let menu = draft.question(QuestionKey::Wires).choices;
        let names: Vec<String> =
            menu.into_iter().flat_map(|c| c.items).map(|(_, name)| name).collect();
        let ticked: Vec<String> = wires.iter().map(|i| i.get(&names).clone()).collect();
        draft.take(QuestionKey::Wires, &ticked.join(",")).expect("names of the list");
        draft
    })
}

fn source(name: &str, text: &str) -> SourceText {
    SourceText { name: name.to_owned(), text: text.into() }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn a_practice_file_is_sound_and_settled(draft in draft()) {
        let text = draft.write().expect("all that is needed was answered");
        let checked = Checker::new().check(&source("brook.spring", &text), &NoLibrary, &CheckOptions::default());
        prop_assert!(checked.findings.is_empty(), "{text}\n{:#?}", checked.findings);
        let house = checked.house.as_ref().expect("a practice file");
        let layout = syntax::FormatOptions { notation: Some(house.notation.value) };
        let settled = format(&parse(FileId(0), &text), &layout);
        prop_assert_eq!(settled, Ok(text.clone()));
        prop_assert_eq!(house.sequences.len(), usize::from(draft.sequence().is_some_and(|s| s.is_ok())));
        // A case of it reads without a fault of the language.
        let answers = NewCaseAnswers {
            chart: "BK-0001".to_owned(),
            house: Some("brook".to_owned()),
            doctor: None,
            start: jiff::civil::date(2026, 12, 7),
            growing: None,
            arches: springline_lang::units::tooth::Arch::BOTH.to_vec(),
        };
        let case = new_case(&answers, Some(house));
        let read = Checker::new().read(&source("BK-0001.spring", &case), &Practices::any(text.as_str()));
        prop_assert!(read.findings.iter().all(|f| f.code.as_str() == "name/chart-form"), "{case}\n{:#?}", read.findings);
    }
}

/// With teeth in line nothing of the usual sequence is found fault with, whichever wires make it.
#[test]
fn a_new_case_of_the_usual_wires_has_no_finding_but_its_retainer() {
    for (slot, wires) in [
        ("0.022", "thermal-14,thermal-14x25,thermal-18x25,steel-19x25,beta-19x25"),
        ("0.022", "thermal-16,superelastic-16x22,beta-18x25"),
        ("0.022", "superelastic-12,superelastic-18,superelastic-17x25,superelastic-19x25"),
        ("0.018", "thermal-12,thermal-16x22,steel-16x22"),
    ] {
        let mut draft = PracticeAnswers::new("brook");
        for (key, said) in
            [(QuestionKey::Slot, slot), (QuestionKey::Brackets, "1"), (QuestionKey::Wires, wires)]
        {
            draft.take(key, said).expect("an answer");
        }
        draft.take(QuestionKey::Prescription, "11 13 / 12 9 / 14 -6 / 34 -14").expect("a table");
        let text = draft.write().expect("a practice file");
        let checked = Checker::new().check(
            &source("brook.spring", &text),
            &NoLibrary,
            &CheckOptions::default(),
        );
        let answers = NewCaseAnswers {
            chart: "BK-0001".to_owned(),
            house: Some("brook".to_owned()),
            doctor: None,
            start: jiff::civil::date(2026, 12, 7),
            growing: Some(false),
            arches: vec![springline_lang::units::tooth::Arch::Upper],
        };
        let case = new_case(&answers, checked.house.as_deref());
        let options = CheckOptions { today: Some(jiff::civil::date(2026, 12, 5)) };
        let checked = Checker::new().check(
            &source("BK-0001.spring", &case),
            &Practices::any(text.as_str()),
            &options,
        );
        let open: Vec<String> = checked
            .findings
            .iter()
            .filter(|f| f.severity != Severity::Advice && f.code.as_str() != "order/no-retainer")
            .map(|f| format!("{}: {}", f.code, f.message))
            .collect();
        assert!(open.is_empty(), "{wires}\n{case}\n{open:#?}");
    }
}

/// Looked at as a whole, once.
#[test]
fn a_practice_file_as_it_is_written() {
    let mut draft = PracticeAnswers::new("brook");
    for (key, said) in [
        (QuestionKey::Title, "Brook Orthodontics"),
        (QuestionKey::ChairTime, "480"),
        (QuestionKey::Slot, "0.022"),
        (QuestionKey::Brackets, "passive"),
        (QuestionKey::Prescription, "11 +13 5 / 12 9 8 / 13 0 / 14 -6 / 16 -10\nL1 -3 / L4 -16"),
        (QuestionKey::Wires, "thermal-16 superelastic-16x22 beta-18x25"),
        (QuestionKey::Coils, "1, 4, 9"),
        (QuestionKey::Elastics, "quarter-light"),
        (QuestionKey::Chart, "BK-####"),
    ] {
        draft.take(key, said).expect("an answer");
    }
    insta::assert_snapshot!(draft.write().expect("a practice file"));
    // Fewer answers: no torque, and what is missing for a sequence.
    let mut draft = PracticeAnswers::new("brook");
    for (key, said) in [
        (QuestionKey::Slot, "1"),
        (QuestionKey::Brackets, "3"),
        (QuestionKey::Wires, "steel-16x22"),
    ] {
        draft.take(key, said).expect("an answer");
    }
    insta::assert_snapshot!(draft.write().expect("a practice file"));
}
