//! Lowers `accept` lines: the doctor's acceptance of a finding.

use super::read::LoweringContext;
use springline_finding::{Code, Finding};
use springline_model::case::Accept;
use springline_model::stock::Name;
use springline_syntax::ast::{AcceptLine, ExpiryPart};
use springline_units::tooth::Arch;

impl LoweringContext<'_> {
    /// Lowers an `accept` line; `arch` and `step` are the blocks around it.
    pub fn accept(
        &mut self,
        line: AcceptLine<'_>,
        arch: Option<Arch>,
        step: Option<Name>,
        known: &dyn Fn(&str) -> Option<Code>,
        codes: &[&str],
    ) -> Option<Accept> {
        let (hole, place) = (line.rule, line.statement.place());
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
                place,
                format!("`{code}` is about the text; it can be corrected, not accepted."),
            ));
            return None;
        }
        let figure = line.figure.and_then(|field| field.measure()?.first_quantity());
        if let (Some(field), None) = (line.figure, figure) {
            self.report(Finding::error(
                "unit/missing",
                field.place(),
                "Up to which figure? It needs its unit.",
            ));
            return None;
        }
        let reason = line.text.text().to_owned();
        if reason.trim().is_empty() {
            self.report(
                Finding::error(
                    "name/accept-without-reason",
                    place,
                    "An accepted finding needs a reason.",
                )
                .why("The reason is printed, so that whoever treats next knows it."),
            );
            return None;
        }
        let (until_date, until_step) = match line.expiry {
            Some(ExpiryPart::Date(field)) => (self.date(field), None),
            Some(ExpiryPart::Step(field)) => (None, Some(field.text().into())),
            None => (None, None),
        };
        Some(Accept {
            code: code.to_owned(),
            code_place: hole.place(),
            teeth: self.teeth_if_said(line.teeth),
            up_to: figure,
            until_date,
            until_step,
            reason,
            by: line.person.text().into(),
            arch,
            step,
            place,
        })
    }
}
