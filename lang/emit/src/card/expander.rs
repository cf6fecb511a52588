//! Staff card: an expander, from the cement to its removal.

use super::{ActionLine, ArchActions};
use crate::plan::{Plan, VisitToday};
use crate::{dates, wording};
use springline_course::{ExpanderLife, expander_life};
use springline_model::case::ArchCase;
use springline_model::expander::Expander;
use springline_units::quantity::{mm, plain};

pub fn lines(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<ArchActions> {
    let each = plan.case.arches.iter().filter_map(|arch| {
        let (expander, life) = (arch.expander.as_ref()?, expander_life(plan.case, arch)?);
        let text = line(plan, today, arch, expander, &life)?;
        let heading = format!("{}: expander", wording::arch(arch.arch));
        Some(ArchActions { arch: arch.arch, heading, lines: vec![ActionLine::usual(text)] })
    });
    each.collect()
}

/// What is done with it today: that of the last event since the visit before.
fn line(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    arch: &ArchCase,
    expander: &Expander,
    life: &ExpanderLife,
) -> Option<String> {
    let n = plan.notation();
    let here = today.visit.date;
    let before = today.number.checked_sub(1).and_then(|n| plan.visit(n)).map(|(_, v)| v);
    let came = |day| day <= here && before.is_none_or(|b| b.date < day);
    let (teeth, width) = (wording::list(&expander.teeth, n), plain(mm(expander.width)));
    if came(life.off) {
        let holds = arch.bars.is_empty();
        let holds =
            if holds { "The wire holds the width now." } else { "The bar holds the width now." };
        return Some(format!("Take the expander off {teeth}. {holds}"));
    }
    if came(life.on) {
        let turns = if expander.turns == 1 {
            "1 turn".to_owned()
        } else {
            format!("{} turns", expander.turns)
        };
        let every = if expander.a_week { "week" } else { "day" };
        return Some(format!(
            "Cement the expander on {teeth}. Show how it is turned: {turns} a {every} of {} mm, {} turns in all, \
             until about {}. A gap between the front teeth is expected.",
            plain(expander.turn_mm()),
            plain(expander.all_turns()),
            dates::long(life.turned)
        ));
    }
    if came(life.turned) {
        return Some(format!(
            "Read the screw: {width} mm? Then lock it; it stays on {teeth} until {}. If not: turned on, as shown.",
            dates::long(life.off)
        ));
    }
    (life.on < here && here < life.turned).then(|| {
        let open = plain((10.0 * life.open_mm(expander, here)).round() / 10.0);
        format!("Read the screw: {open} mm expected of {width}. More than 2 mm over {width}: stop turning, call the doctor.")
    })
}

/// The teeth of expanders whose screw is read today.
pub fn read_today(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let here = today.visit.date;
    let each = plan.case.arches.iter().filter_map(|arch| {
        let (expander, life) = (arch.expander.as_ref()?, expander_life(plan.case, arch)?);
        let turned = !life.turned_recorded && life.on < here && here < life.off;
        let teeth: Vec<String> = expander.teeth.iter().map(|t| t.write(plan.notation())).collect();
        turned.then(|| teeth.join(", "))
    });
    each.collect()
}
