//! Contacts along the contact line: spaces, gaps and overlaps.

use std::collections::BTreeMap;

use crate::along_line::{AlongLine, PointByLine};
use crate::figure_key::FigureKey;
use crate::laid_line::LaidLine;
use crate::slots::CrownInPlane;
use springline_units::anatomy::SLOT_BEFORE_CONTACTS_MM;
use springline_units::tooth::Tooth;

/// A crown against the line.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CrownOnLine {
    pub tooth: Tooth,
    pub width_mm: f64,
    /// Of its slot.
    pub station_mm: f64,
    pub lingual_mm: f64,
    /// Left edge lingual positive, against the line at its slot.
    pub turn_rad: f64,
    /// Of its right and left contacts along the contact line, and how far inside the slot line they lie.
    pub right: ContactOnLine,
    pub left: ContactOnLine,
    /// Radius of the contact line beside its slot, mm; negative or very large where it is straight.
    pub contact_radius_mm: f64,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct ContactOnLine {
    pub at: [f64; 2],
    pub along_mm: f64,
    pub inward_mm: f64,
}

impl CrownOnLine {
    pub fn of(
        crown: &CrownInPlane,
        width_mm: f64,
        laid: &LaidLine,
        line: &mut AlongLine<'_>,
    ) -> CrownOnLine {
        let PointByLine { station_mm, inward_mm: lingual_mm, .. } = line.beside(crown.slot, None);
        let along = laid.pose.turned(crown.along);
        let turn = along[1].atan2(along[0]) - laid.line.turn_rad(station_mm);
        let mut contact = |at: [f64; 2]| {
            let beside = line.beside(at, None);
            let along_mm = contact_place(laid, beside.station_mm);
            ContactOnLine { at, along_mm, inward_mm: beside.inward_mm }
        };
        let curvature = laid.line.curvature_per_mm(station_mm);
        CrownOnLine {
            tooth: crown.tooth,
            width_mm,
            station_mm,
            lingual_mm,
            turn_rad: turn.sin().atan2(turn.cos()),
            right: contact(crown.right),
            left: contact(crown.left),
            contact_radius_mm: 1.0 / curvature.max(1e-6) - SLOT_BEFORE_CONTACTS_MM,
        }
    }

    /// Middle of the crown along the contact line, as a plan lays it out: a turned crown carries its slot on the side
    /// that it faces.
    pub fn middle_mm(&self, laid: &LaidLine) -> f64 {
        contact_place(laid, self.station_mm - SLOT_BEFORE_CONTACTS_MM * self.turn_rad.sin())
    }

    /// What its straight width takes of the curved contact line, mm.
    pub fn arc_mm(&self) -> f64 {
        let radius = self.contact_radius_mm;
        2.0 * radius * (0.5 * self.width_mm / radius).atan()
    }
}

fn contact_place(laid: &LaidLine, station_mm: f64) -> f64 {
    laid.line.parallel_mm(station_mm, SLOT_BEFORE_CONTACTS_MM)
}

/// Whether two teeth stand beside each other with none missing between.
pub(crate) fn are_neighbours(a: Tooth, b: Tooth) -> bool {
    a.place().abs_diff(b.place()) == 1
}

pub(crate) fn gaps_and_spaces(
    crowns: &[CrownOnLine],
    laid: &LaidLine,
    out: &mut BTreeMap<FigureKey, f64>,
) {
    for pair in crowns.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        out.insert(FigureKey::Gap(a.tooth, b.tooth), b.right.along_mm - a.left.along_mm);
        let apart = b.middle_mm(laid) - a.middle_mm(laid) - 0.5 * (a.width_mm + b.width_mm);
        out.insert(FigureKey::Spacing(a.tooth, b.tooth), apart);
    }
    for three in crowns.windows(3) {
        let (before, own, after) = (&three[0], &three[1], &three[2]);
        if are_neighbours(before.tooth, own.tooth) && are_neighbours(own.tooth, after.tooth) {
            let space = after.right.along_mm - before.left.along_mm;
            out.insert(FigureKey::Space(own.tooth), space);
        }
    }
}
