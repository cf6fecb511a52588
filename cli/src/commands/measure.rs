//! `springline measure`: where teeth stand, from landmark points of a scan or photograph.

use std::process::ExitCode;
use std::sync::Arc;

use springline_emit::draw;
use springline_emit::spreadsheet;
use springline_emit::tables::measured::{MeasuredTable, human, measured as table};
use springline_lang::TextDatabase;
use springline_lang::course::arch_line;
use springline_lang::finding::{Finding, FindingReport, Severity};
use springline_lang::mechanics::ArchLine;
use springline_lang::model::form::FormCurve;
use springline_lang::model::{Case, House};
use springline_lang::text::{FileId, SourceFile};
use springline_lang::units::quantity::plain;
use springline_lang::units::tooth::{Arch, Notation, Tooth};
use springline_measure::{
    FitLoss, FormToLay, MeasureAnatomy, MeasureOptions, PointTable, measure_points, read_csv,
};

use crate::args::{Args, MeasureArgs, MeasureFormat};
use crate::cases::fingerprint;
use crate::commands::check::colour;
use crate::commands::tables::json;
use crate::files::{self, Input};
use crate::output::{print, show_as_is};
use crate::problem::Problem;
use crate::render::human::{self, Style};

/// Sizes of a form that can be laid through teeth, mm.
const SIZES_MM: std::ops::RangeInclusive<f64> = 6.0..=60.0;
/// Errors of picking that are measured with, mm.
const ERRORS_MM: std::ops::RangeInclusive<f64> = 0.0..=2.0;
/// So many digits of a fingerprint tell two files apart.
const PRINT_DIGITS: usize = 8;

/// Findings about files of points, as the terminal shows them.
struct PointsReport {
    files: Vec<SourceFile>,
    findings: Vec<Finding>,
}

impl FindingReport for PointsReport {
    fn files(&self) -> &[SourceFile] {
        &self.files
    }

    fn chart(&self) -> Option<&str> {
        None
    }

    fn may_print(&self) -> bool {
        self.findings.iter().all(|f| f.severity != Severity::Error)
    }

    fn findings(&self) -> &[Finding] {
        &self.findings
    }
}

/// A form by the name that is printed of it.
#[derive(Clone)]
struct FormByName {
    name: String,
    line: FormToLay,
}

