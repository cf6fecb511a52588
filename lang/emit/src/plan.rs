//! Input of every document: a checked case, its course, its findings, and the date.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use springline_course::{
    ArchMoment, ArchState, DeviceKind, Forecast, Obligation, Observation, Phase, PlannedVisit,
    RemovalReason, Retainer, Standing, StepMoment, VisitMoment,
};
use springline_finding::{Finding, Severity};
use springline_model::case::{ArchCase, Elastics};
use springline_model::step::{Act, ActKind, Lasts, Spot, Step};
use springline_model::stock::Closure;
use springline_model::{Case, House};
use springline_units::tooth::{Arch, Notation, Tooth};

/// Where a page comes from, so that a printed card can be held against the plan on file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PrintStamp {
    /// Content fingerprint of the case file.
    pub case: String,
    /// Content fingerprint of the practice file.
    pub house: String,
    /// Name and version of the tool.
    pub tool: String,
    pub printed: Date,
}

impl PrintStamp {
    /// As printed in the footer of every page.
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

/// Twelve characters distinguish plans and can be read aloud.
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
            .map(|(i, v)| (self.number_of(i), v))
    }

    /// The number of a visit of the forecast in the whole course, from 1. A bond-up that nobody recorded is past and no
    /// longer in the forecast, but it was the first visit.
    pub fn number_of(&self, index: usize) -> usize {
        index + 1 + self.unlisted()
    }

    /// The visit of that number, and its place in the forecast.
    pub fn visit(&self, number: usize) -> Option<(usize, &'a PlannedVisit)> {
        let index = number.checked_sub(1 + self.unlisted())?;
        Some((index, self.forecast.visits.get(index)?))
    }

    /// Visits of the whole course.
    pub fn visits_in_all(&self) -> usize {
        self.forecast.visits.len() + self.unlisted()
    }

    fn unlisted(&self) -> usize {
        let begun = self.forecast.arches.iter().filter_map(|a| a.phases.first()?.date_in).min();
        let first = self.forecast.visits.first().map(|v| v.date);
        let before = begun.zip(first).is_some_and(|(begun, first)| begun < first);
        usize::from(before && self.case.in_place.is_none())
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
    /// The arch in it, on the day of the visit.
    pub moment: &'a StepMoment,
}

impl<'a> InMouth<'a> {
    /// Everything in force, without what has come off at an earlier visit.
    pub fn acts(&self) -> impl Iterator<Item = &'a Act> + use<'a> {
        let (state, moment) = (self.state, self.moment);
        let all = state.acts.iter().enumerate();
        all.filter(|(i, _)| !moment.came_off.contains(i)).map(|(_, act)| act)
    }

    /// The act that put a device there; `None` for wire and ends, and for what is written at the arch.
    pub fn act(&self, what: DeviceKind) -> Option<&'a Act> {
        match what {
            DeviceKind::Act(index) => self.state.acts.get(index),
            _ => None,
        }
    }

    /// Where its stops sit.
    pub fn stops(&self) -> Vec<Spot> {
        let spots = |act: &Act| match &act.kind {
            ActKind::Stop { spots } => spots.clone(),
            _ => Vec::new(),
        };
        self.acts().flat_map(spots).collect()
    }
}

/// One arch at one visit: what is in, and what goes in when the test is passed.
#[derive(Debug, Clone, Copy)]
pub struct ArchToday<'a> {
    pub arch: &'a ArchCase,
    /// Teeth to test, worst first.
    pub test: &'a [Tooth],
    pub moment: &'a ArchMoment,
    pub now: Option<InMouth<'a>>,
    pub next: Option<InMouth<'a>>,
}

impl<'a> ArchToday<'a> {
    /// The change is what the schedule counts on; otherwise the wire stays unless the test says
    /// that it is done.
    pub fn expected(&self) -> bool {
        self.moment.is_change_expected()
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

    /// Acts of the next step that are work at the chair: without what sits on a wire that stays, or on its teeth,
    /// and is there already.
    pub fn put_on(&self) -> Vec<&'a Act> {
        let Some(next) = self.next else { return Vec::new() };
        let stays = next.state.wire.kept || self.same_wire();
        let is_on = |act: &&Act| {
            let there = |now: InMouth<'a>| now.acts().any(|a| a.kind == act.kind);
            stays && stays_with_its_wire(&act.kind) && self.now.is_some_and(there)
        };
        next.step.acts.iter().filter(|act| !is_on(act)).collect()
    }

    /// What comes off today whether or not the wire is changed, with why.
    pub fn off_today(&self) -> impl Iterator<Item = (&'a Act, RemovalReason)> + use<'a> {
        let (now, moment) = (self.now, self.moment);
        moment.off_today.iter().filter_map(move |r| Some((now?.act(r.what)?, r.reason)))
    }

    /// What comes off with the change, with why.
    pub fn off_with_change(&self) -> impl Iterator<Item = (&'a Act, RemovalReason)> + use<'a> {
        let (now, moment) = (self.now, self.moment);
        moment.off_with_change.iter().filter_map(move |r| Some((now?.act(r.what)?, r.reason)))
    }

    /// Everything in force as the patient leaves when all goes as foreseen.
    pub fn acts_after(&self) -> Vec<&'a Act> {
        let stays = self
            .after()
            .is_some_and(|m| self.now.is_some_and(|now| std::ptr::eq(m.moment, now.moment)));
        let gone: Vec<&Act> = match stays {
            true => {
                self.off_today().filter(|(_, why)| why.is_final()).map(|(act, _)| act).collect()
            }
            // The step that follows is without them already.
            false => Vec::new(),
        };
        let acts = self.after().into_iter().flat_map(|m| m.acts());
        acts.filter(|act| !gone.iter().any(|g| std::ptr::eq(*g, *act))).collect()
    }

    /// As the patient leaves when all goes as expected.
    pub fn after(&self) -> Option<InMouth<'a>> {
        if self.expected() { self.next.or(self.now) } else { self.now }
    }
}

