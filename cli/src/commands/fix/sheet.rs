//! The fixes offered for one text, each with its identifier.

use springline_emit::findings::fix_id;
use springline_lang::Checked;
use springline_lang::finding::{Finding, Fix, FixKind};
use springline_lang::fixes::{Budget, NOT_TRIED};
use springline_lang::text::FileId;

use super::session::FixSession;
use crate::files::Input;

/// Budget of trials. Fixes beyond it are not offered, because they were not validated.
const TRIES: usize = 400;

pub struct FixSheet {
    pub input: Input,
    pub checked: Checked,
}

impl FixSheet {
    /// Checks a text and tries every fix; only validated ones are kept.
    pub fn of(session: &mut FixSession, input: Input) -> FixSheet {
        let (library, options) = (input.library(), session.options());
        let checked = session.checker.check(&input.source(), &library, &options);
        let budget = Budget { tries: TRIES };
        let mut tried = session.checker.try_fixes(checked.clone(), &library, &options, budget);
        for finding in &mut tried.findings {
            let offered = std::mem::take(&mut finding.fixes);
            let mends = |fix: &Fix| {
                let untried = fix.outcome.as_deref() == Some(NOT_TRIED);
                let here = fix.edits.iter().all(|e| e.place.file == FileId(0));
                let text = fix.kind == FixKind::Safe || finding.code.is_language();
                let ours = finding.accepted.is_none() && here && !untried;
                ours && (!text || session.checker.fixes_text(&checked, finding, fix, &library))
            };
            finding.fixes = offered.into_iter().filter(mends).collect();
        }
        FixSheet { input, checked: tried }
    }

    /// Findings that have fixes, in their order.
    pub fn offers(&self) -> impl Iterator<Item = &Finding> {
        self.checked.findings.iter().filter(|f| !f.fixes.is_empty())
    }

    pub fn fixes(&self) -> usize {
        self.offers().map(|f| f.fixes.len()).sum()
    }

    /// What a fix is chosen by: another text, another name.
    pub fn id(&self, fix: &Fix) -> String {
        fix_id(&self.checked.files, fix)
    }

    pub fn find(&self, id: &str) -> Option<(&Finding, &Fix)> {
        let all = self.offers().flat_map(|f| f.fixes.iter().map(move |fix| (f, fix)));
        let mut same = all.filter(|(_, fix)| self.id(fix) == id);
        same.next()
    }

    /// For a document of the fixes alone.
    pub fn only_offered(&self) -> Checked {
        let mut checked = self.checked.clone();
        checked.findings.retain(|f| !f.fixes.is_empty());
        checked
    }
}
