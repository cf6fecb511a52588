//! Input of every document: a checked case, its course, its findings, and the date.

use jiff::civil::Date;
use serde::Serialize;

use springline_course::{ArchState, Forecast, Phase, PlannedVisit};
use springline_finding::{Finding, Severity};
use springline_model::case::ArchCase;
use springline_model::step::{Act, ActKind, Spot, Step, Term};
use springline_model::stock::Closure;
use springline_model::{Case, House};
use springline_units::tooth::{Arch, Notation, Tooth};

/// Where a page comes from, so that a printed card can be held against the plan on file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PrintStamp {
    /// Content fingerprint of the case file.
    pub case: String,
    /// Content fingerprint of the house file.
    pub house: String,
    /// Name and version of the tool.
    pub tool: String,
    pub printed: Date,
}

impl PrintStamp {
    /// As it stands in the footer of every page.
    pub fn line(&self) -> String {
        format!(
            "plan {} \u{b7} practice {} \u{b7} {} \u{b7} printed {}",
            short(&self.case),
            short(&self.house),
            self.tool,
            self.printed
        )
    }
}

/// Twelve characters tell two plans apart and can be read aloud.
fn short(fingerprint: &str) -> &str {
    fingerprint.char_indices().nth(12).map_or(fingerprint, |(i, _)| &fingerprint[..i])
}

/// Everything a document may use.
#[derive(Debug, Clone, Copy)]
pub struct Plan<'a> {
    pub case: &'a Case,
    pub forecast: &'a Forecast,
    pub findings: &'a [Finding],
    pub today: Date,
    pub stamp: &'a PrintStamp,
}

impl<'a> Plan<'a> {
    /// `None` for a practice file, or a case that could not be read as far as a forecast.
    pub fn of(
        course: Option<(&'a Case, &'a Forecast)>,
        findings: &'a [Finding],
        today: Date,
        stamp: &'a PrintStamp,
    ) -> Option<Plan<'a>> {
        course.map(|(case, forecast)| Plan { case, forecast, findings, today, stamp })
    }

    /// For the head of a table: what is not in it, because a line could not be read. Empty where all was.
    pub fn left_out(&self) -> String {
        let line = |arch: &ArchCase| {
            let what = match arch.first_incomplete() {
                Some(at) if at > 0 => format!("{} from {} onwards", arch.arch, arch.steps[at].name),
                Some(_) => arch.arch.to_string(),
                None => return arch.unread.map(|_| arch.arch.to_string()),
            };
            Some(what)
        };
        let left = self.case.arches.iter().filter_map(line);
        left.map(|what| {
            format!("omitted: {what}, because a line cannot be read; see `springline check`\n")
        })
        .collect()
    }

    pub fn house(&self) -> &'a House {
        &self.case.house
    }

    pub fn notation(&self) -> Notation {
        self.case.house.notation.value
    }

    /// Errors that the doctor has not accepted: while one stands, only a hold card is printed.
    pub fn blocking(&self) -> Vec<&'a Finding> {
        self.findings.iter().filter(|f| f.blocks()).collect()
    }

    pub fn accepted(&self) -> impl Iterator<Item = &'a Finding> {
        self.findings.iter().filter(|f| f.accepted.is_some() && f.severity != Severity::Advice)
    }

    /// Visits still to come, with their number in the whole course (from 1). One that nobody
    /// recorded, with later records behind it, has been.
    pub fn coming(&self) -> impl Iterator<Item = (usize, &'a PlannedVisit)> {
        let seen = self.case.visits.iter().map(|v| v.on).max();
        self.forecast
            .visits
            .iter()
            .enumerate()
            .filter(move |(_, v)| v.recorded.is_none() && seen.is_none_or(|s| v.date > s))
            .map(|(i, v)| (i + 1, v))
    }

    /// What a case without any visit to come lacks, the first thing first.
    pub fn why_no_visit(&self) -> &'static str {
        let case = self.case;
        let begun = case.start.is_some()
            || case.in_place.is_some()
            || case.arches.iter().any(|a| a.start.is_some());
        let bonded = case.arches.iter().any(|a| !a.bonded.is_empty());
        match () {
            () if case.house.is_built_in() => springline_model::builtin::NO_PRACTICE_FILE,
            () if case.arches.is_empty() => "the case has no arch; write `upper {` or `lower {`",
            () if !begun => "the case has no start date",
            () if !bonded => "no tooth carries a bracket",
            () if case.arches.iter().all(|a| a.steps.is_empty()) => {
                "no arch has a step; `follow` a sequence, or write steps"
            }
            () => "every visit of the plan has been",
        }
    }

    pub fn phase(&self, arch: Arch, phase: Option<usize>) -> Option<&'a Phase> {
        self.forecast.arch(arch)?.phases.get(phase?)
    }
}

