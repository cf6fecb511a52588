//! Reads picked points of a general-purpose mesh editor: XML with `<point x= y= z= name= active=>`, named as in Markups
//! ("12 mesial", "12m"). Points that are not active were not placed. Who picked, when, and from which file is not read.

use quick_xml::Reader;
use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};

use crate::marked_points::{MarkedPoint, table_of_marks};
use crate::point_findings::point_finding;
use crate::point_table::PointTable;
use crate::read_csv::LARGEST_BYTES;
use springline_finding::{Finding, Severity};
use springline_text::{FileId, Place, Span};

/// The points of such a file, and what is wrong with it.
pub fn read_picked_points(file: FileId, text: &str) -> (Option<PointTable>, Vec<Finding>) {
    let place = Place { file, span: Span::new(0, text.find('\n').unwrap_or(text.len())) };
    let wrong = |message: &str, note: &str| {
        let why = "Where a point belongs is read from its name.";
        let finding =
            point_finding("points/labels", Severity::Error, place, message.to_owned(), why, note);
        (None, vec![finding])
    };
    if text.len() > LARGEST_BYTES {
        return wrong("The file is larger than is read.", "Give the points alone, 8 MB at most.");
    }
    let mut reader = Reader::from_str(text.trim_start_matches('\u{feff}'));
    let mut marks = Vec::new();
    loop {
        match reader.read_event() {
            Ok(Event::Empty(tag) | Event::Start(tag)) if tag.name().as_ref() == b"point" => {
                match mark(&tag) {
                    Some(Some(point)) => marks.push(point),
                    Some(None) => {}
                    None => {
                        let note =
                            "A point is `<point x= y= z= name=\"12 mesial\" active=\"1\"/>`.";
                        return wrong("A point has no name or no coordinates.", note);
                    }
                }
            }
            Ok(Event::Eof) => break,
            Ok(_) => {}
            Err(_) => return wrong("This XML cannot be read.", "Save the points again."),
        }
    }
    if marks.is_empty() {
        return wrong("There are no picked points in this file.", "Give the XML of picked points.");
    }
    table_of_marks(file, place, &marks)
}

/// `None` where something is missing; nothing of a point that was not placed.
fn mark(tag: &BytesStart<'_>) -> Option<Option<MarkedPoint>> {
    let value = |name: &str| {
        let attribute = tag.try_get_attribute(name).ok()??;
        attribute.normalized_value(XmlVersion::Implicit1_0).ok().map(|v| v.trim().to_owned())
    };
    if value("active").is_some_and(|a| a == "0" || a.eq_ignore_ascii_case("false")) {
        return Some(None);
    }
    let axis = |name: &str| value(name)?.parse::<f64>().ok();
    let at = [axis("x")?, axis("y")?, axis("z")?];
    Some(Some(MarkedPoint { label: value("name")?, at }))
}
