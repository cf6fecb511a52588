//! What is taken over from the judgement before is what would be computed from nothing.

mod rules_common;

use proptest::prelude::*;
use rules_common::{library, options};
use springline_lang::fixes::Budget;
use springline_lang::{Checked, Checker, SourceText};

/// Cases with findings of rules, accepted ones among them, coils and visits.
const CASES: [&str; 4] = [
    include_str!("../../examples/cases/sm-0392-mild-crowding.spring"),
    include_str!("../../examples/cases/sm-0410-both-arches.spring"),
    include_str!("../../examples/cases/sm-0451-premolars-out.spring"),
    UNEVEN,
];

const UNEVEN: &str = r#"springline 1
case "SM-9950"
use saltmarsh
start 2026-11-23
patient growing
bite {
  overjet 5 mm
  molars class-2 3 mm
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 4 mm
  follow firm
  change work {
    open-coil 11 to 13 with open-coil
    stop mesial of 11
  }
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow firm
}
elastics class-2 {
  right 13 to 46 with medium, wear 22 h
  left 23 to 36 with medium, wear 12 h
  from work settled
  until overjet 2.5 mm
  longest 26 wk
  accept order/elastics-uneven up to 10 h because "midline goes left" by RB
}
"#;

/// The case with a note, a remark and an empty line before every line outside all braces that stands
/// behind its opening ones.
fn noted(text: &str) -> String {
    let mut out = String::new();
    let mut opened = 0;
    for line in text.split_inclusive('\n') {
        let begins = line.starts_with(char::is_alphabetic);
        opened += usize::from(begins);
        if begins && opened > 4 {
            out.push_str("note \"plan, {as} told\"\n// said: \"so\n\n");
        }
        out.push_str(line);
    }
    out
}

fn source(text: &str) -> SourceText {
    SourceText { name: "case.spring".to_owned(), text: text.into() }
}

fn check(checker: &mut Checker, text: &str) -> Checked {
    checker.check(&source(text), &library(), &options())
}

/// What was judged last is a case of its own, so nothing can be taken over.
fn from_nothing(checker: &mut Checker, text: &str) -> Checked {
    check(checker, "springline 1\ncase \"SM-0001\"\nuse saltmarsh\n");
    check(checker, text)
}

fn assert_same(carried: &Checked, fresh: &Checked, text: &str) {
    assert_eq!(carried.findings, fresh.findings, "{text}");
    assert_eq!(carried.case, fresh.case, "{text}");
    if carried.forecast != fresh.forecast {
        let [a, b] = [carried, fresh].map(|c| format!("{:#?}", c.forecast));
        let other = a.lines().zip(b.lines()).enumerate().find(|(_, (a, b))| a != b);
        panic!("the course differs at {other:?}\n{text}");
    }
}

/// Whether the judgement of one text is taken over for another.
fn is_carried(before: &str, after: &str) -> bool {
    let mut checker = Checker::new();
    check(&mut checker, before);
    let read = checker.read(&source(after), &library());
    let carried = checker.judgements.judge_unchanged(&read, &options());
    if let Some(carried) = &carried {
        assert_same(carried, &from_nothing(&mut Checker::new(), after), after);
    }
    carried.is_some()
}

#[test]
fn a_key_in_a_note_or_a_remark_outside_all_braces_computes_nothing() {
    let before = noted(UNEVEN);
    for (from, to) in [
        ("note \"plan", "note \"planx"),
        ("note \"plan", "note \"la"),
        ("note \"plan", "nxote \"plan"),
        ("told\"\n", "told\" word\n"),
        ("// said", "// he said"),
        ("\n\nupper", "\nupper"),
        ("\n\nupper", "\n\nnote \"more\"\n// and\n\nupper"),
    ] {
        assert!(before.contains(from));
        assert!(is_carried(&before, &before.replacen(from, to, 1)), "{from:?} to {to:?}");
    }
}

#[test]
fn fixes_that_are_only_tried_leave_what_was_judged_last() {
    let before = noted(UNEVEN);
    let mut checker = Checker::new();
    let checked = check(&mut checker, &before);
    let tried = checker.try_fixes(checked, &library(), &options(), Budget::default());
    assert!(tried.findings.iter().any(|f| !f.fixes.is_empty()), "nothing was tried");
    let after = before.replacen("note \"plan", "note \"planx", 1);
    let read = checker.read(&source(&after), &library());
    assert!(checker.judgements.judge_unchanged(&read, &options()).is_some());
}

#[test]
fn what_may_mean_something_is_judged_anew() {
    let before = noted(UNEVEN);
    for (from, to) in [
        ("note \"plan, {as} told\"", "debond 2027-01-04"),
        ("note \"plan, {as} told\"", "note \"plan\" {"),
        ("note \"plan, {as} told\"", "note \"plan\","),
        ("note \"plan, {as} told\"", "records photos"),
        ("palatal 4 mm", "palatal 5 mm"),
        ("springline 1\n", "// so\nspringline 1\n"),
        ("by RB\n}\n", "by RB\n}\nnote \"last\"\n"),
    ] {
        assert!(before.contains(from), "{from}");
        let after = before.replacen(from, to, 1);
        // The opening lines say nothing that is judged; whatever is taken over is compared.
        if is_carried(&before, &after) {
            assert!(from.starts_with("springline"), "{from:?} to {to:?}");
        }
    }
}

#[derive(Debug, Clone)]
struct Change {
    at: prop::sample::Index,
    /// In a note or remark outside all braces.
    in_note: bool,
    cut: usize,
    put: &'static str,
}

fn change() -> impl Strategy<Value = Change> {
    let put = prop::sample::select(vec![
        "x",
        "",
        " ",
        "\n",
        "note \"new\"\n",
        "// remark\n",
        "\"",
        ",",
        "{",
        "}",
        "word 12\n",
        "7",
        "€",
        "note",
        "retain {\n  night-time both\n}\n",
    ]);
    (any::<prop::sample::Index>(), prop::bool::weighted(0.7), 0_usize..3, put)
        .prop_map(|(at, in_note, cut, put)| Change { at, in_note, cut, put })
}

impl Change {
    fn apply(&self, text: &str) -> String {
        let places: Vec<usize> = text
            .char_indices()
            .filter(|(i, _)| {
                let start = text[..*i].rfind('\n').map_or(0, |n| n + 1);
                let line = &text[start..];
                !self.in_note || line.starts_with("note") || line.starts_with("//")
            })
            .map(|(i, _)| i)
            .collect();
        let at = if places.is_empty() { text.len() } else { *self.at.get(&places) };
        let end = text.ceil_char_boundary((at + self.cut).min(text.len()));
        format!("{}{}{}", &text[..at], self.put, &text[end..])
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn carried_is_what_is_computed_from_nothing(
        case in prop::sample::select(CASES.to_vec()),
        changes in prop::collection::vec(change(), 1..25),
    ) {
        let mut text = noted(case);
        let (mut carrying, mut fresh) = (Checker::new(), Checker::new());
        check(&mut carrying, &text);
        for change in changes {
            let next = change.apply(&text);
            let carried = check(&mut carrying, &next);
            assert_same(&carried, &from_nothing(&mut fresh, &next), &next);
            // A text torn to pieces has nothing left to carry.
            let errors = carried.findings.iter().filter(|f| f.code.is_language()).count();
            if errors < 12 {
                text = next;
            }
        }
    }
}
