//! Builds items from the grammar's raw items: parses numbers and dates, looks up keywords, and marks
//! recoverable typing errors.

use jiff::civil;

use super::grammar::{RawItem, RawKind};
use super::item::{
    Amount, DateMark, Item, ItemKind, ItemShape, Measure, RecoverableTypo, ToothSpan, UnitMark,
};
use super::patterns::patterns;
use super::token::{TokenKind, unit_of};
use super::trivia::NonTrivia;
use springline_text::Span;
use springline_units::quantity::Unit;

/// Turns raw items into items; `sigs` are the tokens they index.
pub struct ItemBuilder<'a> {
    pub source: &'a str,
    pub sigs: &'a [NonTrivia],
}

impl ItemBuilder<'_> {
    fn text(&self, span: Span) -> &str {
        self.source.get(span.range()).unwrap_or_default()
    }

    pub fn item(&self, raw: &RawItem) -> Item {
        let sigs = self.sigs.get(raw.first..raw.end).unwrap_or_default();
        let span = match (sigs.first(), sigs.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => Span::default(),
        };
        let (kind, slip) = match raw.kind {
            RawKind::Word => (ItemKind::Word(patterns().keyword(self.text(span))), None),
            RawKind::Measure => self.measure(sigs),
            RawKind::Teeth => teeth(sigs),
            RawKind::Dates => self.dates(sigs),
            RawKind::Text => self.quoted(sigs, span),
            RawKind::Rule => (ItemKind::Rule, None),
            RawKind::Comma => (ItemKind::Comma, None),
            RawKind::Bad => (ItemKind::Bad, None),
        };
        Item { kind, span, slip }
    }

    fn quoted(&self, sigs: &[NonTrivia], span: Span) -> (ItemKind, Option<RecoverableTypo>) {
        let text = self.text(span);
        let open = sigs.first().is_some_and(|s| s.kind == TokenKind::OpenText);
        let first = text.chars().next().map_or(0, char::len_utf8);
        let last = if open { 0 } else { text.chars().next_back().map_or(0, char::len_utf8) };
        let inner = Span::new(span.start as usize + first, span.end as usize - last);
        (ItemKind::Text(inner), open.then_some(RecoverableTypo::OpenText))
    }

    fn dates(&self, sigs: &[NonTrivia]) -> (ItemKind, Option<RecoverableTypo>) {
        let mut slip =
            sigs.iter().any(|s| s.kind == TokenKind::Dash).then_some(RecoverableTypo::DashRange);
        let mut marks = Vec::with_capacity(2);
        for sig in sigs {
            let date = match sig.kind {
                TokenKind::Date => parse_date(self.text(sig.span)),
                TokenKind::DateLike => {
                    slip = Some(RecoverableTypo::DateForm);
                    match readings(self.text(sig.span)).as_slice() {
                        [one] => Some(*one),
                        _ => None,
                    }
                }
                _ => continue,
            };
            if date.is_none() && sig.kind == TokenKind::Date {
                slip = slip.or(Some(RecoverableTypo::NoSuchDay));
            }
            marks.push(DateMark { date, span: sig.span });
        }
        let kind = match marks.as_slice() {
            [day] => ItemKind::Date(*day),
            [first, last] => ItemKind::Dates(*first, *last),
            _ => ItemKind::Bad,
        };
        (kind, slip)
    }

    fn measure(&self, sigs: &[NonTrivia]) -> (ItemKind, Option<RecoverableTypo>) {
        let mut rest = sigs;
        let mut slip = None;
        let mut shape = ItemShape::Single;
        let mut amounts: Vec<Amount> = Vec::with_capacity(2);
        while let [sig, after @ ..] = rest {
            rest = match sig.kind {
                TokenKind::Dash => {
                    slip = if amounts.is_empty() {
                        Some(RecoverableTypo::Minus)
                    } else {
                        Some(RecoverableTypo::DashRange)
                    };
                    shape = if amounts.is_empty() { shape } else { ItemShape::Range };
                    after
                }
                TokenKind::Dots => {
                    shape = ItemShape::Range;
                    after
                }
                TokenKind::Cross => {
                    shape = ItemShape::Dims;
                    after
                }
                _ => {
                    let (amount, after, found) = self.amount(rest);
                    slip = slip.or(found);
                    amounts.push(amount);
                    after
                }
            };
        }
        if amounts.len() > 2 {
            slip = slip.or(Some(RecoverableTypo::ThreeSizes));
        }
        match amounts.as_slice() {
            [] => (ItemKind::Bad, None),
            [first, more @ ..] => {
                let second = more.first().copied();
                (ItemKind::Measure(Measure { shape, first: *first, second }), slip)
            }
        }
    }

    fn amount<'s>(
        &self,
        sigs: &'s [NonTrivia],
    ) -> (Amount, &'s [NonTrivia], Option<RecoverableTypo>) {
        let number = |sig: &NonTrivia| self.text(sig.span).parse::<f64>().unwrap_or(0.0);
        let (value, span, is_fraction, mut rest, mut slip) = match sigs {
            [a, by, b, rest @ ..] if by.kind == TokenKind::Slash => {
                let value = if number(b) == 0.0 { 0.0 } else { number(a) / number(b) };
                (value, a.span.to(b.span), true, rest, None)
            }
            [a, comma, b, rest @ ..] if comma.kind == TokenKind::Comma => {
                let span = a.span.to(b.span);
                let value = self.text(span).replace(',', ".").parse().unwrap_or(0.0);
                (value, span, false, rest, Some(RecoverableTypo::DecimalComma))
            }
            [a, rest @ ..] => (number(a), a.span, false, rest, None),
            [] => (0.0, Span::default(), false, sigs, None),
        };
        let mut unit = None;
        if let [sig, after @ ..] = rest
            && let Some((mark, found)) = self.unit(sig)
        {
            unit = Some(mark);
            slip = slip.or(found);
            rest = after;
        }
        (Amount { value, span, unit, is_fraction }, rest, slip)
    }

    fn unit(&self, sig: &NonTrivia) -> Option<(UnitMark, Option<RecoverableTypo>)> {
        let text = self.text(sig.span);
        let (unit, slip) = match sig.kind {
            TokenKind::InchMark => (Unit::In, Some(RecoverableTypo::InchMark)),
            TokenKind::Degree => (Unit::Deg, None),
            TokenKind::Percent => (Unit::Percent, None),
            TokenKind::UnitWord => {
                (unit_of(text)?, Unit::parse(text).is_none().then_some(RecoverableTypo::UnitCase))
            }
            _ => return None,
        };
        Some((UnitMark { unit, span: sig.span }, slip))
    }
}

