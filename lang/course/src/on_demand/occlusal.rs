//! An arch seen from the bite: where crowns, brackets and wire lie in the plane of the arch on one day.
//!
//! Drawings are made from this and compute no place themselves. Lengths in mm. The plane's first axis points to the
//! patient's left, the second inward at the midline, where both are zero on the slot line.

use std::collections::BTreeSet;

use crate::geometry::{ArchLayout, BracketPosition, arch_line, overlap_now_mm};
use crate::mouth::pair::pair;
use crate::mouth::pose::{ToothPose, move_slot};
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, arch_state};
use crate::setup::arch_setup::ArchSetup;
use crate::timeline::moment::{Basis, Known, SpaceAt, SpaceMoment, StepMoment};
use crate::timeline::phase::Phase;
use springline_mechanics::{ArchLine, Setup, Solution, WirePoint, wire_curve};
use springline_model::case::ArchCase;
use springline_units::anatomy::SLOT_BEFORE_CONTACTS_MM;
use springline_units::tooth::{Arch, Tooth};

/// Distance of the points of a drawn wire: finer than a printer's line is wide.
const POINTS_APART_MM: f64 = 0.5;
/// The line goes on so far beyond the last crowns.
const BEYOND_MM: f64 = 4.0;
/// Distance of its points.
const LINE_APART_MM: f64 = 1.0;

/// One arch in its plane.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct OcclusalArch {
    pub arch: Arch,
    /// The slot line: where wire and slots of the aligned arch lie.
    pub line: Vec<[f64; 2]>,
    /// Teeth with a crown, from the patient's right to left.
    pub crowns: Vec<OcclusalCrown>,
    /// The base wire as the solver has it, from the patient's right to left; empty where it has no answer, or there
    /// is no wire.
    pub wire: Vec<WirePoint>,
    pub overlay: Vec<WirePoint>,
    pub gaps: Vec<OcclusalGap>,
    /// Neighbours whose crowns overlap along the contact line as measured, and by how much now, mm.
    pub overlaps: Vec<((Tooth, Tooth), f64)>,
}

/// One crown.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct OcclusalCrown {
    pub tooth: Tooth,
    /// Where its slot would lie, were it in line.
    pub station_mm: f64,
    pub width_mm: f64,
    /// Of the bracket; zero without one.
    pub bracket_mm: f64,
    pub pose: Known<ToothPose>,
    line: ArchLine,
}

/// Open space between two crowns that stand beside each other, and its length along the contact line.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct OcclusalGap {
    pub between: (Tooth, Tooth),
    pub length_mm: f64,
    /// Its middle, on the contact line.
    pub at: Placed,
}

/// Where something stands in the plane: its place, and how far its own axis is turned from the page's, rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    pub at_mm: [f64; 2],
    pub turn_rad: f64,
}

impl OcclusalCrown {
    /// Its slot in a pose: the bracket's centre, and the direction of the slot.
    pub fn placed(&self, pose: &ToothPose) -> Placed {
        let mut placed = on_line(&self.line, self.station_mm + pose.along_mm, pose.lingual_mm);
        placed.turn_rad += pose.rotated_rad;
        placed
    }
}

impl OcclusalArch {
    /// As the case describes the arch at the start, without a wire; `None` where it has no step.
    pub fn entered(case: &ArchCase) -> Option<OcclusalArch> {
        let state = arch_state(case, 0, &BTreeSet::new())?;
        let mouth = Mouth::entered(case);
        let known = |tooth| Known::exactly(mouth.pose(tooth), Basis::Entered);
        Some(seen(case, &state, &mouth, known, [Vec::new(), Vec::new()]))
    }

    /// As it was measured: crowns at these stations of a line, with their widths and poses.
    pub fn of_points(
        arch: Arch,
        line: ArchLine,
        teeth: impl IntoIterator<Item = (Tooth, f64, f64, ToothPose)>,
    ) -> OcclusalArch {
        let crowns: Vec<OcclusalCrown> = teeth
            .into_iter()
            .map(|(tooth, station_mm, width_mm, pose)| OcclusalCrown {
                tooth,
                station_mm,
                width_mm,
                bracket_mm: 0.0,
                pose: Known::exactly(pose, Basis::Entered),
                line,
            })
            .collect();
        let stations = || crowns.iter().map(|c| c.station_mm);
        let from = stations().fold(f64::INFINITY, f64::min) - 2.0 * BEYOND_MM;
        let to = stations().fold(f64::NEG_INFINITY, f64::max) + 2.0 * BEYOND_MM;
        let drawn = if crowns.is_empty() { Vec::new() } else { points_of(&line, from, to) };
        let (wire, overlay) = (Vec::new(), Vec::new());
        OcclusalArch {
            arch,
            line: drawn,
            crowns,
            wire,
            overlay,
            gaps: Vec::new(),
            overlaps: Vec::new(),
        }
    }

    /// A phase at one moment of it.
    pub fn of(case: &ArchCase, phase: &Phase, moment: &StepMoment) -> OcclusalArch {
        let mouth = mouth_at(phase, moment);
        let layout = ArchLayout::of(case, &phase.state, &mouth);
        let wires = solved(phase, &layout, &mouth).unwrap_or_default();
        let known = |tooth| {
            let found = moment.teeth.iter().find(|t| t.tooth == tooth);
            found.map_or_else(|| Known::exactly(mouth.pose(tooth), Basis::Assumed), |t| t.pose)
        };
        seen(case, &phase.state, &mouth, known, wires)
    }

    pub fn crown(&self, tooth: Tooth) -> Option<&OcclusalCrown> {
        self.crowns.iter().find(|c| c.tooth == tooth)
    }
}

