//! Forms of two numbers, what a form leaves, and points named in viewers.

use std::fmt::Write as _;

use springline_finding::Finding;
use springline_measure::*;
use springline_mechanics::{ArchLine, QuarticLine};
use springline_text::FileId;
use springline_units::anatomy::{SLOT_BEFORE_CONTACTS_MM, crown_prominence_mm, crown_width_mm};
use springline_units::tooth::{Arch, Side, Tooth};

/// A lower form that is square at the canines, as most are: along the slots 29 mm wide there, 51 mm at the molars.
const SQUARE: ArchLine =
    ArchLine::TwoWidths(QuarticLine { front_per_mm: 0.044, sides_per_mm: 0.038, reach_mm: 17.3 });
/// The catenary of a program that knows no better.
const NARROW: ArchLine = ArchLine::Catenary { a_mm: 12.7 };

/// Points of straight lower crowns that touch along a line, 6 to 6.
fn straight(line: ArchLine) -> Vec<(Tooth, &'static str, [f64; 2])> {
    let station = |contact: f64| {
        let mut s = contact;
        for _ in 0..60 {
            s += contact - line.parallel_mm(s, SLOT_BEFORE_CONTACTS_MM);
        }
        s
    };
    let mut out = Vec::new();
    for quadrant in [40, 30] {
        let side = if quadrant == 40 { -1.0 } else { 1.0 };
        let mut along = 0.0;
        for position in 1..=6 {
            let tooth = Tooth::iso(quadrant + position).expect("a tooth");
            let width = crown_width_mm(tooth);
            let ([x, y], turn) = line.place(station(side * (along + 0.5 * width)));
            along += width;
            let (sin, cos) = turn.sin_cos();
            let at = |inward: f64, ahead: f64| {
                [x - inward * sin + ahead * cos, y + inward * cos + ahead * sin]
            };
            let half = if tooth.side() == Side::Right { 0.5 * width } else { -0.5 * width };
            let face = SLOT_BEFORE_CONTACTS_MM - crown_prominence_mm(tooth);
            out.push((tooth, "mesial", at(SLOT_BEFORE_CONTACTS_MM, half)));
            out.push((tooth, "distal", at(SLOT_BEFORE_CONTACTS_MM, -half)));
            out.push((tooth, "facial", at(face, 0.0)));
        }
    }
    out
}

fn table(line: ArchLine) -> PointTable {
    let mut text = String::from("tooth,point,x,y\n");
    for (tooth, point, [x, y]) in straight(line) {
        let _ = writeln!(text, "{tooth},{point},{x:.4},{y:.4}");
    }
    let (table, findings) = read_csv(FileId(0), &text);
    assert!(findings.is_empty(), "{findings:#?}");
    table.expect("points")
}

fn read(table: &PointTable, lower: FormToLay) -> (MeasuredArch, Vec<Finding>) {
    let options = MeasureOptions {
        upper: lower,
        lower,
        loss: FitLoss::Cauchy,
        in_line: Vec::new(),
        error_mm: 0.1,
        anatomy: MeasureAnatomy::default(),
    };
    let (read, findings) = measure_points(table, &options);
    (read.arch(Arch::Lower).expect("the arch").clone(), findings)
}

fn lingual(arch: &MeasuredArch, code: u32) -> f64 {
    let tooth = Tooth::iso(code).expect("a tooth");
    arch.figure(FigureKey::Lingual(tooth)).expect("a figure").value
}

