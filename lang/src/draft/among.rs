//! Of these sequences, which: every one is put in the place of the sequence that the arch follows, and judged.
//!
//! A list of sequences is written as a practice file has them: `sequence NAME {` with its steps.

use std::sync::Arc;

use serde::Serialize;

use super::arch_text::{applied, arch_line};
use super::doctor_choice::ChosenRoom;
use super::frame::{DraftFrame, FramePurpose};
use super::plan_cost::PlanCost;
use super::readings::{READINGS, reading};
use super::refusal::NotDrafted;
use super::tried_plan::{PlanJudge, TriedPlan};
use super::why_not::parts;
use super::{DraftStage, GoOn};
use crate::check::{CheckOptions, Checker, LoweredFile, SourceText};
use crate::fixes::Trial;
use springline_lower::{Library, NotLoaded};
use springline_rules::Trees;
use springline_syntax::ast::{ArchStatement, HouseStatement};
use springline_syntax::{InsertAt, StatementRef, TreeEditor};
use springline_text::FileId;
use springline_units::tooth::Arch;

/// One of the sequences, and what came of it.
#[derive(Debug, Clone)]
pub struct AmongPlan {
    pub name: String,
    pub plan: Result<Arc<TriedPlan>, NotDrafted>,
    /// In how many readings of the mouth it comes first.
    pub first_in: usize,
    /// What parts it from the first one; nothing for that itself.
    pub because: Option<String>,
}

/// Sequences in the order in which they come out, those that cannot be judged last.
#[derive(Debug, Clone)]
pub struct Among {
    pub arch: Arch,
    pub plans: Vec<AmongPlan>,
    /// Readings of the mouth that there was time for.
    pub readings: usize,
}

/// A sequence of a list, for machines.
#[derive(Debug, Clone, Serialize)]
pub struct AmongRow {
    pub name: String,
    pub first_in: usize,
    pub because: Option<String>,
    pub cost: Option<PlanCost>,
    pub not_judged: Option<String>,
}

/// The practice files with the listed sequences behind their own.
struct AmongLibrary<'l> {
    practices: &'l dyn Library,
    listed: &'l str,
}

impl Library for AmongLibrary<'_> {
    fn house(&self, name: &str) -> Result<(String, Arc<str>), NotLoaded> {
        let (shown, text) = self.practices.house(name)?;
        Ok((shown, format!("{}\n{}\n", text.trim_end(), self.listed).into()))
    }
}

/// Names of the sequences in such a list.
fn names(listed: &str) -> Vec<String> {
    let parse = springline_syntax::parse(FileId(0), listed);
    let sequence = |line: StatementRef<'_>| match HouseStatement::cast(line) {
        Some(HouseStatement::Sequence(line)) => Some(line.sequence.text().to_owned()),
        _ => None,
    };
    parse.lines().filter_map(sequence).collect()
}

impl Checker {
    /// Which of the sequences in this text comes first for an arch, and why.
    pub fn draft_among(
        &mut self,
        source: &SourceText,
        arch: Arch,
        listed: &str,
        library: &dyn Library,
        options: &CheckOptions,
        go_on: &mut GoOn<'_>,
    ) -> Result<Among, NotDrafted> {
        let practices = AmongLibrary { practices: library, listed };
        let Checker { texts, judgements } = self;
        let read = texts.read_trial(source, library);
        let names = names(listed);
        let case = read.case.clone().ok_or(NotDrafted::Unreadable)?;
        let plan = case.arch(arch).ok_or(NotDrafted::NoArch(arch))?;
        if names.is_empty() {
            return Err(NotDrafted::NoneListed);
        }
        if let Some(taken) = names.iter().find(|n| case.house.sequences.contains_key(n.as_str())) {
            return Err(NotDrafted::NameTaken(taken.clone()));
        }
        let (begun, _) = judgements.judge_part(&case, &Trees::new([]), options);
        if begun.recorded_phase(arch).is_some() {
            return Err(NotDrafted::Begun(arch));
        }
        if plan.follows.is_none() && !plan.steps.is_empty() {
            let own = plan.steps.iter().map(|s| s.name.to_string()).collect();
            return Err(NotDrafted::OwnSteps(arch, own));
        }
        let mut with = |source: &SourceText| texts.read_trial(source, &practices);
        let mut trial = Trial { read: &mut with, judgements, options };
        let stop = trial.judgements.stop_signal();
        let go_on = &mut |stage: DraftStage, n: usize| !stop.is_set() && go_on(stage, n);
        let mut judged = Vec::new();
        for name in names {
            if !go_on(DraftStage::Search, judged.len()) {
                return Err(NotDrafted::Stopped);
            }
            let tried = framed(&mut trial, &read, arch, &name).and_then(|frame| {
                let plan = PlanJudge::new(&frame, &mut trial).whole(&frame.usual_steps());
                Ok((plan.ok_or(NotDrafted::Nothing(arch))?, frame))
            });
            judged.push((name, tried));
        }
        let ranked = ranked(&mut trial, arch, judged, go_on);
        match stop.is_set() {
            true => Err(NotDrafted::Stopped),
            false => Ok(ranked),
        }
    }
}

