//! Drafts the steps of an arch before its working wire: from the teeth as they stand, the practice's drawer and
//! its usual sequence, the wires that keep the limits in the fewest weeks and visits - or the word that the usual
//! sequence stands.
//!
//! A draft supports a clinician and decides nothing. Every sequence is written as a text and judged by the checker
//! like any other plan ([`tried_plan`]); what the trade allows at all is in [`drawer`], what is compared in
//! [`plan_cost`], how in [`best_first`]. The doctor's choices - enamel, extraction, closing, elastics - are named
//! and left alone.
//!
//! No clock: the caller says after each sequence whether to go on.

mod best_first;
mod choice;
mod draft_step;
mod drawer;
mod expected;
mod fit;
mod frame;
mod plan_cost;
mod readings;
mod refusal;
mod say;
#[cfg(test)]
mod tests;
mod tried_plan;
mod why_drafted;
mod why_not;
mod writing;

use std::sync::Arc;

use crate::check::{CheckOptions, Checker, SourceText};
use crate::fixes::Trial;
use springline_lower::Library;
use springline_units::tooth::Arch;

use best_first::search;
use choice::Choice;
pub use choice::{NOTICED_WEEKS, Steadiness};
pub use fit::PoorFit;
use frame::{DraftFrame, with_sequence};
#[cfg(test)]
use plan_cost::CostKey;
pub use plan_cost::PlanCost;
pub use refusal::NotDrafted;
pub use say::{ArchDraftRow, DRAFT_CAUTION, DraftDocument, DraftFindingRow, SequenceRow};
use tried_plan::PlanJudge;
pub use tried_plan::{TriedPlan, TriedWire};
pub use why_drafted::StandingDraft;
pub use why_not::{Neighbour, Rejected};

/// A draft of one arch.
#[derive(Debug, Clone)]
pub struct ArchDraft {
    pub arch: Arch,
    /// The sequence as the text has it now, or as the practice usually does it.
    pub usual: Option<Arc<TriedPlan>>,
    pub drafted: Arc<TriedPlan>,
    /// The usual sequence stands: nothing in the drawer is noticeably better.
    pub stands: bool,
    /// Sequences that come out alike in errors, excess and weeks; the drafted one among them.
    pub alike: Vec<String>,
    /// Why not the neighbours of the drafted sequence.
    pub rejected: Vec<Rejected>,
    pub steadiness: Steadiness,
    /// Whatever the drawer allows has an error.
    pub all_have_errors: bool,
    /// Nothing cheaper is left; else the search was stopped before its end.
    pub proven: bool,
    /// Sequences and beginnings computed.
    pub judged: usize,
    pub remarks: Vec<String>,
    /// The text with the draft; as it was where the usual sequence stands as written.
    pub text: String,
    pub departs: bool,
}

impl Checker {
    /// Drafts one arch of a case. `proceed` is asked before each sequence is judged in the search; the finalists are then
    /// judged in all readings.
    pub fn draft(
        &mut self,
        source: &SourceText,
        arch: Arch,
        library: &dyn Library,
        options: &CheckOptions,
        proceed: &mut dyn FnMut(usize) -> bool,
    ) -> Result<ArchDraft, NotDrafted> {
        let Checker { texts, judgements } = self;
        let mut read = |source: &SourceText| texts.read_trial(source, library);
        draft_arch(&mut Trial { read: &mut read, judgements, options }, source, arch, proceed)
    }
}

/// Drafts one arch of a case with the resources of a trial.
fn draft_arch(
    trial: &mut Trial<'_>,
    source: &SourceText,
    arch: Arch,
    proceed: &mut dyn FnMut(usize) -> bool,
) -> Result<ArchDraft, NotDrafted> {
    let today = trial.options.today.ok_or(NotDrafted::NoDay)?;
    let frame = frame_of(trial, source, arch)?;
    let mut judge = PlanJudge::new(&frame, trial);
    if !proceed(0) {
        return Err(NotDrafted::Stopped);
    }
    let usual = judge.whole(&frame.usual_steps());
    let ranked = search(&mut judge, proceed);
    let choice = choice::choose(&mut judge, &ranked.plans, usual.as_ref());
    let Choice { drafted, stands, steadiness } = choice.ok_or(NotDrafted::Nothing(arch))?;
    let alike = ranked
        .plans
        .iter()
        .filter(|p| p.cost.for_the_patient() == drafted.cost.for_the_patient())
        .map(|p| draft_step::say_steps(&p.steps))
        .collect();
    let rejected = why_not::rejected(&mut judge, &drafted, usual.as_ref(), proceed);
    let line = format!("drafted {today}");
    let text = writing::written(&frame, &drafted.steps, &[line]).ok_or(NotDrafted::Unreadable)?;
    let departs = text != *source.text;
    Ok(ArchDraft {
        arch,
        usual,
        drafted,
        stands,
        alike,
        rejected,
        steadiness,
        all_have_errors: ranked.proven && ranked.plans.first().is_some_and(|p| p.cost.errors > 0),
        proven: ranked.proven,
        judged: judge.judged,
        remarks: frame.remarks.clone(),
        text,
        departs,
    })
}

fn frame_of(
    trial: &mut Trial<'_>,
    source: &SourceText,
    arch: Arch,
) -> Result<DraftFrame, NotDrafted> {
    let mut source = source.clone();
    let mut read = (trial.read)(&source);
    let begun = with_sequence(&read, arch)?;
    let began = begun.is_some();
    if let Some(begun) = begun {
        source = begun;
        read = (trial.read)(&source);
    }
    let case = read.case.clone().ok_or(NotDrafted::Unreadable)?;
    let trees = springline_rules::Trees::new([]);
    let (forecast, _) = trial.judgements.judge_part(&case, &trees, trial.options);
    DraftFrame::new(&read, source, began, &forecast, arch)
}
