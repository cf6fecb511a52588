//! One reading of one arch: the line laid, every figure against it.

use std::collections::BTreeMap;

use crate::along_line::AlongLine;
use crate::anatomy::MeasureAnatomy;
use crate::contacts::{CrownOnLine, gaps_and_spaces};
use crate::figure_key::FigureKey;
use crate::form_by_widths::canine_mm;
use crate::heights::heights_and_tips;
use crate::indices::arch_indices;
use crate::laid_line::LaidLine;
use crate::line_fit::{FitLoss, FormToLay, SlotToFit, lay_line};
use crate::picks::ArchPicks;
use crate::slots::CrownInPlane;
use springline_mechanics::ArchLine;
use springline_units::tooth::{Arch, Side, Tooth};

/// How points are to be read.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureOptions {
    pub upper: FormToLay,
    pub lower: FormToLay,
    pub loss: FitLoss,
    /// Teeth that the line is laid through; all of an arch of which none is named.
    pub in_line: Vec<Tooth>,
    /// Standard deviation of each coordinate of a point, mm.
    pub error_mm: f64,
    pub anatomy: MeasureAnatomy,
}

impl MeasureOptions {
    pub(crate) fn form_of(&self, arch: Arch) -> FormToLay {
        match arch {
            Arch::Upper => self.upper,
            Arch::Lower => self.lower,
        }
    }
}

/// One reading of one arch.
pub(crate) struct ArchReading {
    pub laid: LaidLine,
    pub in_plane: Vec<CrownInPlane>,
    pub crowns: Vec<CrownOnLine>,
    pub figures: BTreeMap<FigureKey, f64>,
}

/// Reads an arch whose points are in its own frame.
pub(crate) fn read_arch(
    picks: &ArchPicks,
    options: &MeasureOptions,
    choice: FormToLay,
    start: Option<LaidLine>,
) -> ArchReading {
    let in_plane: Vec<CrownInPlane> =
        picks.crowns.iter().map(|c| CrownInPlane::of(c, &options.anatomy)).collect();
    let is_there = |tooth: Tooth| in_plane.iter().any(|p| p.tooth == tooth);
    // Teeth of the other arch alone name none of this one.
    let named: Vec<Tooth> = options.in_line.iter().copied().filter(|t| is_there(*t)).collect();
    let chosen = |tooth: Tooth| named.is_empty() || named.contains(&tooth);
    let slots: Vec<SlotToFit> = in_plane
        .iter()
        .filter(|p| chosen(p.tooth))
        .map(|p| SlotToFit { at: p.slot, paired: is_there(p.tooth.mirror()) })
        .collect();
    let laid = lay_line(&slots, choice, canine_mm(&in_plane), options.loss, start);
    let mut line = AlongLine::new(&laid);
    let crowns: Vec<CrownOnLine> = in_plane
        .iter()
        .zip(&picks.crowns)
        .map(|(flat, c)| CrownOnLine::of(flat, c.width_mm(), &laid, &mut line))
        .collect();
    let mut figures = BTreeMap::new();
    for crown in &crowns {
        let mesial = if crown.tooth.side() == Side::Right { 1.0 } else { -1.0 };
        figures.insert(FigureKey::Lingual(crown.tooth), crown.lingual_mm);
        figures.insert(FigureKey::Rotated(crown.tooth), mesial * crown.turn_rad.to_degrees());
        figures.insert(FigureKey::Width(crown.tooth), crown.width_mm);
    }
    if let (FormToLay::FittedCatenary | FormToLay::FittedWidths, ArchLine::Catenary { a_mm }) =
        (choice, laid.line)
    {
        figures.insert(FigureKey::FormSize, a_mm);
    }
    heights_and_tips(picks, &in_plane, &options.anatomy, &mut figures);
    gaps_and_spaces(&crowns, &laid, &mut figures);
    arch_indices(picks, &in_plane, &crowns, &mut figures);
    ArchReading { laid, in_plane, crowns, figures }
}
