//! Words that are read as another: the file means the same, nothing is said against it, the formatter
//! writes the other word, and only that is offered.

use springline_lang::finding::{Finding, Severity};
use springline_lang::syntax::vocabulary::{ALIASES, is_by_the_tooth};
use springline_lang::syntax::{FormatOptions, expected, format, item_at};
use springline_lang::{Checker, SourceText};

use crate::common::read;
use springline_test_support::Practices;

const PRACTICE: &str = r#"springline 1
practice "Saltmarsh"
chart "SM-####"
clinic mon, tue, thu
closed 2026-12-24..2027-01-02
limit bench 50 g over 14 mm span
limit rotation 6 deg to 12 deg
limit deflection 0.6 mm to 1.2 mm
passive-when quarter-left
book-on forecast at 50 %
bracket twin {
  slide passive
  slot 0.022 x 0.028 in
  width 3 mm
  torque 12 deg crown-labial on 11, 21
  torque 7 deg crown-palatal on 13, 23
  torque 11 deg crown-buccal on 35, 45
  torque 6 deg crown-lingual on 31, 41
  hook on 16, 13, 12, 22, 23, 26, 46, 36
}
wire niti-14 superelastic-niti, round 0.014 in
wire thermal-14 thermal-niti, round 0.014 in
wire blue-16 cobalt-chromium, round 0.016 in
wire beta-17x25 beta-titanium, rect 0.017 x 0.025 in
wire steel-19x25 steel, rect 0.019 x 0.025 in
coil open-100 open, force 100 g at 4 mm, stroke 6 mm, length 15 mm
coil keeper passive, length 100 mm
coil closing-150 closing-spring, force 150 g, stroke 12 mm, length 12 mm
elastic light size 1/4 in, force 3.5 oz
chain linked closed, force 200 g
sequence usual {
  step align, wire niti-14, ends turned-in slack 2 mm, until passive, next computed
  step work, wire steel-19x25, ends cinched, express 4 wk, until expressed, next 6 wk
}
learned 2026-11-20 {
  active practice 1.12 times, spread 1.43 times, cases 16
}
"#;

const CASE: &str = r#"springline 1
case "SM-0001"
use saltmarsh
doctor KL
start 2026-09-14
patient growing
bite {
  reverse-overjet 1 mm
  molars right class-2 2 mm, left class-3 1 mm
  canines class-1
}
goal {
  crossbite-corrected 12
}
upper {
  bonded 16..26 with twin
  tooth 12 palatal 1 mm, rotated 10 deg mesial-in
  tooth 13 occlusal 0.5 mm, torque 5 deg root-palatal
  tooth 15 buccal 0.5 mm, rotated 8 deg mesial-out, torque 5 deg root-buccal
  palatal-arch 16 to 26
  follow usual
  change align, ends turned-in slack 2 mm, until crossbite-corrected 12 or 8 wk {
    passive-coil between 12 and 11 with keeper, hold 1 mm
    stop mesial of 11, mesial of 21
  }
  change work, until doctor-decides {
    post distal of 12, distal of 22
    closing-spring 16 to post 12, 26 to post 22 with closing-150
  }
}
lower {
  bonded 46..36 except 45 with twin
  lingual-arch 46 to 36
  follow usual
  change align {
    bite-raisers 36, 46
    ipr 0.2 mm each between 33 and 43
  }
  change work {
    no passive-coil
    no closing-spring
    no ipr
  }
}
elastics class-2 {
  right 13 to 46 with light, wear 22 h
  left 23 to 36 with light, wear 22 h
  from work expressed
  until overjet 2.5 mm
}
seen 2026-10-12 by MT {
  upper active, kept
  crossbite-corrected 12
}
"#;

/// The practice and the case as they are understood, without the places they were written at, and the
/// findings that are more than advice.
fn understood(practice: &str, case: &str) -> (String, Vec<Finding>) {
    let source = SourceText { name: "sm-0001.spring".into(), text: case.into() };
    let found = Checker::new().read(&source, &Practices::any(practice));
    let of_house = SourceText { name: "saltmarsh.spring".into(), text: practice.into() };
    let mut findings = found.findings.clone();
    findings.extend(Checker::new().read(&of_house, &Practices::any(practice)).findings);
    let house = found.house.expect("the practice can be read");
    let case = found.case.expect("the case can be read");
    let model = format!("{house:#?}\n{case:#?}");
    let place = |line: &&str| {
        let number = |key| {
            let rest = line.trim().strip_prefix(key).and_then(|l| l.strip_suffix(','));
            rest.is_some_and(|n| n.parse::<u32>().is_ok())
        };
        !(number("start: ") || number("end: "))
    };
    (model.lines().filter(place).map(|l| format!("{l}\n")).collect(), findings)
}

fn formatted(text: &str) -> String {
    format(&read(text), &FormatOptions::default()).expect("it can be formatted")
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '-'
}

/// The text with one word in the place of another, in lines that begin with `only_in` if that is said.
fn with_word(text: &str, from: &str, to: &str, only_in: Option<&str>) -> String {
    let mut out = String::new();
    for line in text.split_inclusive('\n') {
        if only_in.is_some_and(|word| line.split_whitespace().next() != Some(word)) {
            out.push_str(line);
            continue;
        }
        let mut rest = line;
        while let Some(at) = rest.find(from) {
            let end = at + from.len();
            let apart = !rest[..at].ends_with(is_word) && !rest[end..].starts_with(is_word);
            // What stands in quotes is no word of the language.
            let quoted = rest[..at].matches('"').count() % 2 == 1;
            out.push_str(&rest[..at]);
            out.push_str(if apart && !quoted { to } else { from });
            rest = &rest[end..];
        }
        out.push_str(rest);
    }
    out
}

