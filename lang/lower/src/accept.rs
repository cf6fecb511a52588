//! `accept` lines: the doctor's answer to a finding.

use super::read::LoweringContext;
use springline_finding::{Code, Finding};
use springline_model::case::Accept;
use springline_model::stock::Name;
use springline_syntax::tree::StatementRef;
use springline_units::tooth::Arch;

impl LoweringContext<'_> {
    /// An `accept` line; `arch` and `step` say where it stands.
    pub fn accept(
        &mut self,
        line: StatementRef<'_>,
        arch: Option<Arch>,
        step: Option<Name>,
        known: &dyn Fn(&str) -> Option<Code>,
        codes: &[&str],
    ) -> Option<Accept> {
        let hole = line.hole("rule")?;
        let code = hole.text();
        let Some(found) = known(code) else {
            let mut finding = Finding::error(
                "name/unknown-finding",
                hole.place(),
                format!("There is no finding `{code}`."),
            );
            for candidate in springline_text::nearest::nearest(code, codes.iter().copied()) {
                finding =
                    finding.clinical_fix(format!("write `{candidate}`"), hole.place(), candidate);
            }
            self.report(finding);
            return None;
        };
        if found.is_language() {
            self.report(Finding::error(
                "name/cannot-accept",
                line.place(),
                format!("`{code}` is about the text; it can be corrected, not accepted."),
            ));
            return None;
        }
        let figure = line
            .hole("figure")
            .and_then(|h| h.measure().and_then(springline_syntax::item::Measure::first_quantity));
        if line.hole("figure").is_some() && figure.is_none() {
            self.report(Finding::error(
                "unit/missing",
                line.hole("figure").map_or(line.place(), |h| h.place()),
                "Up to which figure? It needs its unit.",
            ));
            return None;
        }
        let reason = line.hole("text").map(|h| h.text().to_owned()).unwrap_or_default();
        if reason.trim().is_empty() {
            self.report(
                Finding::error(
                    "name/accept-without-reason",
                    line.place(),
                    "An accepted finding needs a reason.",
                )
                .why("The reason is printed, so that whoever treats next knows it."),
            );
            return None;
        }
        Some(Accept {
            code: code.to_owned(),
            code_place: hole.place(),
            teeth: line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default(),
            up_to: figure,
            until_date: line.hole("date").and_then(|h| self.date(h)),
            until_step: line.hole("step").map(|h| h.text().into()),
            reason,
            by: line.hole("person")?.text().into(),
            arch,
            step,
            place: line.place(),
        })
    }
}
