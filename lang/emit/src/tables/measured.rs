//! What was measured from points: stands, contacts, indices, each with what the error of picking makes of it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::grid::grid;
use crate::spreadsheet::{Cell, Table};
use crate::wording::in_out;
use springline_finding::Finding;
use springline_measure::{FigureKey, MeasuredArch, MeasuredFigure, MeasuredTeeth};
use springline_model::overjet::say_overjet;
use springline_model::stand::InOut;
use springline_model::tooth_size::{COUNTS_MM, ToothSizeSpan};
use springline_units::quantity::{plain, tenth};
use springline_units::tooth::{Arch, Notation, Tooth};

pub const SCHEMA: &str = "springline.measured/1";

/// Eight re-picks in ten lie within so many standard deviations.
const EIGHT_IN_TEN: f64 = 1.28;
/// Under so many errors of a point Little's index says only that there is no more: in a straight arch 0.2 mm of picking
/// reads 1.3 (0.55) mm, 0.1 mm half of that (mean and standard deviation of made arches).
const IRREGULARITY_OF_ERROR: f64 = 10.0;
/// A curve of Spee under this is flat to the eye, and the deepest of several picked cusps reads as much (common practice,
/// no source).
const LEAST_SPEE_MM: f64 = 0.5;

/// A figure, and between what eight re-picks in ten lie.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PickedFigure {
    pub value: f64,
    pub low: f64,
    pub high: f64,
}

/// Signs: lingual, gingival, mesial edge inwards, crown tipped mesially are positive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredToothRow {
    pub tooth: Tooth,
    pub in_line: bool,
    pub lingual_mm: Option<PickedFigure>,
    pub gingival_mm: Option<PickedFigure>,
    pub rotated_deg: Option<PickedFigure>,
    pub tipped_deg: Option<PickedFigure>,
    pub width_mm: Option<PickedFigure>,
    pub space_mm: Option<PickedFigure>,
}

/// A contact of two neighbours; negative figures are overlaps.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredContactRow {
    pub between: (Tooth, Tooth),
    /// Between the facing contacts.
    pub gap_mm: Option<PickedFigure>,
    /// Between the crowns as a plan lays them out.
    pub spacing_mm: Option<PickedFigure>,
}

/// A figure of an arch or of both.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredIndexRow {
    pub name: &'static str,
    pub unit: &'static str,
    pub figure: PickedFigure,
    /// What the figure allows to be said.
    pub says: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredArchTable {
    pub arch: Arch,
    /// The form that was laid through the teeth.
    pub form: String,
    /// The nearest catenary, mm, where another form was laid.
    pub fits_best_mm: Option<f64>,
    /// The form by its widths that fits best, as a practice file writes it after its name; and how many teeth it has in
    /// line.
    pub by_widths: Option<String>,
    pub by_widths_in_line: Option<usize>,
    pub misfit_mm: f64,
    pub in_line: Vec<Tooth>,
    pub teeth: Vec<MeasuredToothRow>,
    pub contacts: Vec<MeasuredContactRow>,
    pub indices: Vec<MeasuredIndexRow>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredTable {
    pub schema: &'static str,
    /// Names of the files, and the beginning of the fingerprint of their text.
    pub points: Vec<(String, String)>,
    /// Standard deviation taken for each coordinate of a point, mm.
    pub error_mm: f64,
    pub arches: Vec<MeasuredArchTable>,
    pub both: Vec<MeasuredIndexRow>,
    pub findings: Vec<MeasuredFinding>,
}

/// A finding, shortly.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredFinding {
    pub code: String,
    pub severity: springline_finding::Severity,
    pub teeth: Vec<Tooth>,
    pub message: String,
}

/// The table; `form_of` names the form of an arch.
pub fn measured(
    measured: &MeasuredTeeth,
    points: &[(String, String)],
    error_mm: f64,
    findings: &[Finding],
    form_of: impl Fn(&MeasuredArch) -> String,
) -> MeasuredTable {
    let short = |f: &Finding| MeasuredFinding {
        code: f.code.as_str().to_owned(),
        severity: f.severity,
        teeth: f.teeth.clone(),
        message: f.message.clone(),
    };
    let named = |(name, print): &(String, String)| (crate::own_name(name), print.clone());
    MeasuredTable {
        schema: SCHEMA,
        points: points.iter().map(named).collect(),
        error_mm,
        arches: measured.arches.iter().map(|a| arch(a, form_of(a), measured, error_mm)).collect(),
        both: indices(&measured.both, measured, error_mm),
        findings: findings.iter().map(short).collect(),
    }
}

