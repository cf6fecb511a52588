//! Second pass of a check: mechanics, course and rules on the result of the first pass. Caches simulated
//! phases and the last judgement of each text; neither cache changes a result.

use std::collections::HashMap;
use std::sync::Arc;

use crate::checked::{CheckOptions, Checked, LoweredFile, sort};
use crate::judgement_reuse::CarriedCheck;
use springline_course as course;
use springline_course::{Forecast, PhaseCache, StopSignal};
use springline_finding::Finding;
use springline_model::Case;
use springline_rules as rules;
use springline_rules::{RuleContext, Trees};

/// Judges cases one after another. What it remembers is bounded.
#[derive(Debug)]
pub struct JudgementCache {
    /// By the name of the text: what was judged last.
    judged: HashMap<String, CarriedCheck>,
    phases: PhaseCache,
}

/// Phases remembered: ten cases of two arches and eight steps, with room for undoing.
const PHASES: usize = 1024;

/// Texts of which it is remembered how they were judged.
const JUDGED: usize = 8;

impl Default for JudgementCache {
    fn default() -> Self {
        JudgementCache { judged: HashMap::new(), phases: PhaseCache::new(PHASES) }
    }
}

impl JudgementCache {
    /// The second pass: mechanics, course and rules on what the first pass read.
    pub fn judge(&mut self, read: LoweredFile, options: &CheckOptions) -> Checked {
        let known = self.last(&read).and_then(|last| last.carried(&read, options.today));
        let judgement = known.or_else(|| self.compute(&read, options));
        self.remembered(read, judgement)
    }

    /// The second pass where nothing that is judged has changed since that text was judged last, so that
    /// nothing has to be computed.
    pub fn judge_unchanged(
        &mut self,
        read: &LoweredFile,
        options: &CheckOptions,
    ) -> Option<Checked> {
        let judgement = self.last(read)?.carried(read, options.today)?;
        Some(self.remembered(read.clone(), Some(judgement)))
    }

    /// The second pass on a text that is only tried: how its name was judged last stays as it was.
    pub fn judge_trial(&mut self, read: LoweredFile, options: &CheckOptions) -> Checked {
        let judgement = self.compute(&read, options);
        concluded(read, judgement.as_ref())
    }

    /// Course and findings of a case as it is handed over, such as one arch of it or its first steps. With empty
    /// `trees` no fix is worked out.
    pub(crate) fn judge_part(
        &mut self,
        case: &Case,
        trees: &Trees,
        options: &CheckOptions,
    ) -> (Forecast, Vec<Finding>) {
        let forecast = course::forecast_with(case, options.today, &mut self.phases);
        if self.phases.stop_signal().is_set() {
            return (forecast, Vec::new());
        }
        let judged = RuleContext { case, forecast: &forecast, today: options.today, trees };
        let findings = rules::judge_until(&judged, &|| self.phases.stop_signal().is_set());
        (forecast, findings)
    }

    /// Drafts end within a few solves once this says so, and say [`crate::draft::NotDrafted::Stopped`]; until another
    /// signal is given. Nothing that is cut short is remembered. Whole checks are not to be made meanwhile.
    pub fn stop_drafts_on(&mut self, stop: StopSignal) {
        self.phases.stop_on(stop);
    }

    pub(crate) fn stop_signal(&self) -> StopSignal {
        self.phases.stop_signal().clone()
    }

    fn last(&self, read: &LoweredFile) -> Option<&CarriedCheck> {
        self.judged.get(&read.files.first()?.name)
    }

    fn compute(&mut self, read: &LoweredFile, options: &CheckOptions) -> Option<CarriedCheck> {
        let (case, house) = (read.case.as_ref()?, read.house.clone()?);
        let forecast = course::forecast_with(case, options.today, &mut self.phases);
        let trees = Trees::new(std::iter::once(&read.parse).chain(&read.house_trees).cloned());
        let judged = RuleContext { case, forecast: &forecast, today: options.today, trees: &trees };
        let findings = rules::judge(&judged);
        Some(CarriedCheck {
            parse: read.parse.clone(),
            house,
            today: options.today,
            forecast: Arc::new(forecast),
            findings,
        })
    }

    fn remembered(&mut self, read: LoweredFile, judgement: Option<CarriedCheck>) -> Checked {
        let checked = concluded(read, judgement.as_ref());
        if let (Some(judgement), Some(file)) = (judgement, checked.files.first()) {
            if self.judged.len() >= JUDGED && !self.judged.contains_key(&file.name) {
                self.judged.clear();
            }
            self.judged.insert(file.name.clone(), judgement);
        }
        checked
    }
}

/// What was read and what was judged, together.
fn concluded(read: LoweredFile, judgement: Option<&CarriedCheck>) -> Checked {
    let mut checked = Checked::without_judgement(read);
    if let Some(judgement) = judgement {
        checked.findings.extend_from_slice(&judgement.findings);
        checked.forecast = Some(judgement.forecast.clone());
    }
    sort(&mut checked.findings);
    checked
}
