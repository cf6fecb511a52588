//! Why the drafted steps of an arch are as they are, while its `drafted` line stands: the steps in the text are
//! held against their neighbours anew, with the practice's sequence as it would be without them.

use super::arch_text::{applied, arch_line};
use super::draft_step::{DraftAct, DraftStep, say_steps};
use super::frame::DraftFrame;
use super::refusal::NotDrafted;
use super::say::say_rejected;
use super::tried_plan::PlanJudge;
use super::{DraftRequest, RoomSaid, why_not};
use crate::check::{CheckOptions, Checker, LoweredFile, SourceText};
use crate::fixes::Trial;
use springline_lower::Library;
use springline_model::step::{ActKind, Activation, Step, StepKind};
use springline_syntax::ast::{ArchStatement, ClausePart, StepStatement};
use springline_syntax::{StatementRef, TreeEditor};
use springline_units::tooth::Arch;

/// What the drafted steps of an arch take, and why not others, one sentence a line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StandingDraft {
    pub says: Vec<String>,
    pub why: Vec<String>,
}

impl Checker {
    /// Why the drafted steps of an arch, as they stand in the text; nothing where no `drafted` line stands in it.
    /// `proceed` is asked as in [`Checker::draft`].
    pub fn why_drafted(
        &mut self,
        source: &SourceText,
        arch: Arch,
        library: &dyn Library,
        options: &CheckOptions,
        proceed: &mut dyn FnMut(usize) -> bool,
    ) -> Result<Option<StandingDraft>, NotDrafted> {
        let Checker { texts, judgements } = self;
        let mut read = |source: &SourceText| texts.read_trial(source, library);
        let mut trial = Trial { read: &mut read, judgements, options };
        standing(&mut trial, source, arch, proceed)
    }
}

fn standing(
    trial: &mut Trial<'_>,
    source: &SourceText,
    arch: Arch,
    proceed: &mut dyn FnMut(usize) -> bool,
) -> Result<Option<StandingDraft>, NotDrafted> {
    let stop = trial.judgements.stop_signal();
    let proceed = &mut |judged: usize| !stop.is_set() && proceed(judged);
    let read = (trial.read)(source);
    let case = read.case.clone().ok_or(NotDrafted::Unreadable)?;
    let plan = case.arch(arch).ok_or(NotDrafted::NoArch(arch))?;
    if plan.drafted.is_none() {
        return Ok(None);
    }
    let bare = without_draft(&read, arch).ok_or(NotDrafted::Unreadable)?;
    let bare = SourceText { name: source.name.clone(), text: bare.into() };
    let today = trial.options.today.ok_or(NotDrafted::NoDay)?;
    let request = DraftRequest::of(arch);
    let frame = super::frame_of(trial, &bare, &request, today, RoomSaid::Before);
    if stop.is_set() {
        return Err(NotDrafted::Stopped);
    }
    let frame = frame?;
    let work = plan.steps.iter().position(|s| is_work(&s.kind)).unwrap_or(plan.steps.len());
    let wires = plan.steps.get(frame.fixed..work).unwrap_or_default().iter();
    let steps: Vec<DraftStep> = wires.map(|s| step(s, &frame)).collect();
    let said = said(&frame, trial, &steps, proceed);
    if stop.is_set() {
        return Err(NotDrafted::Stopped);
    }
    Ok(Some(said.ok_or(NotDrafted::Nothing(arch))?))
}

fn said(
    frame: &DraftFrame,
    trial: &mut Trial<'_>,
    steps: &[DraftStep],
    proceed: &mut dyn FnMut(usize) -> bool,
) -> Option<StandingDraft> {
    let mut judge = PlanJudge::new(frame, trial);
    let drafted = judge.whole(steps)?;
    let usual = judge.whole(&frame.usual_steps());
    let rejected = why_not::rejected(&mut judge, &drafted, usual.as_ref(), proceed);
    let mut says = vec![format!("{}, then the working wire.", say_steps(steps))];
    says.push(drafted.time());
    says.extend(drafted.said_against());
    Some(StandingDraft { says, why: rejected.iter().map(say_rejected).collect() })
}

/// The step as a draft has it: by the coil, the wire laid over or the tooth taken in that stand in it.
fn step(step: &Step, frame: &DraftFrame) -> DraftStep {
    let plain = DraftStep::plain(&step.wire.wire);
    if frame.room.is_none() {
        return plain;
    }
    let act = |act: &ActKind| match act {
        ActKind::OpenCoil { coil: Some(coil), activation, .. }
            if !matches!(activation, Activation::Passive) =>
        {
            Some(DraftStep { act: DraftAct::MakeRoom(coil.clone()), ..plain.clone() })
        }
        ActKind::Piggyback { wire, .. } => {
            Some(DraftStep { wire: wire.clone(), act: DraftAct::Overlay })
        }
        _ => None,
    };
    let laid_over = step.acts.iter().find_map(|a| act(&a.kind));
    let takes_in = || {
        let kind = |a: &ActKind| matches!(a, ActKind::Engage { .. } | ActKind::PickUp { .. });
        let light = frame
            .drawer
            .acts()
            .find(|d| matches!(d.act, DraftAct::TakeIn) && d.wire.name == step.wire.wire.name);
        light.filter(|_| {
            step.name.starts_with("bring-in") && step.acts.iter().any(|a| kind(&a.kind))
        })
    };
    laid_over.or_else(|| takes_in().cloned()).unwrap_or(plain)
}

/// Leaves teeth out or takes them in: lines that a draft writes where a tooth lacks room.
fn is_about_room(line: StatementRef<'_>) -> bool {
    let about = |line| {
        matches!(
            StepStatement::cast(line),
            Some(StepStatement::Bypass(_) | StepStatement::Engage(_) | StepStatement::PickUp(_))
        )
    };
    line.children().any(about)
}

fn is_work(kind: &StepKind) -> bool {
    matches!(kind, StepKind::Work | StepKind::Finish)
}

/// The text without the draft: no `drafted` line, and the practice's sequence up to the working wire. A draft is only
/// made where the doctor has added and skipped no steps there, so all that stand there are of the draft.
fn without_draft(read: &LoweredFile, arch: Arch) -> Option<String> {
    let plan = read.case.as_deref()?.arch(arch)?;
    let before_work: Vec<&str> =
        plan.steps.iter().take_while(|s| !is_work(&s.kind)).map(|s| &*s.name).collect();
    let is_before_work = |name: &str| before_work.contains(&name);
    let mut editor = TreeEditor::new(&read.parse);
    let line = arch_line(&read.parse, arch)?;
    for statement in line.children().filter_map(ArchStatement::cast) {
        match statement {
            ArchStatement::Drafted(line) => editor.remove(line.statement.id),
            ArchStatement::Skip(line) => editor.remove(line.statement.id),
            ArchStatement::Step(line) if is_before_work(line.step.text()) => {
                editor.remove(line.statement.id);
            }
            ArchStatement::Change(line) if is_before_work(line.step.text()) => {
                let spanned: Vec<_> = line.clauses.spanned().collect();
                let wire = spanned.iter().find(|(_, part)| matches!(part, ClausePart::Wire(_)));
                match wire {
                    _ if is_about_room(line.statement) => editor.remove(line.statement.id),
                    Some(_) if spanned.len() == 1 && line.statement.block().is_none() => {
                        editor.remove(line.statement.id);
                    }
                    Some((span, _)) => editor.remove_part(*span),
                    None => {}
                }
            }
            _ => {}
        }
    }
    applied(editor.finish()?, &read.parse.source)
}
