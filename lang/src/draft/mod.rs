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

mod among;
mod arch_facts;
mod arch_text;
mod bare_spans;
mod best_first;
mod both_arches;
mod case_draft;
mod choice;
mod doctor_choice;
mod draft_step;
mod drawer;
mod expected;
mod fit;
mod frame;
mod plan_cost;
mod ranked_wire;
mod readings;
mod refusal;
mod room;
mod room_steps;
mod say;
#[cfg(test)]
mod tests;
mod tried_plan;
mod whole_plan;
mod why_drafted;
mod why_not;
mod writing;

use std::sync::Arc;

use crate::check::{CheckOptions, Checker, SourceText};
use crate::fixes::Trial;
use jiff::civil::Date;
use springline_lower::Library;
use springline_units::tooth::Arch;

pub use among::{Among, AmongPlan, AmongRow};
use best_first::search;
pub use both_arches::{PairCost, PairedDraft};
pub use case_draft::{CaseDraft, CaseDraftRequest};
use choice::Choice;
pub use choice::{NOTICED_WEEKS, Steadiness};
pub use doctor_choice::DoctorChoice;
use doctor_choice::{ChosenRoom, with_choice};
pub use fit::PoorFit;
use frame::{DraftFrame, FramePurpose, with_sequence};
#[cfg(test)]
use plan_cost::CostKey;
pub use plan_cost::PlanCost;
pub use refusal::NotDrafted;
use room::DraftRoom;
pub use say::{ArchDraftRow, DRAFT_CAUTION, DraftDocument, DraftFindingRow, SequenceRow};
use tried_plan::PlanJudge;
pub use tried_plan::{TriedPlan, TriedWire};
use whole_plan::brought_by_drafts;
pub use why_drafted::StandingDraft;
pub use why_not::{Neighbour, Rejected};

/// What is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftRequest {
    pub arch: Arch,
    /// Where room comes from, as the doctor has chosen.
    pub with: Option<DoctorChoice>,
}

impl DraftRequest {
    pub fn of(arch: Arch) -> DraftRequest {
        DraftRequest { arch, with: None }
    }
}

/// Which part of a draft asks whether to go on; a no ends that part, and the next one asks anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DraftStage {
    Search,
    /// The finalists in other readings of the mouth.
    Readings,
    /// Sequences beside the drafted one, to say why not.
    Neighbours,
    /// Sequences of both arches in pairs, after each arch.
    Pairs,
}

/// Asked before each sequence is judged, with the number judged so far.
pub type GoOn<'p> = dyn FnMut(DraftStage, usize) -> bool + 'p;

/// A draft of one arch.
#[derive(Debug, Clone)]
pub struct ArchDraft {
    pub arch: Arch,
    /// The sequence as the text has it now, or as the practice usually does it.
    pub usual: Option<Arc<TriedPlan>>,
    pub drafted: Arc<TriedPlan>,
    /// Teeth without room that the usual sequence never takes in.
    pub usual_leaves_out: Vec<String>,
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
    /// The cheapest sequences.
    finalists: Vec<Arc<TriedPlan>>,
    pub remarks: Vec<String>,
    /// A sequence that was computed and is noticeably better as entered, but not drafted; a sentence.
    quicker: Option<String>,
    /// The text with the draft; as it was where the usual sequence stands as written.
    pub text: String,
    pub departs: bool,
}

impl Checker {
    /// Drafts one arch of a case. `proceed` is asked before each sequence is judged; once it says no, what was
    /// computed so far is the answer.
    pub fn draft(
        &mut self,
        source: &SourceText,
        arch: Arch,
        library: &dyn Library,
        options: &CheckOptions,
        proceed: &mut dyn FnMut(usize) -> bool,
    ) -> Result<ArchDraft, NotDrafted> {
        let mut go_on = |_: DraftStage, judged: usize| proceed(judged);
        self.draft_as(source, &DraftRequest::of(arch), library, options, &mut go_on)
    }

    /// Drafts one arch as it is asked for.
    pub fn draft_as(
        &mut self,
        source: &SourceText,
        request: &DraftRequest,
        library: &dyn Library,
        options: &CheckOptions,
        go_on: &mut GoOn<'_>,
    ) -> Result<ArchDraft, NotDrafted> {
        let Checker { texts, judgements } = self;
        let mut read = |source: &SourceText| texts.read_trial(source, library);
        let mut trial = Trial { read: &mut read, judgements, options };
        let mut draft = draft_arch(&mut trial, source, request, go_on)?;
        let stop = trial.judgements.stop_signal();
        if draft.is_written() && go_on(DraftStage::Neighbours, draft.judged) {
            let plans = [(request.clone(), &*draft.drafted)];
            let brought = brought_by_drafts(&mut trial, source, &plans);
            draft.remarks.extend(brought.into_iter().map(|(_, said)| said));
        }
        if stop.is_set() {
            return Err(NotDrafted::Stopped);
        }
        Ok(draft)
    }
}

impl ArchDraft {
    /// Steps of it stand in the text; of a draft with an error only a comment tells.
    fn is_written(&self) -> bool {
        self.departs && self.drafted.cost.errors == 0
    }
}

fn text_of(
    trial: &mut Trial<'_>,
    frame: &DraftFrame,
    source: &SourceText,
    plan: &TriedPlan,
    day: Date,
) -> Option<String> {
    let text = match plan.cost.errors {
        0 => writing::written(frame, &plan.steps, &[format!("drafted {day}")]),
        // Nothing without an error: the one with the least is told, and stands in no plan.
        _ => writing::told(frame, source, &plan.steps, day),
    };
    let before = (trial.read)(source);
    let notation = before.house.as_ref().map(|h| h.notation.value);
    Some(crate::settled(&before.parse, text?, notation))
}

