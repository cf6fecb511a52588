//! Drafts of the arches of a case: each alone, then both so that their visits fall together.

use std::sync::Arc;

use super::best_first::FINALISTS;
use super::both_arches::{PairedDraft, together};
use super::choice::NOTICED_WEEKS;
use super::doctor_choice::DoctorChoice;
use super::draft_step::say_steps;
use super::refusal::NotDrafted;
use super::tried_plan::{PlanJudge, TriedPlan};
use super::whole_plan::brought_by_drafts;
use super::{
    ArchDraft, DraftRequest, DraftStage, GoOn, RoomSaid, alike, draft_arch, frame_of, quicker,
    text_of, why_not,
};
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
        let stop = trial.judgements.stop_signal();
        let go_on = &mut |stage: DraftStage, n: usize| !stop.is_set() && go_on(stage, n);
        let together = pair_up(&mut trial, &mut arches, source, &of, go_on);
        name_what_they_bring(&mut trial, &mut arches, source, &of, go_on);
        if stop.is_set() {
            let arches = request.arches.iter().map(|a| (*a, Err(NotDrafted::Stopped))).collect();
            return CaseDraft { arches, together: None, text: source.text.to_string() };
        }
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
    source: &SourceText,
    request: &dyn Fn(&Arch) -> DraftRequest,
    go_on: &mut GoOn<'_>,
) -> Option<PairedDraft> {
    let [(_, Ok(upper)), (_, Ok(lower))] = arches else { return None };
    let mut proceed = |tried: usize| go_on(DraftStage::Pairs, tried);
    let pairs = [upper.candidates(), lower.candidates()];
    let together = together(trial, [&pairs[0], &pairs[1]], &mut proceed)?;
    if together.instead_of.is_some() {
        for (draft, plan) in [upper, lower].into_iter().zip(&together.plans) {
            if draft.drafted.steps != plan.steps {
                draft.give_way_to(plan);
                let request = request(&draft.arch);
                held_against_neighbours(trial, draft, source, &request, go_on);
            }
        }
    }
    Some(together)
}

/// What the whole case has with the drafts and had not before goes to the arch that it is about, else to the first.
fn name_what_they_bring(
    trial: &mut Trial<'_>,
    arches: &mut [(Arch, Result<ArchDraft, NotDrafted>)],
    source: &SourceText,
    request: &dyn Fn(&Arch) -> DraftRequest,
    go_on: &mut GoOn<'_>,
) {
    let written = arches.iter().filter_map(|(_, draft)| draft.as_ref().ok());
    let written: Vec<&ArchDraft> = written.filter(|d| d.is_written()).collect();
    let judged = written.iter().map(|d| d.judged).sum();
    if written.is_empty() || !go_on(DraftStage::Neighbours, judged) {
        return;
    }
    let plans: Vec<_> = written.iter().map(|d| (request(&d.arch), &*d.drafted)).collect();
    let brought = brought_by_drafts(trial, source, &plans);
    let named: Vec<Arch> = written.iter().map(|d| d.arch).collect();
    for (about, said) in brought {
        let about = about.filter(|a| named.contains(a)).or(named.first().copied());
        let mut drafts = arches.iter_mut().filter_map(|(_, draft)| draft.as_mut().ok());
        if let Some(draft) = drafts.find(|d| Some(d.arch) == about) {
            draft.remarks.push(said);
        }
    }
}

/// Why not the neighbours of a sequence that another one gave way to.
fn held_against_neighbours(
    trial: &mut Trial<'_>,
    draft: &mut ArchDraft,
    source: &SourceText,
    request: &DraftRequest,
    go_on: &mut GoOn<'_>,
) {
    draft.rejected.clear();
    let Some(today) = trial.options.today else { return };
    let Ok(frame) = frame_of(trial, source, request, today, RoomSaid::Here) else { return };
    let mut judge = PlanJudge::new(&frame, trial);
    let mut proceed = |n: usize| go_on(DraftStage::Neighbours, n);
    let usual = draft.usual.as_ref();
    draft.rejected = why_not::rejected(&mut judge, &draft.drafted, usual, &mut proceed);
    draft.judged += judge.judged;
}

impl ArchDraft {
    /// With the other arch this sequence comes first; what was said of the one that came first alone no longer holds.
    pub(super) fn give_way_to(&mut self, plan: &Arc<TriedPlan>) {
        let alone = say_steps(&self.drafted.steps);
        self.remarks.push(format!(
            "Alone {alone} comes first; with the other arch this one. What is said of other readings was computed for \
             each arch alone."
        ));
        self.stands = self.usual.as_ref().is_some_and(|u| u.steps == plan.steps);
        self.drafted = plan.clone();
        self.departs = true;
        self.alike = alike(&self.finalists, plan);
        self.quicker = self.finalists.first().and_then(|first| quicker(first, plan));
    }

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
