//! Reads a table of points.
//!
//! A header names the columns `tooth`, `point`, `x`, `y` and, for a scan, `z`, in any order. Values are parted by commas,
//! semicolons or tabs; with the latter two a decimal comma is read. A line `# unit mm` (`cm`, `in`, `px`) says the unit.
//! Teeth are written in any notation, mixed as they come; `contact` points belong to two: `12-11`. In pixels two lines
//! `scale,30 mm,x,y` mark both ends of a known length.

use std::collections::{BTreeMap, BTreeSet};

use crate::point_findings::point_finding;
use crate::point_table::{PickedPoint, PickedTooth, PointTable};
use springline_finding::{Finding, Severity};
use springline_text::{FileId, Place, Span};
use springline_units::tooth::{Side, Tooth};

/// As large as a plan may be: some fifty thousand points.
pub(crate) const LARGEST_BYTES: usize = 8 << 20;

/// Larger coordinates are no millimetres of a mouth, nor pixels of a picture.
pub(crate) const LARGEST_COORDINATE: f64 = 1e6;

#[derive(Clone, Copy, PartialEq, Eq)]
enum PointKind {
    Mesial,
    Distal,
    Contact,
    Facial,
    Cusp,
    Gum,
}

impl PointKind {
    fn named(word: &str) -> Option<PointKind> {
        Some(match word.to_ascii_lowercase().as_str() {
            "mesial" | "m" => PointKind::Mesial,
            "distal" | "d" => PointKind::Distal,
            "contact" => PointKind::Contact,
            "facial" | "f" => PointKind::Facial,
            "cusp" | "c" => PointKind::Cusp,
            "gum" | "g" => PointKind::Gum,
            _ => return None,
        })
    }
}

/// mm for each unit; `None` in pixels, which a scale turns into mm.
#[derive(Clone, Copy)]
enum LengthUnit {
    Mm(f64),
    Pixels,
}

struct TableReader<'a> {
    text: &'a str,
    file: FileId,
    delimiter: u8,
    unit: LengthUnit,
    columns: [Option<usize>; 5],
    /// Values in the header.
    width: usize,
    table: PointTable,
    scale: Vec<(f64, [f64; 3], Place)>,
    findings: Vec<Finding>,
}

/// The points of a text, and what is wrong with it; no table where nothing can be made of it.
pub fn read_csv(file: FileId, text: &str) -> (Option<PointTable>, Vec<Finding>) {
    let text_start = text.strip_prefix('\u{feff}').map_or(0, |_| 3);
    let whole = Place { file, span: Span::new(0, text.find('\n').unwrap_or(text.len())) };
    if text.len() > LARGEST_BYTES {
        let message = format!("The file has {} MB of points; 8 are read.", text.len() >> 20);
        let why = "Points of two arches are some ten thousand characters.";
        let finding = point_finding(
            "points/size",
            Severity::Error,
            whole,
            message,
            why,
            "Give the points alone, not the mesh.",
        );
        return (None, vec![finding]);
    }
    let first = text[text_start..].lines().find(|l| !l.trim().is_empty() && !is_remark(l));
    let delimiter = match first {
        Some(line) if line.contains(';') => b';',
        Some(line) if line.contains('\t') => b'\t',
        _ => b',',
    };
    let table = PointTable {
        file,
        teeth: BTreeMap::new(),
        shared: BTreeSet::new(),
        is_flat: false,
        is_of_one_file: true,
    };
    let mut reader = TableReader {
        text,
        file,
        delimiter,
        unit: LengthUnit::Mm(1.0),
        columns: [None; 5],
        width: 0,
        table,
        scale: Vec::new(),
        findings: Vec::new(),
    };
    reader.read_unit();
    let is_read = reader.read_rows(text_start);
    if is_read {
        reader.turn_into_mm(whole);
    }
    let broken = reader.findings.iter().any(|f| f.severity == Severity::Error);
    ((is_read && !broken).then_some(reader.table), reader.findings)
}

