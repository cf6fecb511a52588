//! How the layer above reads a statement.

use springline_lang::syntax::{Context, FileKind, ItemShape, PlaceholderKind};

use crate::common::read;

const SOURCE: &str = "springline 1
case \"SM-0001\"
upper {
  tooth 12 palatal 2.4 mm, rotated 25 deg distal-out, space 4.1
  bonded 15..25, #3 with twin inverted
  change work, wire beta-19x25 tandem niti-14, ends turned-in slack 2 mm on right, until overjet 2.5 mm or 24 wk, next 8..10 wk {
    stop mesial of 11, distal 21
    tie 13..23 figure-eight
  }
  accept order/flexible-working on 13 up to 0.4 mm until work because \"two months\" by KL
}
";

#[test]
fn words_holes_and_groups_are_read_by_name() {
    let parse = read(SOURCE);
    assert_eq!(parse.kind, FileKind::Case);
    assert_eq!(parse.edition, Some(1));
    let upper = parse.lines().last().unwrap();
    assert_eq!(upper.block().unwrap().context, Some(Context::Arch));
    let lines: Vec<_> = upper.children().collect();

    let stands: Vec<_> = lines[0].groups("stand").collect();
    let words: Vec<_> = stands.iter().filter_map(|s| s.word()).collect();
    assert_eq!(words, ["lingual", "rotated", "space"]);
    assert!(stands[1].has("mesial-in"));
    let length = stands[0].hole("length").unwrap();
    let measure = length.measure().unwrap();
    assert_eq!(measure.first_quantity().unwrap().to_string(), "2.4 mm");
    assert_eq!(length.text(), "2.4 mm");
    let missing = stands[2].hole("length").unwrap().measure().unwrap();
    assert!(missing.unit().is_none() && missing.first_quantity().is_none());
    assert_eq!(missing.unit_place().start, missing.first.span.end);

    let teeth: Vec<_> = lines[1].hole("teeth").unwrap().teeth().collect();
    assert_eq!(teeth.iter().map(|t| parse.text(t.span())).collect::<Vec<_>>(), ["15..25", "#3"]);
    assert_eq!(lines[1].hole("bracket").unwrap().text(), "twin");
    assert!(lines[1].has("inverted") && lines[1].hole("variant").is_none());
}

#[test]
fn clauses_and_conditions_are_groups() {
    let parse = read(SOURCE);
    let change = parse.all_lines().find(|l| l.keyword() == Some("change")).unwrap();
    let clauses: Vec<_> = change.groups("clause").collect();
    let words: Vec<_> = clauses.iter().filter_map(|c| c.word()).collect();
    assert_eq!(words, ["wire", "ends", "until", "next"]);
    let wires: Vec<_> = clauses[0].holes(PlaceholderKind::Name).map(|c| c.text()).collect();
    assert_eq!(wires, ["beta-19x25", "niti-14"]);
    assert!(clauses[1].has("turned-in") && clauses[1].has("right"));
    let terms: Vec<_> = clauses[2].groups("term").collect();
    assert!(terms[0].has("overjet") && terms[1].hole("time").is_some());
    assert!(clauses[2].has("or") && !clauses[2].has("and"));
    let next = clauses[3].hole("times").unwrap().measure().unwrap();
    assert_eq!(next.shape, ItemShape::Range);
    assert_eq!(next.first_quantity().unwrap().to_string(), "8 wk");
    assert_eq!(clauses[1].span().range().len(), "ends turned-in slack 2 mm on right".len());

    let inner: Vec<_> = change.children().collect();
    let places: Vec<_> = inner[0].groups("place").collect();
    assert_eq!(places.iter().filter_map(|p| p.word()).collect::<Vec<_>>(), ["mesial", "distal"]);
    assert_eq!(places[1].hole("tooth").unwrap().text(), "21");
    assert!(inner[1].has("figure-eight"));
    assert_eq!(inner[1].parent().unwrap().keyword(), Some("change"));
}

#[test]
fn an_acceptance_keeps_its_parts() {
    let parse = read(SOURCE);
    let accept = parse.all_lines().find(|l| l.keyword() == Some("accept")).unwrap();
    assert_eq!(accept.hole("rule").unwrap().text(), "order/flexible-working");
    assert_eq!(accept.hole("figure").unwrap().text(), "0.4 mm");
    assert_eq!(accept.hole("step").unwrap().text(), "work");
    assert_eq!(accept.hole("text").unwrap().text(), "two months");
    assert_eq!(accept.hole("person").unwrap().text(), "KL");
}
