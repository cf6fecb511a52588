//! What cannot be right about points, or is doubtful. Of 1628 hand-set teeth in 120 real arches 26 had mesial and distal
//! exchanged, and 22 arches had at least one sure fault (own count, unpublished), so every table is looked through.

use crate::along_line::AlongLine;
use crate::arch_frame::ArchFrame;
use crate::figure_key::FigureKey;
use crate::picks::{ArchPicks, distance};
use crate::point_findings::point_finding;
use crate::point_table::{PickedTooth, PointTable};
use crate::reading::ArchReading;
use crate::results::MeasuredArch;
use springline_finding::{Finding, Severity};
use springline_text::{Place, Span};
use springline_units::anatomy::crown_width_mm;
use springline_units::quantity::Unit;
use springline_units::tooth::{Arch, Side, Tooth};

/// Crowns are this many times as wide as usual at least and at most (common practice, no source).
const WIDTHS: (f64, f64) = (0.7, 1.4);
/// Left against right crowns, mm: 26 of 120 real arches differ by more (own count, unpublished).
const PAIR_MM: f64 = 1.0;
/// A facial point before the usual face of its crown, mm, and beside the crown's middle, in widths (common practice, no
/// source).
const FACIAL_MM: f64 = 1.3;
const FACIAL_WIDTHS: f64 = 0.35;
/// Teeth in the wrong order by more, mm (common practice, no source).
const ORDER_MM: f64 = 1.0;
/// No tooth stands farther from the line, mm (common practice, no source).
const FAR_MM: f64 = 8.0;
/// Two points nearer than that are one, mm.
const SAME_MM: f64 = 1e-3;
/// Fewer teeth make no arch, and lay no line: its place and turn are three figures.
const FEWEST: usize = 4;
/// A form is another where so many teeth more would be in line with it: one may be chance.
const MORE_IN_LINE: usize = 2;
/// A line that the error of picking shifts by more, mm: the distance within which teeth are called in line.
const WEAK_MM: f64 = 0.5;

/// Teeth that the line is to be laid through, and which it cannot be laid through.
pub(crate) fn of_named_teeth(table: &PointTable, in_line: &[Tooth]) -> Vec<Finding> {
    let error = |place, message, note| {
        let why = "The line would be laid through teeth that nobody named.";
        point_finding("points/in-line", Severity::Error, place, message, why, note)
    };
    let missing = in_line.iter().filter(|t| !table.teeth.contains_key(t)).map(|t| {
        let message = format!("The line is to be laid through {t}, of which there are no points.");
        error(top(table), message, "Name teeth that were picked.").teeth([*t])
    });
    let few = table.arches().into_iter().filter_map(|arch| {
        let named: Vec<Tooth> = in_line.iter().copied().filter(|t| t.arch() == arch).collect();
        let has = |side: Side| named.iter().any(|t| t.side() == side);
        if named.is_empty() || named.len() >= FEWEST && has(Side::Right) && has(Side::Left) {
            return None;
        }
        let message = format!("{} teeth lay no line through the {arch} arch.", named.len());
        let note = "Name four teeth or more, of both sides.";
        Some(error(at(table, named[0]), message, note).teeth(named))
    });
    missing.chain(few).collect()
}

fn top(table: &PointTable) -> Place {
    let first = table.teeth.values().filter_map(PickedTooth::place).min();
    first.unwrap_or(Place { file: table.file, span: Span::new(0, 0) })
}

fn at(table: &PointTable, tooth: Tooth) -> Place {
    table.teeth.get(&tooth).and_then(PickedTooth::place).unwrap_or(top(table))
}

/// Faults of the points themselves; a finding about the unit stands alone.
pub(crate) fn of_points(table: &PointTable) -> Vec<Finding> {
    if let Some(finding) = unit(table) {
        return vec![finding];
    }
    let mut out = Vec::new();
    for (tooth, picked) in &table.teeth {
        out.extend(incomplete(table, *tooth, picked));
        out.extend(same(*tooth, picked));
        out.extend(width(table, *tooth, picked));
    }
    for arch in table.arches() {
        out.extend(jaw(table, arch));
    }
    out
}

fn width_mm(picked: &PickedTooth) -> Option<f64> {
    Some(distance(picked.mesial?.at, picked.distal?.at))
}

