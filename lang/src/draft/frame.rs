//! What of an arch is given before anything is drafted: the text to depart from, the steps that stay, the
//! practice's sequence, the drawer.

use std::sync::Arc;

use super::draft_step::DraftStep;
use super::drawer::DraftDrawer;
use super::refusal::NotDrafted;
use crate::check::{LoweredFile, SourceText};
use springline_course::Forecast;
use springline_finding::{Fix, FixKind};
use springline_model::case::ArchCase;
use springline_model::step::{Step, StepKind, StepSource};
use springline_model::{Case, Wire};
use springline_syntax::ast::{ArchStatement, StatementKind};
use springline_syntax::{InsertAt, Parse, StatementRef, TreeEditor};
use springline_text::{Edit, FileId};
use springline_units::tooth::Arch;

/// From here on a tooth is out of line, mm and degrees: as for a light rectangular wire.
const OUT_MM: f64 = 1.0;
const OUT_DEG: f64 = 10.0;

/// What is given of an arch.
#[derive(Debug)]
pub struct DraftFrame {
    pub arch: Arch,
    /// The text that the draft departs from: as written, or with the practice's sequence in an arch without one.
    pub source: SourceText,
    pub parse: Arc<Parse>,
    /// The arch had no steps: the practice's sequence is part of the draft.
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
    /// How its wire ends, as it is written in a step.
    pub ends: String,
}

/// The arch's statement in the tree.
pub fn arch_line(parse: &Parse, arch: Arch) -> Option<StatementRef<'_>> {
    let kind = match arch {
        Arch::Upper => StatementKind::Upper,
        Arch::Lower => StatementKind::Lower,
    };
    parse.lines().find(|line| line.is(kind))
}

/// The text with these edits.
pub fn applied(edits: Vec<Edit>, text: &str) -> Option<String> {
    let fix = Fix { title: String::new(), kind: FixKind::Clinical, edits, outcome: None };
    fix.apply(FileId(0), text)
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

impl DraftFrame {
    pub fn new(
        read: &LoweredFile,
        source: SourceText,
        began: bool,
        forecast: &Forecast,
        arch: Arch,
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
        if !own.is_empty() {
            return Err(NotDrafted::OwnSteps(arch, own));
        }
        let usual: Vec<UsualStep> = between.iter().map(usual_step).collect();
        let wires: Vec<Arc<Wire>> = usual.iter().map(|s| s.wire.clone()).collect();
        let before = recorded.map(|phase| phase.wire.wire.clone());
        let drawer = DraftDrawer::new(
            &case.house,
            &wires,
            narrowest_slot_mm(plan),
            &plan.steps[work].wire.value,
            before.as_ref(),
            is_out_of_line(case, plan),
        );
        if between.is_empty() && drawer.is_whole(&[]) {
            return Err(NotDrafted::NothingLeft(arch));
        }
        let lacks = match drawer.shapes() {
            (0, _) if before.is_none() => {
                Some("no round superelastic wire that these brackets take")
            }
            (_, 0) => Some("no rectangular superelastic wire lighter than the working wire"),
            _ => None,
        };
        if let Some(lacks) = lacks {
            return Err(NotDrafted::DrawerLacks(lacks));
        }
        let beside = fixed.checked_sub(1).unwrap_or(work);
        let ends = usual_step(&plan.steps[beside]).ends;
        let taken = plan.steps.iter().map(|s| s.name.to_string()).collect();
        let remarks = remarks(case, plan, &drawer);
        Ok(DraftFrame {
            arch,
            parse: read.parse.clone(),
            source,
            began,
            fixed,
            drafted: work - fixed,
            usual,
            ends,
            taken,
            drawer,
            shortest_days: case.house.shortest.value.days().max(1.0),
            change_minutes: case.house.minutes_for(springline_model::house::Task::WireChange),
            remarks,
        })
    }

    /// The steps as the text has them now.
    pub fn usual_steps(&self) -> Vec<DraftStep> {
        self.usual.iter().map(|s| DraftStep { wire: s.wire.clone() }).collect()
    }

    /// The statements of the arch.
    pub fn statements(&self) -> Vec<ArchStatement<'_>> {
        let line = arch_line(&self.parse, self.arch);
        line.into_iter().flat_map(StatementRef::children).filter_map(ArchStatement::cast).collect()
    }
}

fn is_work(step: &Step) -> bool {
    matches!(step.kind, StepKind::Work | StepKind::Finish)
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
    UsualStep { name: step.name.to_string(), wire: step.wire.wire.clone(), ends }
}

/// Height of the narrowest slot, mm.
fn narrowest_slot_mm(plan: &ArchCase) -> f64 {
    plan.bonded.values().map(|b| b.bracket.room_mm()).fold(f64::INFINITY, f64::min)
}

/// A bonded tooth that stands out of line, as entered or as last measured.
fn is_out_of_line(case: &Case, plan: &ArchCase) -> bool {
    plan.bonded.keys().any(|tooth| {
        let entered = plan.stands.get(tooth).map(|s| s.value).unwrap_or_default();
        let seen = case.visits.iter().filter_map(|v| v.stands.get(tooth));
        let stand = seen.fold(entered, |stand, (seen, _)| stand.updated(*seen));
        use springline_model::stand::StandAxis;
        let over = |axis: StandAxis| {
            let limit = if axis.is_angle() { OUT_DEG } else { OUT_MM };
            !axis.is_room() && stand.figure(axis).is_some_and(|f| f.abs() >= limit)
        };
        StandAxis::ALL.into_iter().any(over)
    })
}

/// What is the doctor's and no draft decides, in sentences.
fn remarks(case: &Case, plan: &ArchCase, drawer: &DraftDrawer) -> Vec<String> {
    use springline_model::case::ToothState;
    let mut out = Vec::new();
    let has = |of: fn(&ToothState) -> bool| plan.states.values().any(|(state, _)| of(state));
    let mut left = Vec::new();
    if has(|s| matches!(s, ToothState::Extract { .. } | ToothState::Extracted { .. })) {
        left.push("closing the extraction spaces");
    }
    if has(|s| matches!(s, ToothState::Unerupted)) {
        left.push("bringing in what has not come through");
    }
    if !case.elastics.is_empty() {
        left.push("elastics");
    }
    if !left.is_empty() {
        out.push(format!(
            "Drafted up to the working wire only: {} is planned by the doctor.",
            left.join(" and ")
        ));
    }
    if !drawer.left_out.is_empty() {
        out.push(format!(
            "The drawer has more wires than are tried; left out: {}.",
            drawer.left_out.join(", ")
        ));
    }
    out
}
