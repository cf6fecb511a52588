//! What of an arch is given before anything is drafted: the text to depart from, the steps that stay, the
//! practice's sequence, the drawer.

use std::sync::Arc;

use super::arch_facts::{implausible, is_out_of_line, remarks, room_of, severe};
use super::arch_text::{applied, arch_line};
use super::bare_spans::sleeves;
use super::doctor_choice::ChosenRoom;
use super::draft_step::{DraftAct, DraftStep};
use super::drawer::DraftDrawer;
use super::refusal::NotDrafted;
use super::room::DraftRoom;
use crate::check::{LoweredFile, SourceText};
use springline_course::Forecast;
use springline_finding::{Finding, Severity};
use springline_model::Wire;
use springline_model::case::ArchCase;
use springline_model::step::{Step, StepKind, StepSource};
use springline_syntax::ast::ArchStatement;
use springline_syntax::{InsertAt, Parse, StatementRef, TreeEditor};
use springline_units::tooth::Arch;

/// What is given of an arch.
#[derive(Debug)]
pub struct DraftFrame {
    pub arch: Arch,
    /// The text that the draft departs from: as written, or with the practice's sequence in an arch without one.
    pub source: SourceText,
    pub parse: Arc<Parse>,
    /// The practice's sequence, or where room comes from, is part of the draft, even if no step departs.
    pub began: bool,
    /// Steps before this one are recorded and stay.
    pub fixed: usize,
    /// Number of steps between those and the working wire, as written.
    pub drafted: usize,
    /// The steps between, as the text has them now.
    pub usual: Vec<UsualStep>,
    /// How a wire ends where none of the usual steps stands beside it: as in the step before, else as the working wire.
    pub ends: String,
    /// Names that no new step may have.
    pub taken: Vec<String>,
    pub drawer: DraftDrawer,
    /// Teeth without room, for which the draft makes some.
    pub room: Option<DraftRoom>,
    /// Lines that the doctor's choice puts into the first drafted step.
    chosen: Vec<String>,
    /// Sleeves that it makes necessary in every drafted step.
    sleeves: Vec<String>,
    /// Teeth that no wire takes in without a warning, and why, in words.
    pub severe: Vec<String>,
    /// The practice's shortest interval, days, and its minutes for changing a wire.
    pub shortest_days: f64,
    pub change_minutes: f64,
    /// What the draft leaves to the doctor, each a sentence.
    pub remarks: Vec<String>,
}

/// A step of the sequence that the draft departs from.
#[derive(Debug, Clone)]
pub struct UsualStep {
    pub name: String,
    pub wire: Arc<Wire>,
    /// The wire that the practice's own sequence has there, whatever the case says.
    pub of_practice: Option<Arc<Wire>>,
    /// How its wire ends, as it is written in a step.
    pub ends: String,
}

impl UsualStep {
    /// The practice's own sequence has this wire in the step.
    pub fn is_of_practice(&self, wire: &str) -> bool {
        self.of_practice.as_ref().is_some_and(|own| &*own.name == wire)
    }
}

/// The text with the practice's first sequence in an arch that has no steps; `None` where it has some.
pub fn with_sequence(read: &LoweredFile, arch: Arch) -> Result<Option<SourceText>, NotDrafted> {
    let case = read.case.as_deref().ok_or(NotDrafted::Unreadable)?;
    let plan = case.arch(arch).ok_or(NotDrafted::NoArch(arch))?;
    if plan.follows.is_some() || !plan.steps.is_empty() {
        return Ok(None);
    }
    let sequence = case.house.first_sequence().ok_or(NotDrafted::NoSequence(arch))?;
    let line = arch_line(&read.parse, arch).ok_or(NotDrafted::NoArch(arch))?;
    let mut editor = TreeEditor::new(&read.parse);
    editor.insert(InsertAt::LastIn(line.id), &format!("follow {}", sequence.name));
    let file = read.files.first().ok_or(NotDrafted::Unreadable)?;
    let text = editor.finish().and_then(|edits| applied(edits, &file.text));
    let text = text.ok_or(NotDrafted::Unreadable)?;
    Ok(Some(SourceText { name: file.name.clone(), text: text.into() }))
}

/// What is drafted, apart from the arch: a sequence out of the drawer, or only what the steps as written cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FramePurpose {
    Draft,
    Compare,
}