fn teeth(sigs: &[NonTrivia]) -> (ItemKind, Option<RecoverableTypo>) {
    let dash = sigs.iter().any(|s| s.kind == TokenKind::Dash).then_some(RecoverableTypo::DashRange);
    match sigs {
        [first] => (ItemKind::Teeth(ToothSpan { first: first.span, last: None }), None),
        [first, _, last] => {
            (ItemKind::Teeth(ToothSpan { first: first.span, last: Some(last.span) }), dash)
        }
        _ => (ItemKind::Bad, None),
    }
}

/// Year, month and day in the language's own order.
pub fn parse_date(text: &str) -> Option<civil::Date> {
    let mut parts = text.split('-').map(|p| p.parse::<i16>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    civil::Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
}

/// The dates that a date in another order can mean, day before month first.
pub fn readings(text: &str) -> Vec<civil::Date> {
    let numbers: Vec<i16> =
        text.split(['/', '.', '-']).filter_map(|p| p.parse::<i16>().ok()).collect();
    let [a, b, c] = numbers[..] else { return Vec::new() };
    let year_first = text.bytes().take_while(u8::is_ascii_digit).count() == 4;
    let tries = if year_first {
        vec![(a, b, c)]
    } else {
        let year = if c < 100 { 2000 + c } else { c };
        vec![(year, b, a), (year, a, b)]
    };
    let mut days: Vec<civil::Date> = Vec::new();
    for (year, month, day) in tries {
        let (Ok(month), Ok(day)) = (i8::try_from(month), i8::try_from(day)) else { continue };
        if let Ok(date) = civil::Date::new(year, month, day)
            && !days.contains(&date)
        {
            days.push(date);
        }
    }
    days
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_in_another_order_has_the_readings_the_calendar_allows() {
        let text = |s: &str| readings(s).iter().map(ToString::to_string).collect::<Vec<_>>();
        assert_eq!(text("14/09/2026"), ["2026-09-14"]);
        assert_eq!(text("09/10/2026"), ["2026-10-09", "2026-09-10"]);
        assert_eq!(text("14.9.26"), ["2026-09-14"]);
        assert_eq!(text("31/31/2026"), Vec::<String>::new());
    }
}