/// One step with the state of the arch while it is in.
#[derive(Debug, Clone, Copy)]
pub struct InMouth<'a> {
    pub step: &'a Step,
    pub state: &'a ArchState,
    pub phase: &'a Phase,
}

impl InMouth<'_> {
    /// Where its stops sit.
    pub fn stops(&self) -> Vec<Spot> {
        let spots = |act: &Act| match &act.kind {
            ActKind::Stop { spots } => spots.clone(),
            _ => Vec::new(),
        };
        self.state.acts.iter().flat_map(spots).collect()
    }
}

/// One arch at one visit: what is in, and what goes in when the test is passed.
#[derive(Debug, Clone, Copy)]
pub struct ArchToday<'a> {
    pub arch: &'a ArchCase,
    /// Teeth to test, worst first.
    pub test: &'a [Tooth],
    /// The change is what the schedule counts on; otherwise the wire stays unless the test says
    /// that it is done.
    expected: bool,
    pub now: Option<InMouth<'a>>,
    pub next: Option<InMouth<'a>>,
}

impl<'a> ArchToday<'a> {
    pub fn expected(&self) -> bool {
        self.expected || self.now.is_none()
    }

    /// Ligatures close every bracket of the arch; tubes have nothing to close.
    pub fn is_ligated(&self) -> bool {
        let Some(here) = self.next.or(self.now) else { return false };
        let bonded = here.state.teeth.iter().filter_map(|t| t.bonding.as_ref());
        let mut brackets = bonded.map(|b| &b.bracket).filter(|b| !b.is_tube).peekable();
        brackets.peek().is_some() && brackets.all(|b| b.closure == Closure::Ligated)
    }

    /// The wire that goes in, or goes on, is the one that is in already.
    pub fn same_wire(&self) -> bool {
        match (self.now, self.next) {
            (Some(now), Some(next)) => now.state.wire.same_wires(&next.state.wire),
            _ => false,
        }
    }

    /// As the patient leaves when all goes as expected.
    pub fn after(&self) -> Option<InMouth<'a>> {
        if self.expected() { self.next.or(self.now) } else { self.now }
    }
}

/// One visit with both arches looked up.
#[derive(Debug, Clone)]
pub struct VisitToday<'a> {
    pub number: usize,
    pub visit: &'a PlannedVisit,
    pub arches: Vec<ArchToday<'a>>,
    /// The visit after it, where one is foreseen.
    pub then: Option<&'a PlannedVisit>,
}

impl<'a> VisitToday<'a> {
    /// Ligatures close every bracket in the mouth.
    pub fn is_ligated(&self) -> bool {
        !self.arches.is_empty() && self.arches.iter().all(ArchToday::is_ligated)
    }

    /// `number` counts from 1 over all visits of the course.
    pub fn of(plan: &Plan<'a>, number: usize) -> Option<VisitToday<'a>> {
        let index = number.checked_sub(1)?;
        let visit = plan.forecast.visits.get(index)?;
        let look = |arch: &'a ArchCase, phase: Option<usize>| {
            let phase = plan.phase(arch.arch, phase)?;
            let step = arch.steps.get(phase.step)?;
            Some(InMouth { step, state: &phase.state, phase })
        };
        let arches: Vec<ArchToday<'a>> = plan
            .case
            .arches
            .iter()
            .map(|arch| {
                let row = visit.arch(arch.arch);
                let now = look(arch, row.and_then(|v| v.phase))
                    // An arch whose plan is done, or that this visit has no business with, keeps
                    // the wire it has.
                    .or_else(|| look(arch, last_before(plan, arch.arch, visit.date)));
                let expected = row.is_some_and(|v| v.change_expected);
                // Before its time is over nothing at the chair can say that the step is done.
                let early = !expected && now.is_some_and(|now| !is_tested(now.step));
                let next = row.and_then(|v| v.next_phase).filter(|_| !early);
                ArchToday {
                    arch,
                    test: row.map(|v| v.test.as_slice()).unwrap_or_default(),
                    expected,
                    now,
                    next: look(arch, next),
                }
            })
            .filter(|a| a.now.is_some() || a.next.is_some())
            .collect();
        let then = plan.forecast.visits.get(index + 1);
        Some(VisitToday { number, visit, arches, then })
    }

    pub fn arch(&self, arch: Arch) -> Option<&ArchToday<'a>> {
        self.arches.iter().find(|a| a.arch.arch == arch)
    }
}

/// Whether a look, a measure or the doctor's word can end a step; a stated time cannot be tested.
fn is_tested(step: &Step) -> bool {
    step.until.terms.iter().any(|t| !matches!(t, Term::Time { .. } | Term::Settled))
}

/// The last wire that went into an arch before a day.
fn last_before(plan: &Plan<'_>, arch: Arch, day: Date) -> Option<usize> {
    let phases = &plan.forecast.arch(arch)?.phases;
    phases.iter().rposition(|p| p.date_in.is_some_and(|d| d < day))
}
