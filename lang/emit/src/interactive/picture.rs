//! The drawing of one moment, and each tooth on it.

use jiff::civil::Date;

use super::moments::{CourseMoment, MomentKind, MomentStanding};
use crate::draw::{
    Drawing, OcclusalSize, ToothFrame, mouth_as_it_stands, mouth_frames, occlusal, occlusal_frames,
};
use crate::picture::{Hold, MouthPicture};
use crate::preview::{DrawnArch, Moment, arches_at, bite_views, entered_arches, mouth_at};
use crate::wording;
use springline_course::on_demand::OcclusalArch;
use springline_course::{Basis, Forecast, Known, ToothPose};
use springline_model::Case;
use springline_model::stand::{Stand, StandAxis};
use springline_units::tooth::{Arch, Tooth};

/// From where the arches are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureFrom {
    Bite,
    Front,
}

/// Which part of the text says how the teeth of a moment stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StandSource {
    /// The plan's own `tooth` lines.
    Plan,
    /// The visit of that day.
    Visit(Date),
    /// None: the moment is past or foreseen, and that is why in a sentence.
    None(&'static str),
}

/// One tooth of a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureTooth {
    pub frame: ToothFrame,
    pub basis: Basis,
    /// As it is drawn; width and space where the text has them.
    pub stand: Stand,
    /// What the source says of it now.
    pub written: Vec<StandAxis>,
    /// "12: 2.5 mm palatal".
    pub says: String,
}

/// The drawing with its teeth.
#[derive(Debug, Clone, PartialEq)]
pub struct InteractivePicture {
    pub drawing: Drawing,
    pub source: StandSource,
    pub teeth: Vec<PictureTooth>,
}

/// The picture of a moment; of one arch, or of both. The teeth as entered have no wire; from the front they are
/// drawn with the first one in.
pub fn interactive_picture(
    case: &Case,
    forecast: &Forecast,
    moment: &CourseMoment,
    from: PictureFrom,
    arch: Option<Arch>,
) -> InteractivePicture {
    let wanted = |a: Arch| arch.is_none_or(|only| only == a);
    let (drawing, frames, poses) = match from {
        PictureFrom::Bite => from_the_bite(case, forecast, moment, wanted),
        PictureFrom::Front => from_the_front(case, forecast, moment, wanted),
    };
    let source = stand_source(case, forecast, moment);
    let teeth = frames.into_iter().filter_map(|frame| {
        let pose = poses.iter().find(|(tooth, _)| *tooth == frame.tooth)?.1;
        Some(tooth(case, &source, frame, &pose))
    });
    InteractivePicture { drawing, teeth: teeth.collect(), source }
}

type PoseOfTeeth = Vec<(Tooth, Known<ToothPose>)>;

fn from_the_bite(
    case: &Case,
    forecast: &Forecast,
    moment: &CourseMoment,
    wanted: impl Fn(Arch) -> bool,
) -> (Drawing, Vec<ToothFrame>, PoseOfTeeth) {
    let mut arches = match moment.kind {
        MomentKind::Entered => entered_arches(case),
        _ => arches_at(case, forecast, moment.mouth, moment.before),
    };
    arches.retain(|a| wanted(a.seen.arch));
    if moment.is_off {
        arches.iter_mut().for_each(DrawnArch::without_appliance);
    }
    let views = bite_views(&arches);
    let size = if views.len() == 1 { OcclusalSize::OneArch } else { OcclusalSize::Large };
    let title = format!("From the bite, {}", moment.says());
    let drawing = occlusal(&views, case.house.notation.value, &title, size);
    let poses = arches.iter().flat_map(|a| a.seen.crowns.iter().map(|c| (c.tooth, c.pose)));
    (drawing, occlusal_frames(&views, size), poses.collect())
}

