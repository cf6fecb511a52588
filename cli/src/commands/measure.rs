//! `springline measure`: where teeth stand, from landmark points of a scan or photograph.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use jiff::civil::Date;

use springline_emit::draw;
use springline_emit::spreadsheet;
use springline_emit::tables::measured::{MeasuredTable, human, measured as table};
use springline_lang::course::arch_line;
use springline_lang::finding::{Finding, FindingReport, Severity};
use springline_lang::mechanics::ArchLine;
use springline_lang::model::form::FormCurve;
use springline_lang::model::measured_block::PointsSource;
use springline_lang::model::{Case, House};
use springline_lang::record::{
    ReadingSource, measured_lines, own_lines_first, reading_block, write_measured,
};
use springline_lang::stand_edit::StandPlace;
use springline_lang::text::{FileId, SourceFile};
use springline_lang::units::quantity::{mm, plain, tenth};
use springline_lang::units::tooth::{Arch, Notation, Tooth};
use springline_lang::{SourceText, TextDatabase};
use springline_measure::{
    FitLoss, FormToLay, MeasureAnatomy, MeasureOptions, MeasuredArch, MeasuredTeeth, PointTable,
    measure_points, read_csv, read_landmarks, read_markups, read_picked_points,
};

use crate::args::{Args, MeasureArgs, MeasureFormat};
use crate::cases::fingerprint;
use crate::commands::check::colour;
use crate::commands::tables::json;
use crate::files::{self, Input};
use crate::output::{print, print_plan, show_as_is};
use crate::problem::Problem;
use crate::render::human::{self, Style};
use crate::today::today;

/// Sizes of a form that can be laid through teeth, mm.
const SIZES_MM: std::ops::RangeInclusive<f64> = 6.0..=60.0;
/// Errors of picking that are measured with, mm.
const ERRORS_MM: std::ops::RangeInclusive<f64> = 0.05..=2.0;
/// So many digits of a fingerprint tell two files apart.
pub const PRINT_DIGITS: usize = 8;

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
pub struct FormByName {
    pub name: String,
    pub line: FormToLay,
}

/// How points are read when these forms are laid.
pub fn options(
    upper: &FormByName,
    lower: &FormByName,
    house: Option<&House>,
    error_mm: f64,
) -> MeasureOptions {
    MeasureOptions {
        upper: upper.line,
        lower: lower.line,
        loss: FitLoss::Cauchy,
        in_line: Vec::new(),
        error_mm,
        anatomy: house.map_or_else(MeasureAnatomy::default, anatomy),
    }
}

