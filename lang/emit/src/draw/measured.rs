//! Arch and line as they were measured, seen from the bite.

use super::list::Drawing;
use super::occlusal::{OcclusalSize, OcclusalView, occlusal};
use springline_course::ToothPose;
use springline_course::on_demand::OcclusalArch;
use springline_measure::{FigureKey, MeasuredArch, MeasuredTeeth};
use springline_units::tooth::{Notation, Side, Tooth};

/// Standard deviations beyond which a figure is told from nothing.
const SURE: f64 = 2.0;

/// Heights are in the table: as words they would cover the crowns of a crowded front.
pub fn measured(measured: &MeasuredTeeth, notation: Notation) -> Drawing {
    let arches: Vec<OcclusalArch> = measured.arches.iter().map(seen).collect();
    let views: Vec<OcclusalView<'_>> =
        arches.iter().map(|arch| OcclusalView { arch, picture: None, before: None }).collect();
    occlusal(&views, notation, "Arches as measured", OcclusalSize::Large)
}

fn seen(measured: &MeasuredArch) -> OcclusalArch {
    let of = |key| measured.figure(key).map_or(0.0, |f| f.value);
    // What the error of picking makes of a tooth in line is not drawn as a tooth out of line.
    let sure =
        |key| measured.figure(key).filter(|f| f.value.abs() > SURE * f.sd).map_or(0.0, |f| f.value);
    let crown = |tooth: &Tooth| {
        let mesial = if tooth.side() == Side::Right { 1.0 } else { -1.0 };
        let pose = ToothPose {
            lingual_mm: sure(FigureKey::Lingual(*tooth)),
            rotated_rad: mesial * sure(FigureKey::Rotated(*tooth)).to_radians(),
            ..ToothPose::default()
        };
        let station = measured.stations.get(tooth).copied().unwrap_or_default();
        (*tooth, station, of(FigureKey::Width(*tooth)), pose)
    };
    OcclusalArch::of_points(measured.arch, measured.line, measured.teeth.iter().map(crown))
}
