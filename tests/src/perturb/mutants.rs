//! Perturbed texts: every statement of a case changed in every way of its kinds.

use std::collections::BTreeSet;

use jiff::ToSpan;
use springline_lang::syntax::patterns::patterns;
use springline_lang::syntax::{
    Context, FieldValue, Measure, Parse, PlaceholderKind, StatementRef, ToothSpan, parse,
};
use springline_lang::text::{Edit, FileId, Span};
use springline_lang::units::tooth::{Arch, Tooth};

use super::change::Change;
use super::kinds::{Kind, Shape, WHOLE, statement_word, value_part};
use crate::faults::Mutant;
use crate::faults::edit::{mutant, put};

/// A text with one thing changed, and what kind of change it is.
pub struct Perturbed {
    pub kind: Kind,
    pub mutant: Mutant,
    /// What went, and what stands in its place.
    pub from: String,
    pub to: String,
    /// The statement as it was.
    pub line: String,
    /// The steps that the change is about: its own, and with another name also that one; empty where it may be any.
    pub steps: Vec<InStep>,
}

/// A step of an arch, by name.
#[derive(Debug, Clone)]
pub struct InStep {
    pub arch: Arch,
    pub name: String,
}

/// Every perturbation of a case's text that still reads as the language.
pub fn of_text(read: &Parse) -> Vec<Perturbed> {
    let mut out = Vec::new();
    for line in read.all_lines().filter(|l| l.is_read() && !l.is_faulty()) {
        let Some(maker) = Maker::of(line) else { continue };
        maker.whole(&mut out);
        maker.values(&mut out);
        maker.words(&mut out);
    }
    out
}

/// Makes the perturbations of one statement.
struct Maker<'a> {
    line: StatementRef<'a>,
    statement: String,
    shape: Shape,
    context: Context,
    /// Other places whose meaning changes with the statement.
    also: Vec<Span>,
}

