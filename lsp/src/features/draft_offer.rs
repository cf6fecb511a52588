//! Where drafting the steps of an arch is offered: on its own line, on the sequence that it follows, and on a finding
//! about a step that a draft could replace.

use springline_lang::model::step::{Step, StepKind};
use springline_lang::syntax::ast::StatementKind;
use springline_lang::text::{FileId, Span};
use springline_lang::units::tooth::Arch;

use crate::analysed_file::{AnalysedFile, arch_of};

/// A draft that may be asked for. Its edit is worked out only then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftOffer {
    pub title: &'static str,
    pub arch: Arch,
    /// The finding it answers, by its index in the list of findings.
    pub finding: Option<usize>,
}

/// Drafts offered in a range; `shown` says whether a finding is one of those shown there.
pub fn draft_offers(
    analysed: AnalysedFile<'_>,
    range: Span,
    shown: impl Fn(usize) -> bool,
) -> Vec<DraftOffer> {
    let mut out = Vec::new();
    if analysed.is_house() {
        return out;
    }
    if let Some(arch) = arch_line_at(analysed, range.start as usize)
        && may_be_drafted(analysed, arch)
    {
        out.push(DraftOffer { title: "draft the steps of this arch", arch, finding: None });
    }
    for (index, finding) in analysed.findings().iter().enumerate() {
        let of_sequence = matches!(finding.code.family(), "order" | "force");
        let here = finding.place.file == FileId(0) && shown(index);
        let Some(step) = finding.step.as_deref().filter(|_| of_sequence && here) else { continue };
        let arch = analysed.arch_at(finding.place.span.start as usize);
        let Some(arch) = arch.filter(|arch| may_be_drafted(analysed, *arch)) else { continue };
        if draftable(analysed, arch).iter().any(|s| *s.name == *step) {
            let title = "draft another sequence for this arch";
            out.push(DraftOffer { title, arch, finding: Some(index) });
        }
    }
    out
}

/// The arch whose own line, or whose `follow`, is at the offset.
fn arch_line_at(analysed: AnalysedFile<'_>, offset: usize) -> Option<Arch> {
    let line = analysed.line_at(offset)?;
    match line.kind()? {
        StatementKind::Upper | StatementKind::Lower if line.parent().is_none() => arch_of(line),
        StatementKind::Follow => line.parent().and_then(arch_of),
        _ => None,
    }
}

/// The arch of a `drafted` line, whose word is at the offset.
pub fn drafted_line_at(analysed: AnalysedFile<'_>, offset: usize) -> Option<Arch> {
    let line = analysed.line_at(offset).filter(|line| line.is(StatementKind::Drafted))?;
    line.parent().and_then(arch_of)
}

/// Steps before the working wire are left to draft, and no draft of them waits for the doctor. What else is in the way
/// is said when a draft is asked for.
pub fn may_be_drafted(analysed: AnalysedFile<'_>, arch: Arch) -> bool {
    let Some(plan) = analysed.case().and_then(|case| case.arch(arch)) else { return false };
    let is_begun = plan.follows.is_some() || !plan.steps.is_empty();
    plan.drafted.is_none() && (!is_begun || !draftable(analysed, arch).is_empty())
}

/// The steps between the last that is recorded and the working wire.
fn draftable(analysed: AnalysedFile<'_>, arch: Arch) -> &[Step] {
    let Some(plan) = analysed.case().and_then(|case| case.arch(arch)) else { return &[] };
    let recorded = analysed.forecast().and_then(|f| f.recorded_phase(arch));
    let fixed = recorded.map_or(0, |phase| phase.step + 1);
    let is_work = |s: &Step| matches!(s.kind, StepKind::Work | StepKind::Finish);
    let work = plan.steps.iter().position(is_work).unwrap_or(plan.steps.len());
    plan.steps.get(fixed..work).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    fn offered(sample: &Sample) -> Vec<DraftOffer> {
        draft_offers(sample.analysed(), Span::new(sample.offset, sample.offset), |_| false)
    }

    /// An upper arch that holds these lines.
    fn upper(lines: &str) -> Sample {
        Sample::new(&format!(
            "springline 1\ncase \"SM-9000\"\nuse saltmarsh\nstart 2026-11-23\npatient adult\n\
             upper {{\n  bonded 15..25 with twin\n  tooth 12 palatal 1 mm\n{lines}\n}}\n"
        ))
    }

    #[test]
    fn a_draft_is_offered_on_the_sequence_and_not_twice() {
        let offers = offered(&upper("  follow ¦usual"));
        assert_eq!(offers.len(), 1, "{offers:?}");
        assert_eq!(offers[0].arch, Arch::Upper);
        assert!(offered(&upper("  follow ¦usual\n  drafted 2026-11-20")).is_empty());
        assert!(offered(&upper("  tooth ¦13 labial 1 mm\n  follow usual")).is_empty());
    }

    #[test]
    fn another_sequence_is_offered_on_a_finding_of_a_step_that_a_draft_could_replace() {
        let sample =
            upper("  tooth 13 labial 4 mm\n  follow usual\n  change align, wire niti-16x22");
        let offers = draft_offers(sample.analysed(), Span::new(0, 0), |_| true);
        let finding = offers.iter().find_map(|offer| offer.finding).expect("a finding of align");
        assert_eq!(sample.analysed().findings()[finding].step.as_deref(), Some("align"));
        let none = draft_offers(sample.analysed(), Span::new(0, 0), |_| false);
        assert!(none.is_empty(), "{none:?}");
    }
}
