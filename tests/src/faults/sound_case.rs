//! A sound text, read and judged, with the questions that operators ask of it.

use std::sync::Arc;

use jiff::civil::Date;
use springline_lang::model::case::{ArchCase, Case};
use springline_lang::model::step::{Act, Step, StepSource};
use springline_lang::rules::{RuleContext, Trees};
use springline_lang::syntax::StatementRef;
use springline_lang::text::{Edit, FileId, Place, Span};
use springline_lang::units::quantity::{degrees, mm};
use springline_lang::units::tooth::{Arch, Tooth};
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_test_support::Practices;

use super::Mutant;
use super::bases::Base;
use super::edit;
use super::texts::Texts;

/// Checks a text against a house.
pub fn check(
    checker: &mut Checker,
    name: &str,
    text: &str,
    house: &Arc<str>,
    today: Date,
) -> Checked {
    let source = SourceText { name: format!("{name}.spring"), text: text.into() };
    checker.check(&source, &Practices::of(house.clone()), &CheckOptions { today: Some(today) })
}

/// A step of an arch by its index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct At {
    pub arch: Arch,
    pub index: usize,
}

/// A sound text and what the checker knows of it.
pub struct SoundCase {
    pub base: Base,
    pub house: Arc<str>,
    pub checked: Checked,
    pub texts: Texts,
    /// Steps whose wire is still to go in.
    pub coming: Vec<At>,
    /// Those, and the ones whose wire is in.
    pub open: Vec<At>,
}

impl SoundCase {
    pub fn new(base: Base, house: Arc<str>, checker: &mut Checker) -> SoundCase {
        let checked = check(checker, &base.name, &base.text, &house, base.today);
        let trees = Trees::new([checked.parse.clone()]);
        let (mut coming, mut open) = (Vec::new(), Vec::new());
        if let (Some(case), Some(forecast)) = (&checked.case, &checked.forecast) {
            let judged = RuleContext { case, forecast, today: Some(base.today), trees: &trees };
            for view in judged.views() {
                let at = At { arch: view.arch.arch, index: view.index };
                open.push(at);
                if !view.is_in_mouth() {
                    coming.push(at);
                }
            }
        }
        SoundCase { base, house, checked, texts: Texts(trees), coming, open }
    }

    pub fn text(&self) -> &str {
        &self.base.text
    }

    pub fn case(&self) -> Option<&Case> {
        self.checked.case.as_deref()
    }

    pub fn arches(&self) -> &[ArchCase] {
        self.case().map_or(&[], |c| &c.arches)
    }

    pub fn arch(&self, at: At) -> &ArchCase {
        self.case().and_then(|c| c.arch(at.arch)).expect("a step of an arch that is there")
    }

    pub fn step(&self, at: At) -> &Step {
        &self.arch(at).steps[at.index]
    }

