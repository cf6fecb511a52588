//! The arches from the bite on the card of a bond-up or a wire change.

use super::fit;
use super::{Drawing, StaffCard};
use crate::draw::{self, OcclusalSize, OcclusalView};
use crate::picture::ArchPicture;
use crate::plan::{ArchToday, Plan, VisitToday};
use springline_course::on_demand::OcclusalArch;
use springline_model::house::Task;

/// The card with the picture, where a wire goes in: a first wire's always, another one's where that
/// does not cost a sheet: on one that is all there is, or on one that goes overleaf anyway.
pub fn with_picture(card: StaffCard, plan: &Plan<'_>, today: &VisitToday<'_>) -> StaffCard {
    let with = StaffCard { from_the_bite: from_the_bite(plan, today), ..card.clone() };
    let first = today.arches.iter().any(|a| a.now.is_none() && a.next.is_some());
    if first || fit::fits_easily(&with) || fit::has_room_overleaf(&card, &with) {
        with
    } else {
        card
    }
}

struct BiteOnCard<'a> {
    seen: OcclusalArch,
    picture: ArchPicture<'a>,
    entered: Option<OcclusalArch>,
}

fn from_the_bite(plan: &Plan<'_>, today: &VisitToday<'_>) -> Option<Drawing> {
    let changed = |a: &&ArchToday<'_>| a.next.is_some() && a.expected() && !a.same_wire();
    if today.visit.kind == Task::Debond {
        return None;
    }
    let arches: Vec<BiteOnCard<'_>> =
        today.arches.iter().filter(changed).filter_map(|a| drawn(plan, today, a)).collect();
    if arches.is_empty() {
        return None;
    }
    let title = match arches.iter().any(|a| a.entered.is_some()) {
        false => "As entered, with the first wire",
        true => "As the patient should come, by forecast; dotted: as entered",
    };
    let views: Vec<OcclusalView<'_>> = arches
        .iter()
        .map(|a| OcclusalView {
            arch: &a.seen,
            picture: Some(&a.picture),
            before: a.entered.as_ref(),
        })
        .collect();
    Some(draw::occlusal(&views, plan.notation(), title, OcclusalSize::Small))
}

/// With the wire that is in; before the first one, with that.
fn drawn<'a>(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    arch: &ArchToday<'a>,
) -> Option<BiteOnCard<'a>> {
    let here = arch.now.or(arch.next)?;
    let entered = arch.now.and_then(|_| OcclusalArch::entered(arch.arch));
    let picture = ArchPicture::of(arch.arch, here.phase, here.moment);
    Some(BiteOnCard {
        seen: OcclusalArch::of(arch.arch, here.phase, here.moment),
        picture: picture.on_day(plan.case, Some(today.visit.date)),
        entered,
    })
}
