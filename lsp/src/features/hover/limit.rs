//! Hover on a limit: its value here, and where that comes from.

use springline_lang::model::limits::{Limit, LimitFigures};
use springline_lang::model::provenance::{Origin, Sourced};
use springline_lang::units::quantity::plain;

use crate::analysed_file::AnalysedFile;

pub fn hover(analysed: AnalysedFile<'_>, limit: Limit) -> Option<String> {
    let limits = &analysed.house()?.limits;
    let set = limits.of(limit);
    let mut out = format!("**limit {}**: {}", limit.word(), figures(&set.value, limit.unit()));
    out.push_str(&format!("  \nfrom: {}", source(&set, limit)));
    if set.origin != Origin::Default {
        let (warn, stop, _) = limit.default_figures();
        let span_mm = None;
        let built_in = figures(&LimitFigures { warn, stop, span_mm }, limit.unit());
        out.push_str(&format!("  \nbuilt in: {built_in}"));
    }
    let special = limits.by_tooth.iter().filter(|((l, _), _)| *l == limit);
    for ((_, tooth), set) in special {
        let tooth = tooth.write(analysed.notation());
        out.push_str(&format!("  \non {tooth}: {}", figures(&set.value, limit.unit())));
    }
    Some(out)
}

fn source(set: &Sourced<LimitFigures>, limit: Limit) -> String {
    match set.origin {
        Origin::Default => format!("built-in default ({})", limit.default_figures().2),
        origin => origin.describe().to_owned(),
    }
}

fn figures(set: &LimitFigures, unit: &str) -> String {
    let mut out = format!("warning above {} {unit}", plain(set.warn));
    if let Some(stop) = set.stop {
        out.push_str(&format!(", error above {} {unit}", plain(stop)));
    }
    if let Some(span) = set.span_mm {
        out.push_str(&format!(", over a span of {} mm", plain(span)));
    }
    out
}
