//! Hover on another wire: its effect in the step around the cursor.

use springline_lang::course::{Insertion, Phase, ToothLoad};
use springline_lang::model::stock::Wire;

use crate::analysed_file::AnalysedFile;
use crate::features::text;

/// Teeth named, at most.
const WORST: usize = 3;

/// Its predicted force; `None` outside a step whose course is known. Computed on request, because it
/// costs one solve.
pub fn predicted(analysed: AnalysedFile<'_>, wire: &Wire, offset: usize) -> Option<String> {
    let (arch, step) = analysed.step_of(analysed.step_line_at(offset)?)?;
    let phase = analysed.phase(arch, step)?;
    let swapped = phase.trial(wire);
    let here = format!("forecast in `{}` of the {arch} arch", phase.name);
    Some(match &swapped.refused {
        None => format!("{here}: {}", worst(analysed, &swapped, phase)),
        Some(no) => format!("{here}: no figures, {}", no.why),
    })
}

fn worst(analysed: AnalysedFile<'_>, swapped: &Insertion, phase: &Phase) -> String {
    let mut teeth: Vec<_> = swapped.teeth.iter().collect();
    teeth.sort_by(|a, b| b.sustained_n.total_cmp(&a.sustained_n));
    let one = |t: &&ToothLoad| {
        let tooth = t.tooth.write(analysed.notation());
        let (peak, later) = (text::grams(t.peak_n), text::grams(t.sustained_n));
        format!("{tooth} {peak} on insertion, {later} after 0.5 mm")
    };
    let said: Vec<String> = teeth.iter().take(WORST).map(one).collect();
    let now = phase.insertion.worst_sustained();
    let now =
        now.map(|l| format!("; with `{}` {}", phase.wire.names(), text::grams(l.sustained_n)));
    format!("{}{}", said.join("; "), now.unwrap_or_default())
}
