//! Reads points named in general-purpose viewers: Markups JSON, whose control points have a label such as "12 mesial" or
//! "12m". LPS and RAS axes are both taken as they are: an arch is read on its own axes.

use serde_json::Value;

use crate::marked_points::{MarkedPoint, table_of_marks};
use crate::point_findings::point_finding;
use crate::point_table::PointTable;
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
    let mut marks = Vec::new();
    for list in lists {
        let unit = list["coordinateUnits"].as_str().unwrap_or("mm");
        if unit != "mm" {
            let message = format!("The points are in {}.", springline_text::visible::line(unit));
            return wrong(message, "Save them in mm.");
        }
        for point in list["controlPoints"].as_array().into_iter().flatten() {
            let label = point["label"].as_str().unwrap_or("").to_owned();
            let at = |i: usize| point["position"].get(i).and_then(Value::as_f64);
            let (Some(x), Some(y), Some(z)) = (at(0), at(1), at(2)) else {
                let label = springline_text::visible::line(&label).into_owned();
                return wrong(format!("The point `{label}` has no position."), "Place it again.");
            };
            marks.push(MarkedPoint { label, at: [x, y, z] });
        }
    }
    table_of_marks(file, place, &marks)
}
