//! Reuses the previous check where an edit touches nothing that rules judge: a note or a comment outside
//! all braces, an empty line, or a line there that cannot be read. The course and the findings are then
//! the same; only places after the edit have moved.
//!
//! Where this is not certain nothing is reused. A property test compares the reused check with a full
//! one.

use springline_syntax::ast::StatementKind;
use std::sync::Arc;

use jiff::civil::Date;

use crate::checked::LoweredFile;
use springline_course::Forecast;
use springline_finding::Finding;
use springline_model::House;
use springline_model::provenance::Sourced;
use springline_syntax::token::TokenKind;
use springline_syntax::tree::{Parse, Statement};
use springline_text::{FileId, Place, Span, common_prefix, common_suffix};

/// One case as it was judged last.
#[derive(Debug, Clone)]
pub(crate) struct CarriedCheck {
    pub parse: Arc<Parse>,
    pub house: Arc<House>,
    pub today: Option<Date>,
    pub forecast: Arc<Forecast>,
    /// Findings of the rules, in the order of the register.
    pub findings: Vec<Finding>,
}

impl CarriedCheck {
    /// The same judgement of a text that differs in nothing that is judged; `None` where it may.
    pub fn carried(&self, read: &LoweredFile, today: Option<Date>) -> Option<CarriedCheck> {
        let house = read.house.as_ref().filter(|house| Arc::ptr_eq(house, &self.house))?;
        read.case.as_ref().filter(|_| self.today == today)?;
        let moved = Moved::between(&self.parse, &read.parse)?;
        let findings = self.findings.iter().map(|f| moved.finding(f)).collect::<Option<_>>()?;
        let forecast = match moved.by {
            0 => self.forecast.clone(),
            _ => Arc::new(moved.forecast(&self.forecast)?),
        };
        Some(CarriedCheck {
            parse: read.parse.clone(),
            house: house.clone(),
            today,
            forecast,
            findings,
        })
    }
}

/// Whole lines in which two texts differ, and how far what is behind them has moved.
#[derive(Debug, Clone, Copy)]
struct Moved {
    start: u32,
    /// In the old text, and in the new.
    old: u32,
    new: u32,
    by: i64,
}

impl Moved {
    /// `None` where anything is judged in those lines, in either text.
    fn between(old: &Parse, new: &Parse) -> Option<Moved> {
        let is_sure = |p: &Parse| p.unread.is_none() && !p.braces_guessed;
        if old.kind != new.kind || old.edition != new.edition || !is_sure(old) || !is_sure(new) {
            return None;
        }
        let moved = Moved::of_texts(&old.source, &new.source)?;
        if runs_on(new, moved.start) {
            return None;
        }
        let (first, end) = moved.idle(old, moved.old)?;
        let (new_first, new_end) = moved.idle(new, moved.new)?;
        let (a, b) = (&old.statements, &new.statements);
        let before = a.get(..first)?.iter().zip(b.get(..new_first)?);
        let behind = a.get(end..)?.iter().zip(b.get(new_end..)?);
        let as_many = first == new_first && a.len() - end == b.len() - new_end;
        let same = |(a, b): (&Statement, &Statement)| moved.same(a, b);
        (as_many && before.chain(behind).all(same)).then_some(moved)
    }

    fn of_texts(old: &str, new: &str) -> Option<Moved> {
        let (a, b) = (old.as_bytes(), new.as_bytes());
        let small = |n: usize| u32::try_from(n).ok();
        let head = common_prefix(a, b);
        if head == a.len() && head == b.len() {
            let all = small(head)?;
            return Some(Moved { start: all, old: all, new: all, by: 0 });
        }
        let tail = common_suffix(a.get(head..)?, b.get(head..)?);
        let line_start = |at: usize| a[..at].iter().rposition(|c| *c == b'\n').map_or(0, |n| n + 1);
        let (from, start) = (a.len() - tail, line_start(head));
        // Whole lines are gone or have come - the line before goes with those, so that nothing is put
        // between lines that are not looked at - or it goes on to the end of the line.
        let begins = |text: &[u8], at: usize| at == start || text.get(at - 1) == Some(&b'\n');
        let (start, end) = match begins(a, from) && begins(b, b.len() - tail) {
            true if from > start => (start, from),
            true => (line_start(start.checked_sub(1)?), from),
            false => (start, from + a.get(from..)?.iter().position(|c| *c == b'\n')? + 1),
        };
        // An edit at the end of the file is judged again, because fixes insert there.
        let rest = a.len().checked_sub(end).filter(|rest| *rest > 0)?;
        let new_end = b.len().checked_sub(rest)?;
        let by = i64::try_from(b.len()).ok()? - i64::try_from(a.len()).ok()?;
        Some(Moved { start: small(start)?, old: small(end)?, new: small(new_end)?, by })
    }

