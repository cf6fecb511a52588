//! What another wire of the drawer would do in the step around the cursor.

use springline_lang::course::{Phase, setup};
use springline_lang::mechanics::{March, Marched, march};
use springline_lang::model::stock::Wire;
use springline_lang::model::tooth::Tooth;

use crate::facts::Facts;
use crate::features::text;

/// Teeth named, at most.
const WORST: usize = 3;

/// Its predicted force; `None` outside a step whose course is known. Computed when somebody asks: it
/// costs as much as putting the wire in.
pub fn predicted(facts: Facts<'_>, wire: &Wire, offset: usize) -> Option<String> {
    let (arch, step) = facts.step_of(facts.step_line_at(offset)?)?;
    let phase = facts.phase(arch, step)?;
    // A wire laid over another one hands its load on; that is more than a swap.
    if phase.setup.overlay.is_some() {
        return None;
    }
    let mut swapped = phase.setup.base.clone();
    swapped.wire.stock = setup::stock(wire);
    swapped.wire.tandem = None;
    let here = format!("predicted in `{}` of the {arch} arch", phase.name);
    Some(match march(&swapped, &March::default()) {
        Ok(marched) => format!("{here}: {}", worst(facts, &marched, phase)),
        Err(refusal) => format!("{here}: no figures, {refusal}"),
    })
}

fn worst(facts: Facts<'_>, marched: &Marched, phase: &Phase) -> String {
    let mut teeth: Vec<_> = marched.teeth.iter().collect();
    teeth.sort_by(|a, b| b.sustained_n.total_cmp(&a.sustained_n));
    let one = |t: &&springline_lang::mechanics::ToothMarch| {
        let tooth = Tooth::iso(u32::from(t.id))?.write(facts.notation());
        let (peak, later) = (text::grams(t.peak_n), text::grams(t.sustained_n));
        Some(format!("{tooth} {peak} as it goes in, {later} after 0.5 mm"))
    };
    let said: Vec<String> = teeth.iter().take(WORST).filter_map(one).collect();
    let now = phase.insertion.worst_sustained();
    let now =
        now.map(|l| format!("; with `{}` {}", phase.wire.names(), text::grams(l.sustained_n)));
    format!("{}{}", said.join("; "), now.unwrap_or_default())
}