/// Hundredths are all that can be meant.
fn hundredths(x: f64) -> f64 {
    let x = (x * 100.0).round() / 100.0;
    if x == 0.0 { 0.0 } else { x }
}

fn picked(f: MeasuredFigure) -> PickedFigure {
    let by = EIGHT_IN_TEN * f.sd;
    let at = |x: f64| hundredths(f.value + x);
    PickedFigure { value: at(0.0), low: at(-by), high: at(by) }
}

fn arch(
    measured: &MeasuredArch,
    form: String,
    all: &MeasuredTeeth,
    error_mm: f64,
) -> MeasuredArchTable {
    let of = |key| measured.figure(key).map(picked);
    let tooth = |t: &Tooth| MeasuredToothRow {
        tooth: *t,
        in_line: measured.in_line.contains(t),
        lingual_mm: of(FigureKey::Lingual(*t)),
        gingival_mm: of(FigureKey::Gingival(*t)),
        rotated_deg: of(FigureKey::Rotated(*t)),
        tipped_deg: of(FigureKey::Tipped(*t)),
        width_mm: of(FigureKey::Width(*t)),
        space_mm: of(FigureKey::Space(*t)),
    };
    let contact = |w: &[Tooth]| MeasuredContactRow {
        between: (w[0], w[1]),
        gap_mm: of(FigureKey::Gap(w[0], w[1])),
        spacing_mm: of(FigureKey::Spacing(w[0], w[1])),
    };
    MeasuredArchTable {
        arch: measured.arch,
        form,
        fits_best_mm: measured.best_catenary_mm.map(hundredths),
        by_widths: measured.by_widths.map(|f| f.written()),
        by_widths_in_line: measured.by_widths.map(|f| f.in_line),
        misfit_mm: hundredths(measured.misfit_mm),
        in_line: measured.in_line.clone(),
        teeth: measured.teeth.iter().map(tooth).collect(),
        contacts: measured.teeth.windows(2).map(contact).collect(),
        indices: indices(&measured.figures, all, error_mm),
    }
}

/// Name and unit of figures that are no tooth's; `None` of a tooth.
fn named(key: FigureKey) -> Option<(&'static str, &'static str)> {
    Some(match key {
        FigureKey::Irregularity => ("irregularity", "mm"),
        FigureKey::IrregularityInOut => ("irregularity, in-out part", "mm"),
        FigureKey::Available => ("arch length available", "mm"),
        FigureKey::Required => ("widths of the crowns between", "mm"),
        FigureKey::Discrepancy => ("arch length discrepancy", "mm"),
        FigureKey::CanineWidth => ("canine width", "mm"),
        FigureKey::MolarWidth => ("molar width", "mm"),
        FigureKey::Depth => ("arch depth", "mm"),
        FigureKey::CurveOfSpee => ("curve of Spee", "mm"),
        FigureKey::FormSize => ("size of the fitted catenary", "mm"),
        FigureKey::AnteriorRatio => ("anterior tooth-size ratio", "%"),
        FigureKey::OverallRatio => ("overall tooth-size ratio", "%"),
        FigureKey::Overjet => ("overjet", "mm"),
        FigureKey::Overbite => ("overbite", "mm"),
        FigureKey::LowerMidline => ("lower midline", "mm"),
        _ => return None,
    })
}

fn indices(
    figures: &BTreeMap<FigureKey, MeasuredFigure>,
    widths: &MeasuredTeeth,
    error_mm: f64,
) -> Vec<MeasuredIndexRow> {
    let row = |(key, figure): (&FigureKey, &MeasuredFigure)| {
        let (name, unit) = named(*key)?;
        let says = match key {
            FigureKey::AnteriorRatio => ratio(*figure, ToothSizeSpan::Anterior, widths),
            FigureKey::OverallRatio => ratio(*figure, ToothSizeSpan::Overall, widths),
            _ => says(*key, *figure, error_mm),
        };
        Some(MeasuredIndexRow { name, unit, figure: picked(*figure), says })
    };
    figures.iter().filter_map(row).collect()
}

