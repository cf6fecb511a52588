//! Lowers conditions: `passive and 6 wk`, `overjet 2.5 mm or 24 wk`.

use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::Finding;
use springline_model::case::Overjet;
use springline_model::step::{Condition, Midline, Term};
use springline_syntax::ast::{BetweenPart, ConditionPart, FurtherPart, MidlinePart, TermPart};
use springline_syntax::format::written;
use springline_units::quantity::Length;
use springline_units::tooth::{Side, Tooth};

impl LoweringContext<'_> {
    /// `None` where any of it cannot be read: that makes the whole condition unreadable, never weaker.
    pub fn condition(&mut self, part: ConditionPart<'_>) -> Option<Condition> {
        let (all, further) = match part.further {
            Some(FurtherPart::And(terms)) => (true, Some(terms)),
            Some(FurtherPart::Or(terms)) => (false, Some(terms)),
            None => (true, None),
        };
        let parts = std::iter::once(part.term).chain(further.into_iter().flatten());
        // Every term is read, so that each finding is there.
        let terms: Vec<Option<Term>> = parts.map(|term| self.term(term)).collect();
        let terms = terms.into_iter().collect::<Option<Vec<Term>>>()?;
        Some(Condition { terms, all, text: one_line(&written(part.fragment)) })
    }

    fn term(&mut self, term: TermPart<'_>) -> Option<Term> {
        Some(match term {
            TermPart::Passive => Term::Passive,
            TermPart::DoctorDecides => Term::Decided,
            TermPart::Expressed => Term::Settled,
            TermPart::Time(time) => Term::Time { period: self.period(time, p::STEP_TIME)? },
            TermPart::Space { length, teeth } => {
                let length = self.length(length, p::SPACE)?;
                Term::Space { length, teeth: self.teeth_if_said(teeth) }
            }
            TermPart::Gap { length, between } => {
                let length = self.length(length, p::GAP)?;
                let (first, second) = self.between(between)?;
                Term::Gap { length, first, second }
            }
            TermPart::Overjet(length) => {
                Term::Overjet { overjet: Overjet::forward(self.length(length, p::OVERJET)?) }
            }
            TermPart::ReverseOverjet(length) => {
                Term::Overjet { overjet: Overjet::reverse(self.length(length, p::OVERJET)?) }
            }
            TermPart::Overbite(length) => {
                Term::Overbite { length: self.length(length, p::OVERBITE)? }
            }
            TermPart::Arch { arch, midline } => {
                Term::Midline { arch: word_values::arch(arch), midline: self.midline(midline)? }
            }
            TermPart::CrossbiteCorrected(teeth) => {
                // These may be teeth of the other jaw.
                let arch = self.arch.take();
                let teeth = self.teeth(teeth);
                self.arch = arch;
                Term::OverTheBite { teeth }
            }
            TermPart::Within { length, teeth } => {
                let length = self.length(length, p::DISPLACEMENT)?;
                Term::Within { length, teeth: self.teeth(teeth) }
            }
        })
    }

    /// The two teeth of `between 11 and 13`, in the order of the arch.
    pub fn between(&mut self, part: BetweenPart<'_>) -> Option<(Tooth, Tooth)> {
        let BetweenPart { first, second, .. } = part;
        let (a, b) = (self.tooth(first), self.tooth(second));
        let (a, b) = (a?, b?);
        let place = self.place(first.span().to(second.span()));
        if a == b || a.arch() != b.arch() {
            self.report(
                Finding::error(
                    "name/not-between",
                    place,
                    format!("There is nothing between {a} and {b}."),
                )
                .teeth([a, b]),
            );
            return None;
        }
        Some(if a <= b { (a, b) } else { (b, a) })
    }

    /// `midline on face`, `midline 1.5 mm to patient-right of lower`.
    pub fn midline(&mut self, part: MidlinePart<'_>) -> Option<Midline> {
        let reference = word_values::midline_reference(part.midline_reference);
        let (Some(length), Some(side)) = (part.length, part.patient_side) else {
            return Some(Midline { off: Length::default(), side: Side::Right, reference });
        };
        let off = self.length(length, p::MIDLINE)?;
        Some(Midline { off, side: word_values::patient_side(side), reference })
    }
}

/// A statement's text on one line, blanks normalised, comments left out.
pub fn one_line(text: &str) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let code = strip_comment(line);
        for word in code.split_whitespace() {
            if !out.is_empty() {
                out.push(' ');
            }
            out.push_str(word);
        }
    }
    out
}

/// The line without a comment at its end; slashes inside quotes are text.
fn strip_comment(line: &str) -> &str {
    let mut quoted = false;
    let bytes = line.as_bytes();
    for (i, b) in bytes.iter().enumerate() {
        match b {
            b'"' => quoted = !quoted,
            b'/' if !quoted && bytes.get(i + 1) == Some(&b'/') => {
                return line.get(..i).unwrap_or(line);
            }
            _ => {}
        }
    }
    line
}
