//! Temperature and time of materials: a practice's figures of its wires, elastics and chains, and what follows
//! from them.

use springline_lang::course::setup::{bench_stock, stock};
use springline_lang::course::{Forecast, chain_pull, elastic_pull, forecast};
use springline_lang::finding::{Finding, Severity};
use springline_lang::mechanics::{Flag, Law};
use springline_lang::model::{Case, House};
use springline_lang::text::FileId;
use springline_lang::units::quantity::newtons_to_grams;
use springline_lang::{CheckOptions, Checker, SourceText};
use springline_test_support::{Practices, SALTMARSH};

fn house(lines: &str) -> String {
    format!("{SALTMARSH}\n{lines}\n")
}

/// Findings of a practice file, as text.
fn found(lines: &str) -> Vec<Finding> {
    let text = house(lines);
    let source = SourceText { name: "saltmarsh.spring".to_owned(), text: text.into() };
    Checker::new().read(&source, &Practices::saltmarsh()).findings
}

const CASE: &str = "springline 1
case \"SM-9100\"
use saltmarsh
start 2026-09-14
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  gap 1 mm between 11 and 21
  tooth 12 palatal 1 mm
  step align, wire WIRE, until passive
  step work, wire steel-19x25, ends free, until 12 wk {
    chain 13..23 with weak
  }
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  step work, wire steel-19x25, until 12 wk
}
elastics class-2 {
  right 13 to 46 with band, wear 22 h
  left 23 to 36 with band, wear 22 h
  from work
}
";

fn case(lines: &str, wire: &str) -> Case {
    let text = house(lines);
    Practices::of(text).case(&CASE.replace("WIRE", wire))
}

fn flag(law: Law) -> Flag {
    match law {
        Law::Flag(flag) => flag,
        Law::Linear(linear) => panic!("{linear:?}"),
    }
}

fn wire_law(house: &House, name: &str) -> Flag {
    flag(stock(&house.wires[name]).law)
}

const WEAK: &str = "chain weak short, force 200 g
elastic band size 1/4 in, force 100 g";

/// Slope of Clausius and Clapeyron: Otsuka K, Ren X. Prog Mater Sci 2005;50:511-678 (value from memory).
#[test]
fn af_and_mouth_move_the_plateaus_by_the_slope() {
    let lines = format!(
        "{WEAK}\nwire warm thermal-niti, round 0.016 in, af 27 C\n\
         wire measured thermal-niti, round 0.016 in, af 27 C, unloading-plateau 90..120 MPa"
    );
    let at_37 = case(&lines, "warm").house;
    let at_35 = case(&format!("{lines}\nmouth-temperature 35 C"), "warm").house;
    let shipped = flag(Law::thermal());
    let warm = wire_law(&at_37, "warm");
    let shift = 6.5 * (27.0 - (37.0 - 100.0 / 6.5));
    assert!((shipped.loading_start_mpa - warm.loading_start_mpa - shift).abs() < 1e-9);
    assert!((warm.unloading_end_mpa - 65.0).abs() < 1e-9, "10 degrees above its Af: {warm:?}");
    // What was measured stays, the rest moves.
    let measured = wire_law(&at_37, "measured");
    assert!(
        (measured.unloading_start_mpa - 90.0).abs() < 1e-9 || measured.unloading_end_mpa >= 90.0
    );
    assert!((measured.loading_start_mpa - warm.loading_start_mpa).abs() < 1e-9);
    for name in ["warm", "measured", "niti-14"] {
        let (a, b) = (wire_law(&at_37, name), wire_law(&at_35, name));
        assert!((a.loading_start_mpa - b.loading_start_mpa - 13.0).abs() < 1e-9, "{name}");
        assert!((a.unloading_end_mpa - b.unloading_end_mpa - 13.0).abs() < 1e-9, "{name}");
        // The bench stays at its own temperature.
        assert_eq!(bench_stock(&at_35.wires[name]), bench_stock(&at_37.wires[name]), "{name}");
    }
    assert_eq!(stock(&at_35.wires["steel-19x25"]), stock(&at_37.wires["steel-19x25"]));
    // Also in sequences that name the wire.
    let used = &at_35.sequences["usual"].steps[0].wire.value.wire;
    assert!((used.mouth_c - 35.0).abs() < 1e-12);
}

#[test]
fn the_forces_of_a_step_follow_the_af() {
    let peak = |af: &str| {
        let lines = format!("{WEAK}\nwire warm thermal-niti, round 0.016 in{af}");
        let forecast = forecast(&case(&lines, "warm"), None);
        let phase = &forecast.arches[0].phases[0];
        phase.insertion.teeth.iter().map(|t| t.delivered_n).fold(0.0, f64::max)
    };
    let (shipped, at_27, at_35) = (peak(""), peak(", af 27 C"), peak(", af 35 C"));
    assert!(shipped > at_27 && at_27 > at_35, "{shipped} {at_27} {at_35}");
}

/// Tables as published, see `ForceLeft`: half of a chain after four weeks, three quarters of an elastic after a day.
#[test]
fn chains_and_elastics_pull_what_is_left() {
    let case = case(WEAK, "niti-14");
    let g = newtons_to_grams;
    let chain = chain_pull(Some(&case.house.chains["weak"]), None);
    assert!((g(chain.fresh_n) - 200.0).abs() < 1e-9 && (g(chain.last_n) - 100.0).abs() < 1e-9);
    assert!((100.0..106.0).contains(&g(chain.mean_n)), "{chain:?}");
    let mut run = case.elastics[0].runs[0].clone();
    run.hours_a_day = 24.0;
    let day = elastic_pull(&run);
    assert!((g(day.last_n) - 75.0).abs() < 1e-9);
    assert!((78.0..86.0).contains(&g(day.mean_n)), "{day:?}");
    run.hours_a_day = 10.0;
    assert!(elastic_pull(&run).mean_n > day.mean_n, "a night's wear is of a fresher one");
}