fn unit(table: &PointTable) -> Option<Finding> {
    let ratio = |(t, p): (&Tooth, &PickedTooth)| Some(width_mm(p)? / crown_width_mm(*t));
    let mut ratios: Vec<f64> = table.teeth.iter().filter_map(ratio).collect();
    ratios.sort_by(f64::total_cmp);
    let median = *ratios.get(ratios.len() / 2)?;
    if (0.5..2.0).contains(&median) || median <= 0.0 {
        return None;
    }
    let likely = [
        (0.1, "centimetres"),
        (1.0 / 25.4, "inches"),
        (0.001, "metres"),
        (10.0, "tenths of a millimetre"),
        (1000.0, "micrometres"),
    ];
    let off = |(size, _): &(f64, &str)| (median / size).ln().abs();
    let near = likely.iter().min_by(|a, b| off(a).total_cmp(&off(b))).filter(|l| off(l) < 0.4);
    let guess = near.map_or(String::new(), |(_, name)| format!(": these look like {name}"));
    let message = if median < 1.0 {
        format!("Crowns are {:.0} times narrower than crowns are{guess}.", 1.0 / median)
    } else {
        format!("Crowns are {median:.0} times wider than crowns are{guess}.")
    };
    let why = "Every stand, width and force would be as wrong.";
    let note = match near {
        Some((_, "centimetres")) => "Write `# unit cm` at the top, if that is what they are.",
        Some((_, "inches")) => "Write `# unit in` at the top, if that is what they are.",
        _ => "Give the points in millimetres, or the picture its scale.",
    };
    Some(point_finding("points/unit", Severity::Error, top(table), message, why, note))
}

fn incomplete(table: &PointTable, tooth: Tooth, picked: &PickedTooth) -> Option<Finding> {
    let missing = match (picked.mesial, picked.distal) {
        (Some(_), Some(_)) => return None,
        (None, Some(_)) => "mesial contact",
        (Some(_), None) => "distal contact",
        (None, None) => "mesial and the distal contact",
    };
    let message = format!("The {missing} of {tooth} is not given.");
    let why = "Without both contacts a tooth has no width and no direction; it is left out.";
    let finding = point_finding(
        "points/incomplete",
        Severity::Warning,
        at(table, tooth),
        message,
        why,
        "Pick it, or leave the tooth out.",
    );
    Some(finding.teeth([tooth]))
}

fn same(tooth: Tooth, picked: &PickedTooth) -> Option<Finding> {
    let named = [
        ("mesial contact", picked.mesial),
        ("distal contact", picked.distal),
        ("facial point", picked.facial),
        ("gum point", picked.gum),
    ];
    let mut all: Vec<_> = named.iter().filter_map(|(name, p)| Some((*name, (*p)?))).collect();
    all.extend(picked.cusps.iter().map(|p| ("cusp", *p)));
    let twice = all.iter().enumerate().find_map(|(i, (name, p))| {
        let other = all[..i].iter().find(|(_, q)| distance(p.at, q.at) < SAME_MM)?;
        Some((*name, p, other.0))
    });
    let (name, point, other) = twice?;
    let message = format!("The {name} of {tooth} is the same point as its {other}.");
    let why = "Two places of a crown are never one.";
    let finding = point_finding(
        "points/same",
        Severity::Error,
        point.place,
        message,
        why,
        "Pick one of the two again.",
    );

    Some(finding.teeth([tooth]))
}

fn width(table: &PointTable, tooth: Tooth, picked: &PickedTooth) -> Option<Finding> {
    let (own, usual) = (width_mm(picked)?, crown_width_mm(tooth));
    let place = at(table, tooth);
    if !(WIDTHS.0..=WIDTHS.1).contains(&(own / usual)) {
        let message = format!("{tooth} is {own:.1} mm wide; such crowns are about {usual:.1} mm.");
        let why = "Width, space and irregularity hang on the two contacts.";
        let note = "Look whether both contacts are of this tooth.";
        let limit = usual * if own < usual { WIDTHS.0 } else { WIDTHS.1 };
        let finding = point_finding("points/width", Severity::Warning, place, message, why, note);
        let tenths = |x: f64| (x * 10.0).round() / 10.0;
        return Some(finding.teeth([tooth]).figure(tenths(own), tenths(limit), Unit::Mm));
    }
    let mirror = tooth.mirror();
    let other = (tooth.side() == Side::Right).then(|| table.teeth.get(&mirror)).flatten()?;
    let off = (own - width_mm(other)?).abs();
    if off <= PAIR_MM {
        return None;
    }
    let message = format!("{tooth} and {mirror} differ in width by {off:.1} mm.");
    let why = "Crowns of a pair seldom differ by more than half a millimetre.";
    let note = "Look at the contacts of both; a peg-shaped lateral may be so.";
    let finding = point_finding("points/width-pair", Severity::Warning, place, message, why, note);
    let tenths = (off * 10.0).round() / 10.0;
    Some(finding.teeth([tooth, mirror]).figure(tenths, PAIR_MM, Unit::Mm))
}