/// No more than the error of picking allows.
fn says(key: FigureKey, figure: MeasuredFigure, error_mm: f64) -> String {
    let by = EIGHT_IN_TEN * figure.sd;
    match key {
        FigureKey::Irregularity | FigureKey::IrregularityInOut
            if figure.value < IRREGULARITY_OF_ERROR * error_mm =>
        {
            format!("at most {} mm", tenths(figure.value + by))
        }
        FigureKey::CurveOfSpee if figure.value + by < LEAST_SPEE_MM => {
            format!("at most {} mm", plain(LEAST_SPEE_MM))
        }
        FigureKey::Overjet => format!("{}, ± {}", say_overjet(figure.value), tenths(by)),
        FigureKey::Overbite if figure.value < 0.0 => {
            format!("open by {} mm, ± {}", tenths(-figure.value), tenths(by))
        }
        FigureKey::LowerMidline if figure.value.abs() <= by => {
            format!("on the upper as far as can be told, within {} mm", tenths(by))
        }
        FigureKey::Discrepancy if figure.value.abs() <= by => {
            format!("none that can be told, within {} mm", tenths(figure.value.abs().max(by)))
        }
        FigureKey::Discrepancy => {
            let way = if figure.value < 0.0 { "short" } else { "to spare" };
            let off = tenths(figure.value.abs());
            format!(
                "{off} mm {way}, ± {}; straight crowns take less of a curve than their widths",
                tenths(by)
            )
        }
        FigureKey::LowerMidline => {
            let side = if figure.value < 0.0 { "patient-right" } else { "patient-left" };
            let off = figure.value.abs();
            format!("{} mm to {side} of the upper, ± {}", tenths(off), tenths(by))
        }
        _ => format!("{} mm ± {}", tenths(figure.value), tenths(by)),
    }
}

/// Judged only beyond two standard deviations of its published spread and its own error, and where it comes to a width
/// of the patient's own crowns that counts.
fn ratio(figure: MeasuredFigure, span: ToothSizeSpan, widths: &MeasuredTeeth) -> String {
    let (usual, spread) = span.norm();
    let width = |t: Tooth| widths.arch(Arch::Upper)?.figure(FigureKey::Width(t)).map(|w| w.value);
    let upper: f64 = span.teeth(Arch::Upper).into_iter().filter_map(width).sum();
    let over = span.lower_excess_mm(figure.value, upper);
    let own = format!("{} % ± {}", tenths(figure.value), tenths(EIGHT_IN_TEN * figure.sd));
    let is_surely_off = (figure.value - usual).abs() > 2.0 * spread.hypot(figure.sd);
    if !is_surely_off || over.abs() < COUNTS_MM {
        return format!("{own}: no difference from {usual} % that can be told");
    }
    let which = if over > 0.0 { "lower" } else { "upper" };
    format!("{own}: about {} mm of {which} tooth width over", tenths(over.abs()))
}

fn tenths(x: f64) -> String {
    plain(tenth(x))
}

/// For a person.
pub fn human(table: &MeasuredTable, notation: Notation) -> String {
    let mut out = String::new();
    for arch in &table.arches {
        let names =
            |teeth: &[Tooth]| teeth.iter().map(|t| t.write(notation)).collect::<Vec<_>>().join(" ");
        out.push_str(&format!("{} arch, {}", arch.arch, arch.form));
        if let Some(best) = arch.fits_best_mm {
            out.push_str(&format!("; the nearest catenary has {} mm", tenths(best)));
        }
        out.push_str(&format!("\nin line: {}\n", names(&arch.in_line)));
        if let (Some(form), Some(count)) = (&arch.by_widths, arch.by_widths_in_line) {
            let all = arch.teeth.len();
            out.push_str(&format!("by widths `{form}` has {count} of {all} teeth in line\n"));
        }
        out.push('\n');
        let rows: Vec<Vec<String>> = arch.teeth.iter().map(|t| tooth_cells(t, notation)).collect();
        out.push_str(&grid(
            &[
                "tooth",
                "in-out, mm",
                "height, mm",
                "turn, deg",
                "tip, deg",
                "width, mm",
                "space, mm",
            ],
            &rows,
        ));
        out.push('\n');
        let apart = arch.contacts.iter().filter_map(|c| contact_words(c, notation));
        apart.for_each(|line| out.push_str(&format!("{line}\n")));
        out.push('\n');
        arch.indices.iter().for_each(|i| out.push_str(&format!("{}: {}\n", i.name, i.says)));
        out.push('\n');
    }
    table.both.iter().for_each(|i| out.push_str(&format!("{}: {}\n", i.name, i.says)));
    out.push_str(&format!(
        "\n± is where eight in ten readings lie if each coordinate of a point is off by {} mm (standard deviation); it does not hold \
         what the form itself leaves out.\n",
        plain(table.error_mm)
    ));
    out
}