#[test]
fn the_files_are_formatted_and_nothing_is_said_of_them() {
    assert_eq!(formatted(PRACTICE), PRACTICE);
    assert_eq!(formatted(CASE), CASE);
    let (_, findings) = understood(PRACTICE, CASE);
    assert!(findings.iter().all(|f| f.severity == Severity::Advice), "{findings:#?}");
}

#[test]
fn a_word_read_as_another_means_the_same_and_is_rewritten() {
    let (model, said) = understood(PRACTICE, CASE);
    for alias in ALIASES {
        // By the tooth, what is written may itself be the word that is read.
        let from: Vec<&str> = if is_by_the_tooth(alias.read) {
            vec![alias.written, alias.read]
        } else {
            vec![alias.written]
        };
        let put = |text: &str| {
            let put = |text: String, from: &&str| with_word(&text, from, alias.read, alias.only_in);
            from.iter().fold(text.to_owned(), put)
        };
        let (practice, case) = (put(PRACTICE), put(CASE));
        let there = with_word(&practice, alias.read, "", alias.only_in) != practice
            || with_word(&case, alias.read, "", alias.only_in) != case;
        assert!(there, "`{}` is not tried", alias.read);
        for text in [&practice, &case] {
            let once = formatted(text);
            assert_eq!(formatted(&once), once, "{}", alias.read);
        }
        assert_eq!(formatted(&practice), PRACTICE, "{}", alias.read);
        assert_eq!(formatted(&case), CASE, "{}", alias.read);
        let (other, others) = understood(&practice, &case);
        assert_eq!(other, model, "{}", alias.read);
        let codes = |all: &[Finding]| all.iter().map(|f| f.code.clone()).collect::<Vec<_>>();
        assert_eq!(codes(&others), codes(&said), "{}", alias.read);
    }
}

#[test]
fn all_of_them_at_once_and_in_capitals() {
    let (model, _) = understood(PRACTICE, CASE);
    let put = |text: &str| {
        let formerly = ALIASES.iter().filter(|a| !is_by_the_tooth(a.read));
        formerly.fold(text.to_owned(), |text, alias| {
            with_word(&text, alias.written, &alias.read.to_uppercase(), alias.only_in)
        })
    };
    let (practice, case) = (put(PRACTICE), put(CASE));
    assert!(
        practice.contains("HOUSE")
            && practice.contains("CLOSED, length")
            && case.contains("REDUCE")
    );
    assert_eq!((formatted(&practice), formatted(&case)), (PRACTICE.to_owned(), CASE.to_owned()));
    assert_eq!(understood(&practice, &case).0, model);
}

/// What means something else in other statements keeps that there.
#[test]
fn a_word_read_otherwise_in_one_statement_is_itself_in_the_others() {
    let text = "springline 1\nhouse \"S\"\nchart \"SM-##\"\nclosed 2026-12-24\ncoil a closed\nchain b closed\nlimit chart 50 g over 14 mm span\n";
    assert_eq!(
        formatted(text),
        "springline 1\npractice \"S\"\nchart \"SM-##\"\nclosed 2026-12-24\ncoil a passive\nchain b closed\nlimit bench 50 g over 14 mm span\n"
    );
}

/// Names are the doctor's own, whatever word of the language they are.
#[test]
fn a_name_is_never_rewritten() {
    let text = "springline 1\npractice \"S\"\nwire settle steel, round 0.016 in\nsequence usual {\n  step reduce as work, wire settle, express 4 wk, until expressed, next 6 wk\n}\n";
    assert_eq!(formatted(text), text);
}

#[test]
fn only_what_is_written_is_offered() {
    for text in [PRACTICE, CASE] {
        let parse = read(text);
        let words = |at: usize| expected(&parse, at).words;
        let offered: Vec<&str> =
            (0..=text.len()).flat_map(|at| words(at).into_iter().map(|(word, _)| word)).collect();
        for alias in ALIASES.iter().filter(|a| !is_by_the_tooth(a.read) && a.only_in.is_none()) {
            assert!(!offered.contains(&alias.read), "{}", alias.read);
        }
    }
    let text = "springline 1\npractice \"S\"\ncoil keeper ";
    let parse = read(text);
    let words: Vec<&str> = expected(&parse, text.len()).words.iter().map(|(w, _)| *w).collect();
    assert_eq!(words, ["open", "passive", "closing-spring"]);
}

/// What an editor shows of a word is that of the word it is read as.
#[test]
fn the_word_under_the_cursor_is_the_one_that_is_meant() {
    for (text, typed, word) in [
        ("house \"S\"\ncoil a closed\n", "closed", "passive"),
        ("house \"S\"\nlimit chart 50 g over 14 mm span\n", "chart", "bench"),
        ("house \"S\"\nlimit turn 6 deg\n", "turn", "rotation"),
        ("house \"S\"\n", "house", "practice"),
    ] {
        let parse = read(text);
        let at = item_at(&parse, text.find(typed).unwrap()).unwrap();
        assert_eq!(at.word, Some(word), "{text}");
    }
}
