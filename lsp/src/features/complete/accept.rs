//! Completion of findings that can be accepted: those of this case first, written out up to the reason.

use springline_lang::rules::register::RULES;
use springline_lang::syntax::Expected;
use springline_lang::units::quantity::plain;

use super::{Offer, OfferKind, OfferSubject};
use crate::analysed_file::AnalysedFile;
use crate::features::accept;

pub fn offers(analysed: AnalysedFile<'_>, place: &Expected, offset: usize, out: &mut Vec<Offer>) {
    let within = analysed.arch_at(offset);
    for finding in analysed.findings().iter().filter(|f| accept::may_be_accepted(f)) {
        let arch = finding.teeth.first().map(|t| t.arch());
        if within.is_some() && arch.is_some() && within != arch {
            continue;
        }
        let line = accept::line(finding, analysed, accept::Reason::ToFill);
        let insert = line.strip_prefix("accept ").unwrap_or(&line).to_owned();
        let figure = finding.figure.as_ref().map(|f| format!(" {} {}", plain(f.value), f.unit));
        out.push(Offer {
            label: format!("{}{}", finding.code, figure.unwrap_or_default()),
            kind: OfferKind::Finding,
            detail: finding.message.clone(),
            insert,
            is_snippet: true,
            replace: place.replace,
            about: OfferSubject::Finding(finding.code.to_string()),
        });
    }
    for rule in RULES {
        out.push(Offer {
            label: rule.code.to_owned(),
            kind: OfferKind::Finding,
            detail: rule.page().title.to_owned(),
            insert: rule.code.to_owned(),
            is_snippet: false,
            replace: place.replace,
            about: OfferSubject::Finding(rule.code.to_owned()),
        });
    }
}