    /// The statements in these lines, from and to, if none of them is judged and none goes over their
    /// edges.
    fn idle(&self, parse: &Parse, to: u32) -> Option<(usize, usize)> {
        let all = &parse.statements;
        let end = |s: &Statement| s.block.as_ref().map_or(s.span.end, |b| b.close.end);
        let first = all.iter().take_while(|s| end(s) <= self.start).count();
        let inside = all.get(first..)?.iter().take_while(|s| s.span.start < to).count();
        let is_idle = |id: usize| {
            parse.line(id).is_some_and(|line| {
                let s = line.statement;
                let is_no_statement = line.keyword().is_none() && !s.is_read;
                let says_nothing = line.is(StatementKind::Note) || is_no_statement;
                let within = self.start <= s.span.start && s.span.end <= to;
                says_nothing && within && s.parent.is_none() && s.block.is_none()
            })
        };
        let clear = (first..first + inside).all(is_idle)
            && all.get(first + inside..)?.iter().all(|s| s.span.start >= to);
        clear.then_some((first, first + inside))
    }

    /// A statement outside these lines is what it was.
    fn same(&self, a: &Statement, b: &Statement) -> bool {
        let row = |s: &Statement| s.row.map(std::ptr::from_ref);
        self.span(a.span) == Some(b.span)
            && row(a) == row(b)
            && a.context == b.context
            && (a.is_read, a.is_faulty) == (b.is_read, b.is_faulty)
            && a.parent.is_some() == b.parent.is_some()
            && a.block.is_some() == b.block.is_some()
    }

    fn span(&self, span: Span) -> Option<Span> {
        if span.end <= self.start {
            return Some(span);
        }
        let moved = |at: u32| u32::try_from(i64::from(at) + self.by).ok();
        (span.start >= self.old)
            .then_some(())
            .and_then(|()| Some(Span { start: moved(span.start)?, end: moved(span.end)? }))
    }

    fn place(&self, place: Place) -> Option<Place> {
        match place.file {
            FileId(0) => Some(Place { span: self.span(place.span)?, ..place }),
            _ => Some(place),
        }
    }

    fn finding(&self, finding: &Finding) -> Option<Finding> {
        let mut out = finding.clone();
        let edits = out.fixes.iter_mut().flat_map(|fix| &mut fix.edits).map(|e| &mut e.place);
        let related = out.related.iter_mut().map(|r| &mut r.place);
        let accepted = out.accepted.iter_mut().map(|a| &mut a.place);
        for place in edits.chain(related).chain(accepted).chain([&mut out.place]) {
            *place = self.place(*place)?;
        }
        Some(out)
    }

    fn forecast(&self, forecast: &Forecast) -> Option<Forecast> {
        let mut out = forecast.clone();
        let phases = out.arches.iter_mut().flat_map(|a| &mut a.phases);
        for place in phases.flat_map(|p| &mut p.coils).map(|c| &mut c.place) {
            *place = self.place(*place)?;
        }
        for state in out.states_mut() {
            let acts = state.acts.iter_mut().map(|a| &mut a.place);
            let bonded = state.teeth.iter_mut().filter_map(|t| t.bonding.as_mut());
            let bonded = bonded.map(|b| &mut b.place);
            for place in acts.chain(bonded) {
                *place = self.place(*place)?;
            }
            self.sourced(&mut state.ends.right)?;
            self.sourced(&mut state.ends.left)?;
        }
        for place in out.removed_places_mut() {
            *place = self.place(*place)?;
        }
        Some(out)
    }

    /// Where a value is written, and where those are that it took the place of.
    fn sourced<T>(&self, mut value: &mut Sourced<T>) -> Option<()> {
        loop {
            if let Some(place) = &mut value.place {
                *place = self.place(*place)?;
            }
            match &mut value.displaced {
                Some(displaced) => value = displaced,
                None => return Some(()),
            }
        }
    }
}

/// A comma before this offset joins the line there to the one before.
fn runs_on(parse: &Parse, at: u32) -> bool {
    let tokens = parse.tokens.partition_point(|t| t.span.start < at);
    let mut earlier = parse.tokens[..tokens].iter().rev().filter(|t| !t.kind.is_trivia());
    earlier.find(|t| t.kind != TokenKind::Newline).is_some_and(|t| t.kind == TokenKind::Comma)
}