fn on_line(line: &ArchLine, station_mm: f64, inward_mm: f64) -> Placed {
    let ([x, y], turn_rad) = line.place(station_mm);
    let (sin, cos) = turn_rad.sin_cos();
    Placed { at_mm: [x - inward_mm * sin, y + inward_mm * cos], turn_rad }
}

fn seen(
    case: &ArchCase,
    state: &ArchState,
    mouth: &Mouth,
    known: impl Fn(Tooth) -> Known<ToothPose>,
    [wire, overlay]: [Vec<WirePoint>; 2],
) -> OcclusalArch {
    let layout = ArchLayout::of(case, state, mouth);
    let line = arch_line(state.form.curve);
    let crown = |at: &BracketPosition| OcclusalCrown {
        tooth: at.tooth,
        station_mm: at.centre_mm,
        width_mm: at.crown_mm,
        bracket_mm: at.width_mm,
        pose: known(at.tooth),
        line,
    };
    OcclusalArch {
        arch: case.arch,
        line: drawn_line(&line, &layout),
        crowns: layout.teeth().iter().map(crown).collect(),
        wire,
        overlay,
        gaps: gaps(&line, &layout, mouth),
        overlaps: overlaps(&layout, mouth),
    }
}

fn drawn_line(line: &ArchLine, layout: &ArchLayout) -> Vec<[f64; 2]> {
    let (Some(first), Some(last)) = (layout.teeth().first(), layout.teeth().last()) else {
        return Vec::new();
    };
    let from = first.centre_mm - 0.5 * first.crown_mm - BEYOND_MM;
    let to = last.centre_mm + 0.5 * last.crown_mm + BEYOND_MM;
    points_of(line, from, to)
}

fn points_of(line: &ArchLine, from: f64, to: f64) -> Vec<[f64; 2]> {
    let parts = ((to - from) / LINE_APART_MM).ceil().max(1.0) as usize;
    (0..=parts).map(|i| line.place(from + (to - from) * i as f64 / parts as f64).0).collect()
}

/// Under this a gap is a contact.
const LEAST_GAP_MM: f64 = 0.1;

fn gaps(line: &ArchLine, layout: &ArchLayout, mouth: &Mouth) -> Vec<OcclusalGap> {
    let beside = layout.teeth().windows(2);
    let gap = |pair_of: &[BracketPosition]| {
        let (a, b) = (&pair_of[0], &pair_of[1]);
        let known = mouth.gap_mm(a.tooth, b.tooth);
        let absent = b.tooth.position().abs_diff(a.tooth.position()) > 1;
        let between = b.crown_centre_mm - a.crown_centre_mm - 0.5 * (a.crown_mm + b.crown_mm);
        let length_mm = known.or(absent.then_some(between))?;
        let middle =
            0.5 * (a.crown_centre_mm + 0.5 * a.crown_mm + b.crown_centre_mm - 0.5 * b.crown_mm);
        let station = crate::geometry::slot_station_mm(line, middle);
        let at = on_line(line, station, SLOT_BEFORE_CONTACTS_MM);
        (length_mm >= LEAST_GAP_MM).then_some(OcclusalGap {
            between: (a.tooth, b.tooth),
            length_mm,
            at,
        })
    };
    beside.filter_map(gap).collect()
}

fn overlaps(layout: &ArchLayout, mouth: &Mouth) -> Vec<((Tooth, Tooth), f64)> {
    let beside = layout.teeth().windows(2).map(|w| (w[0].tooth, w[1].tooth));
    let overlap = |pair: (Tooth, Tooth)| Some((pair, overlap_now_mm(mouth, pair.0, pair.1)?));
    beside.filter_map(overlap).filter(|(_, mm)| *mm >= LEAST_GAP_MM).collect()
}

/// Everything of the arch where it stands on that day.
fn mouth_at(phase: &Phase, moment: &StepMoment) -> Mouth {
    let mut mouth = phase.entry.clone();
    for tooth in &moment.teeth {
        mouth.poses.insert(tooth.tooth, tooth.pose.value);
    }
    for SpaceMoment { at, length_mm, .. } in &moment.spaces {
        match at {
            SpaceAt::Tooth(tooth) => mouth.spaces.insert(*tooth, length_mm.value).map(drop),
            SpaceAt::Between(a, b) => mouth.gaps.insert(pair(*a, *b), length_mm.value).map(drop),
        };
    }
    mouth
}

/// Both wires fresh in the slots as they stand then: the shape of a wire hangs little on what it went through.
fn solved(phase: &Phase, layout: &ArchLayout, mouth: &Mouth) -> Option<[Vec<WirePoint>; 2]> {
    let mut setup = ArchSetup::clone(&phase.setup);
    let overlay = setup.overlay.iter_mut().flat_map(|o| &mut o.slots);
    for slot in setup.base.slots.iter_mut().chain(overlay) {
        let tooth = Tooth::iso(u32::from(slot.id))?;
        slot.station_mm = layout.station_mm(tooth)?;
        move_slot(&mut slot.stand, &phase.entry.pose(tooth), &mouth.pose(tooth));
    }
    let solution = setup.solve(None).ok()?;
    let curve = |setup: &Setup, solution: &Solution| {
        wire_curve(setup, solution, POINTS_APART_MM).unwrap_or_default()
    };
    let over = setup.overlay.as_ref().zip(solution.overlay.as_ref());
    Some([
        curve(&setup.base, &solution.base),
        over.map(|(setup, solution)| curve(setup, solution)).unwrap_or_default(),
    ])
}