fn from_the_front(
    case: &Case,
    forecast: &Forecast,
    moment: &CourseMoment,
    wanted: impl Fn(Arch) -> bool,
) -> (Drawing, Vec<ToothFrame>, PoseOfTeeth) {
    let first = Moment { date: None, upper: Some(0), lower: Some(0) };
    let here = if moment.kind == MomentKind::Entered { first } else { moment.mouth };
    let mut picture: MouthPicture<'_> = mouth_at(case, forecast, here);
    picture.upper = picture.upper.filter(|_| wanted(Arch::Upper));
    picture.lower = picture.lower.filter(|_| wanted(Arch::Lower));
    if moment.is_off {
        picture.without_appliance();
    }
    let notation = case.house.notation.value;
    let title = format!("From the front, {}", moment.says());
    let poses = picture.arches().flat_map(|a| &a.teeth);
    let poses = poses.filter(|t| !matches!(t.hold, Hold::Absent(_))).map(|t| (t.tooth, t.pose));
    let poses = poses.collect();
    let mut arches = arches_at(case, forecast, here, None);
    if moment.is_off {
        arches.iter_mut().for_each(DrawnArch::without_appliance);
    }
    let seen: Vec<OcclusalArch> = arches.into_iter().map(|arch| arch.seen).collect();
    let drawing = mouth_as_it_stands(&picture, notation, &title, &seen);
    (drawing, mouth_frames(&picture, notation), poses)
}

/// The plan says how the teeth stand at the start, and a visit what was measured on its day; between them they
/// are foreseen.
fn stand_source(case: &Case, forecast: &Forecast, moment: &CourseMoment) -> StandSource {
    let last = case.visits.iter().map(|v| v.on).max();
    match (moment.kind, moment.date) {
        (MomentKind::Entered, _) => StandSource::Plan,
        (_, Some(on)) if forecast.today == Some(on) || last == Some(on) => StandSource::Visit(on),
        (_, Some(_)) if moment.standing == MomentStanding::Recorded => {
            StandSource::None("This visit is past; what was measured at it stands in the text.")
        }
        _ => StandSource::None(
            "This is a prediction; it follows from how the teeth stand at the start.",
        ),
    }
}

fn tooth(
    case: &Case,
    source: &StandSource,
    frame: ToothFrame,
    pose: &Known<ToothPose>,
) -> PictureTooth {
    let tooth = frame.tooth;
    let said = match source {
        StandSource::Plan => {
            case.arch(tooth.arch()).and_then(|a| a.stands.get(&tooth)).map(|s| s.value)
        }
        StandSource::Visit(on) => {
            let visit = case.visits.iter().find(|v| v.on == *on);
            visit.and_then(|v| v.stands.get(&tooth)).map(|(stand, _)| *stand)
        }
        StandSource::None(_) => None,
    };
    let said = said.unwrap_or_default();
    let drawn = pose.value.to_stand(tooth);
    let stand = Stand { width: said.width, space: said.space, ..drawn };
    let told = match pose.basis {
        Basis::Entered | Basis::Measured(_) => drawn,
        // Nobody foresees hundredths.
        _ => coarse(&drawn),
    };
    let place = wording::stand(&told, tooth);
    let place = if place.is_empty() { "in line".to_owned() } else { place };
    PictureTooth {
        frame,
        basis: pose.basis,
        stand,
        written: StandAxis::ALL.into_iter().filter(|a| said.figure(*a).is_some()).collect(),
        says: format!("{}: {place}", tooth.write(case.house.notation.value)),
    }
}

/// To tenths of a millimetre and whole degrees.
fn coarse(stand: &Stand) -> Stand {
    StandAxis::ALL.into_iter().fold(*stand, |stand, axis| {
        let parts = if axis.is_angle() { 1.0 } else { 10.0 };
        let rounded = stand.figure(axis).map(|figure| (figure * parts).round() / parts);
        stand.with_figure(axis, rounded.filter(|figure| *figure != 0.0))
    })
}
