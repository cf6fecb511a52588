//! Grammar of the text's structure, with chumsky over the non-trivia tokens: statements made of items,
//! and their blocks. Braces are balanced by then (see [`super::balance`]) and any token can be an item,
//! so the grammar accepts every text.

use chumsky::prelude::*;

use super::token::TokenKind;
use super::trivia::NonTrivia;

/// An item by its shape; indices refer to the non-trivia tokens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RawKind {
    Word,
    Measure,
    Teeth,
    Dates,
    Text,
    Rule,
    Comma,
    Bad,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RawItem {
    pub kind: RawKind,
    pub first: usize,
    pub end: usize,
}

#[derive(Debug, Clone)]
pub struct RawStatement {
    /// Empty for braces without a statement.
    pub items: Vec<RawItem>,
    pub block: Option<RawBlock>,
}

#[derive(Debug, Clone)]
pub struct RawBlock {
    pub open: NonTrivia,
    pub close: NonTrivia,
    pub body: Vec<RawStatement>,
}

type ParserInput<'a> = &'a [NonTrivia];
type Extra = extra::Default;

/// The statements of a file; `None` would mean that the braces were not even.
pub fn statements(sigs: &[NonTrivia]) -> Option<Vec<RawStatement>> {
    body().then_ignore(end()).parse(sigs).into_output()
}

fn kind<'a>(wanted: TokenKind) -> impl Parser<'a, ParserInput<'a>, NonTrivia, Extra> + Clone {
    any().filter(move |sig: &NonTrivia| sig.kind == wanted)
}

fn joint<'a>(wanted: TokenKind) -> impl Parser<'a, ParserInput<'a>, NonTrivia, Extra> + Clone {
    any().filter(move |sig: &NonTrivia| sig.kind == wanted && sig.joint)
}

fn one<'a>(
    wanted: fn(TokenKind) -> bool,
) -> impl Parser<'a, ParserInput<'a>, NonTrivia, Extra> + Clone {
    any().filter(move |sig: &NonTrivia| wanted(sig.kind))
}

fn body<'a>() -> impl Parser<'a, ParserInput<'a>, Vec<RawStatement>, Extra> {
    recursive(|body| {
        let block = kind(TokenKind::Open)
            .then(body)
            .then(kind(TokenKind::Close))
            .map(|((open, body), close)| RawBlock { open, close, body });
        let headed = item()
            .repeated()
            .at_least(1)
            .collect::<Vec<_>>()
            .then(block.clone().or_not())
            .map(|(items, block)| RawStatement { items, block });
        let headless = block.map(|block| RawStatement { items: Vec::new(), block: Some(block) });
        let newlines = kind(TokenKind::Newline).repeated();
        choice((headed, headless))
            .padded_by(newlines.clone())
            .repeated()
            .collect::<Vec<_>>()
            .padded_by(newlines)
            .boxed()
    })
}

/// A number, a fraction or a number with a decimal comma, and its unit.
fn amount<'a>() -> impl Parser<'a, ParserInput<'a>, (), Extra> + Clone {
    let unit = one(|k| {
        matches!(
            k,
            TokenKind::UnitWord | TokenKind::Percent | TokenKind::InchMark | TokenKind::Degree
        )
    });
    let fraction = joint(TokenKind::Slash).then(joint(TokenKind::Number)).ignored();
    let comma = joint(TokenKind::Comma)
        .then(joint(TokenKind::Number))
        .then(unit.clone().rewind())
        .ignored();
    kind(TokenKind::Number).then(choice((fraction, comma)).or_not()).then(unit.or_not()).ignored()
}

/// `2.4 mm`, `8..10 wk`, `8-10 wk`, `0.016 x 0.022 in`, `-1.5 mm`.
fn measure<'a>() -> impl Parser<'a, ParserInput<'a>, (), Extra> + Clone {
    let minus = kind(TokenKind::Dash).then(joint(TokenKind::Number).rewind());
    // A dash between blanks or between digits joins; one that touches only what follows is a sign.
    let next = any().filter(|sig: &NonTrivia| sig.kind == TokenKind::Number).rewind();
    let dash = kind(TokenKind::Dash)
        .then(next)
        .filter(|(dash, number): &(NonTrivia, NonTrivia)| dash.joint || !number.joint)
        .ignored();
    let range = choice((kind(TokenKind::Dots).ignored(), dash)).then(amount()).ignored();
    let sizes = kind(TokenKind::Cross).then(amount()).repeated().at_least(1).ignored();
    minus.or_not().then(amount()).then(choice((range, sizes)).or_not()).ignored().boxed()
}

/// Teeth recognised by notation, alone or at one end of a range.
fn teeth<'a>() -> impl Parser<'a, ParserInput<'a>, (), Extra> + Clone {
    let mark = one(|k| matches!(k, TokenKind::ToothMark | TokenKind::ToothWord));
    let any_tooth =
        one(|k| matches!(k, TokenKind::ToothMark | TokenKind::ToothWord | TokenKind::Number));
    let dots = one(|k| matches!(k, TokenKind::Dots | TokenKind::Dash));
    let from_mark = mark.clone().then(dots.clone().then(any_tooth).or_not()).ignored();
    let to_mark = kind(TokenKind::Number).then(dots).then(mark).ignored();
    choice((from_mark, to_mark)).boxed()
}

fn dates<'a>() -> impl Parser<'a, ParserInput<'a>, (), Extra> + Clone {
    let date = one(|k| matches!(k, TokenKind::Date | TokenKind::DateLike));
    let dots = one(|k| matches!(k, TokenKind::Dots | TokenKind::Dash));
    date.clone().then(dots.then(date).or_not()).ignored().boxed()
}

fn item<'a>() -> impl Parser<'a, ParserInput<'a>, RawItem, Extra> + Clone {
    let word = one(|k| matches!(k, TokenKind::Word | TokenKind::UnitWord));
    let joint_word = any().filter(|sig: &NonTrivia| sig.is_word() && sig.joint);
    let path = joint(TokenKind::Slash).then(joint_word).repeated().at_least(1).ignored();
    let word_or_rule = word
        .then(path.or_not())
        .map(|(_, path)| if path.is_some() { RawKind::Rule } else { RawKind::Word });
    let text = one(|k| matches!(k, TokenKind::Text | TokenKind::OpenText)).to(RawKind::Text);
    let bad = one(|k| !matches!(k, TokenKind::Newline | TokenKind::Open | TokenKind::Close))
        .to(RawKind::Bad);
    choice((
        word_or_rule,
        kind(TokenKind::Comma).to(RawKind::Comma),
        teeth().to(RawKind::Teeth),
        measure().to(RawKind::Measure),
        dates().to(RawKind::Dates),
        text,
        bad,
    ))
    .map_with(|kind, extra| {
        let span: SimpleSpan = extra.span();
        RawItem { kind, first: span.start, end: span.end }
    })
    .boxed()
}
