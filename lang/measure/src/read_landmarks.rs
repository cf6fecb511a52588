//! Reads landmarks by class, as public research sets of intraoral scans give them: one JSON with points that name no
//! tooth, one with the tooth (ISO 3950) of every vertex, and the vertices of the scan (OBJ).
//!
//! Cusps, faces and gum points go to the tooth of the nearest vertex. Contacts lie where two teeth touch, so the nearest
//! vertex is often the neighbour's: they are dealt out over all teeth at once, nearest in sum to where each is expected,
//! half a usual width from the middle of the tooth towards the neighbour. Who the patient is is not read.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::deal_out::deal_out;
use crate::picks::distance;
use crate::point_findings::point_finding;
use crate::point_table::{PickedPoint, PickedTooth, PointTable};
use crate::read_csv::{LARGEST_BYTES, LARGEST_COORDINATE};
use springline_finding::{Finding, Severity};
use springline_text::{FileId, Place, Span};
use springline_units::anatomy::crown_width_mm;
use springline_units::tooth::{Side, Tooth};

/// A contact farther from where it is expected is nobody's, in widths of the crown (common practice, no source).
const FAR_WIDTHS: f64 = 0.8;
/// A scan of one arch has a quarter of a million vertices at most, some forty characters each.
const LARGEST_SCAN: usize = 128 << 20;
/// A crown has some ten landmarks.
const MOST_LANDMARKS: usize = 500;

/// The points of landmarks, the labels of the scan's vertices, and the scan.
pub fn read_landmarks(
    file: FileId,
    landmarks: &str,
    labels: &str,
    mesh: &str,
) -> (Option<PointTable>, Vec<Finding>) {
    let place = Place { file, span: Span::new(0, landmarks.find('\n').unwrap_or(landmarks.len())) };
    let wrong = |message: &str, note: &str| {
        let why = "Which tooth a landmark is of is read from the labels of the scan.";
        let finding =
            point_finding("points/labels", Severity::Error, place, message.to_owned(), why, note);
        (None, vec![finding])
    };
    if landmarks.len() > LARGEST_BYTES || labels.len() > LARGEST_SCAN || mesh.len() > LARGEST_SCAN {
        let message = "Landmarks, labels or scan are larger than is read.";
        return wrong(message, "Give 8 MB of landmarks, and a scan and labels of 128 MB, at most.");
    }
    let points = classes(landmarks, place);
    if points.as_ref().is_some_and(|p| p.len() > MOST_LANDMARKS) {
        let message = format!("There are more than {MOST_LANDMARKS} landmarks.");
        return wrong(&message, "Give the landmarks of one arch.");
    }
    let Some(points) = points else {
        return wrong(
            "These are no landmarks.",
            "Give the JSON with `objects`, each with `class` and `coord`.",
        );
    };
    let vertices: Vec<[f64; 3]> = mesh.lines().filter_map(vertex).collect();
    let Some(teeth) = vertex_teeth(labels) else {
        return wrong(
            "The labels cannot be read.",
            "Give the JSON with `labels`, one for each vertex.",
        );
    };
    if teeth.len() != vertices.len() {
        let message = format!("There are {} labels for {} vertices.", teeth.len(), vertices.len());
        return wrong(&message, "Give labels and scan of the same patient and jaw.");
    }
    let labelled: Vec<(Tooth, [f64; 3])> =
        teeth.iter().zip(&vertices).filter_map(|(t, v)| Some(((*t)?, *v))).collect();
    let middles = middles(&labelled);
    let mut table = PointTable {
        file,
        teeth: BTreeMap::new(),
        shared: Default::default(),
        is_flat: false,
        is_of_one_file: true,
    };
    for (class, point) in &points {
        let nearest = labelled
            .iter()
            .min_by(|a, b| distance(a.1, point.at).total_cmp(&distance(b.1, point.at)));
        let Some((tooth, _)) = nearest else { continue };
        let own: &mut PickedTooth = table.teeth.entry(*tooth).or_default();
        match class.as_str() {
            "Cusp" => own.cusps.push(*point),
            "FacialPoint" => own.facial = own.facial.or(Some(*point)),
            "OuterPoint" => own.gum = own.gum.or(Some(*point)),
            _ => {}
        }
    }
    let mut findings = Vec::new();
    for class in ["Mesial", "Distal"] {
        let own: Vec<PickedPoint> =
            points.iter().filter(|(c, _)| c == class).map(|(_, p)| *p).collect();
        contacts(class == "Mesial", &own, &middles, &mut table, &mut findings);
    }
    (Some(table), findings)
}