/// Upper central incisors are wider than laterals, lower ones are not.
fn jaw(table: &PointTable, arch: Arch) -> Option<Finding> {
    let quadrants = if arch == Arch::Upper { [10, 20] } else { [40, 30] };
    let mean = |position: u32| {
        let own = quadrants.iter().filter_map(|q| table.teeth.get(&Tooth::iso(q + position)?));
        let widths: Vec<f64> = own.filter_map(width_mm).collect();
        (widths.len() == 2).then(|| 0.5 * (widths[0] + widths[1]))
    };
    let (central, lateral) = (mean(1)?, mean(2)?);
    let other = match arch {
        Arch::Upper => central < lateral,
        Arch::Lower => central > 1.15 * lateral,
    };
    if !other {
        return None;
    }
    let message = format!(
        "Central incisors {central:.1} mm wide beside laterals of {lateral:.1} mm: these are teeth of the {} arch.",
        arch.other()
    );
    let why = "Figures of one jaw would be written into the other.";
    let note = "Look at the numbers of the teeth.";
    Some(point_finding("points/jaw", Severity::Error, top(table), message, why, note))
}

/// The frame of an arch, or why there is none.
pub(crate) fn frame_of(
    table: &PointTable,
    picks: &ArchPicks,
    findings: &mut Vec<Finding>,
) -> Option<ArchFrame> {
    if findings.iter().any(|f| f.code.as_str() == "points/unit") {
        return None;
    }
    let (arch, place) = (picks.arch, top(table));
    let mut refuse = |code, message: String, why: &str, note: &str| {
        findings.push(point_finding(code, Severity::Error, place, message, why, note));
    };
    if picks.crowns.len() < FEWEST {
        let count = match picks.crowns.len() {
            0 => format!("No tooth of the {arch} arch has"),
            1 => format!("One tooth of the {arch} arch has"),
            many => format!("{many} teeth of the {arch} arch have"),
        };
        let message = format!("{count} both contacts.");
        let why = "Fewer than four teeth do not show where the line of an arch lies.";
        refuse("points/few", message, why, "Pick the other teeth too.");
        return None;
    }
    let has = |side: Side| picks.crowns.iter().any(|c| c.tooth.side() == side);
    if !has(Side::Left) || !has(Side::Right) {
        let message = format!("The {arch} arch has teeth of one side only.");
        let why =
            "Half an arch does not show where its middle is, and the line turns freely about it.";
        refuse("points/one-side", message, why, "Pick the teeth of the other side too.");
        return None;
    }
    let Some(frame) = ArchFrame::of(picks) else {
        let message = format!("All points of the {arch} arch lie on one line.");
        let why = "They span no plane.";
        refuse("points/few", message, why, "Look at the coordinates.");
        return None;
    };
    if frame.other_hand {
        let message =
            format!("The points of the {arch} arch are mirrored, or they are of the other jaw.");
        let why = "Sides are taken from the numbers of the teeth, so the figures stand if only the axes are mirrored.";
        let note = "Look at the teeth's numbers, or at the axes of the export.";
        findings.push(point_finding("points/handed", Severity::Warning, place, message, why, note));
    }
    Some(frame)
}