fn tooth_cells(row: &MeasuredToothRow, notation: Notation) -> Vec<String> {
    let ways = [InOut::Lingual, InOut::Labial].map(|way| in_out(way, row.tooth));
    vec![
        row.tooth.write(notation),
        towards(row.lingual_mm, 1, ways),
        towards(row.gingival_mm, 1, ["gingival", "occlusal"]),
        towards(row.rotated_deg, 0, ["mesial-in", "mesial-out"]),
        towards(row.tipped_deg, 0, ["mesial", "distal"]),
        plain_cell(row.width_mm),
        plain_cell(row.space_mm),
    ]
}

fn towards(figure: Option<PickedFigure>, digits: usize, ways: [&str; 2]) -> String {
    let Some(f) = figure else { return "-".to_owned() };
    let by = f.high - f.value;
    if f.value.abs() < 0.5 * 10f64.powi(-(digits as i32)) {
        return format!("0 ± {by:.digits$}");
    }
    let way = if f.value > 0.0 { ways[0] } else { ways[1] };
    format!("{:.digits$} {way} ± {by:.digits$}", f.value.abs())
}

fn plain_cell(figure: Option<PickedFigure>) -> String {
    figure.map_or_else(|| "-".to_owned(), |f| format!("{:.1} ± {:.1}", f.value, f.high - f.value))
}

/// Where the two are surely apart or surely overlap.
fn contact_words(row: &MeasuredContactRow, notation: Notation) -> Option<String> {
    let f = row.gap_mm?;
    if f.value.abs() < 0.3 || f.low * f.high < 0.0 {
        return None;
    }
    let between = crate::wording::pair(row.between.0, row.between.1, notation);
    let (word, by) = (if f.value > 0.0 { "gap" } else { "overlap" }, f.high - f.value);
    Some(format!("{word} {between}: {:.1} mm ± {by:.1}", f.value.abs()))
}

impl Table for MeasuredTable {
    const HEAD: &'static [&'static str] =
        &["arch", "teeth", "figure", "value", "low", "high", "unit"];

    fn rows(&self) -> Vec<Vec<Cell>> {
        let mut out = Vec::new();
        let mut put =
            |arch: String, teeth: String, name: &str, f: Option<PickedFigure>, unit: &str| {
                let Some(f) = f else { return };
                let mut row = vec![Cell::words(arch), Cell::words(teeth), Cell::words(name)];
                row.extend([f.value, f.low, f.high].map(|x| Cell::figure(x, 2)));
                row.push(Cell::words(unit));
                out.push(row);
            };
        for arch in &self.arches {
            let name = || arch.arch.to_string();
            for t in &arch.teeth {
                let tooth = || t.tooth.code().to_string();
                put(name(), tooth(), "lingual", t.lingual_mm, "mm");
                put(name(), tooth(), "gingival", t.gingival_mm, "mm");
                put(name(), tooth(), "rotated mesial-in", t.rotated_deg, "deg");
                put(name(), tooth(), "tipped mesial", t.tipped_deg, "deg");
                put(name(), tooth(), "width", t.width_mm, "mm");
                put(name(), tooth(), "space", t.space_mm, "mm");
            }
            for c in &arch.contacts {
                let between = || format!("{} {}", c.between.0.code(), c.between.1.code());
                put(name(), between(), "gap", c.gap_mm, "mm");
                put(name(), between(), "spacing", c.spacing_mm, "mm");
            }
            arch.indices
                .iter()
                .for_each(|i| put(name(), String::new(), i.name, Some(i.figure), i.unit));
        }
        let both = || "both".to_owned();
        self.both.iter().for_each(|i| put(both(), String::new(), i.name, Some(i.figure), i.unit));
        out
    }
}
