//! What a house measured on a wire reaches the force on the tooth: figures, a bending curve, tolerances.

use jiff::civil::date;
use springline_emit::tables::{chart, forces};
use springline_emit::{Plan, PrintStamp};
use springline_lang::course::on_demand;
use springline_lang::{CheckOptions, SourceText, check};
use springline_test_support::{Practices, SALTMARSH};

const TODAY: jiff::civil::Date = date(2026, 11, 25);

const WIRES: &str = "
wire own-plateau superelastic-niti, round 0.014 in, unloading-plateau 90..110 MPa
wire own-half superelastic-niti, round 0.014 in, measured over 10 mm span,
    loading 70 g at 1 mm, loading 65 g at 2 mm, loading 56 g at 3 mm,
    unloading 32 g at 2 mm, unloading 31 g at 1 mm
wire own-wide superelastic-niti, round 0.014 in, tolerance 0.04 mm
wire own-steel steel, round 0.016 in, yield 1400 MPa
wire own-soft steel, round 0.016 in, yield 400 MPa
";

fn case(wire: &str) -> String {
    format!(
        "springline 1\ncase \"SM-0001\"\nuse saltmarsh\ndoctor KL\nstart 2026-09-14\npatient adult\n\
         lower {{\n  bonded 45..35 with twin\n  tubes 46, 36 with molar\n  tooth 42 lingual 1.5 mm\n  \
         follow usual\n  change align, wire {wire}\n}}\n"
    )
}

fn align(wire: &str, bands: bool) -> (forces::StepRows, chart::Chart) {
    let source = SourceText { name: "own.spring".to_owned(), text: case(wire).into() };
    let checked = check(
        &source,
        &Practices::of(format!("{SALTMARSH}{WIRES}")),
        &CheckOptions { today: Some(TODAY) },
    );
    let stamp = PrintStamp {
        case: "1".into(),
        house: "2".into(),
        tool: "springline".into(),
        printed: TODAY,
    };
    let plan = Plan::of(checked.course(), &checked.findings, TODAY, &stamp).unwrap_or_else(|| {
        panic!("{wire}: {:?}", checked.findings.iter().map(|f| &f.message).collect::<Vec<_>>())
    });
    let table = forces::forces(&plan, |phase| on_demand::phase_figures(phase, bands));
    let step = table.steps.into_iter().find(|s| s.step == "align").expect("the first step");
    assert!(step.refused.is_none(), "{:?}", step.refused);
    let house = plan.house();
    let wires = [house.wires.get(wire).expect("the wire").clone()];
    (step, chart::chart(&on_demand::bench(house, &wires, Some(10.0), 3.0)))
}

fn worst(step: &forces::StepRows, of: fn(&forces::ToothRow) -> f64) -> f64 {
    step.teeth.iter().map(of).fold(0.0, f64::max)
}

#[test]
fn measured_plateaus_reach_the_force_that_is_kept() {
    let (usual, usual_chart) = align("niti-14", false);
    let (own, own_chart) = align("own-plateau", false);
    // On the bench the way back runs along the plateau itself.
    let back = |chart: &chart::Chart| {
        let off = |p: &&(f64, f64)| (p.0 - 1.0).abs();
        let points = chart.wires[0].unloading.iter();
        points.min_by(|a, b| off(a).total_cmp(&off(b))).expect("a way back").1
    };
    let (a, b) = (back(&usual_chart), back(&own_chart));
    assert!(b < 0.7 * a, "{b} against {a}");
    // In the mouth the tooth has by then given half a millimetre; part of the wire has unloaded so far.
    let (a, b) = (worst(&usual, |t| t.sustained_g.value), worst(&own, |t| t.sustained_g.value));
    assert!(b < 0.95 * a, "{b} against {a}");
    // The loading branch is the alloy's, and so is the force when the wire goes in.
    let (a, b) = (worst(&usual, |t| t.peak_g.value), worst(&own, |t| t.peak_g.value));
    assert!((a - b).abs() < 0.01 * a, "{b} against {a}");
}

#[test]
fn a_measured_curve_is_fitted_shown_and_used() {
    let (usual, _) = align("niti-14", false);
    let (own, chart) = align("own-half", false);
    let (a, b) = (worst(&usual, |t| t.peak_g.value), worst(&own, |t| t.peak_g.value));
    // The curve is half of what the alloy's own set gives in this test.
    assert!((0.35..0.75).contains(&(b / a)), "{b} against {a}");
    assert!(own.law.as_deref().is_some_and(|l| l.contains("5 measured points")), "{:?}", own.law);
    assert_eq!(usual.law, None);
    let fit = chart.wires[0].fit.as_ref().expect("a fit");
    assert_eq!((fit.points.len(), fit.refused.as_deref()), (5, None));
    assert!(fit.worst_percent < 12.0, "{fit:?}");
    assert!(chart::human(&chart).contains("curve fitted to 5 measured points"));
}

#[test]
fn a_measured_tolerance_widens_the_band() {
    let width = |wire| {
        let (step, _) = align(wire, true);
        // Of one tooth, and of a small tolerance, the draws of its place may happen to offset those of the wire.
        let widths = step.teeth.iter().map(|t| Some(t.peak_g.high? - t.peak_g.low?));
        widths.map(|w| w.expect("a band")).sum::<f64>()
    };
    let (usual, own) = (width("niti-14"), width("own-wide"));
    assert!(own > usual, "{own} against {usual}");
}

#[test]
fn a_measured_yield_stress_leaves_a_set() {
    let (hard, hard_chart) = align("own-steel", false);
    let (soft, soft_chart) = align("own-soft", false);
    let (a, b) = (worst(&hard, |t| t.peak_g.value), worst(&soft, |t| t.peak_g.value));
    assert!(b < a, "{b} against {a}");
    assert!(soft_chart.wires[0].set_mm > hard_chart.wires[0].set_mm + 0.2);
    assert!(chart::human(&soft_chart).contains("permanent set"));
}