/// Faults that show once the line is laid.
pub(crate) fn of_reading(table: &PointTable, reading: &ArchReading) -> Vec<Finding> {
    let mut out = Vec::new();
    let exchanged = order(table, reading, &mut out);
    turned(table, reading, &exchanged, &mut out);
    let sure = !out.is_empty();
    for (flat, crown) in reading.in_plane.iter().zip(&reading.crowns) {
        let tooth = crown.tooth;
        if crown.lingual_mm.abs() > FAR_MM {
            let message = format!("{tooth} stands {:.1} mm from the line.", crown.lingual_mm.abs());
            let why = "No erupted tooth stands so far out of its arch.";
            let note = "Look whether its points are its own.";
            let place = at(table, tooth);
            let finding = point_finding("points/far", Severity::Warning, place, message, why, note);
            let tenths = (crown.lingual_mm.abs() * 10.0).round() / 10.0;
            out.push(finding.teeth([tooth]).figure(tenths, FAR_MM, Unit::Mm));
        }
        let Some([before, beside]) = flat.facial_off.filter(|_| !sure) else { continue };
        if before.abs() > FACIAL_MM || beside.abs() > FACIAL_WIDTHS * crown.width_mm {
            let message = format!(
                "The facial point of {tooth} lies {:.1} mm from where its face should be.",
                before.hypot(beside)
            );
            let why =
                "The bracket is read from it, so the tooth would be read as far out of place.";
            let note = "Look whether it belongs to a neighbour.";
            let place = table.teeth.get(&tooth).and_then(|p| p.facial).map(|p| p.place);
            let place = place.unwrap_or(top(table));
            let finding =
                point_finding("points/facial", Severity::Warning, place, message, why, note);
            out.push(finding.teeth([tooth]));
        }
    }

    out
}

/// Neighbours that stand in the wrong order along the line.
fn order(table: &PointTable, reading: &ArchReading, out: &mut Vec<Finding>) -> Vec<Tooth> {
    let mut line = AlongLine::new(&reading.laid);
    let middles: Vec<(Tooth, f64)> = reading
        .in_plane
        .iter()
        .map(|p| (p.tooth, line.beside(p.middle, None).station_mm))
        .collect();
    let mut exchanged = Vec::new();
    for pair in middles.windows(2) {
        let ((a, at_a), (b, at_b)) = (pair[0], pair[1]);
        if at_a - at_b <= ORDER_MM {
            continue;
        }
        let message = format!(
            "{a} stands to the left of {b} by {:.1} mm, where it is the other way round.",
            at_a - at_b
        );
        let why = "The numbers of the two are exchanged, or points of one were given to the other.";
        let note = "Exchange the two numbers.";
        let finding =
            point_finding("points/order", Severity::Error, at(table, a), message, why, note);
        out.push(finding.teeth([a, b]).related(at(table, b), "the other"));
        exchanged.extend([a, b]);
    }
    exchanged
}

/// Crowns whose mesial side looks backwards.
fn turned(table: &PointTable, reading: &ArchReading, but: &[Tooth], out: &mut Vec<Finding>) {
    let backwards = |t: f64| t.abs() > std::f64::consts::FRAC_PI_2;
    let teeth: Vec<Tooth> = reading
        .crowns
        .iter()
        .filter(|c| backwards(c.turn_rad) && !but.contains(&c.tooth))
        .map(|c| c.tooth)
        .collect();
    let why = "The crown would be read as turned by half a circle, and its bracket on the inside of the arch.";
    if 2 * teeth.len() > reading.crowns.len() {
        let message = "Mesial and distal are exchanged on most teeth.".to_owned();
        let note = "Exchange the two words in the whole file, or the sides of the teeth's numbers.";
        let finding =
            point_finding("points/sides", Severity::Error, at(table, teeth[0]), message, why, note);
        out.push(finding.teeth(teeth));
        return;
    }
    for tooth in teeth {
        let picked = table.teeth.get(&tooth);
        let ends = picked.and_then(|p| Some((p.mesial?.place, p.distal?.place)));
        let (mesial, distal) = ends.unwrap_or((top(table), top(table)));
        let message = format!("Mesial and distal of {tooth} are exchanged.");
        let note = "Exchange the two words.";
        let finding =
            point_finding("points/mesial-distal", Severity::Error, mesial, message, why, note);
        out.push(finding.teeth([tooth]).related(distal, "the distal contact"));
    }
}