pub fn run(measure: &MeasureArgs, args: &Args) -> Result<ExitCode, Problem> {
    if !ERRORS_MM.contains(&measure.error) {
        return Err(Problem::usage(
            format!("An error of {} mm cannot be measured with.", measure.error),
            "Write the standard deviation of a picked point, such as 0.2.",
        ));
    }
    let in_line = in_line(&measure.in_line)?;
    let (case, house) = case(measure)?;
    let inputs = measure.points.iter().map(|p| files::read(p)).collect::<Result<Vec<_>, _>>()?;
    let mut report = PointsReport { files: sources(&inputs), findings: Vec::new() };
    let mut tables = Vec::new();
    for file in &report.files {
        let (table, findings) = read_csv(file.id, &file.text);
        tables.extend(table);
        report.findings.extend(findings);
    }
    let style = Style { colour: colour(args), all: true };
    if tables.len() < inputs.len() {
        show_as_is(&human::findings(&report, style));
        return Ok(ExitCode::from(1));
    }
    let Some(points) = PointTable::joined(tables) else {
        return Err(Problem::usage(
            "Two files give points of one tooth.",
            "Name one file for each arch.",
        ));
    };
    let lines = [Arch::Upper, Arch::Lower]
        .map(|arch| named_line(measure.form.as_deref(), arch, case.as_deref(), house.as_deref()));
    let [upper, lower] = lines;
    let (upper, lower) = (upper?, lower?);
    let options = MeasureOptions {
        upper: upper.line,
        lower: lower.line,
        loss: FitLoss::Cauchy,
        in_line,
        error_mm: measure.error,
        anatomy: MeasureAnatomy::default(),
    };
    let (read, findings) = measure_points(&points, &options);
    report.findings.extend(findings);
    let prints: Vec<(String, String)> = report
        .files
        .iter()
        .map(|f| (f.name.clone(), fingerprint(&f.text)[..PRINT_DIGITS].to_owned()))
        .collect();
    let form_of = |arch: &springline_measure::MeasuredArch| {
        let name = if arch.arch == Arch::Upper { &upper.name } else { &lower.name };
        match (name.as_str(), arch.line) {
            ("", ArchLine::Catenary { a_mm }) => {
                format!("catenary of {} mm, fitted", plain((a_mm * 10.0).round() / 10.0))
            }
            (name, _) => format!("form {name}"),
        }
    };
    let table = table(&read, &prints, measure.error, &report.findings, form_of);
    let notation = house.map_or(Notation::default(), |h| h.notation.value);
    let shown = !read.arches.is_empty();
    if shown {
        print(&match measure.format {
            MeasureFormat::Human => human(&table, notation),
            MeasureFormat::Json => json(&table),
            MeasureFormat::Csv => spreadsheet::head::<MeasuredTable>() + &spreadsheet::rows(&table),
            MeasureFormat::Svg => draw::svg::file(&draw::measured(&read, notation)),
        });
    }
    show_as_is(&human::findings(&report, style));
    Ok(if report.may_print() { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

fn sources(inputs: &[Input]) -> Vec<SourceFile> {
    let file = |(i, input): (usize, &Input)| SourceFile {
        id: FileId(i as u32),
        name: input.name.clone(),
        text: input.text.clone(),
    };
    inputs.iter().enumerate().map(file).collect()
}

fn in_line(written: &[String]) -> Result<Vec<Tooth>, Problem> {
    let tooth = |text: &String| {
        Tooth::parse(text.trim()).ok_or_else(|| {
            Problem::usage(
                format!("`{text}` is no tooth."),
                "Write teeth as 16,15,13 or UR6,UR5,UR3.",
            )
        })
    };
    written.iter().map(tooth).collect()
}

/// The case, and its practice.
fn case(measure: &MeasureArgs) -> Result<(Option<Arc<Case>>, Option<Arc<House>>), Problem> {
    let Some(path) = &measure.case else { return Ok((None, None)) };
    let input = files::read(path)?;
    let read = TextDatabase::new().read(&input.source(), &input.library());
    if read.case.is_none() {
        return Err(Problem::usage(
            format!("{} cannot be read as a case.", input.name),
            "`springline check` says why.",
        ));
    }
    Ok((read.case, read.house))
}

/// The form that was asked for, else the case's; fitted where there is neither.
fn named_line(
    asked: Option<&str>,
    arch: Arch,
    case: Option<&Case>,
    house: Option<&House>,
) -> Result<FormByName, Problem> {
    let given = |name: String, curve: FormCurve| FormByName {
        name,
        line: FormToLay::Given(arch_line(curve)),
    };
    let fitted = FormByName { name: String::new(), line: FormToLay::FittedCatenary };
    match asked.map(str::trim) {
        None => Ok(case
            .and_then(|c| c.arch(arch))
            .map_or(fitted, |own| given(own.form.value.name.to_string(), own.form.value.curve))),
        Some("fitted") => Ok(fitted),
        Some(text) => {
            if let Some(form) = house.and_then(|h| h.forms.get(text)) {
                return Ok(given(form.name.to_string(), form.curve));
            }
            let size =
                text.strip_prefix("catenary").map(|s| s.trim().trim_end_matches("mm").trim());
            let size = size.and_then(|s| s.parse::<f64>().ok()).filter(|mm| SIZES_MM.contains(mm));
            match size {
                Some(a_mm) => Ok(FormByName {
                    name: format!("catenary of {} mm", plain(a_mm)),
                    line: FormToLay::Given(ArchLine::Catenary { a_mm }),
                }),
                None => Err(Problem::usage(
                    format!("There is no form `{text}` here."),
                    "Name a form of the practice together with --case, or write `catenary 15 mm` or `fitted`.",
                )),
            }
        }
    }
}