impl TableReader<'_> {
    fn error(&mut self, code: &'static str, place: Place, message: String, why: &str, note: &str) {
        // The first few tell what is wrong with all.
        if self.findings.len() < 40 {
            self.findings.push(point_finding(code, Severity::Error, place, message, why, note));
        }
    }

    /// `# unit mm`.
    fn read_unit(&mut self) {
        let mut at = 0;
        for line in self.text.split_inclusive('\n') {
            let start = at;
            at += line.len();
            let said = line.trim_start_matches('\u{feff}').trim().strip_prefix('#');
            let Some(said) = said.and_then(|l| l.trim().strip_prefix("unit")) else { continue };
            let word = said.trim_start_matches([':', '=', ' ', '\t']).trim();
            self.unit = match word.to_ascii_lowercase().as_str() {
                "mm" => LengthUnit::Mm(1.0),
                "cm" => LengthUnit::Mm(10.0),
                "in" => LengthUnit::Mm(25.4),
                "px" => LengthUnit::Pixels,
                _ => {
                    let span = Span::new(start, start + line.trim_end().len());
                    let place = Place { file: self.file, span };
                    let message = format!("`{}` is no unit of a length here.", shown(word));
                    let why = "Every stand would be as wrong as the unit.";
                    self.error("points/unit", place, message, why, "Write mm, cm, in or px.");
                    return;
                }
            };
        }
    }

    fn read_rows(&mut self, start: usize) -> bool {
        let rows = self.without_remarks();
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(self.delimiter)
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(&rows.as_bytes()[start..]);
        let mut record = csv::StringRecord::new();
        let mut header = false;
        loop {
            match reader.read_record(&mut record) {
                Ok(false) => break,
                Err(_) => {
                    let at = start + reader.position().byte() as usize;
                    let place = self.line_at(at);
                    let message = "This line cannot be read as a row of values.".to_owned();
                    let why = "A quote that does not end takes the lines after it along.";
                    self.error("points/row", place, message, why, "Take out quotes.");
                    return false;
                }
                Ok(true) => {}
            }
            let at = start + record.position().map_or(0, |p| p.byte() as usize);
            let at = at + rows[at.min(rows.len())..].len()
                - rows[at.min(rows.len())..].trim_start().len();
            let place = self.line_at(at);
            if record.iter().all(str::is_empty) {
                continue;
            }
            if header {
                self.row(&record, place);
            } else {
                if !self.header(&record, place) {
                    return false;
                }
                header = true;
            }
        }
        if !header {
            let place = self.line_at(start);
            let message = "There are no points in this file.".to_owned();
            let note = "Begin with a line `tooth,point,x,y,z`, then a line for every point.";
            self.error("points/header", place, message, "Nothing can be measured.", note);
        }
        header
    }

    /// The text with remarks blanked, every byte in its place: `#6` begins a row, `# by hand` a remark.
    fn without_remarks(&self) -> String {
        let mut out = String::with_capacity(self.text.len());
        for line in self.text.split_inclusive('\n') {
            if is_remark(line.trim_start_matches('\u{feff}')) {
                out.extend(line.bytes().map(|b| if b == b'\n' { '\n' } else { ' ' }));
            } else {
                out.push_str(line);
            }
        }
        out
    }

    /// The first line at or after a byte that is not blank.
    fn line_at(&self, mut at: usize) -> Place {
        let bytes = self.text.as_bytes();
        while bytes.get(at).is_some_and(|b| matches!(b, b'\n' | b'\r')) {
            at += 1;
        }
        let at = at.min(self.text.len());
        let end = bytes[at..].iter().position(|b| *b == b'\n').map_or(self.text.len(), |n| at + n);
        let end = if end > at && bytes[end - 1] == b'\r' { end - 1 } else { end };
        Place { file: self.file, span: Span::new(at, end) }
    }

    fn header(&mut self, record: &csv::StringRecord, place: Place) -> bool {
        const NAMES: [&str; 5] = ["tooth", "point", "x", "y", "z"];
        for (i, cell) in record.iter().enumerate() {
            let cell = cell.to_ascii_lowercase();
            if let Some(column) = NAMES.iter().position(|n| *n == cell) {
                self.columns[column] = self.columns[column].or(Some(i));
            }
        }
        let missing: Vec<&str> =
            (0..4).filter(|i| self.columns[*i].is_none()).map(|i| NAMES[i]).collect();
        if !missing.is_empty() {
            let message =
                format!("The first line does not name the column {}.", missing.join(", "));
            let why = "Which value is which is read from the names of the columns.";
            self.error("points/header", place, message, why, "Begin with `tooth,point,x,y,z`.");
            return false;
        }
        self.table.is_flat = self.columns[4].is_none();
        self.width = record.len();
        true
    }

    fn row(&mut self, record: &csv::StringRecord, place: Place) {
        let over = record.iter().skip(self.width).any(|cell| !cell.is_empty());
        if over || record.iter().any(|cell| cell.contains('\n')) {
            let message = "This row has more values than the first line names.".to_owned();
            let why = "Which value is which is read from the names of the columns.";
            let note =
                "Part the values with semicolons where decimals have a comma; take out quotes.";
            self.error("points/row", place, message, why, note);
            return;
        }
        let cell = |column: usize| self.columns[column].and_then(|i| record.get(i)).unwrap_or("");
        let (tooth, point) = (cell(0).to_owned(), cell(1).to_owned());
        let mut at = [0.0; 3];
        let axes = if self.table.is_flat { 2 } else { 3 };
        let is_scale = tooth.eq_ignore_ascii_case("scale");
        for axis in 0..axes {
            let text = cell(2 + axis);
            match self.number(text) {
                Some(value) => at[axis] = value,
                None if is_scale && axis == 2 => {}
                None => {
                    let said = if text.is_empty() {
                        format!("The value of {} is missing.", ["x", "y", "z"][axis])
                    } else {
                        format!("`{}` is no coordinate.", shown(text))
                    };
                    let why = "A point needs all its coordinates.";
                    let note = "Write it as a number, with a point, or with a comma where semicolons part the values.";
                    self.error("points/number", place, said, why, note);
                    return;
                }
            }
        }
        if is_scale {
            self.scale_point(&point, at, place);
            return;
        }
        let Some(kind) = PointKind::named(&point) else {
            let message = format!("`{}` is no point of a tooth.", shown(&point));
            let why = "Each point stands for a place on the crown.";
            let note = "Write mesial, distal, contact, facial, cusp or gum.";
            self.error("points/row", place, message, why, note);
            return;
        };
        self.point(kind, &tooth, PickedPoint { at, place });
    }

    fn number(&self, text: &str) -> Option<f64> {
        let value = match text.parse::<f64>() {
            Ok(value) => value,
            Err(_) if self.delimiter != b',' && text.matches(',').count() == 1 => {
                text.replace(',', ".").parse().ok()?
            }
            Err(_) => return None,
        };
        (value.is_finite() && value.abs() <= LARGEST_COORDINATE).then_some(value)
    }

    fn scale_point(&mut self, length: &str, at: [f64; 3], place: Place) {
        let number = length.trim().strip_suffix("mm").and_then(|n| self.number(n.trim()));
        match number.filter(|mm| *mm > 0.0) {
            Some(mm) => self.scale.push((mm, at, place)),
            None => {
                let message = format!("`{}` is no length of a scale.", shown(length));
                let note = "Write `scale,30 mm` and the two ends of 30 mm on the ruler.";
                let why = "A picture has no size of its own.";
                self.error("points/scale", place, message, why, note);
            }
        }
    }

    fn point(&mut self, kind: PointKind, tooth: &str, point: PickedPoint) {
        if kind == PointKind::Contact {
            self.shared_contact(tooth, point);
            return;
        }
        let Some(tooth) = Tooth::parse(tooth) else {
            self.no_tooth(tooth, point.place);
            return;
        };
        if kind == PointKind::Cusp {
            self.table.teeth.entry(tooth).or_default().cusps.push(point);
        } else {
            self.put(tooth, kind, point);
        }
    }

    fn no_tooth(&mut self, written: &str, place: Place) {
        let message = format!("`{}` is no tooth.", shown(written));
        let why = "Where a point belongs is read from its tooth.";
        let note = "Write it as 12, UR2 or #7; a contact as 12-11.";
        self.error("points/tooth", place, message, why, note);
    }

    fn shared_contact(&mut self, teeth: &str, point: PickedPoint) {
        let pair = teeth.split_once('-').map(|(a, b)| (a.trim(), b.trim()));
        let parsed = pair.and_then(|(a, b)| Some((Tooth::parse(a)?, Tooth::parse(b)?)));
        let Some((a, b)) = parsed.filter(|(a, b)| a != b && a.arch() == b.arch()) else {
            self.no_tooth(teeth, point.place);
            return;
        };
        let (right, left) = if a < b { (a, b) } else { (b, a) };
        self.table.shared.insert((right, left));
        // The side of a tooth that looks to the patient's left is mesial on the right side of the mouth.
        let facing = |tooth: Tooth, to_left: bool| match (tooth.side() == Side::Right) == to_left {
            true => PointKind::Mesial,
            false => PointKind::Distal,
        };
        self.put(right, facing(right, true), point);
        self.put(left, facing(left, false), point);
    }

    fn put(&mut self, tooth: Tooth, kind: PointKind, point: PickedPoint) {
        let picked: &mut PickedTooth = self.table.teeth.entry(tooth).or_default();
        let (slot, name) = match kind {
            PointKind::Mesial => (&mut picked.mesial, "mesial contact"),
            PointKind::Distal => (&mut picked.distal, "distal contact"),
            PointKind::Facial => (&mut picked.facial, "facial point"),
            PointKind::Gum => (&mut picked.gum, "gum point"),
            PointKind::Contact | PointKind::Cusp => return,
        };
        match *slot {
            None => *slot = Some(point),
            Some(first) => {
                let message = format!("The {name} of {tooth} is given twice.");
                let finding = point_finding(
                    "points/twice",
                    Severity::Error,
                    point.place,
                    message,
                    "Which of the two is meant cannot be seen.",
                    "Take out the one that is wrong.",
                );
                let finding = finding.related(first.place, "the first").teeth([tooth]);
                self.findings.push(finding);
            }
        }
    }

    /// Coordinates in mm.
    fn turn_into_mm(&mut self, whole: Place) {
        let factor = match self.unit {
            LengthUnit::Mm(factor) => factor,
            LengthUnit::Pixels => match self.mm_per_pixel(whole) {
                Some(factor) => factor,
                None => return,
            },
        };
        let mut scale = |p: &mut PickedPoint| p.at = p.at.map(|x| x * factor);
        for tooth in self.table.teeth.values_mut() {
            let own = [&mut tooth.mesial, &mut tooth.distal, &mut tooth.facial, &mut tooth.gum];
            own.into_iter().flatten().for_each(&mut scale);
            tooth.cusps.iter_mut().for_each(&mut scale);
        }
    }

    fn mm_per_pixel(&mut self, whole: Place) -> Option<f64> {
        let (message, place) = match self.scale[..] {
            [(mm, a, _), (other, b, place)] => {
                let pixels = (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt();
                if (mm - other).abs() < 1e-9 && pixels > 1.0 {
                    return Some(mm / pixels);
                }
                ("The two ends of the scale are one point, or of two lengths.", place)
            }
            [(_, _, place)] | [(_, _, place), ..] => {
                ("A scale has two ends; here is another number of them.", place)
            }
            [] => ("A picture in pixels has no scale.", whole),
        };
        let why = "Without a known length in the picture no millimetre can be read from it.";
        let note =
            "Mark both ends of a ruler that lies level with the teeth: twice `scale,30 mm,x,y`.";
        self.error("points/scale", place, message.to_owned(), why, note);
        None
    }
}

/// `# by hand` is a remark, `#6,mesial` a row.
fn is_remark(line: &str) -> bool {
    let cell = line.split([',', ';', '\t']).next().unwrap_or("").trim();
    let names_teeth = cell.split('-').all(|t| Tooth::parse(t.trim()).is_some());
    line.starts_with('#') && !names_teeth
}

/// What was typed, short and harmless to print.
fn shown(text: &str) -> String {
    let short: String = text.chars().take(24).collect();
    springline_text::visible::text(&short).into_owned()
}