/// The form of an arch in words; no name stands for one that was fitted.
pub fn form_name(name: &str, arch: &MeasuredArch) -> String {
    match (name, arch.line) {
        ("", ArchLine::Catenary { a_mm }) => {
            format!("catenary of {} mm, fitted", plain(tenth(a_mm)))
        }
        ("", ArchLine::TwoWidths(_)) => "form by its widths, fitted".to_owned(),
        (name, _) => format!("form {name}"),
    }
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
    let labels = match (&measure.labels, &measure.mesh) {
        (Some(labels), Some(mesh)) => Some((files::read(labels)?, files::read(mesh)?)),
        _ => None,
    };
    let mut tables = Vec::new();
    for file in &report.files {
        let (table, findings) = match &labels {
            Some((labels, mesh)) => read_landmarks(file.id, &file.text, &labels.text, &mesh.text),
            None if begins(&file.text, '{') => read_markups(file.id, &file.text),
            None if begins(&file.text, '<') => read_picked_points(file.id, &file.text),
            None => read_csv(file.id, &file.text),
        };
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
    let options =
        MeasureOptions { in_line, ..options(&upper, &lower, house.as_deref(), measure.error) };
    let (read, findings) = measure_points(&points, &options);
    report.findings.extend(findings);
    let prints: Vec<(String, String)> = report
        .files
        .iter()
        .map(|f| (f.name.clone(), fingerprint(&f.text)[..PRINT_DIGITS].to_owned()))
        .collect();
    let form_of = |arch: &MeasuredArch| {
        form_name(if arch.arch == Arch::Upper { &upper.name } else { &lower.name }, arch)
    };
    let table = table(&read, &prints, measure.error, &report.findings, form_of);
    let notation = house.map_or(Notation::default(), |h| h.notation.value);
    let shown = !read.arches.is_empty();
    if shown && !measure.dry_run {
        print(&match measure.format {
            MeasureFormat::Human => human(&table, notation),
            MeasureFormat::Json => json(&table),
            MeasureFormat::Csv => spreadsheet::head::<MeasuredTable>() + &spreadsheet::rows(&table),
            MeasureFormat::Plan => {
                let from = reading_sources(measure, &points, &read, &report.files)?;
                plan_lines(&read, &from, notation)
            }
            MeasureFormat::Svg => draw::svg::file(&draw::measured(&read, notation)),
        });
    }
    show_as_is(&human::findings(&report, style));
    if let (true, Some(path)) = (measure.write, &measure.case) {
        if !report.may_print() {
            crate::tell!("Nothing was written: the points have errors.");
            return Ok(ExitCode::from(1));
        }
        let from = reading_sources(measure, &points, &read, &report.files)?;
        write(path, measure, &read, &from)?;
    }
    Ok(if report.may_print() { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Where the points of each arch came from, as its block says it.
pub type ReadingSources = BTreeMap<Arch, ReadingSource>;

fn reading_sources(
    measure: &MeasureArgs,
    points: &PointTable,
    read: &MeasuredTeeth,
    files: &[SourceFile],
) -> Result<ReadingSources, Problem> {
    let on = match measure.on.or(measure.visit) {
        Some(on) => on,
        None => today()?,
    };
    let of = |arch: &MeasuredArch| {
        let file = file_of(points, arch.arch, files)?;
        let print = fingerprint(&file.text);
        let source = measure.source.map(PointsSource::from);
        Ok((arch.arch, reading_source(arch, (&file.name, &print), on, source, measure.error)))
    };
    read.arches.iter().map(of).collect()
}

/// The one file that gives the points of an arch.
fn file_of<'a>(
    points: &PointTable,
    arch: Arch,
    files: &'a [SourceFile],
) -> Result<&'a SourceFile, Problem> {
    let own = points.teeth.iter().filter(|(t, _)| t.arch() == arch);
    let ids: BTreeSet<FileId> = own.filter_map(|(_, p)| p.place().map(|at| at.file)).collect();
    let mut named = files.iter().filter(|f| ids.contains(&f.id));
    match (named.next(), named.next()) {
        (Some(file), None) => Ok(file),
        _ => Err(Problem::usage(
            format!("The points of the {arch} arch lie in several files."),
            "Put the points of an arch into one file: its plan names that file.",
        )),
    }
}

/// The head of an arch's block: `file` is the name of the file of points and its fingerprint.
pub fn reading_source(
    arch: &MeasuredArch,
    file: (&str, &str),
    on: Date,
    source: Option<PointsSource>,
    error_mm: f64,
) -> ReadingSource {
    let seen = if arch.is_flat { PointsSource::Photograph } else { PointsSource::Scan };
    let name = Path::new(file.0).file_name().unwrap_or_default().to_string_lossy();
    ReadingSource {
        on,
        source: source.unwrap_or(seen),
        file: name.into_owned(),
        fingerprint: file.1.chars().take(PRINT_DIGITS).collect(),
        error_mm,
    }
}

pub fn plan_lines(read: &MeasuredTeeth, from: &ReadingSources, notation: Notation) -> String {
    let arch = |a: &MeasuredArch| {
        let lines = measured_lines(a, None, StandPlace::Plan, notation);
        let block = reading_block(from.get(&a.arch)?, &[], &lines).replace('\n', "\n  ");
        Some(format!("{} {{\n  {block}\n}}\n", a.arch))
    };
    read.arches.iter().filter_map(arch).collect()
}

/// What a case becomes by what was measured.
pub struct MeasuredInto {
    pub text: String,
    /// The lines of its blocks.
    pub lines: Vec<String>,
    /// What goes before them or could not be written, in sentences.
    pub told: Vec<String>,
}

/// The case with a block for each arch, in the plan or in a visit; nothing else in it changes.
pub fn written(
    input: &Input,
    read: &MeasuredTeeth,
    from: &ReadingSources,
    into: StandPlace,
) -> Result<MeasuredInto, Problem> {
    let refused = |why: String| {
        Problem::usage(
            format!("Nothing was written to {}: {why}.", input.name),
            "The file is unchanged. `springline check` on it shows the reason.",
        )
    };
    let mut texts = TextDatabase::new();
    let mut out =
        MeasuredInto { text: input.text.to_string(), lines: Vec::new(), told: Vec::new() };
    for arch in &read.arches {
        let Some(from) = from.get(&arch.arch) else { continue };
        let source = SourceText { name: input.name.clone(), text: out.text.as_str().into() };
        let now = texts.read(&source, &input.library());
        let case = now.case.as_deref();
        let Some((case, own)) = case.and_then(|c| Some((c, c.arch(arch.arch)?))) else {
            out.told.push(format!(
                "{}: the case has no {} arch; nothing was written of it.",
                input.name, arch.arch
            ));
            continue;
        };
        let notation = case.house.notation.value;
        let lines = measured_lines(arch, Some(own), into, notation);
        match into {
            StandPlace::Visit(on) if case.visits.iter().all(|v| v.on != on) => {
                return Err(refused(format!("no visit of {on} is recorded in it")));
            }
            StandPlace::Visit(_) => {}
            StandPlace::Plan => {
                let first = own_lines_first(arch, own);
                let first: Vec<String> = first.iter().map(|t| t.write(notation)).collect();
                if !first.is_empty() {
                    out.told.push(format!("the case's own lines go first: {}", first.join(" ")));
                }
            }
        }
        out.text = write_measured(&now.parse, case, arch.arch, into, from, &lines)
            .map_err(|r| refused(r.to_string()))?;
        out.lines.extend(lines);
    }
    let source = SourceText { name: input.name.clone(), text: out.text.as_str().into() };
    let errors = |text: &SourceText| {
        let read = TextDatabase::new().read(text, &input.library());
        read.findings.iter().filter(|f| f.severity == Severity::Error).count()
    };
    if errors(&source) > errors(&input.source()) {
        return Err(refused("what was measured cannot be written there".to_owned()));
    }
    Ok(out)
}

/// Writes it into the case: atomically.
fn write(
    path: &Path,
    measure: &MeasureArgs,
    read: &MeasuredTeeth,
    from: &ReadingSources,
) -> Result<(), Problem> {
    let input = files::read(path)?;
    if input.path.is_none() || measure.points.iter().any(|p| p.as_os_str() == "-") {
        return Err(Problem::usage(
            "Nothing was written: a plan names the file of its points, and standard input has no name.",
            "Save the points beside the case.",
        ));
    }
    let place = measure.visit.map_or(StandPlace::Plan, StandPlace::Visit);
    let into = written(&input, read, from, place)?;
    for said in &into.told {
        crate::tell!("{said}");
    }
    if measure.dry_run {
        print_plan(&into.text);
    } else if into.text != *input.text {
        files::replace(path, &input, into.text.as_bytes())?;
        crate::tell!("written to {}: {} lines", input.name, into.lines.len());
    } else {
        crate::tell!("{}: nothing has changed.", input.name);
    }
    tell_of_places(path, measure);
    Ok(())
}

/// Points that do not lie beside the case are not found again.
fn tell_of_places(path: &Path, measure: &MeasureArgs) {
    let folder = |p: &Path| {
        let parent = p.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        parent.canonicalize().ok()
    };
    let is_elsewhere = |p: &&PathBuf| folder(p) != folder(path);
    if let Some(elsewhere) = measure.points.iter().find(is_elsewhere) {
        crate::tell!(
            "Keep {} beside the case: `check` looks there whether the points were changed.",
            elsewhere.display()
        );
    }
}

/// What the practice knows of crowns and of where it places slots.
fn anatomy(house: &House) -> MeasureAnatomy {
    let own = house.prominence.iter();
    let out = own.fold(MeasureAnatomy::default(), |out, (t, by)| out.with_prominence(*t, mm(*by)));
    house.slot_height.iter().fold(out, |out, (t, by)| out.with_slot_height(*t, mm(*by)))
}

fn begins(text: &str, sign: char) -> bool {
    text.trim_start_matches(['\u{feff}', ' ', '\t', '\r', '\n']).starts_with(sign)
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
    let (_, case, house) = case_at(path)?;
    Ok((Some(case), house))
}

/// A file that has to be a case.
pub fn case_at(path: &Path) -> Result<(Input, Arc<Case>, Option<Arc<House>>), Problem> {
    let input = files::read(path)?;
    let read = TextDatabase::new().read(&input.source(), &input.library());
    let Some(case) = read.case else {
        return Err(Problem::usage(
            format!("{} cannot be read as a case.", input.name),
            "`springline check` says why.",
        ));
    };
    Ok((input, case, read.house))
}

/// The form that was asked for, else the case's; fitted where there is neither.
pub fn named_line(
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
        Some("fitted") => Ok(FormByName { line: FormToLay::FittedWidths, ..fitted }),
        Some("catenary") => Ok(fitted),
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
                    "Name a form of the practice together with --case, or write `fitted`, `catenary` or `catenary 15 mm`.",
                )),
            }
        }
    }
}