impl DraftFrame {
    pub fn new(
        read: &LoweredFile,
        source: SourceText,
        began: bool,
        forecast: &Forecast,
        arch: Arch,
        purpose: FramePurpose,
        choice: ChosenRoom,
    ) -> Result<DraftFrame, NotDrafted> {
        let case = read.case.as_deref().ok_or(NotDrafted::Unreadable)?;
        let plan = case.arch(arch).ok_or(NotDrafted::NoArch(arch))?;
        if case.house.is_built_in() || has_house_errors(read) {
            return Err(NotDrafted::NoPractice);
        }
        if plan.is_unread() || read.parse.braces_guessed {
            return Err(NotDrafted::Unread(arch));
        }
        if plan.bonded.is_empty() {
            return Err(NotDrafted::NotBonded(arch));
        }
        if plan.drafted.is_some() {
            return Err(NotDrafted::AlreadyDrafted(arch));
        }
        if plan.follows.is_none() {
            return Err(NotDrafted::NoSequence(arch));
        }
        let recorded = forecast.recorded_phase(arch);
        let fixed = recorded.map_or(0, |phase| phase.step + 1);
        let work = plan.steps.iter().position(is_work).ok_or(NotDrafted::NoWorkingWire(arch))?;
        if fixed > work || (fixed > 0 && plan.steps.get(fixed - 1).is_some_and(is_work)) {
            return Err(NotDrafted::NothingLeft(arch));
        }
        let between = &plan.steps[fixed..work];
        // Two wires in one slot are a choice of the doctor's own as well.
        let own: Vec<String> = between
            .iter()
            .filter(|s| s.source == StepSource::Added || s.wire.tandem.is_some())
            .map(|s| s.name.to_string())
            .chain(plan.skipped.iter().map(|(name, _)| format!("skip {name}")))
            .collect();
        let drafts = purpose == FramePurpose::Draft;
        if drafts && !own.is_empty() {
            return Err(NotDrafted::OwnSteps(arch, own));
        }
        if drafts && let Some(said) = implausible(read) {
            return Err(NotDrafted::Implausible(said));
        }
        if drafts && plan.bonded.keys().any(|t| t.is_deciduous()) {
            return Err(NotDrafted::Deciduous(arch));
        }
        let room = match drafts {
            true => room_of(case, plan, forecast, &choice)?,
            false => None,
        };
        if let Some(said) = unread_line(read, arch).filter(|_| drafts) {
            return Err(NotDrafted::UnreadLine(arch, said));
        }
        let followed = plan.follows.as_ref().and_then(|(name, _)| case.house.sequences.get(name));
        let of_practice = |step: &Step| {
            let own = followed?.steps.iter().find(|own| own.name == step.name)?;
            Some(own.wire.wire.clone())
        };
        let usual: Vec<UsualStep> = between
            .iter()
            .map(|step| UsualStep { of_practice: of_practice(step), ..usual_step(step) })
            .collect();
        let wires: Vec<Arc<Wire>> = usual.iter().map(|s| s.wire.clone()).collect();
        let before = recorded.map(|phase| phase.wire.wire.clone());
        let drawer = DraftDrawer::new(
            &case.house,
            &wires,
            narrowest_slot_mm(plan),
            &plan.steps[work].wire.value,
            before.as_ref(),
            is_out_of_line(case, plan),
            room.is_some(),
        );
        if drafts && between.is_empty() && drawer.is_whole(&[]) {
            return Err(NotDrafted::NothingLeft(arch));
        }
        let lacks = match drawer.shapes() {
            (0, _) if before.is_none() => {
                Some("no round superelastic wire that these brackets take")
            }
            (_, 0) => Some("no rectangular superelastic wire lighter than the working wire"),
            _ if room.is_some() && !drawer.makes_room() => Some(
                "no open coil of a known force, no wire that carries it, or no 0.012 or 0.014 in to take a tooth in",
            ),
            _ => None,
        };
        if let Some(lacks) = lacks.filter(|_| drafts) {
            return Err(NotDrafted::DrawerLacks(lacks));
        }
        let beside = fixed.checked_sub(1).unwrap_or(work);
        let ends = usual_step(&plan.steps[beside]).ends;
        let taken = plan.steps.iter().map(|s| s.name.to_string()).collect();
        let remarks = remarks(case, plan, &drawer);
        let first = forecast.arch(arch).and_then(|a| a.latest_phase_of_step(fixed));
        let sleeves = match first.filter(|_| drafts && choice.any) {
            Some(phase) => sleeves(case, plan, phase),
            None => Vec::new(),
        };
        Ok(DraftFrame {
            arch,
            parse: read.parse.clone(),
            source,
            began: began || choice.any,
            fixed,
            drafted: work - fixed,
            usual,
            ends,
            taken,
            drawer,
            room,
            chosen: choice.lines,
            sleeves,
            severe: severe(case, plan),
            shortest_days: case.house.shortest.value.days().max(1.0),
            change_minutes: case.house.minutes_for(springline_model::house::Task::WireChange),
            remarks,
        })
    }

