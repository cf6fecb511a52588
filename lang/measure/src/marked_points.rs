//! Points with labels such as "12 mesial" or "12m", as general-purpose viewers save them.

use crate::point_findings::point_finding;
use crate::point_table::PointTable;
use crate::read_csv::read_csv;
use springline_finding::{Finding, Severity};
use springline_text::{FileId, Place};

/// A point as it was marked, mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MarkedPoint {
    pub label: String,
    pub at: [f64; 3],
}

/// The table of such points; what is said of one is said at `place`, as it has no line of its own.
pub(crate) fn table_of_marks(
    file: FileId,
    place: Place,
    marks: &[MarkedPoint],
) -> (Option<PointTable>, Vec<Finding>) {
    let mut rows = String::from("tooth,point,x,y,z\n");
    for mark in marks {
        let Some((tooth, kind)) = split_label(mark.label.trim()) else {
            let label: String = mark.label.chars().take(24).collect();
            let message =
                format!("`{}` is no label of a point.", springline_text::visible::line(&label));
            let why = "Where a point belongs is read from its label.";
            let note = "Label points as `12 mesial` or `12m`.";
            let finding =
                point_finding("points/labels", Severity::Error, place, message, why, note);
            return (None, vec![finding]);
        };
        let [x, y, z] = mark.at;
        rows.push_str(&format!("{tooth},{kind},{x},{y},{z}\n"));
    }
    // Places lie in the rows that were made here; what is said of them is said of the file.
    let (mut table, mut findings) = read_csv(file, &rows);
    findings.iter_mut().for_each(|f| f.place = place);
    if let Some(table) = &mut table {
        for picked in table.teeth.values_mut() {
            let own = [&mut picked.mesial, &mut picked.distal, &mut picked.facial, &mut picked.gum];
            own.into_iter().flatten().for_each(|p| p.place = place);
            picked.cusps.iter_mut().for_each(|p| p.place = place);
        }
    }
    (table, findings)
}

/// "12 mesial", "12-11 contact", "12m".
fn split_label(label: &str) -> Option<(&str, &str)> {
    let split = label.split_once([' ', '_']).or_else(|| {
        let last = label.char_indices().next_back()?.0;
        Some(label.split_at(last))
    });
    let (tooth, kind) = split?;
    let (tooth, kind) = (tooth.trim(), kind.trim());
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '#' | '-');
    let fits = !tooth.is_empty() && tooth.chars().all(plain);
    (fits && !kind.is_empty() && kind.chars().all(|c| c.is_ascii_alphabetic()))
        .then_some((tooth, kind))
}