/// Drafts one arch of a case with the resources of a trial.
fn draft_arch(
    trial: &mut Trial<'_>,
    source: &SourceText,
    request: &DraftRequest,
    go_on: &mut GoOn<'_>,
) -> Result<ArchDraft, NotDrafted> {
    let arch = request.arch;
    let today = trial.options.today.ok_or(NotDrafted::NoDay)?;
    let stop = trial.judgements.stop_signal();
    let mut go_on = |stage: DraftStage, judged: usize| !stop.is_set() && go_on(stage, judged);
    if stop.is_set() {
        return Err(NotDrafted::Stopped);
    }
    let frame = frame_of(trial, source, request, today, RoomSaid::Here);
    if !go_on(DraftStage::Search, 0) {
        return Err(NotDrafted::Stopped);
    }
    let frame = frame?;
    let mut judge = PlanJudge::new(&frame, trial);
    let usual = judge.whole(&frame.usual_steps());
    let ranked = search(&mut judge, &mut |n| go_on(DraftStage::Search, n));
    if stop.is_set() {
        return Err(NotDrafted::Stopped);
    }
    let mut proceed = |n: usize| go_on(DraftStage::Readings, n);
    // Teeth without room are what is asked about: a sequence that makes none is told, and never stands.
    let may_stand = usual.as_ref().filter(|_| frame.room.is_none());
    let choice = choice::choose(&mut judge, &ranked.plans, may_stand, &mut proceed);
    let Some(Choice { drafted, stands, steadiness }) = choice else {
        let refused: Vec<String> =
            judge.refused.iter().map(|(wire, why)| format!("{wire}: {why}")).collect();
        return Err(match refused.is_empty() {
            true => NotDrafted::Nothing(arch),
            false => NotDrafted::Refused(arch, refused),
        });
    };
    let alike = alike(&ranked.plans, &drafted);
    let mut proceed = |n: usize| go_on(DraftStage::Neighbours, n);
    let rejected = why_not::rejected(&mut judge, &drafted, usual.as_ref(), &mut proceed);
    // What was cut short is worth nothing.
    if stop.is_set() {
        return Err(NotDrafted::Stopped);
    }
    let quicker = judge.cheapest_allowed().and_then(|p| quicker(&p, &drafted));
    let (judged, refused) = (judge.judged, std::mem::take(&mut judge.refused));
    let text = text_of(trial, &frame, source, &drafted, today).ok_or(NotDrafted::Unreadable)?;
    let departs = text != *source.text;
    let mut remarks = frame.remarks.clone();
    remarks.extend(
        refused
            .iter()
            .map(|(wire, why)| format!("{wire} is left out, since it has no figures here: {why}")),
    );
    remarks.extend(
        drafted
            .of_doctors_acts
            .iter()
            .map(|f| format!("The doctor's own, and left out of the comparison: {}", f.message)),
    );
    if !frame.severe.is_empty() && !drafted.findings.is_empty() {
        remarks.push(format!(
            "{}: no sequence is without a warning, and of those this has the least.",
            frame.severe.join("; ")
        ));
    }
    Ok(ArchDraft {
        arch,
        usual,
        usual_leaves_out: frame.room.as_ref().map(DraftRoom::never_taken_in).unwrap_or_default(),
        drafted,
        stands,
        alike,
        rejected,
        steadiness,
        all_have_errors: ranked.proven && ranked.plans.first().is_some_and(|p| p.cost.errors > 0),
        proven: ranked.proven,
        judged,
        finalists: ranked.plans,
        remarks,
        quicker,
        text,
        departs,
    })
}

/// Those of the finalists that come out like this one in errors, excess and weeks.
fn alike(finalists: &[Arc<TriedPlan>], drafted: &TriedPlan) -> Vec<String> {
    let same =
        finalists.iter().filter(|p| p.cost.for_the_patient() == drafted.cost.for_the_patient());
    same.map(|p| draft_step::say_steps(&p.steps)).collect()
}

/// Another sequence, where it is noticeably better as entered than the one drafted.
fn quicker(other: &TriedPlan, drafted: &TriedPlan) -> Option<String> {
    if other.steps == drafted.steps || !choice::is_noticed(&other.cost, &drafted.cost) {
        return None;
    }
    let (steps, because) = (draft_step::say_steps(&other.steps), why_not::parts(other, drafted).0);
    let end = if because.ends_with('.') { "" } else { "." };
    Some(format!("As entered {steps} comes out before it: {because}{end}"))
}

/// Whether where room comes from has to be said, or was when the steps were drafted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum RoomSaid {
    Here,
    Before,
}

fn frame_of(
    trial: &mut Trial<'_>,
    source: &SourceText,
    request: &DraftRequest,
    today: Date,
    said: RoomSaid,
) -> Result<DraftFrame, NotDrafted> {
    let arch = request.arch;
    let mut source = source.clone();
    let mut read = (trial.read)(&source);
    let begun = with_sequence(&read, arch)?;
    let began = begun.is_some();
    if let Some(begun) = begun {
        source = begun;
        read = (trial.read)(&source);
    }
    let mut choice = ChosenRoom { any: said == RoomSaid::Before, ..ChosenRoom::default() };
    if let Some(with) = &request.with
        && let Some((text, chosen)) = with_choice(trial.read, &read, arch, with, today)?
    {
        (source, choice) = (text, chosen);
        read = (trial.read)(&source);
    }
    let case = read.case.clone().ok_or(NotDrafted::Unreadable)?;
    let trees = springline_rules::Trees::new([]);
    let (forecast, _) = trial.judgements.judge_part(&case, &trees, trial.options);
    DraftFrame::new(&read, source, began, &forecast, arch, FramePurpose::Draft, choice)
}