impl<'a> Maker<'a> {
    fn of(line: StatementRef<'a>) -> Option<Maker<'a>> {
        let (context, row) = (line.context()?, line.row()?);
        let statement = statement_word(context, row)?;
        let pattern = patterns().all.iter().find(|p| std::ptr::eq(p.row, row))?;
        let also = touched(line, context);
        Some(Maker { line, statement, shape: Shape::of(pattern), context, also })
    }

    fn push(&self, out: &mut Vec<Perturbed>, part: &str, change: Change, edits: Vec<Edit>) {
        let source = self.line.parse.source.as_ref();
        let to = edits.iter().rev().map(|e| e.text.trim()).find(|t| !t.is_empty());
        let to = to.filter(|_| part != WHOLE).map_or(String::new(), |to| format!(" to `{to}`"));
        let what = format!("{}: {part}, {change}{to}: `{}`", self.statement, self.line.text());
        let from = edits.first().map_or("", |e| self.line.parse.text(e.place.span)).to_owned();
        let text = edits.first().map_or(String::new(), |e| e.text.clone());
        let edits_name = edits.iter().map(|e| e.text.clone()).find(|t| !t.is_empty());
        let Some(mutant) = mutant(source, what, edits, &self.also) else { return };
        let kind = Kind { statement: self.statement.clone(), part: part.to_owned(), change };
        let own = in_step(self.line);
        let next = match change {
            Change::LaterStep => self.step_next(true),
            Change::EarlierStep => self.step_next(false),
            _ => None,
        };
        let named =
            own.as_ref().filter(|_| change == Change::AnotherName && self.context == Context::Arch);
        let other = named.and_then(|own| {
            let name = edits_name?;
            Some(InStep { arch: own.arch, name })
        });
        let steps = own.into_iter().chain(other).chain(next).collect();
        let line = self.line.text().to_owned();
        out.push(Perturbed { kind, mutant, from, to: text, line, steps });
    }

    /// The step into which the statement would go one later, or one earlier.
    fn step_next(&self, after: bool) -> Option<InStep> {
        let step = self.line.parent()?;
        let steps = step.parent()?.children();
        let in_braces =
            |s: &StatementRef<'_>| s.block().is_some_and(|b| b.context == Some(Context::Step));
        let steps: Vec<_> = steps.filter(in_braces).collect();
        let here = steps.iter().position(|s| s.id == step.id)?;
        let there = if after { here + 1 } else { here.checked_sub(1)? };
        in_step(*steps.get(there)?)
    }

    /// The statement's lines, with the end of the last.
    fn lines(&self) -> Span {
        let source = self.line.parse.source.as_ref();
        let whole = self.line.whole_span().range();
        let start = source[..whole.start].rfind('\n').map_or(0, |at| at + 1);
        let end = source[whole.end..].find('\n').map_or(source.len(), |at| whole.end + at + 1);
        Span::new(start, end)
    }

    fn whole(&self, out: &mut Vec<Perturbed>) {
        let lines = self.lines();
        let text = self.line.parse.text(lines).to_owned();
        for change in Change::of_statement(self.context) {
            let edits = match change {
                Change::LeftOut => vec![put(lines, "")],
                Change::SaidTwice => {
                    vec![put(Span::new(lines.end as usize, lines.end as usize), &text)]
                }
                Change::EarlierStep | Change::LaterStep => {
                    let Some(to) = self.step_beside(*change == Change::LaterStep, &text) else {
                        continue;
                    };
                    vec![put(lines, ""), put(to, &text)]
                }
                _ => continue,
            };
            self.push(out, WHOLE, *change, edits);
        }
    }

    /// Where the statement would go in the step before or after that has braces; in one that says the same it would be
    /// said twice, which is another change.
    fn step_beside(&self, after: bool, text: &str) -> Option<Span> {
        let step = self.line.parent()?;
        let steps: Vec<StatementRef<'_>> = step
            .parent()?
            .children()
            .filter(|s| s.block().is_some_and(|b| b.context == Some(Context::Step)))
            .collect();
        let here = steps.iter().position(|s| s.id == step.id)?;
        let there = if after { here + 1 } else { here.checked_sub(1)? };
        let there = steps.get(there)?;
        if there.children().any(|line| line.text().trim() == text.trim()) {
            return None;
        }
        let close = there.block()?.close.start as usize;
        let start = self.line.parse.source[..close].rfind('\n')? + 1;
        Some(Span::new(start, start))
    }

    fn values(&self, out: &mut Vec<Perturbed>) {
        for value in self.line.group().field_values() {
            let part = value_part(self.word_before(value), &value.slot);
            for change in Change::of_value(value.slot.hole) {
                for text in changed(value, *change) {
                    self.push(out, &part, *change, vec![put(value.span(), &text)]);
                }
            }
        }
    }

    fn word_before(&self, value: FieldValue<'_>) -> Option<&'static str> {
        let start = value.span().start;
        let before = self.line.items().iter().take_while(|i| i.span.end <= start);
        before.filter_map(|i| i.keyword()).filter(|w| *w != "of").last()
    }

    fn words(&self, out: &mut Vec<Perturbed>) {
        let items = self.line.items();
        for (at, item) in items.iter().enumerate() {
            let Some(word) = item.keyword() else { continue };
            for words in self.shape.choices.iter().filter(|w| w.contains(&word)) {
                for other in words.iter().filter(|o| **o != word) {
                    let edits = vec![put(item.span, other)];
                    if self.reads_as_before(&edits) {
                        self.push(out, &words.join(" or "), Change::OtherWord, edits);
                    }
                }
            }
            if at > 0 && self.shape.optional.contains(word) {
                let ends = items[at..].iter().map(|i| i.span.end as usize);
                let comma = items[at - 1].is_comma().then(|| items[at - 1].span.start as usize);
                let from = comma.unwrap_or(items[at].span.start as usize);
                let tries = ends.map(|end| vec![put(Span::new(from, end), "")]);
                if let Some(edits) = tries.into_iter().find(|e| self.reads_as_before(e)) {
                    self.push(out, word, Change::LeftOut, edits);
                }
            }
        }
    }

    /// Whether the changed text still has all its statements read, this one by the same row.
    fn reads_as_before(&self, edits: &[Edit]) -> bool {
        let source = self.line.parse.source.as_ref();
        let Some(changed) = mutant(source, String::new(), edits.to_vec(), &[]) else {
            return false;
        };
        let read = parse(FileId(0), &changed.text);
        let line = read.line(self.line.id);
        read.statements.len() == self.line.parse.statements.len()
            && line.is_some_and(|l| l.is_read() && !l.is_faulty() && same_row(l, self.line))
    }
}

fn same_row(a: StatementRef<'_>, b: StatementRef<'_>) -> bool {
    matches!((a.row(), b.row()), (Some(a), Some(b)) if std::ptr::eq(a, b))
}

/// The step that a statement writes, or stands in.
fn in_step(line: StatementRef<'_>) -> Option<InStep> {
    let mut around = std::iter::successors(Some(line), |l| l.parent());
    let step = around.find(|l| matches!(l.keyword(), Some("step" | "change")))?;
    let arch = match step.parent()?.keyword()? {
        "upper" => Arch::Upper,
        "lower" => Arch::Lower,
        _ => return None,
    };
    let name = step.holes(PlaceholderKind::Name).next()?.text().to_owned();
    Some(InStep { arch, name })
}

/// Places that a change of this statement is about: its whole arch or visit, and every line that names one of its
/// teeth, or of a step any step; all of the case for what is said of it or works on the bite, of which the goal
/// speaks: elastics, raisers, a midline, a crossbite, an expander, springs that close.
fn touched(line: StatementRef<'_>, context: Context) -> Vec<Span> {
    let read = line.parse;
    let of_case = matches!(
        context,
        Context::Case
            | Context::InPlace
            | Context::Bite
            | Context::Goal
            | Context::Retain
            | Context::Elastics
    ) || matches!(
        line.keyword(),
        Some("bite-raisers" | "midline" | "crossbite-corrected" | "expander" | "closing-spring")
    );
    if of_case {
        return vec![Span::new(0, read.source.len())];
    }
    let outermost = std::iter::successors(Some(line), |l| l.parent()).last().unwrap_or(line);
    let mut out = vec![outermost.whole_span()];
    // What a record leaves out shows in the next one.
    if outermost.keyword() == Some("seen") {
        let after = outermost.whole_span().end;
        let later = read.all_lines().filter(|l| l.keyword() == Some("seen"));
        // The record of the same arch, where there is one, else that of the next visit.
        let later: Vec<_> = later.filter(|l| l.whole_span().start >= after).collect();
        let of_arch = |l: &&StatementRef<'_>| {
            let own = line.keyword().filter(|word| matches!(*word, "upper" | "lower"));
            own.is_some_and(|word| l.children().any(|child| child.keyword() == Some(word)))
        };
        out.extend(later.first().map(|l| l.whole_span()));
        out.extend(later.iter().filter(of_arch).map(|l| l.whole_span()));
    }
    let own = teeth(line);
    let shares = |other: &StatementRef<'_>| !teeth(*other).is_disjoint(&own);
    out.extend(read.all_lines().filter(shares).map(|l| l.span()));
    // Where teeth and gaps are decides what the goal comes to.
    if matches!(line.keyword(), Some("tooth" | "gap")) {
        out.extend(
            read.all_lines().filter(|l| l.keyword() == Some("goal")).map(|l| l.whole_span()),
        );
    }
    // A day on which an arch begins is held against what its records tell.
    if line.keyword() == Some("start") {
        out.extend(
            read.all_lines().filter(|l| l.keyword() == Some("seen")).map(|l| l.whole_span()),
        );
    }
    if line.keyword() == Some("step") {
        let names_step = |l: &StatementRef<'_>| {
            l.holes(PlaceholderKind::Name).any(|value| value.slot.label == "step")
        };
        out.extend(read.all_lines().filter(names_step).map(|l| l.span()));
    }
    out
}