    /// The steps as the text has them now.
    pub fn usual_steps(&self) -> Vec<DraftStep> {
        self.usual.iter().map(|s| DraftStep::plain(&s.wire)).collect()
    }

    /// Lines inside each of these steps. The steps as the text has them now leave no tooth out.
    pub fn lines(&self, steps: &[DraftStep]) -> Vec<Vec<String>> {
        let leaves_out = steps != self.usual_steps();
        let room = self.room.as_ref().filter(|_| leaves_out);
        let of = |(at, step): (usize, &DraftStep)| {
            let mut out = Vec::new();
            if at == 0 {
                out.extend(room.map(DraftRoom::leave_out).unwrap_or_default());
                out.extend(self.chosen.iter().cloned());
            }
            let still_out = steps[..=at].iter().all(DraftStep::is_plain);
            let bare = room.filter(|_| still_out).map(DraftRoom::bare).unwrap_or_default();
            // Those of the first step are written with the teeth that it leaves out.
            out.extend(bare.iter().filter(|_| at > 0).cloned());
            out.extend(self.sleeves.iter().filter(|s| !bare.contains(s)).cloned());
            let Some(room) = room else { return out };
            out.extend(room.lines(step));
            let over = at.checked_sub(1).and_then(|b| steps.get(b)).map(|s| &s.act);
            if matches!(over, Some(DraftAct::Overlay)) {
                out.extend(room.engage());
            }
            out
        };
        steps.iter().enumerate().map(of).collect()
    }

    /// The statements of the arch.
    pub fn statements(&self) -> Vec<ArchStatement<'_>> {
        let line = arch_line(&self.parse, self.arch);
        line.into_iter().flat_map(StatementRef::children).filter_map(ArchStatement::cast).collect()
    }
}

pub fn is_work(step: &Step) -> bool {
    matches!(step.kind, StepKind::Work | StepKind::Finish)
}

/// What an error of reading says inside the arch: a step that could not be read may be missing from the plan.
fn unread_line(read: &LoweredFile, arch: Arch) -> Option<String> {
    let span = arch_line(&read.parse, arch)?.whole_span();
    let file = read.parse.place(span).file;
    let inside = |f: &&Finding| {
        let at = f.place.span.start;
        f.severity == Severity::Error && f.place.file == file && span.start <= at && at < span.end
    };
    read.findings.iter().find(inside).map(|f| f.message.clone())
}

fn has_house_errors(read: &LoweredFile) -> bool {
    read.findings.iter().any(|f| f.code.as_str() == "name/house-has-errors")
}

fn usual_step(step: &Step) -> UsualStep {
    use springline_units::tooth::Side;
    let text = |side: Side| springline_model::departure::end_text(step.ends.of(side), side);
    let (right, left) = (text(Side::Right), text(Side::Left));
    let bare = |text: &str| text.rsplit_once(" on ").map_or(text.to_owned(), |(t, _)| t.to_owned());
    let ends = match bare(&right) == bare(&left) {
        true => bare(&right),
        false => format!("{right}, {left}"),
    };
    UsualStep { name: step.name.to_string(), wire: step.wire.wire.clone(), of_practice: None, ends }
}

/// Height of the narrowest slot, mm.
fn narrowest_slot_mm(plan: &ArchCase) -> f64 {
    plan.bonded.values().map(|b| b.bracket.room_mm()).fold(f64::INFINITY, f64::min)
}
