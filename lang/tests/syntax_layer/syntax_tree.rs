//! How the layer above reads a statement.

use springline_lang::syntax::ast::{
    AcceptLine, AlongWord, ArchStatement, ChangeLine, ClausePart, EndKindWord, ExpiryPart,
    FurtherPart, MountingPart, NextVisitPart, PositionPart, SideWord, StandPart, StatementKind,
    StepStatement, TermPart, TurnWord, WireUsePart,
};
use springline_lang::syntax::{Context, FileKind, ItemShape};

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
fn values_and_words_are_read_by_their_types() {
    let parse = read(SOURCE);
    assert_eq!(parse.kind, FileKind::Case);
    assert_eq!(parse.edition, Some(1));
    let upper = parse.lines().last().unwrap();
    assert_eq!(upper.block().unwrap().context, Some(Context::Arch));
    let lines: Vec<_> = upper.children().filter_map(ArchStatement::cast).collect();

    let ArchStatement::ArchTooth(tooth) = lines[0] else { panic!("{:?}", lines[0]) };
    let positions: Vec<_> = tooth.positions.iter().collect();
    let [
        PositionPart::Stand(StandPart::Lingual(length)),
        PositionPart::Stand(StandPart::Rotated { turn: TurnWord::MesialIn, .. }),
        PositionPart::Stand(StandPart::Space(missing)),
    ] = positions[..]
    else {
        panic!("{positions:?}")
    };
    let measure = length.measure().unwrap();
    assert_eq!(measure.first_quantity().unwrap().to_string(), "2.4 mm");
    assert_eq!(length.text(), "2.4 mm");
    let missing = missing.measure().unwrap();
    assert!(missing.unit().is_none() && missing.first_quantity().is_none());
    assert_eq!(missing.unit_place().start, missing.first.span.end);

    let ArchStatement::Bonded(bonded) = lines[1] else { panic!("{:?}", lines[1]) };
    let teeth: Vec<_> = bonded.teeth.teeth().map(|t| parse.text(t.span())).collect();
    assert_eq!(teeth, ["15..25", "#3"]);
    assert_eq!(bonded.bracket.text(), "twin");
    assert!(matches!(bonded.mounting, Some(MountingPart::Inverted)));
}

#[test]
fn clauses_and_conditions_are_parts() {
    let parse = read(SOURCE);
    let change = parse.all_lines().find_map(ChangeLine::cast).unwrap();
    let clauses: Vec<_> = change.clauses.spanned().collect();
    let [
        (_, ClausePart::Wire(WireUsePart::Wire { wire, tandem: Some(tandem) })),
        (ends_span, ClausePart::Ends(ends)),
        (_, ClausePart::Until(until)),
        (_, ClausePart::Next(NextVisitPart::Times(next))),
    ] = clauses[..]
    else {
        panic!("{clauses:?}")
    };
    assert_eq!([wire.text(), tandem.text()], ["beta-19x25", "niti-14"]);
    let ends: Vec<_> = ends.iter().collect();
    assert_eq!(ends.len(), 1);
    assert_eq!((ends[0].end_kind, ends[0].side), (EndKindWord::TurnedIn, Some(SideWord::Right)));
    assert_eq!(ends_span.range().len(), "ends turned-in slack 2 mm on right".len());
    assert!(matches!(until.term, TermPart::Overjet(_)));
    let Some(FurtherPart::Or(further)) = until.further else { panic!("{until:?}") };
    assert!(matches!(further.iter().collect::<Vec<_>>()[..], [TermPart::Time(_)]));
    let next = next.measure().unwrap();
    assert_eq!(next.shape, ItemShape::Range);
    assert_eq!(next.first_quantity().unwrap().to_string(), "8 wk");

    let inner: Vec<_> = change.statement.children().filter_map(StepStatement::cast).collect();
    let [StepStatement::StepStop(stop), StepStatement::Tie(tie)] = inner[..] else {
        panic!("{inner:?}")
    };
    let places: Vec<_> = stop.places.iter().map(|p| (p.along, p.tooth.text())).collect();
    assert_eq!(places, [(AlongWord::Mesial, "11"), (AlongWord::Distal, "21")]);
    assert!(tie.figure_eight);
    assert!(tie.statement.parent().unwrap().is(StatementKind::Change));
}

#[test]
fn an_acceptance_keeps_its_parts() {
    let parse = read(SOURCE);
    let accept = parse.all_lines().find_map(AcceptLine::cast).unwrap();
    assert_eq!(accept.rule.text(), "order/flexible-working");
    assert_eq!(accept.figure.unwrap().text(), "0.4 mm");
    let Some(ExpiryPart::Step(step)) = accept.expiry else { panic!("{accept:?}") };
    assert_eq!(step.text(), "work");
    assert_eq!(accept.text.text(), "two months");
    assert_eq!(accept.person.text(), "KL");
}