fn teeth(line: StatementRef<'_>) -> BTreeSet<Tooth> {
    let kinds = [PlaceholderKind::Tooth, PlaceholderKind::Teeth];
    let values = kinds.into_iter().flat_map(|kind| line.holes(kind).collect::<Vec<_>>());
    values
        .flat_map(|v| v.teeth().collect::<Vec<_>>())
        .flat_map(|span| ends(line.parse, span))
        .collect()
}

fn ends(read: &Parse, teeth: ToothSpan) -> Vec<Tooth> {
    let first = Tooth::parse(read.text(teeth.first));
    let last = teeth.last.and_then(|l| Tooth::parse(read.text(l)));
    match (first, last) {
        (Some(a), Some(b)) => a.stretch(b).unwrap_or_default(),
        (Some(a), None) => vec![a],
        _ => Vec::new(),
    }
}

/// Other texts for a value.
fn changed(value: FieldValue<'_>, change: Change) -> Vec<String> {
    match change {
        Change::OtherSide => with_teeth(value, |t| Some(t.mirror())),
        Change::OtherJaw => with_teeth(value, |t| Tooth::at(t.arch().other(), t.place())),
        Change::Neighbour => with_teeth(value, |t| {
            Tooth::iso(t.code() + 1).filter(|n| n.arch() == t.arch()).or(Tooth::iso(t.code() - 1))
        }),
        Change::Doubled => scaled(value, 2.0),
        Change::Halved => scaled(value, 0.5),
        Change::Earlier => moved(value, -60),
        Change::Later => moved(value, 60),
        Change::AnotherName => other_names(value),
        _ => Vec::new(),
    }
}