/// On a catenary such canines read as out, which is said with the form that fits; by widths all teeth are in line.
#[test]
fn a_form_by_its_widths_fits_what_a_catenary_does_not() {
    let points = table(SQUARE);
    let (by_catenary, findings) = read(&points, FormToLay::Given(NARROW));
    assert!(lingual(&by_catenary, 43) < -1.0 && lingual(&by_catenary, 33) < -1.0);
    let form = findings.iter().find(|f| f.code.as_str() == "points/form").expect("said");
    assert!(form.message.starts_with("Canines of both sides lie outside"), "{}", form.message);
    let note = form.notes.join(" ");
    assert!(note.contains("`--form fitted` lays one with 12 of 12 teeth in line"), "{note}");

    let (by_widths, findings) = read(&points, FormToLay::FittedWidths);
    assert_eq!(by_widths.in_line.len(), 12);
    // What holds a form near usual ones leaves less than points err by.
    assert!(by_widths.misfit_mm < 0.2, "{}", by_widths.misfit_mm);
    assert!(findings.iter().all(|f| f.code.as_str() != "points/form"), "{findings:#?}");
    let form = by_widths.by_widths.expect("its widths");
    let places = |width: f64, depth: f64| {
        let near = (0..900).map(|i| {
            let [x, y] = SQUARE.place(0.05 * f64::from(i)).0;
            (2.0 * x - width).hypot(y - depth)
        });
        near.fold(f64::INFINITY, f64::min)
    };
    assert!(places(form.canine_width_mm, form.canine_depth_mm) < 0.3, "{form:?}");
    assert!(places(form.molar_width_mm, form.molar_depth_mm) < 0.4, "{form:?}");
}

/// A catenary is read as one: two numbers change nothing that one says well.
#[test]
fn a_catenary_is_fitted_by_widths_as_well() {
    let (arch, _) = read(&table(ArchLine::Catenary { a_mm: 13.0 }), FormToLay::FittedWidths);
    assert_eq!(arch.in_line.len(), 12);
    assert!(arch.misfit_mm < 0.25, "{}", arch.misfit_mm);
}

/// Without teeth behind the canines two numbers would follow single teeth.
#[test]
fn six_front_teeth_have_no_form_by_widths() {
    let mut points = table(SQUARE);
    points.teeth.retain(|t, _| t.is_anterior());
    let (arch, _) = read(&points, FormToLay::FittedWidths);
    assert_eq!(arch.by_widths, None);
    assert!(matches!(arch.line, ArchLine::Catenary { .. }));
}

fn picked(points: &[(Tooth, &str, [f64; 2])]) -> String {
    let mut text = String::from(
        "<!DOCTYPE PickedPoints>\n<PickedPoints>\n <DocumentData>\n  <User name=\"someone\"/>\n </DocumentData>\n",
    );
    for (tooth, point, [x, y]) in points {
        let short = &point[..1];
        let _ = writeln!(
            text,
            " <point x=\"{x:.4}\" y=\"{y:.4}\" z=\"0\" name=\"{tooth}{short}\" active=\"1\"/>"
        );
    }
    text + " <point x=\"0\" y=\"0\" z=\"0\" name=\"not placed\" active=\"0\"/>\n</PickedPoints>\n"
}

#[test]
fn picked_points_are_read_by_their_names() {
    let points = straight(SQUARE);
    let (table, findings) = read_picked_points(FileId(0), &picked(&points));
    assert!(findings.is_empty(), "{findings:#?}");
    let table = table.expect("points");
    assert_eq!(table.teeth.len(), 12);
    let tooth = Tooth::iso(43).expect("a tooth");
    let wanted = points.iter().find(|p| p.0 == tooth && p.1 == "facial").expect("its face").2;
    let at = table.teeth[&tooth].facial.expect("its face").at;
    assert!((at[0] - wanted[0]).hypot(at[1] - wanted[1]) < 1e-3);
}

#[test]
fn what_are_no_picked_points_is_said() {
    for text in [
        "<",
        "<PickedPoints></PickedPoints>",
        "<PickedPoints><point x=\"1\" y=\"2\" name=\"12m\"/></PickedPoints>",
        "<PickedPoints><point x=\"1\" y=\"2\" z=\"q\" name=\"12m\"/></PickedPoints>",
        "<PickedPoints><point x=\"1\" y=\"2\" z=\"3\" name=\"x\"/></PickedPoints>",
        "<a><b></a>",
        "<!DOCTYPE a [<!ENTITY b \"c\">]><PickedPoints><point x=\"&b;\" y=\"2\" z=\"3\" name=\"12m\"/></PickedPoints>",
    ] {
        let (table, findings) = read_picked_points(FileId(0), text);
        assert!(table.is_none() && !findings.is_empty(), "{text}");
        assert!(
            findings.iter().all(|f| f.code.as_str() == "points/labels"),
            "{text}: {findings:#?}"
        );
    }
}