/// Doubts about the line as a whole.
pub(crate) fn of_line(table: &PointTable, measured: &MeasuredArch) -> Vec<Finding> {
    let mut out = Vec::new();
    let place = measured.teeth.first().map_or(top(table), |t| at(table, *t));
    let lingual = |t: &Tooth| measured.figure(FigureKey::Lingual(*t));
    let mut sds: Vec<f64> = measured.teeth.iter().filter_map(lingual).map(|f| f.sd).collect();
    sds.sort_by(f64::total_cmp);
    let median = sds.get(sds.len() / 2).copied().unwrap_or(0.0);
    if median > WEAK_MM {
        let message = format!(
            "Where the line of the {} arch lies is uncertain by {median:.1} mm.",
            measured.arch
        );
        let why = "What is read against it is uncertain by as much.";
        let note = "Give the form of the arch, pick more teeth, or name those in line.";
        let tenths = (median * 10.0).round() / 10.0;
        let finding =
            point_finding("points/line-weak", Severity::Warning, place, message, why, note);
        out.push(finding.figure(tenths, WEAK_MM, Unit::Mm));
    }
    let few_in_line = 2 * measured.in_line.len() < measured.teeth.len();
    // A line through teeth of a wider arch lies along one of its sides.
    let other = measured.by_widths.map_or(0, |f| f.in_line);
    let fits_another = other >= measured.in_line.len() + MORE_IN_LINE;
    if let Some((message, teeth)) = pattern(measured).or_else(|| {
        let message = format!(
            "Of {} teeth of the {} arch only {} are in line.",
            measured.teeth.len(),
            measured.arch,
            measured.in_line.len()
        );
        let more = format!("{message} With another form {other} are.");
        let said = if fits_another { more } else { message };
        (few_in_line || fits_another).then_some((said, Vec::new()))
    }) {
        let why =
            "The form is not that of this arch, so teeth that stand well read as out of place.";
        let mut finding =
            point_finding("points/form", Severity::Warning, place, message, why, &advice(measured));
        if let Some(size) = measured.best_catenary_mm {
            finding = finding.note(format!("The nearest catenary has {size:.1} mm."));
        }
        out.push(finding.teeth(teeth));
    }
    out
}

/// The form that would fit, as a practice file writes it.
fn advice(measured: &MeasuredArch) -> String {
    let Some(form) = measured.by_widths.filter(|f| f.in_line > measured.in_line.len()) else {
        return "A form by its widths at canines and molars fits what a catenary does not."
            .to_owned();
    };
    format!(
        "`--form fitted` lays one with {} of {} teeth in line: `form NAME {}`.",
        form.in_line,
        measured.teeth.len(),
        form.written()
    )
}

/// What a form leaves on both sides alike, and no crowding: teeth that touch as they should stand out together, or are
/// turned together.
fn pattern(measured: &MeasuredArch) -> Option<(String, Vec<Tooth>)> {
    const BOTH_MM: f64 = 1.0;
    const BOTH_DEG: f64 = 10.0;
    let both = |position: u8, key: fn(Tooth) -> FigureKey, least: f64| {
        let own = |t: &Tooth| t.position() == position && !t.is_deciduous();
        let pair: Vec<Tooth> = measured.teeth.iter().copied().filter(own).collect();
        let [a, b] = pair[..] else { return None };
        let value = |t| measured.figure(key(t)).map(|f| f.value);
        let (x, y) = (value(a)?, value(b)?);
        let is_alike = x * y > 0.0 && x.abs().min(y.abs()) > least;
        let is_free = [a, b].iter().all(|t| !is_crowded(measured, *t));
        (is_alike && is_free).then_some(([a, b], x, y))
    };
    if let Some((pair, x, y)) = both(3, FigureKey::Lingual, BOTH_MM) {
        let way = if x < 0.0 { "outside" } else { "inside" };
        let sizes = format!("{:.1} and {:.1} mm", x.abs(), y.abs());
        let message =
            format!("Canines of both sides lie {way} the line, {sizes}, and overlap nothing.");
        return Some((message, pair.to_vec()));
    }
    let (pair, x, y) = both(2, FigureKey::Rotated, BOTH_DEG)?;
    let way = if x > 0.0 { "in" } else { "out" };
    let sizes = format!("{:.0} and {:.0} deg", x.abs(), y.abs());
    let message = format!(
        "Laterals of both sides read as turned mesially {way}, {sizes}, and overlap nothing."
    );
    Some((message, pair.to_vec()))
}

/// Whether a crown overlaps a neighbour by what counts.
fn is_crowded(measured: &MeasuredArch, tooth: Tooth) -> bool {
    const OVERLAP_MM: f64 = 0.5;
    let beside = |pair: &[Tooth]| pair.contains(&tooth);
    let apart =
        |pair: &[Tooth]| measured.figure(FigureKey::Spacing(pair[0], pair[1])).map(|f| f.value);
    let mut own = measured.teeth.windows(2).filter(|pair| beside(pair)).filter_map(apart);
    own.any(|mm| mm < -OVERLAP_MM)
}
