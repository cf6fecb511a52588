//! The arches at one moment of the course, as drawings: from the front and from the bite.

use jiff::civil::Date;

use super::moment::Moment;
use crate::draw::{self, Drawing, OcclusalSize, OcclusalView};
use crate::picture::{ArchPicture, MouthPicture};
use springline_course::on_demand::OcclusalArch;
use springline_course::{Forecast, Phase, StepMoment};
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_units::tooth::Arch;

fn state<'a>(
    case: &Case,
    forecast: &'a Forecast,
    here: Moment,
    arch: Arch,
) -> Option<(&'a Phase, StepMoment)> {
    let index = here.phase(arch)?;
    let phase = forecast.arch(arch)?.phases.get(index)?;
    Some((phase, forecast.moment(case, arch, index, here.date)?))
}

/// As seen facing the patient, with the elastics worn from then on.
pub fn from_the_front(case: &Case, forecast: &Forecast, here: Moment) -> Drawing {
    let worn = here.date.map(|day| worn_from(forecast, day)).unwrap_or_default();
    let picture = MouthPicture::of(case, |a| state(case, forecast, here, a), |i| worn.contains(&i));
    draw::mouth(&picture, case.house.notation.value, "With these wires in")
}

/// The elastics worn from the visit of that day, by their place in the case.
fn worn_from(forecast: &Forecast, day: Date) -> &[usize] {
    let visit = forecast.timeline.visits().iter().find(|v| v.date == day);
    visit.map_or(&[], |v| &v.elastics_after)
}

/// As seen from the bite, with what has moved since the moment before.
pub fn from_the_bite(
    case: &Case,
    forecast: &Forecast,
    here: Moment,
    before: Option<Moment>,
) -> Drawing {
    let arches: Vec<DrawnArch<'_>> = case
        .arches
        .iter()
        .filter_map(|arch| {
            let (phase, moment) = state(case, forecast, here, arch.arch)?;
            let before = before.and_then(|b| {
                let (phase, moment) = state(case, forecast, b, arch.arch)?;
                Some(OcclusalArch::of(arch, phase, &moment))
            });
            Some(DrawnArch {
                seen: OcclusalArch::of(arch, phase, &moment),
                picture: Some(ArchPicture::of(arch, phase, &moment)),
                before,
            })
        })
        .collect();
    occlusal(case, &arches, "With these wires in, from the bite", OcclusalSize::Large)
}

/// As the plan describes the arches at its start, without wires.
pub fn entered(case: &Case, size: OcclusalSize) -> Drawing {
    let entered = |arch: &ArchCase| {
        let seen = OcclusalArch::entered(arch)?;
        Some(DrawnArch { seen, picture: None, before: None })
    };
    let arches: Vec<DrawnArch<'_>> = case.arches.iter().filter_map(entered).collect();
    occlusal(case, &arches, "As entered, from the bite", size)
}

struct DrawnArch<'a> {
    seen: OcclusalArch,
    picture: Option<ArchPicture<'a>>,
    before: Option<OcclusalArch>,
}

fn occlusal(case: &Case, arches: &[DrawnArch<'_>], title: &str, size: OcclusalSize) -> Drawing {
    let mut views = Vec::new();
    for arch in Arch::BOTH {
        let drawn = arches.iter().filter(|a| a.seen.arch == arch);
        views.extend(drawn.map(|a| OcclusalView {
            arch: &a.seen,
            picture: a.picture.as_ref(),
            before: a.before.as_ref(),
        }));
    }
    draw::occlusal(&views, case.house.notation.value, title, size)
}