type FramedPlan = (Arc<TriedPlan>, DraftFrame);

/// The arch with this sequence in the place of its steps.
fn framed(
    trial: &mut Trial<'_>,
    read: &LoweredFile,
    arch: Arch,
    name: &str,
) -> Result<DraftFrame, NotDrafted> {
    let file = read.files.first().ok_or(NotDrafted::Unreadable)?;
    let line = arch_line(&read.parse, arch).ok_or(NotDrafted::NoArch(arch))?;
    let mut editor = TreeEditor::new(&read.parse);
    let mut follows = false;
    for statement in line.children() {
        match ArchStatement::cast(statement) {
            Some(ArchStatement::Follow(follow)) => {
                editor.replace(follow.sequence, name);
                follows = true;
            }
            // They name steps of the sequence that was followed.
            Some(
                ArchStatement::Change(_)
                | ArchStatement::Skip(_)
                | ArchStatement::Step(_)
                | ArchStatement::Drafted(_),
            ) => editor.remove(statement.id),
            _ => {}
        }
    }
    if !follows {
        editor.insert(InsertAt::LastIn(line.id), &format!("follow {name}"));
    }
    let text = editor.finish().and_then(|edits| applied(edits, &file.text));
    let text = text.ok_or(NotDrafted::Unreadable)?;
    let source = SourceText { name: file.name.clone(), text: text.into() };
    let now = (trial.read)(&source);
    let case = now.case.clone().ok_or(NotDrafted::Unreadable)?;
    let (forecast, _) = trial.judgements.judge_part(&case, &Trees::new([]), trial.options);
    let choice = ChosenRoom::default();
    DraftFrame::new(&now, source, false, &forecast, arch, FramePurpose::Compare, choice)
}

fn ranked(
    trial: &mut Trial<'_>,
    arch: Arch,
    judged: Vec<(String, Result<FramedPlan, NotDrafted>)>,
    go_on: &mut GoOn<'_>,
) -> Among {
    let mut first_in = vec![0; judged.len()];
    let mut readings = 0;
    'readings: for number in (0..READINGS).step_by(2) {
        let mut costs = [Vec::new(), Vec::new()];
        for (at, (_, tried)) in judged.iter().enumerate() {
            let Ok((plan, frame)) = tried else { continue };
            if !go_on(DraftStage::Readings, at) {
                break 'readings;
            }
            let [one, other] = [number, number + 1].map(|n| reading(&plan.case, n));
            let cost = PlanJudge::new(frame, trial).again(plan, [&one, &other]);
            for (all, cost) in costs.iter_mut().zip(cost) {
                all.push((cost.unwrap_or(plan.cost).key(), at));
            }
        }
        for (_, first) in costs.into_iter().filter_map(|all| all.into_iter().min()) {
            first_in[first] += 1;
        }
        readings += 2;
    }
    let named = |((name, tried), first_in): ((String, Result<FramedPlan, _>), usize)| AmongPlan {
        name,
        plan: tried.map(|(plan, _)| plan),
        first_in,
        because: None,
    };
    let mut plans: Vec<AmongPlan> = judged.into_iter().zip(first_in).map(named).collect();
    // As listed where they cost the same.
    plans.sort_by_key(|p| p.plan.as_ref().map_or([i64::MAX; 6], |plan| plan.cost.key()));
    let first = plans.first().and_then(|p| p.plan.as_ref().ok().cloned());
    if let Some(first) = first {
        for other in plans.iter_mut().skip(1) {
            other.because = other.plan.as_ref().ok().map(|plan| parts(plan, &first).0);
        }
    }
    Among { arch, plans, readings }
}

impl Among {
    /// Which, and why, for staff.
    pub fn words(&self) -> Vec<String> {
        let arch = springline_text::capital(&self.arch.to_string());
        let mut out = Vec::new();
        for (at, AmongPlan { name, plan, because, .. }) in self.plans.iter().enumerate() {
            match (plan, at) {
                (Err(why), _) => out.push(format!("{name} is not compared. {why}")),
                (Ok(plan), 0) => {
                    let time = plan.time();
                    out.push(format!("{arch} arch: of these, {name} comes first. {time}"));
                    out.extend(plan.said_against());
                }
                (Ok(plan), _) => {
                    let because = because.as_deref().unwrap_or_default();
                    let end = if because.ends_with('.') { "" } else { "." };
                    out.push(format!("{name}: {because}{end} {}", plan.time()));
                }
            }
        }
        let first = self.plans.first().filter(|p| p.plan.is_ok() && self.readings > 0);
        out.extend(first.map(|AmongPlan { name, first_in, .. }| {
            let of = self.readings;
            format!("{name} comes first in {first_in} of {of} other readings of the same mouth.")
        }));
        out
    }

    pub fn rows(&self) -> Vec<AmongRow> {
        let row = |p: &AmongPlan| AmongRow {
            name: p.name.clone(),
            first_in: p.first_in,
            because: p.because.clone(),
            cost: p.plan.as_ref().ok().map(|plan| plan.cost.shown()),
            not_judged: p.plan.as_ref().err().map(NotDrafted::to_string),
        };
        self.plans.iter().map(row).collect()
    }
}
