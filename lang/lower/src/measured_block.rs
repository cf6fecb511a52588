//! Lowers `measured` blocks: what a tool read from picked points. Lines that somebody wrote go first, for each part of a
//! tooth's position and each contact.

use std::collections::BTreeMap;

use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_model::case::{ArchCase, Gap, Overlap, Visit};
use springline_model::measured_block::{MeasuredBlock, PointsSource};
use springline_model::provenance::{Origin, Sourced};
use springline_model::stand::{InOut, PointErrors, Stand, StandAxis, Turn};
use springline_syntax::ast::{MeasuredLine, MeasuredStatement};
use springline_units::anatomy::crown_width_mm;
use springline_units::quantity::{from_degrees, from_mm, mm};
use springline_units::tooth::Tooth;

impl LoweringContext<'_> {
    /// Takes over into an arch what its own lines do not say.
    pub fn arch_reading(&mut self, line: MeasuredLine<'_>, out: &mut ArchCase) {
        let Some(reading) = self.read_measured(line) else { return };
        for (tooth, (stand, place)) in &reading.stands {
            let merged = match out.stands.remove(tooth) {
                Some(own) => Sourced { value: stand.updated(own.value), ..own },
                None => Sourced::written(*stand, Origin::Points, *place),
            };
            out.stands.insert(*tooth, merged);
        }
        let (gaps, overlaps) = unsaid(&reading, &out.gaps, &out.overlaps);
        out.gaps.extend(gaps);
        out.overlaps.extend(overlaps);
        out.reading = out.reading.take().or(Some(reading));
    }

    /// The same at a visit, where a tooth found in line is a measurement: it was elsewhere before.
    pub fn visit_reading(&mut self, line: MeasuredLine<'_>, visit: &mut Visit) {
        let Some(reading) = self.read_measured(line) else { return };
        for (tooth, (stand, place)) in &reading.stands {
            let earlier = visit.readings.iter().find_map(|r| r.stands.get(tooth));
            if let Some((_, first)) = earlier {
                let text = format!("The position of {tooth}");
                self.said_twice(&text, *place, Some(*first));
                continue;
            }
            let found = in_line().updated(*stand);
            let merged = match visit.stands.remove(tooth) {
                Some((own, place)) => (found.updated(own), place),
                None => (found, *place),
            };
            visit.stands.insert(*tooth, merged);
        }
        let (gaps, overlaps) = unsaid(&reading, &visit.gaps, &visit.overlaps);
        visit.gaps.extend(gaps);
        visit.overlaps.extend(overlaps);
        visit.readings.push(reading);
    }

    fn read_measured(&mut self, line: MeasuredLine<'_>) -> Option<MeasuredBlock> {
        let on = self.date(line.date)?;
        let error = self.length(line.length, p::POINT_ERROR)?;
        let source = word_values::points_source(line.points_source);
        let mut out = MeasuredBlock {
            on,
            source,
            file: line.points.text().to_owned(),
            fingerprint: line.fingerprint.text().to_owned(),
            error,
            stands: BTreeMap::new(),
            gaps: Vec::new(),
            overlaps: Vec::new(),
            place: line.statement.place(),
            file_place: line.points.place(),
        };
        // At a visit the first tooth says of which jaw the points are; a tooth of the other jaw is none of them.
        let around = self.arch;
        for child in line.statement.children().filter_map(MeasuredStatement::cast) {
            match child {
                MeasuredStatement::MeasuredTooth(line) => {
                    let (stand, place) = (self.stand(line.stands), line.statement.place());
                    for tooth in self.teeth(line.teeth) {
                        self.arch = self.arch.or(Some(tooth.arch()));
                        let stand =
                            Stand { errors: errors(&stand, tooth, mm(error), source), ..stand };
                        if let Some((_, first)) = out.stands.insert(tooth, (stand, place)) {
                            let text = format!("The position of {tooth}");
                            self.said_twice(&text, place, Some(first));
                        }
                    }
                }
                MeasuredStatement::Gap(line) => out.gaps.extend(self.gap(line)),
                MeasuredStatement::Overlap(line) => out.overlaps.extend(self.overlap(line)),
            }
        }
        self.arch = around;
        Some(out)
    }
}

/// Found in line: neither in nor out, nor turned.
fn in_line() -> Stand {
    Stand {
        in_out: Some((from_mm(0.0).into(), InOut::Lingual)),
        rotated: Some((from_degrees(0.0).into(), Turn::MesialIn)),
        ..Stand::default()
    }
}

/// Points of a crown always show in-out and turn; a tip, which needs a point at the gum, is known only where it is said.
fn errors(stand: &Stand, tooth: Tooth, point_mm: f64, source: PointsSource) -> PointErrors {
    let width = stand.width.map_or_else(|| crown_width_mm(tooth), mm);
    let mut out = PointErrors::of_points(point_mm, width);
    if stand.tipped.is_none() {
        out = out.without(StandAxis::Tip);
    }
    if source == PointsSource::Photograph && stand.up_down.is_none() {
        out = out.without(StandAxis::UpDown);
    }
    out
}

/// Its contacts of which no other line says whether they are open or overlap.
fn unsaid(reading: &MeasuredBlock, gaps: &[Gap], overlaps: &[Overlap]) -> (Vec<Gap>, Vec<Overlap>) {
    let pair = |a: Tooth, b: Tooth| if a < b { (a, b) } else { (b, a) };
    let said: Vec<(Tooth, Tooth)> = gaps
        .iter()
        .map(|g| pair(g.first, g.second))
        .chain(overlaps.iter().map(|o| pair(o.first, o.second)))
        .collect();
    let is_new = |a: Tooth, b: Tooth| !said.contains(&pair(a, b));
    (
        reading.gaps.iter().filter(|g| is_new(g.first, g.second)).cloned().collect(),
        reading.overlaps.iter().filter(|o| is_new(o.first, o.second)).cloned().collect(),
    )
}