/// Every tooth of a value put in the place of another; nothing where one has none.
fn with_teeth(value: FieldValue<'_>, to: impl Fn(Tooth) -> Option<Tooth>) -> Vec<String> {
    let read = value.line.parse;
    let one = |span: Span| to(Tooth::parse(read.text(span))?).map(|t| t.code().to_string());
    let mut words = Vec::new();
    for teeth in value.teeth() {
        let word = match teeth.last {
            None => one(teeth.first),
            Some(last) => one(teeth.first).zip(one(last)).map(|(a, b)| format!("{a}..{b}")),
        };
        let Some(word) = word else { return Vec::new() };
        words.push(word);
    }
    vec![words.join(", ")]
}

fn scaled(value: FieldValue<'_>, by: f64) -> Vec<String> {
    let Some(Measure { first, second, .. }) = value.measure() else { return Vec::new() };
    let read = value.line.parse;
    let span = value.span();
    let mut text = read.text(span).to_owned();
    // From the back, so that places stay.
    for amount in second.iter().chain([first]) {
        let number = amount.span.range();
        let digits: String = read
            .text(amount.span)
            .chars()
            .take_while(|c| c.is_ascii_digit() || "./".contains(*c))
            .collect();
        let at = number.start - span.start as usize;
        let scaled = (amount.value * by * 1e4).round() / 1e4;
        text.replace_range(at..at + digits.len(), &scaled.to_string());
    }
    vec![text]
}

fn moved(value: FieldValue<'_>, days: i64) -> Vec<String> {
    let Some((first, last)) = value.dates() else { return Vec::new() };
    let by = |d: springline_lang::syntax::DateMark| {
        d.date.and_then(|d| d.checked_add(days.days()).ok()).map(|d| d.to_string())
    };
    let Some((a, b)) = by(first).zip(by(last)) else { return Vec::new() };
    vec![if first == last { a } else { format!("{a}..{b}") }]
}

/// Other names of the same kind that the text uses.
fn other_names(value: FieldValue<'_>) -> Vec<String> {
    if value.slot.defines {
        return Vec::new();
    }
    let own = value.text();
    let lines = value.line.parse.all_lines();
    let used: BTreeSet<&str> = lines
        .flat_map(|l| l.holes(PlaceholderKind::Name).collect::<Vec<_>>())
        .filter(|other| other.slot.label == value.slot.label)
        .map(|other| other.text())
        .filter(|name| *name != own)
        .collect();
    used.into_iter().map(str::to_owned).collect()
}
