//! Why the drafted steps of an arch are as they are, while its `drafted` line stands: the steps in the text are
//! held against their neighbours anew, with the practice's sequence as it would be without them.

use std::sync::Arc;

use super::draft_step::{DraftStep, say_steps};
use super::frame::{DraftFrame, applied, arch_line};
use super::refusal::NotDrafted;
use super::say::{say_rejected, say_time};
use super::tried_plan::PlanJudge;
use super::why_not;
use crate::check::{CheckOptions, Checker, LoweredFile, SourceText};
use crate::fixes::Trial;
use springline_lower::Library;
use springline_model::Wire;
use springline_model::step::StepKind;
use springline_syntax::TreeEditor;
use springline_syntax::ast::{ArchStatement, ClausePart};
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
    let read = (trial.read)(source);
    let case = read.case.clone().ok_or(NotDrafted::Unreadable)?;
    let plan = case.arch(arch).ok_or(NotDrafted::NoArch(arch))?;
    if plan.drafted.is_none() {
        return Ok(None);
    }
    let bare = without_draft(&read, arch).ok_or(NotDrafted::Unreadable)?;
    let bare = SourceText { name: source.name.clone(), text: bare.into() };
    let frame = super::frame_of(trial, &bare, arch)?;
    let work = plan.steps.iter().position(|s| is_work(&s.kind)).unwrap_or(plan.steps.len());
    let wires = plan.steps.get(frame.fixed..work).unwrap_or_default().iter();
    let steps: Vec<DraftStep> = wires.map(|s| step(&s.wire.wire)).collect();
    Ok(Some(said(&frame, trial, &steps, proceed).ok_or(NotDrafted::Nothing(arch))?))
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
    says.push(say_time(&drafted));
    says.extend(
        drafted.findings.iter().map(|f| format!("It has this {}: {}", f.severity, f.message)),
    );
    Some(StandingDraft { says, why: rejected.iter().map(say_rejected).collect() })
}

fn step(wire: &Arc<Wire>) -> DraftStep {
    DraftStep { wire: wire.clone() }
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
