//! Conditions: `passive and 6 wk`, `overjet 2.5 mm or 24 wk`.

use super::bite::overjet;
use super::plausible as p;
use super::read::LoweringContext;
use springline_finding::Finding;
use springline_model::step::{Condition, Midline, MidlineReference, Term};
use springline_syntax::format::written;
use springline_syntax::tree::FragmentMatch;
use springline_units::quantity::Length;
use springline_units::tooth::{Arch, Side, Tooth};

impl LoweringContext<'_> {
    /// The condition of a group that holds one.
    pub fn condition(&mut self, group: FragmentMatch<'_>) -> Option<Condition> {
        let condition = group.groups("condition").next()?;
        let parts: Vec<FragmentMatch<'_>> = condition.groups("term").collect();
        let wanted = parts.len();
        let terms: Vec<Term> = parts.into_iter().filter_map(|t| self.term(t)).collect();
        // A term that cannot be read makes the whole condition unreadable, never weaker.
        if terms.is_empty() || terms.len() != wanted {
            return None;
        }
        let all = condition.has("and") || terms.len() == 1;
        Some(Condition { terms, all, text: one_line(&written(condition)) })
    }

    fn term(&mut self, term: FragmentMatch<'_>) -> Option<Term> {
        let arch = self.arch;
        // Bite measures may name teeth of both jaws.
        let out = match term.word() {
            Some("passive") => Some(Term::Passive),
            Some("doctor-decides") => Some(Term::Decided),
            Some("expressed") => Some(Term::Settled),
            None => {
                self.period(term.hole("time")?, p::STEP_TIME).map(|period| Term::Time { period })
            }
            Some("space") => {
                let length = self.length(term.hole("length")?, p::SPACE)?;
                let teeth = term.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
                Some(Term::Space { length, teeth })
            }
            Some("gap") => {
                let length = self.length(term.hole("length")?, p::GAP)?;
                let (first, second) = self.between(term)?;
                Some(Term::Gap { length, first, second })
            }
            Some(word @ ("overjet" | "reverse-overjet")) => {
                let length = self.length(term.hole("length")?, p::OVERJET)?;
                Some(Term::Overjet { overjet: overjet(word, length) })
            }
            Some("overbite") => {
                Some(Term::Overbite { length: self.length(term.hole("length")?, p::OVERBITE)? })
            }
            Some(word @ ("upper" | "lower")) => {
                let arch = if word == "upper" { Arch::Upper } else { Arch::Lower };
                Some(Term::Midline { arch, midline: self.midline(term)? })
            }
            Some("crossbite-corrected") => {
                self.arch = None;
                Some(Term::OverTheBite { teeth: self.teeth(term.hole("teeth")?) })
            }
            Some("within") => {
                let length = self.length(term.hole("length")?, p::DISPLACEMENT)?;
                Some(Term::Within { length, teeth: self.teeth(term.hole("teeth")?) })
            }
            Some(_) => None,
        };
        self.arch = arch;
        out
    }

    /// The two teeth of `between 11 and 13`, in the order of the arch.
    pub fn between(&mut self, group: FragmentMatch<'_>) -> Option<(Tooth, Tooth)> {
        let first = group.hole("first")?;
        let second = group.hole("second")?;
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
    pub fn midline(&mut self, group: FragmentMatch<'_>) -> Option<Midline> {
        let inner = group.groups("midline").next()?;
        let words: Vec<&str> = inner.words().collect();
        let reference = match words.last().copied() {
            Some("upper") => MidlineReference::Upper,
            Some("lower") => MidlineReference::Lower,
            _ => MidlineReference::Face,
        };
        let Some(hole) = inner.hole("length") else {
            return Some(Midline { off: Length::default(), side: Side::Right, reference });
        };
        let off = self.length(hole, p::MIDLINE)?;
        let side = if inner.has("patient-left") { Side::Left } else { Side::Right };
        Some(Midline { off, side, reference })
    }
}

/// A statement's text on one line, blanks settled, comments left out.
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