    /// The first wire of an arch, where it is still to go in.
    pub fn first_steps(&self) -> impl Iterator<Item = At> + '_ {
        self.coming.iter().copied().filter(|at| at.index == 0)
    }

    pub fn lines(&self) -> impl Iterator<Item = StatementRef<'_>> {
        self.checked.parse.all_lines()
    }

    /// How far a tooth was entered off its place, mm and deg.
    pub fn off(&self, arch: &ArchCase, tooth: Tooth) -> (f64, f64) {
        let Some(stand) = arch.stands.get(&tooth).map(|s| s.value) else { return (0.0, 0.0) };
        let side = stand.in_out.map_or(0.0, |(l, _)| mm(l.length()));
        let high = stand.up_down.map_or(0.0, |(l, _)| mm(l.length()));
        let turned = stand.rotated.map_or(0.0, |(a, _)| degrees(a.angle()));
        (side.hypot(high), turned)
    }

    /// Teeth in the wire of a step, from the patient's right.
    pub fn in_wire(&self, at: At) -> Vec<Tooth> {
        let forecast = self.checked.forecast.as_deref();
        let state = forecast.and_then(|f| f.timeline.planned(self.arch(at).arch, at.index));
        state.map(|s| s.in_wire().map(|t| t.tooth).collect()).unwrap_or_default()
    }

    /// The tooth in the wire entered farthest off, with both figures.
    pub fn worst(&self, at: At) -> Option<(Tooth, f64, f64)> {
        let arch = self.arch(at);
        self.in_wire(at)
            .into_iter()
            .map(|t| {
                let (by, turned) = self.off(arch, t);
                (t, by, turned)
            })
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The line that describes a tooth.
    pub fn described(&self, arch: &ArchCase, tooth: Tooth) -> Option<Span> {
        arch.stands.get(&tooth).and_then(|s| s.place).and_then(main)
    }

    /// Every line that describes a tooth of the arch.
    pub fn all_described(&self, arch: Arch) -> Vec<Span> {
        let Some(arch) = self.case().and_then(|c| c.arch(arch)) else { return Vec::new() };
        let mut out: Vec<Span> =
            arch.stands.values().filter_map(|s| s.place).filter_map(main).collect();
        out.extend(arch.cautions.iter().filter_map(|c| main(c.place)));
        out
    }

    /// A statement's whole text, block and all.
    pub fn whole(&self, place: Place) -> Option<Span> {
        let span = main(place)?;
        let line = self.lines().find(|l| l.span().start == span.start)?;
        Some(line.whole_span())
    }

    /// Where a step stands in the case: its own lines, or the `follow` that brings it.
    pub fn lines_of(&self, at: At) -> Vec<Span> {
        let arch = self.arch(at);
        let step = &arch.steps[at.index];
        let own = step.place.file == arch.place.file
            && !matches!(step.source, StepSource::Sequence { .. });
        let follow = arch.follows.as_ref().and_then(|(_, p)| main(*p));
        if own {
            self.whole(step.place).into_iter().collect()
        } else {
            follow.into_iter().collect()
        }
    }

    /// The lines of this step and of all that come after it in its arch.
    pub fn from_here(&self, at: At) -> Vec<Span> {
        let count = self.arch(at).steps.len();
        let mut out: Vec<Span> =
            (at.index..count).flat_map(|index| self.lines_of(At { index, ..at })).collect();
        out.extend(self.arch(at).follows.as_ref().and_then(|(_, p)| main(*p)));
        out
    }

    /// The lines of the blocks of elastics.
    pub fn elastics(&self) -> Vec<Span> {
        let blocks = self.case().map_or(&[][..], |c| &c.elastics);
        blocks.iter().filter_map(|e| self.whole(e.place)).collect()
    }

    /// The lines of the visits.
    pub fn visits(&self) -> Vec<Span> {
        let visits = self.case().map_or(&[][..], |c| &c.visits);
        visits.iter().filter_map(|v| self.whole(v.place)).collect()
    }

    /// Acts of open steps that this chooses, with their step; each as it is written in the case.
    pub fn acts<'a>(&'a self, at: At, is: impl Fn(&Act) -> bool + 'a) -> Vec<&'a Act> {
        self.step(at).acts.iter().filter(|a| a.place.file == FileId(0) && is(a)).collect()
    }

    /// A mutant of these edits.
    pub fn mutant(
        &self,
        what: impl Into<String>,
        edits: Option<Vec<Edit>>,
        also: &[Span],
    ) -> Option<Mutant> {
        edit::mutant(self.text(), what.into(), edits?, also)
    }

    /// A clause of a step said otherwise.
    pub fn clause(&self, at: At, clause: &str, also: &[Span]) -> Option<Mutant> {
        let (arch, step) = (self.arch(at), self.step(at));
        let what = format!("{} {}: {clause}", at.arch, step.name);
        self.mutant(what, self.texts.set_clause(arch, step, clause), also)
    }

    /// A statement put into a step.
    pub fn add(&self, at: At, line: &str, also: &[Span]) -> Option<Mutant> {
        let (arch, step) = (self.arch(at), self.step(at));
        let what = format!("{} {}: + {line}", at.arch, step.name);
        self.mutant(what, self.texts.add_to_step(arch, step, &[line.to_owned()]), also)
    }

    /// A statement put at the end of an arch.
    pub fn add_to_arch(&self, arch: &ArchCase, line: &str, also: &[Span]) -> Option<Mutant> {
        self.mutant(format!("{}: + {line}", arch.arch), self.texts.add_to_arch(arch, line), also)
    }

    /// A statement put before the arch's steps.
    pub fn before_steps(&self, arch: &ArchCase, line: &str) -> Option<Vec<Edit>> {
        let first = arch.follows.as_ref().map(|(_, p)| *p).or_else(|| {
            arch.steps
                .iter()
                .map(|s| s.place)
                .filter(|p| p.file == FileId(0))
                .min_by_key(|p| p.span)
        })?;
        self.texts.before(first, line)
    }

    /// A statement taken away.
    pub fn remove(&self, place: Place, also: &[Span]) -> Option<Mutant> {
        let words =
            self.checked.parse.text(place.span).lines().next().unwrap_or_default().to_owned();
        self.mutant(format!("- {words}"), self.texts.remove(place), also)
    }

    /// A stretch of the text replaced.
    pub fn replace(&self, span: Span, by: &str, also: &[Span]) -> Option<Mutant> {
        let was = self.checked.parse.text(span);
        let what = format!("`{was}` becomes `{by}`");
        self.mutant(what, Some(vec![edit::put(span, by)]), also)
    }
}

/// The span of a place in the main file.
pub fn main(place: Place) -> Option<Span> {
    (place.file == FileId(0)).then_some(place.span)
}
