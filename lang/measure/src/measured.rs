//! From points to figures.

use std::collections::BTreeMap;

use crate::arch_frame::ArchFrame;
use crate::bands::{deviations, picked_again};
use crate::bite;
use crate::contacts::CrownOnLine;
use crate::figure_key::FigureKey;
use crate::form_by_widths::form_by_widths;
use crate::heights::rise;
use crate::line_fit::FormToLay;
use crate::picks::ArchPicks;
use crate::point_checks;
use crate::point_table::PointTable;
use crate::reading::{ArchReading, MeasureOptions, read_arch};
use crate::results::{MeasuredArch, MeasuredFigure, MeasuredTeeth};
use crate::slots::CrownInPlane;
use springline_finding::Finding;
use springline_mechanics::ArchLine;
use springline_units::tooth::Arch;

/// Re-picks are the same at every run.
const SEED: u64 = 0x5eed_0f90_1275;
/// No arch is longer, mm; points in a wrong unit are.
const LONGEST_LINE_MM: f64 = 300.0;
/// A slot within this distance of the line is called in line, mm.
const IN_LINE_MM: f64 = 0.5;

/// An arch ready to be read: its points, its frame, and where the line lies.
struct FramedArch {
    picks: ArchPicks,
    frame: ArchFrame,
    reading: ArchReading,
}

/// Reads points; figures that no points give are left out. Findings of severity error say that nothing may be written.
pub fn measure_points(
    table: &PointTable,
    options: &MeasureOptions,
) -> (MeasuredTeeth, Vec<Finding>) {
    let mut findings = point_checks::of_points(table);
    findings.extend(point_checks::of_named_teeth(table, &options.in_line));
    let mut out = MeasuredTeeth::default();
    let mut framed: Vec<FramedArch> = Vec::new();
    for arch in table.arches() {
        let picks = ArchPicks::of(table, arch);
        let Some(frame) = point_checks::frame_of(table, &picks, &mut findings) else { continue };
        let frame = levelled(frame, &picks, options);
        let local = frame.put_all(&picks);
        let reading = read_arch(&local, options, options.form_of(arch), None);
        findings.extend(point_checks::of_reading(table, &reading));
        framed.push(FramedArch { picks, frame, reading });
    }
    let seed = |arch: Arch| SEED + u64::from(arch == Arch::Lower);
    let again: Vec<Vec<ArchPicks>> = framed
        .iter()
        .map(|a| picked_again(&a.picks, options.error_mm, seed(a.picks.arch)))
        .collect();
    for (own, again) in framed.iter().zip(&again) {
        let measured = finish(own, again, options);
        findings.extend(point_checks::of_line(table, &measured));
        out.arches.push(measured);
    }
    if let ([upper, lower], [upper_again, lower_again]) = (&framed[..], &again[..]) {
        let together = |u: &ArchPicks, l: &ArchPicks| {
            let mut figures = BTreeMap::new();
            bite::ratios(u, l, &mut figures);
            if table.is_of_one_file {
                bite::bite(u, l, &upper.frame, &mut figures);
            }
            figures
        };
        let all: Vec<_> =
            upper_again.iter().zip(lower_again).map(|(u, l)| together(u, l)).collect();
        out.both = with_deviations(together(&upper.picks, &lower.picks), &deviations(&all));
    }
    findings.sort_by_key(|f| (f.severity, f.place));
    (out, findings)
}

/// The plane of the arch is that of its slots, where heights were picked: contacts rise to the back with the crowns.
fn levelled(mut frame: ArchFrame, picks: &ArchPicks, options: &MeasureOptions) -> ArchFrame {
    if picks.is_flat {
        return frame;
    }
    for _ in 0..3 {
        let local = frame.put_all(picks);
        let in_plane: Vec<CrownInPlane> =
            local.crowns.iter().map(|c| CrownInPlane::of(c, &options.anatomy)).collect();
        match rise(&local, &in_plane, &options.anatomy) {
            Some(by) => frame = frame.levelled(by),
            None => break,
        }
    }
    frame
}

fn with_deviations(
    figures: BTreeMap<FigureKey, f64>,
    deviations: &BTreeMap<FigureKey, f64>,
) -> BTreeMap<FigureKey, MeasuredFigure> {
    let of = |(key, value)| {
        (key, MeasuredFigure { value, sd: deviations.get(&key).copied().unwrap_or(0.0) })
    };
    figures.into_iter().map(of).collect()
}

