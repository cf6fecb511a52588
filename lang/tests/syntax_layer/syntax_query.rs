//! What editors ask. `|` marks the cursor.

use springline_lang::syntax::{
    Context, Expected, PlaceholderKind, TokenClass, classify, expected, folds, item_at,
    statement_path_at,
};

use crate::common::read;

fn at(marked: &str) -> Expected {
    let offset = marked.find('|').unwrap();
    expected(&read(&marked.replace('|', "")), offset)
}

fn words(expected: &Expected) -> Vec<&'static str> {
    expected.words.iter().map(|(word, _)| *word).collect()
}

#[test]
fn an_empty_line_takes_the_statements_of_its_block() {
    let found = at("case \"SM-0001\"\nupper {\n  |\n}\n");
    assert_eq!(found.context, Some(Context::Arch));
    assert!(found.starts_statement && words(&found).contains(&"bonded"));
    assert!(!words(&found).contains(&"overjet") && words(&found).contains(&"expander"));
    assert!(words(&at("|")).contains(&"springline"));
    assert!(words(&at("case \"SM-0001\"\n|")).contains(&"upper"));
}

#[test]
fn a_broken_file_is_where_people_type() {
    let found =
        at("case \"SM-0001\"\nupper {\n  folow usual\n  change align {\n    |\nlower {\n}\n");
    assert_eq!(found.context, Some(Context::Step));
    assert!(words(&found).contains(&"bypass"));
    let found = at("case \"SM-0001\"\nupper {\n  change align {\n    byp|");
    assert_eq!((found.prefix.as_str(), found.context), ("byp", Some(Context::Step)));
}

#[test]
fn a_statement_goes_on_with_what_fits() {
    let inside = |line: &str| at(&format!("case \"SM-0001\"\nupper {{\n{line}\n}}\n"));
    let found = inside("tooth 12 rotated 25 deg |");
    assert_eq!(words(&found), ["mesial-in", "mesial-out"]);
    let found = inside("tooth 12 labial 2 |");
    assert!(!found.units.is_empty() && words(&found).contains(&"rotated") && found.may_end);
    let found = inside("tooth 12 labial 2 mm, |");
    assert!(words(&found).contains(&"space") && !found.may_end);
    let found = inside("bonded 15..25 with |");
    assert_eq!(
        found.slots.iter().map(|s| (s.hole, s.label)).collect::<Vec<_>>(),
        [(PlaceholderKind::Name, "bracket")]
    );
    let found = inside("bonded 15, |");
    assert!(found.slots.iter().any(|s| s.hole == PlaceholderKind::Teeth));
    let found = inside("step realign as |");
    assert_eq!(words(&found), ["align", "level", "work", "finish"]);
    let found = inside("bonded 15,\n   |");
    assert_eq!(found.keyword, Some("bonded"));
}

#[test]
fn nothing_is_offered_in_comments_and_texts() {
    for marked in ["case \"SM|\"", "// up|", "note \"up|", "case \"SM-1\" // |"] {
        let found = at(marked);
        assert!(found.words.is_empty() && found.slots.is_empty(), "{marked}");
    }
}

#[test]
fn an_item_knows_the_part_it_plays() {
    let marked = "case \"SM-0001\"\nupper {\n  tooth 12 labial 2.4| mm, space 4 mm\n}\n";
    let offset = marked.find('|').unwrap();
    let parse = read(&marked.replace('|', ""));
    let found = item_at(&parse, offset).unwrap();
    assert_eq!(found.slot.map(|s| s.hole), Some(PlaceholderKind::Length));
    assert_eq!(found.groups, ["positions", "position", "stand"]);
    let path: Vec<_> = statement_path_at(&parse, offset).iter().map(|l| l.keyword()).collect();
    assert_eq!(path, [Some("upper"), Some("tooth")]);
}

#[test]
fn every_part_has_its_colour() {
    let source = "case \"SM-0001\" // c\nupper {\n  follow usual\n  missing 12, #10\n  extract 14 on 2026-09-17\n  hold 12 7 mm\n  accept a/b because \"c\" by KL\n}\n";
    let parse = read(source);
    let found: Vec<(&str, TokenClass)> =
        classify(&parse).into_iter().map(|(span, class)| (parse.text(span), class)).collect();
    use TokenClass::*;
    assert_eq!(
        found,
        [
            ("case", Keyword),
            ("\"SM-0001\"", Text),
            ("// c", Comment),
            ("upper", Keyword),
            ("follow", Keyword),
            ("usual", Name),
            ("missing", Keyword),
            ("12", Tooth),
            ("#10", Tooth),
            ("extract", Keyword),
            ("14", Tooth),
            ("on", Word),
            ("2026-09-17", Date),
            ("hold", Keyword),
            ("12", Tooth),
            ("7", Number),
            ("mm", Unit),
            ("accept", Keyword),
            ("a/b", Rule),
            ("because", Word),
            ("\"c\"", Text),
            ("by", Word),
            ("KL", Name),
        ]
    );
}

#[test]
fn blocks_and_runs_of_comments_fold() {
    let source =
        "// a\n// b\n\n// c\ncase \"SM-0001\"\nupper {\n  change align {\n  }\n}\nlower { }\n";
    let parse = read(source);
    let found: Vec<(usize, bool)> =
        folds(&parse).iter().map(|f| (f.span.start as usize, f.is_comment)).collect();
    assert_eq!(found, [(0, true), (37, false), (54, false)]);
}