/// The chain of the working step, and its elastics: forces of wires and dates under two tables.
fn under(lines: &str) -> (Case, Forecast) {
    let case = case(lines, "niti-14");
    let forecast = forecast(&case, None);
    (case, forecast)
}

#[test]
fn a_practice_replaces_the_curve_and_no_published_rate_is_slowed() {
    let own = "chain weak short, force 200 g, remaining 90 % after 24 h, remaining 80 % after 4 wk
elastic band size 1/4 in, force 100 g, remaining 95 % after 24 h";
    let (case, strong) = under(own);
    let (_, usual) = under(WEAK);
    assert!(
        (newtons_to_grams(chain_pull(Some(&case.house.chains["weak"]), None).last_n) - 160.0).abs()
            < 1e-9
    );
    let (a, b) = (&strong.arches[0].phases[1], &usual.arches[0].phases[1]);
    let load = |p: &springline_lang::course::Phase| -> f64 {
        p.setup.base.loads.iter().map(|l| l.along_n.abs()).sum()
    };
    assert!(load(a) > 1.1 * load(b), "{} {}", load(a), load(b));
    // Rates of closing were published for chains as they lose force.
    let exit = |p: &springline_lang::course::Phase| p.end.predicted.as_ref().map(|t| t.median_days);
    assert_eq!(exit(a), exit(b));
    let jet = |f: &Forecast| f.timeline.visits().last().map(|v| v.bite.forecast.clone());
    assert_eq!(jet(&strong), jet(&usual));
}

#[test]
fn what_cannot_be_is_said_with_a_fix() {
    let cases = [
        ("wire s steel, round 0.016 in, af 27 C", "name/af-of-no-niti", Severity::Error),
        ("wire s thermal-niti, round 0.016 in, af 40 C", "unit/af-above-mouth", Severity::Warning),
        ("wire s thermal-niti, round 0.016 in, af 27 g", "unit/wrong", Severity::Error),
        ("wire s thermal-niti, round 0.016 in, af 270 C", "unit/implausible", Severity::Error),
        ("wire s thermal-niti 27C, round 0.016 in", "syntax/bare-temperature", Severity::Error),
        ("wire s thermal-niti, round 0.016 in, 27 C", "syntax/bare-temperature", Severity::Error),
        ("friction steel 0.8 times", "unit/unusual", Severity::Warning),
        ("friction steel 3 times", "unit/implausible", Severity::Error),
        (
            "friction steel 0.3 times, between 0.1 times and 0.2 times",
            "unit/outside-its-range",
            Severity::Error,
        ),
        ("friction steel 0.1 times\nfriction steel 0.2 times", "name/said-twice", Severity::Error),
        ("mouth-temperature 3.5 C", "unit/implausible", Severity::Error),
        ("mouth-temperature 25 C", "unit/unusual", Severity::Warning),
        ("mouth-temperature 35 C\nmouth-temperature 36 C", "name/said-twice", Severity::Error),
        (
            "chain c short, force 200 g, remaining 50 % after 1 h, remaining 60 % after 1 h",
            "name/said-twice",
            Severity::Error,
        ),
        (
            "chain c short, force 200 g, remaining 50 % after 1 h, remaining 60 % after 2 h",
            "unit/force-grows",
            Severity::Warning,
        ),
        ("elastic e force 100 g, remaining 150 % after 1 h", "unit/implausible", Severity::Error),
    ];
    for (line, code, severity) in cases {
        let found = found(line);
        let told: Vec<_> = found.iter().map(|f| (f.code.as_str().to_owned(), f.severity)).collect();
        assert_eq!(told, [(code.to_owned(), severity)], "{line}");
        let text = house(line);
        for fix in &found[0].fixes {
            let mended = fix.apply(FileId(0), &text).expect("it fits");
            let source =
                SourceText { name: "saltmarsh.spring".to_owned(), text: mended.clone().into() };
            let left = Checker::new().read(&source, &Practices::saltmarsh()).findings;
            assert!(
                !left.iter().any(|f| f.code.as_str() == code),
                "{line}: {} leaves {left:?}",
                fix.title
            );
        }
    }
    let bare = &found("wire s thermal-niti 27C, round 0.016 in")[0];
    assert_eq!(bare.fixes.len(), 1);
}

#[test]
fn a_wire_that_is_soft_in_the_mouth_is_found_in_the_step_that_uses_it() {
    let codes = |lines: &str, wire: &str| -> Vec<String> {
        let text = CASE.replace("WIRE", wire);
        let source = SourceText { name: "case.spring".to_owned(), text: text.into() };
        let checked = Checker::new().check(
            &source,
            &Practices::of(house(lines)),
            &CheckOptions { today: None },
        );
        checked.findings.iter().map(|f| f.code.to_string()).collect()
    };
    let soft = "order/soft-in-the-mouth".to_owned();
    let lines = format!(
        "{WEAK}\nwire label-40 thermal-niti, round 0.016 in, af 40 C\nwire label-36 thermal-niti, round 0.016 in, af 36 C"
    );
    assert!(codes(&lines, "label-40").contains(&soft));
    assert!(!codes(&lines, "label-36").contains(&soft));
    let colder = format!("{lines}\nmouth-temperature 35 C");
    assert!(codes(&colder, "label-36").contains(&soft));
}