/// Written for the next step too, it is no order where it is on already. A chain is renewed, a coil pressed again,
/// and notes are read again.
fn stays_with_its_wire(kind: &ActKind) -> bool {
    let again = matches!(
        kind,
        ActKind::Chain { .. }
            | ActKind::OpenCoil { .. }
            | ActKind::Traction { .. }
            | ActKind::Hold { .. }
            | ActKind::HaltIf { .. }
            | ActKind::Note { .. }
    );
    kind.lasts() != Lasts::Once && !again
}

/// One visit with both arches looked up.
#[derive(Debug, Clone)]
pub struct VisitToday<'a> {
    pub number: usize,
    pub visit: &'a PlannedVisit,
    pub moment: &'a VisitMoment,
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
        let (index, visit) = plan.visit(number)?;
        let moment = plan.forecast.timeline.visits().get(index)?;
        let look = |arch: &'a ArchCase, moment: &'a StepMoment| {
            let phase = plan.phase(arch.arch, Some(moment.phase))?;
            let step = arch.steps.get(moment.step)?;
            Some(InMouth { step, state: &phase.state, phase, moment })
        };
        let arch = |moment: &'a ArchMoment| {
            let arch = plan.case.arch(moment.arch)?;
            let test = visit.arch(moment.arch).map(|row| row.test.as_slice()).unwrap_or_default();
            let now = moment.arrives.as_ref().and_then(|m| look(arch, m));
            let next = moment.if_passed.as_ref().and_then(|m| look(arch, m));
            Some(ArchToday { arch, test, moment, now, next })
        };
        let arches = moment.arches.iter().filter_map(arch).collect();
        let then = plan.forecast.visits.get(index + 1);
        Some(VisitToday { number, visit, moment, arches, then })
    }

    /// Teeth that a surgeon lays open between this visit and the next, with the day, the first day first.
    pub fn exposed_before_next(&self, plan: &Plan<'a>) -> Vec<(Date, Vec<Tooth>)> {
        let Some(then) = self.then else { return Vec::new() };
        let mut days: BTreeMap<Date, Vec<Tooth>> = BTreeMap::new();
        for (tooth, exposure) in plan.case.arches.iter().flat_map(|a| &a.exposures) {
            if let Some(on) = exposure.on.filter(|on| (self.visit.date..then.date).contains(on)) {
                days.entry(on).or_default().push(*tooth);
            }
        }
        days.into_iter().collect()
    }

    /// A retainer is made for that arch where the appliance comes off.
    pub fn is_retained(&self, arch: Arch) -> bool {
        self.moment.retainers.iter().any(|retainer| match retainer {
            Retainer::Bonded(teeth) => teeth.iter().any(|t| t.arch() == arch),
            Retainer::Night(of) => *of == arch,
        })
    }

    pub fn arch(&self, arch: Arch) -> Option<&ArchToday<'a>> {
        self.arches.iter().find(|a| a.arch.arch == arch)
    }

    /// Elastics that are on when the patient leaves.
    pub fn worn(&self, plan: &Plan<'a>) -> Vec<&'a Elastics> {
        let worn = self.moment.elastics_after.iter();
        worn.filter_map(|i| plan.case.elastics.get(*i)).collect()
    }

    /// The last day of elastics that the plan ends by then: before the patient is seen again, or with nobody
    /// seeing the patient again.
    pub fn last_day_of(&self, plan: &Plan<'a>, block: usize) -> Option<Date> {
        let life = plan.forecast.timeline.elastics().get(block).filter(|life| life.longest_said)?;
        let last = life.last_day.filter(|day| *day >= self.visit.date)?;
        self.then.is_none_or(|then| last < then.date).then_some(last)
    }

    /// Elastics that are judged today: worn on arrival, or from now on.
    pub fn judged(&self, plan: &Plan<'a>) -> Vec<&'a Elastics> {
        let (before, after) = (&self.moment.elastics_on_arrival, &self.moment.elastics_after);
        let new = after.iter().filter(|i| !before.contains(i));
        before.iter().chain(new).filter_map(|i| plan.case.elastics.get(*i)).collect()
    }

    /// Elastics were worn up to this visit.
    pub fn was_worn(&self) -> bool {
        !self.moment.elastics_on_arrival.is_empty()
    }

    /// Teeth whose bracket is off when the patient comes, with the day of that record. A recorded visit
    /// has been: nothing is to be asked at it.
    pub fn loose(&self, plan: &Plan<'a>) -> BTreeMap<Tooth, Date> {
        if self.moment.standing != Standing::Foreseen {
            return BTreeMap::new();
        }
        let all = plan.forecast.timeline.obligations();
        loose(self.moment.open.iter().filter_map(|i| all.get(*i)))
    }
}

/// Teeth without their bracket among what the records left open.
pub fn loose<'o>(open: impl Iterator<Item = &'o Obligation>) -> BTreeMap<Tooth, Date> {
    let loose = |o: &Obligation| match o.observed {
        Observation::Loose(tooth) => Some((tooth, o.since)),
        _ => None,
    };
    open.filter_map(loose).collect()
}
