//! What was measured, as the caller has it.

use std::collections::BTreeMap;

use crate::figure_key::FigureKey;
use crate::form_by_widths::FormByWidths;
use springline_mechanics::ArchLine;
use springline_units::tooth::{Arch, Tooth};

/// A figure, and the standard deviation that the error of picking gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredFigure {
    pub value: f64,
    pub sd: f64,
}

/// One arch.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredArch {
    pub arch: Arch,
    /// The form.
    pub line: ArchLine,
    /// Seen in a picture, without heights.
    pub is_flat: bool,
    /// Teeth within half a millimetre of the line.
    pub in_line: Vec<Tooth>,
    /// Teeth that were measured, from the patient's right to left.
    pub teeth: Vec<Tooth>,
    /// Station of each tooth's slot along the line, mm.
    pub stations: BTreeMap<Tooth, f64>,
    /// The line from the first slot to the last, about each mm, on the axes of the points, mm.
    pub line_points: Vec<[f64; 3]>,
    pub figures: BTreeMap<FigureKey, MeasuredFigure>,
    /// Root mean square of the distances of the teeth in line, mm.
    pub misfit_mm: f64,
    /// Size of the nearest catenary, mm, where another form was given: advice.
    pub best_catenary_mm: Option<f64>,
    /// The form by its widths that fits best, where both canines and teeth behind them were measured: what was laid, or
    /// advice.
    pub by_widths: Option<FormByWidths>,
}

impl MeasuredArch {
    pub fn figure(&self, key: FigureKey) -> Option<MeasuredFigure> {
        self.figures.get(&key).copied()
    }
}

/// All that was read from one file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MeasuredTeeth {
    pub arches: Vec<MeasuredArch>,
    /// What both arches say together.
    pub both: BTreeMap<FigureKey, MeasuredFigure>,
}

impl MeasuredTeeth {
    pub fn arch(&self, arch: Arch) -> Option<&MeasuredArch> {
        self.arches.iter().find(|a| a.arch == arch)
    }
}