fn classes(text: &str, place: Place) -> Option<Vec<(String, PickedPoint)>> {
    let value: Value = serde_json::from_str(text).ok()?;
    let point = |object: &Value| {
        let coordinates = object["coord"].as_array()?;
        let at = |i: usize| coordinates.get(i)?.as_f64().filter(|x| x.abs() <= LARGEST_COORDINATE);
        let point = PickedPoint { at: [at(0)?, at(1)?, at(2)?], place };
        Some((object["class"].as_str()?.to_owned(), point))
    };
    value["objects"].as_array()?.iter().map(point).collect()
}

fn vertex(line: &str) -> Option<[f64; 3]> {
    let mut numbers = line.strip_prefix("v ")?.split_whitespace().map(|n| n.parse::<f64>().ok());
    let at = [numbers.next()??, numbers.next()??, numbers.next()??];
    at.iter().all(|x: &f64| x.abs() <= LARGEST_COORDINATE).then_some(at)
}

/// The tooth of each vertex; none of the gum's.
fn vertex_teeth(text: &str) -> Option<Vec<Option<Tooth>>> {
    let value: Value = serde_json::from_str(text).ok()?;
    let labels = value["labels"].as_array()?;
    let tooth = |label: &Value| Some(Tooth::iso(u32::try_from(label.as_u64()?).ok()?));
    labels.iter().map(tooth).collect()
}

fn middles(labelled: &[(Tooth, [f64; 3])]) -> Vec<(Tooth, [f64; 3])> {
    let mut sums: BTreeMap<Tooth, ([f64; 3], f64)> = BTreeMap::new();
    for (tooth, at) in labelled {
        let (sum, count) = sums.entry(*tooth).or_default();
        (0..3).for_each(|i| sum[i] += at[i]);
        *count += 1.0;
    }
    sums.into_iter().map(|(tooth, (sum, count))| (tooth, sum.map(|x| x / count))).collect()
}

/// Where a contact of each tooth is expected.
fn expected(mesial: bool, middles: &[(Tooth, [f64; 3])]) -> Vec<[f64; 3]> {
    let beside = |i: usize, to_left: bool| {
        let tooth = middles[i].0;
        let at = if to_left { i + 1 } else { i.checked_sub(1)? };
        middles.get(at).filter(|(t, _)| t.arch() == tooth.arch()).map(|(_, at)| *at)
    };
    let of = |i: usize| {
        let (tooth, middle) = middles[i];
        let to_left = (tooth.side() == Side::Right) == mesial;
        let (towards, sign) = match (beside(i, to_left), beside(i, !to_left)) {
            (Some(next), _) => (next, 1.0),
            (None, Some(other)) => (other, -1.0),
            (None, None) => (middle, 0.0),
        };
        let length = distance(towards, middle).max(1e-9);
        let by = sign * 0.5 * crown_width_mm(tooth) / length;
        std::array::from_fn(|axis| middle[axis] + by * (towards[axis] - middle[axis]))
    };
    (0..middles.len()).map(of).collect()
}

fn contacts(
    mesial: bool,
    points: &[PickedPoint],
    middles: &[(Tooth, [f64; 3])],
    table: &mut PointTable,
    findings: &mut Vec<Finding>,
) {
    let wanted = expected(mesial, middles);
    let cost: Vec<Vec<f64>> =
        wanted.iter().map(|at| points.iter().map(|p| distance(*at, p.at)).collect()).collect();
    for (i, dealt) in deal_out(&cost, points.len()).into_iter().enumerate() {
        let (tooth, Some(point)) = (middles[i].0, dealt.map(|d| points[d])) else { continue };
        let off = distance(wanted[i], point.at);
        if off > FAR_WIDTHS * crown_width_mm(tooth) {
            let side = if mesial { "mesial" } else { "distal" };
            let message = format!(
                "No {side} contact lies near {tooth}: the nearest left is {off:.1} mm away."
            );
            let why = "It would be the contact of another tooth.";
            let finding = point_finding(
                "points/labels",
                Severity::Warning,
                point.place,
                message,
                why,
                "Look whether a landmark is missing.",
            );
            findings.push(finding.teeth([tooth]));
            continue;
        }
        let own: &mut PickedTooth = table.teeth.entry(tooth).or_default();
        let slot = if mesial { &mut own.mesial } else { &mut own.distal };
        *slot = Some(point);
    }
}
