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
    let picture = mouth_at(case, forecast, here);
    let arches = arches_at(case, forecast, here, None);
    let seen: Vec<OcclusalArch> = arches.into_iter().map(|arch| arch.seen).collect();
    let notation = case.house.notation.value;
    draw::mouth_as_it_stands(&picture, notation, "With these wires in", &seen)
}

/// Both arches with what is on them from then on.
pub(crate) fn mouth_at<'a>(
    case: &'a Case,
    forecast: &'a Forecast,
    here: Moment,
) -> MouthPicture<'a> {
    let worn = here.date.map(|day| worn_from(forecast, day)).unwrap_or_default();
    let picture = MouthPicture::of(case, |a| state(case, forecast, here, a), |i| worn.contains(&i));
    picture.on_day(case, here.date)
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
    let arches = arches_at(case, forecast, here, before);
    let title = "With these wires in, from the bite";
    draw::occlusal(&bite_views(&arches), case.house.notation.value, title, OcclusalSize::Large)
}

/// The arches with a wire, with what has moved since the moment before.
pub(crate) fn arches_at<'a>(
    case: &'a Case,
    forecast: &'a Forecast,
    here: Moment,
    before: Option<Moment>,
) -> Vec<DrawnArch<'a>> {
    let arch = |arch: &'a ArchCase| {
        let (phase, moment) = state(case, forecast, here, arch.arch)?;
        let before = before.and_then(|b| {
            let (phase, moment) = state(case, forecast, b, arch.arch)?;
            Some(OcclusalArch::of(arch, phase, &moment))
        });
        Some(DrawnArch {
            seen: OcclusalArch::of(arch, phase, &moment),
            picture: Some(ArchPicture::of(arch, phase, &moment).on_day(case, here.date)),
            before,
        })
    };
    case.arches.iter().filter_map(arch).collect()
}

/// As the plan describes the arches at its start, without wires.
pub fn entered(case: &Case, size: OcclusalSize) -> Drawing {
    let arches = entered_arches(case);
    let title = "As entered, from the bite";
    draw::occlusal(&bite_views(&arches), case.house.notation.value, title, size)
}

/// The same before it is drawn.
pub(crate) fn entered_arches(case: &Case) -> Vec<DrawnArch<'_>> {
    let entered = |arch: &ArchCase| {
        let seen = OcclusalArch::entered(arch)?;
        Some(DrawnArch { seen, picture: None, before: None })
    };
    case.arches.iter().filter_map(entered).collect()
}

/// One arch as it is drawn from the bite.
pub(crate) struct DrawnArch<'a> {
    pub seen: OcclusalArch,
    picture: Option<ArchPicture<'a>>,
    before: Option<OcclusalArch>,
}

impl DrawnArch<'_> {
    /// After the appliance has come off.
    pub(crate) fn without_appliance(&mut self) {
        self.picture = None;
        self.seen.wire.clear();
        self.seen.overlay.clear();
        self.seen.crowns.iter_mut().for_each(|crown| crown.bracket_mm = 0.0);
    }
}

/// The upper arch first.
pub(crate) fn bite_views<'d>(arches: &'d [DrawnArch<'d>]) -> Vec<OcclusalView<'d>> {
    let of = |arch: Arch| arches.iter().filter(move |a| a.seen.arch == arch);
    let drawn = Arch::BOTH.into_iter().flat_map(of);
    drawn
        .map(|a| OcclusalView {
            arch: &a.seen,
            picture: a.picture.as_ref(),
            before: a.before.as_ref(),
        })
        .collect()
}
