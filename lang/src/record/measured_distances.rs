//! What was measured comes back from the text: points of made arches, their block, the plan that reads it, and where its
//! brackets lie.

use std::fmt::Write as _;

use jiff::civil::date;
use proptest::prelude::*;
use springline_course::ArchLayout;
use springline_measure::{
    FitLoss, FormToLay, MeasureAnatomy, MeasureOptions, MeasuredArch, measure_points, read_csv,
};
use springline_mechanics::ArchLine;
use springline_model::case::ArchCase;
use springline_model::form::{Form, FormCurve};
use springline_model::measured_block::PointsSource;
use springline_text::FileId;
use springline_units::anatomy::{SLOT_BEFORE_CONTACTS_MM, crown_prominence_mm, crown_width_mm};
use springline_units::quantity::from_mm;
use springline_units::tooth::{Arch, Notation, Side, Tooth};

use super::measured::{ReadingSource, measured_lines, reading_block};
use crate::stand_edit::StandPlace;

const SIZE_MM: f64 = 13.9;
const LINE: ArchLine = ArchLine::Catenary { a_mm: SIZE_MM };

/// How a crown stands: overlap with the one before along the contact line, inward, mesial-in, wider than usual.
type DrawnStand = (f64, f64, f64, f64);

/// The points of a scan of such crowns, without any error.
fn points(draw: &[DrawnStand], flat: bool) -> String {
    let teeth: Vec<Tooth> = (2..14).filter_map(|place| Tooth::at(Arch::Upper, place)).collect();
    let own = |i: usize| if (2..10).contains(&i) { draw[i - 2] } else { (0.0, 0.0, 0.0, 0.0) };
    let width = |i: usize| crown_width_mm(teeth[i]) + own(i).3;
    let mut middles = vec![0.0];
    for i in 1..teeth.len() {
        middles.push(middles[i - 1] + 0.5 * (width(i - 1) + width(i)) - own(i).0);
    }
    let midline = 0.5 * (middles[5] + middles[6]);
    let mut text = String::new();
    if flat {
        text += "tooth,point,x,y\n";
    } else {
        text += "tooth,point,x,y,z\n";
    }
    for (i, tooth) in teeth.iter().enumerate() {
        let (_, inward, deg, _) = own(i);
        let left_in = if tooth.side() == Side::Right { deg } else { -deg };
        let beside = SLOT_BEFORE_CONTACTS_MM * left_in.to_radians().sin();
        let mut station = middles[i] - midline;
        for _ in 0..50 {
            station += middles[i] - midline - LINE.parallel_mm(station, SLOT_BEFORE_CONTACTS_MM);
        }
        let ([x, y], turn) = LINE.place(station + beside);
        let slot = [x - inward * turn.sin(), y + inward * turn.cos()];
        let (sin, cos) = (turn + left_in.to_radians()).sin_cos();
        let at = |within: f64, ahead: f64| {
            [slot[0] - within * sin + ahead * cos, slot[1] + within * cos + ahead * sin]
        };
        let half = if tooth.side() == Side::Right { 0.5 } else { -0.5 } * width(i);
        let face = SLOT_BEFORE_CONTACTS_MM - crown_prominence_mm(*tooth);
        for (name, p, z) in [
            ("mesial", at(SLOT_BEFORE_CONTACTS_MM, half), 0.0),
            ("distal", at(SLOT_BEFORE_CONTACTS_MM, -half), 0.0),
            ("facial", at(face, 0.0), 1.0),
        ] {
            let _ = write!(text, "{tooth},{name},{:.4},{:.4}", p[0], p[1]);
            text += &if flat { "\n".to_owned() } else { format!(",{z}\n") };
        }
    }
    text
}

fn measured(points: &str) -> MeasuredArch {
    let table = read_csv(FileId(0), points).0.expect("points");
    let line = FormToLay::Given(LINE);
    let options = MeasureOptions {
        upper: line,
        lower: line,
        loss: FitLoss::Cauchy,
        in_line: Vec::new(),
        error_mm: 0.2,
        anatomy: MeasureAnatomy::default(),
    };
    measure_points(&table, &options).0.arches.remove(0)
}

/// The arch of a plan with this block.
fn planned(block: &str) -> ArchCase {
    let bonded = "  bonded 15..25 with twin\n  tubes 16, 26 with molar\n";
    let step = "  step align, wire niti-14, ends turned-in, until passive, next computed\n";
    let text = format!("start 2026-09-14\nupper {{\n{bonded}{block}\n{step}}}\n");
    let mut arch = springline_test_support::case(&text).arches[0].clone();
    let curve = FormCurve::Catenary { a: from_mm(SIZE_MM) };
    arch.form.value = Form { name: "own".into(), curve, place: None }.into();
    arch
}

fn block(measured: &MeasuredArch) -> String {
    let from = ReadingSource {
        on: date(2026, 9, 14),
        source: if measured.is_flat { PointsSource::Photograph } else { PointsSource::Scan },
        file: "upper.csv".to_owned(),
        fingerprint: "7c1e09b2".to_owned(),
        error_mm: 0.2,
    };
    reading_block(&from, &[], &measured_lines(measured, None, StandPlace::Plan, Notation::Iso))
}

/// Root mean square of what the distances of front brackets miss. Where brackets would stand nearer than any can be bonded
/// (3.9 mm of twins, and what tenths round) they are bonded elsewhere, and no distance of theirs is that of the points.
fn missed(measured: &MeasuredArch, layout: &ArchLayout) -> Option<f64> {
    let apart = |w: &[Tooth]| measured.stations[&w[1]] - measured.stations[&w[0]];
    let has_no_room =
        |t: Tooth| measured.teeth.windows(2).any(|w| w.contains(&t) && apart(w) < 4.2);
    let front = measured.teeth.windows(2).filter(|w| w.iter().all(|t| t.position() <= 4));
    let counted = front.filter(|w| !has_no_room(w[0]) && !has_no_room(w[1]));
    let squares: Vec<f64> = counted
        .map(|w| Some((layout.station_mm(w[1])? - layout.station_mm(w[0])? - apart(w)).powi(2)))
        .collect::<Option<_>>()?;
    // Of two or three distances nothing is a mean.
    (squares.len() > 3).then(|| (squares.iter().sum::<f64>() / squares.len() as f64).sqrt())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    /// Of a scan and of a photograph, which writes no widths.
    #[test]
    fn front_distances_come_back_from_what_was_written(
        draw in prop::collection::vec((-1.5..2.2, -1.5..2.5, -25.0..35.0, -0.6..0.6), 8),
        flat: bool,
    ) {
        let draw: Vec<DrawnStand> = draw;
        let measured = measured(&points(&draw, flat));
        let block = block(&measured);
        let missed = missed(&measured, &ArchLayout::entered(&planned(&block)).unwrap());
        prop_assume!(missed.is_some());
        prop_assert!(missed.unwrap_or(1.0) < 0.15, "{missed:?}\n{block}");
    }
}

/// A straight arch is written with its widths alone.
#[test]
fn an_arch_in_line_has_no_contacts_to_write() {
    let block = block(&measured(&points(&[(0.0, 0.0, 0.0, 0.0); 8], false)));
    assert!(!block.contains("overlap") && !block.contains("gap"), "{block}");
}
