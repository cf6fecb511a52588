//! Drafts of the arches of a case: each alone, then both so that their visits fall together.

use std::sync::Arc;

use super::best_first::FINALISTS;
use super::both_arches::{PairedDraft, together};
use super::choice::NOTICED_WEEKS;
use super::doctor_choice::DoctorChoice;
use super::draft_step::say_steps;
use super::refusal::NotDrafted;
use super::tried_plan::TriedPlan;
use super::{ArchDraft, DraftRequest, DraftStage, GoOn, RoomSaid, draft_arch, frame_of, text_of};
use crate::check::{CheckOptions, Checker, SourceText};
use crate::fixes::Trial;
use springline_lower::Library;
use springline_units::tooth::Arch;

/// What is asked for of a case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseDraftRequest {
    pub arches: Vec<Arch>,
    pub with: Option<DoctorChoice>,
}

/// Drafts of the arches of a case.
#[derive(Debug, Clone)]
pub struct CaseDraft {
    pub arches: Vec<(Arch, Result<ArchDraft, NotDrafted>)>,
    /// Both arches together; nothing where not both are drafted.
    pub together: Option<PairedDraft>,
    /// The text with all drafts.
    pub text: String,
}

impl Checker {
    /// Drafts the arches of a case, each alone, and then both so that their visits fall together. `go_on` is asked
    /// anew for each arch.
    pub fn draft_case(
        &mut self,
        source: &SourceText,
        request: &CaseDraftRequest,
        library: &dyn Library,
        options: &CheckOptions,
        go_on: &mut GoOn<'_>,
    ) -> CaseDraft {
        let Checker { texts, judgements } = self;
        let mut read = |source: &SourceText| texts.read_trial(source, library);
        let mut trial = Trial { read: &mut read, judgements, options };
        let with = request.with.clone();
        let of = |arch: &Arch| DraftRequest { arch: *arch, with: with.clone() };
        let mut arches: Vec<(Arch, Result<ArchDraft, NotDrafted>)> = Vec::new();
        for arch in &request.arches {
            arches.push((*arch, draft_arch(&mut trial, source, &of(arch), go_on)));
        }
        let together = pair_up(&mut trial, &mut arches, go_on);
        let mut text = source.clone();
        for (arch, draft) in &mut arches {
            let Ok(draft) = draft else { continue };
            let before = text.text.clone();
            if draft.departs {
                let written = written_in(&mut trial, &text, &of(arch), &draft.drafted);
                text.text = written.unwrap_or_else(|| draft.text.clone()).into();
            }
            draft.departs = text.text != before;
            draft.text = text.text.to_string();
        }
        CaseDraft { arches, together, text: text.text.to_string() }
    }
}

/// Where both arches are drafted: the pair that is taken.
fn pair_up(
    trial: &mut Trial<'_>,
    arches: &mut [(Arch, Result<ArchDraft, NotDrafted>)],
    go_on: &mut GoOn<'_>,
) -> Option<PairedDraft> {
    let [(_, Ok(upper)), (_, Ok(lower))] = arches else { return None };
    let mut proceed = |tried: usize| go_on(DraftStage::Pairs, tried);
    let pairs = [upper.candidates(), lower.candidates()];
    let together = together(trial, [&pairs[0], &pairs[1]], &mut proceed)?;
    if together.instead_of.is_some() {
        for (draft, plan) in [upper, lower].into_iter().zip(&together.plans) {
            if draft.drafted.steps != plan.steps {
                let alone = say_steps(&draft.drafted.steps);
                draft
                    .remarks
                    .push(format!("Alone {alone} comes first; with the other arch this one."));
                draft.stands = draft.usual.as_ref().is_some_and(|u| u.steps == plan.steps);
                draft.drafted = plan.clone();
                draft.departs = true;
            }
        }
    }
    Some(together)
}

impl ArchDraft {
    /// The drafted sequence, and those of the finalists that have no more errors, warnings or wires and are not noticeably slower.
    fn candidates(&self) -> Vec<Arc<TriedPlan>> {
        let own = &self.drafted;
        let grave = |p: &TriedPlan| (p.cost.errors, p.cost.warnings);
        // No wire is put in only because a visit is there for it.
        let other = |p: &&Arc<TriedPlan>| {
            p.steps != own.steps
                && grave(p) <= grave(own)
                && p.steps.len() <= own.steps.len()
                && p.cost.weeks() - own.cost.weeks() < NOTICED_WEEKS
        };
        // An arch without a sound sequence stays as it is.
        let fixed = own.cost.errors > 0;
        let others = self.finalists.iter().filter(|_| !fixed).filter(other).take(FINALISTS - 1);
        std::iter::once(own).chain(others).cloned().collect()
    }
}

/// The text with these steps drafted.
fn written_in(
    trial: &mut Trial<'_>,
    source: &SourceText,
    request: &DraftRequest,
    plan: &TriedPlan,
) -> Option<String> {
    let today = trial.options.today?;
    let frame = frame_of(trial, source, request, today, RoomSaid::Here).ok()?;
    text_of(trial, &frame, source, plan, today)
}
