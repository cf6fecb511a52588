//! Reads points named in general-purpose viewers: Markups JSON, whose control points have a label such as "12 mesial" or
//! "12m". LPS and RAS axes are both taken as they are: an arch is read on its own axes.

use serde_json::Value;

use crate::point_findings::point_finding;
use crate::point_table::PointTable;
use crate::read_csv::read_csv;
use springline_finding::{Finding, Severity};
use springline_text::{FileId, Place, Span};

/// The points of a Markups JSON.
pub fn read_markups(file: FileId, text: &str) -> (Option<PointTable>, Vec<Finding>) {
    let place = Place { file, span: Span::new(0, text.find('\n').unwrap_or(text.len())) };
    let wrong = |message: String, note: &str| {
        let why = "Where a point belongs is read from its label.";
        let finding = point_finding("points/labels", Severity::Error, place, message, why, note);
        (None, vec![finding])
    };
    let value: Option<Value> = serde_json::from_str(text).ok();
    let lists = value.as_ref().and_then(|v| v["markups"].as_array());
    let Some(lists) = lists else {
        return wrong(
            "This is no list of marked points.".to_owned(),
            "Give a file with `markups`, or a table of points.",
        );
    };
    let mut rows = String::from("tooth,point,x,y,z\n");
    for list in lists {
        let unit = list["coordinateUnits"].as_str().unwrap_or("mm");
        if unit != "mm" {
            let message = format!("The points are in {}.", springline_text::visible::line(unit));
            return wrong(message, "Save them in mm.");
        }
        for point in list["controlPoints"].as_array().into_iter().flatten() {
            let label = point["label"].as_str().unwrap_or("").trim();
            let Some((tooth, kind)) = split_label(label) else {
                let label: String = label.chars().take(24).collect();
                let message =
                    format!("`{}` is no label of a point.", springline_text::visible::line(&label));
                return wrong(message, "Label points as `12 mesial` or `12m`.");
            };
            let at = |i: usize| point["position"].get(i).and_then(Value::as_f64);
            let (Some(x), Some(y), Some(z)) = (at(0), at(1), at(2)) else {
                return wrong(format!("The point of {tooth} has no position."), "Place it again.");
            };
            rows.push_str(&format!("{tooth},{kind},{x},{y},{z}\n"));
        }
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