/// The line from the first slot to the last, to be drawn where the points were picked.
fn drawn(own: &FramedArch) -> Vec<[f64; 3]> {
    let stations = || own.reading.crowns.iter().map(|c| c.station_mm);
    let (first, last) = (stations().fold(f64::MAX, f64::min), stations().fold(f64::MIN, f64::max));
    if first >= last {
        return Vec::new();
    }
    let pieces = (last - first).ceil().clamp(1.0, LONGEST_LINE_MM);
    let at = |i: usize| {
        let [x, y] = own.reading.laid.point_at(first + (last - first) * i as f64 / pieces);
        own.frame.take_back([x, y, 0.0])
    };
    (0..=pieces as usize).map(at).collect()
}

fn finish(own: &FramedArch, again: &[ArchPicks], options: &MeasureOptions) -> MeasuredArch {
    let arch = own.picks.arch;
    let (laid, crowns) = (own.reading.laid, &own.reading.crowns);
    let read = |picks: &ArchPicks| {
        let local = own.frame.put_all(picks);
        read_arch(&local, options, options.form_of(arch), Some(laid)).figures
    };
    let all: Vec<_> = again.iter().map(read).collect();
    let in_line: Vec<&CrownOnLine> =
        crowns.iter().filter(|c| c.lingual_mm.abs() <= IN_LINE_MM).collect();
    let squares: f64 = in_line.iter().map(|c| c.lingual_mm.powi(2)).sum();
    let local = own.frame.put_all(&own.picks);
    let nearest = || match read_arch(&local, options, FormToLay::FittedCatenary, None).laid.line {
        ArchLine::Catenary { a_mm } => Some(a_mm),
        _ => None,
    };
    let by_widths = || {
        let read = read_arch(&local, options, FormToLay::FittedWidths, None);
        form_by_widths(read.laid.line, &read.crowns, IN_LINE_MM)
    };
    let is_given = options.form_of(arch) != FormToLay::FittedCatenary;
    MeasuredArch {
        arch,
        line: laid.line,
        is_flat: own.picks.is_flat,
        in_line: in_line.iter().map(|c| c.tooth).collect(),
        teeth: crowns.iter().map(|c| c.tooth).collect(),
        stations: crowns.iter().map(|c| (c.tooth, c.station_mm)).collect(),
        line_points: drawn(own),
        figures: with_deviations(own.reading.figures.clone(), &deviations(&all)),
        misfit_mm: (squares / (in_line.len().max(1) as f64)).sqrt(),
        best_catenary_mm: if is_given { nearest() } else { None },
        by_widths: by_widths(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::anatomy::MeasureAnatomy;
    use crate::line_fit::FitLoss;
    use crate::picks::distance;
    use crate::read_csv::read_csv;
    use springline_text::FileId;

    #[test]
    fn the_line_is_drawn_where_the_points_are() {
        for text in [
            include_str!("../tests/points/photograph.csv"),
            include_str!("../tests/points/lateral-in.csv"),
        ] {
            let (table, _) = read_csv(FileId(0), text);
            let table = table.expect("it is read");
            let options = MeasureOptions {
                upper: FormToLay::FittedCatenary,
                lower: FormToLay::FittedCatenary,
                loss: FitLoss::Cauchy,
                in_line: Vec::new(),
                error_mm: 0.2,
                anatomy: MeasureAnatomy::default(),
            };
            let (measured, _) = measure_points(&table, &options);
            let arch = measured.arches.first().expect("an arch");
            let ends = [arch.line_points.first(), arch.line_points.last()];
            let [Some(first), Some(last)] = ends else { panic!("no line") };
            // Outside the outermost crowns by the depth of a crown and bracket.
            let beside = |tooth: &springline_units::tooth::Tooth, at: [f64; 3]| {
                let picked =
                    table.teeth.get(tooth).and_then(|t| t.mesial).expect("its mesial contact");
                distance(picked.at, at)
            };
            let (right, left) = (&arch.teeth[0], &arch.teeth[arch.teeth.len() - 1]);
            assert!(beside(right, *first) < 12.0 && beside(left, *last) < 12.0);
            assert!(arch.line_points.windows(2).all(|w| distance(w[0], w[1]) < 1.01));
        }
    }
}
