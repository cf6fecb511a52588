//! Findings that were once made where nothing is wrong, or said what is not so: each with the plan that showed it. A chain
//! that closes, a coil that opens a gap and the blame for a high tooth stand in `harmless`.

use crate::rules_common::{options, run, source};
use springline_lang::finding::{Finding, Severity};
use springline_lang::{CheckOptions, check};
use springline_test_support::{Practices, RULES_SALTMARSH, SALTMARSH, example};

fn codes(findings: &[Finding]) -> Vec<(String, String)> {
    findings.iter().map(|f| (f.code.to_string(), f.message.clone())).collect()
}

/// In an 0.018 slot, with the wires that fill it.
fn in_small_slots(text: &str) -> Vec<Finding> {
    let house = RULES_SALTMARSH.replace("slot 0.022 x 0.028 in", "slot 0.018 x 0.025 in").replace(
        "wire steel-14 steel",
        "wire steel-17x25 steel, rect 0.017 x 0.025 in\nwire steel-14 steel",
    );
    check(&source(text), &Practices::of(house), &options()).findings
}

/// A lateral turned by ten degrees in a straight arch: once a force of 318 g on the central beside it.
#[test]
fn a_nearly_straight_arch_has_no_force_to_speak_of() {
    let found = run(r#"springline 1
case "SM-9871"
use saltmarsh
start 2026-11-23
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 rotated 10 deg mesial-in
  follow firm
}
retain {
  night-time upper
}
"#)
    .findings;
    assert!(found.iter().all(|f| f.code.family() != "force"), "{:?}", codes(&found));
}

/// The turned premolar of the examples, held by one wing, as it was planned on its first day.
#[test]
fn a_tooth_on_one_wing_turns_before_the_other_goes_in() {
    let text = example("cases/sm-0423-turned-premolar.spring");
    let plan = text.split("\nseen ").next().expect("a plan").to_owned() + "\n";
    let options = CheckOptions { today: Some(jiff::civil::date(2026, 3, 2)) };
    let found = check(&source(&plan), &Practices::of(SALTMARSH), &options).findings;
    let errors: Vec<_> = found.iter().filter(|f| f.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

/// What counts is how far a wire fills its slot, not its size.
#[test]
fn a_wire_that_fills_a_small_slot_is_not_too_light_to_close_on() {
    let plan = |wire: &str| {
        format!(
            r#"springline 1
case "SM-9872"
use saltmarsh
start 2026-11-23
goal {{
  extraction planned
}}
upper {{
  extracted 14, 24 on 2026-10-12
  bonded 15, 13..23, 25 with twin
  tubes 16, 26 with molar
  gap 7 mm between 15 and 13
  gap 7 mm between 23 and 25
  step align, wire niti-14, ends turned-in slack 1 mm, until passive, next computed {{
    laceback 16 to 13, 26 to 23
    sleeve between 15 and 13, between 23 and 25
  }}
  step settle as work, wire {wire}, ends turned-in slack 1 mm, express 4 wk, until expressed, next 6 wk
  step close as work, wire keep, ends free, until gap 0 mm between 15 and 13, next 6 wk {{
    closing-spring 16 to 13, 26 to 23 with closing-150
    tie 12..22 figure-eight
  }}
}}
retain {{
  night-time upper
}}
"#
        )
    };
    let too_light =
        |found: &[Finding]| found.iter().any(|f| f.code.as_str() == "order/closing-wire-too-light");
    let found = in_small_slots(&plan("steel-17x25"));
    assert!(!too_light(&found), "{:?}", codes(&found));
    let found = in_small_slots(&plan("niti-16"));
    assert!(too_light(&found), "{:?}", codes(&found));
}

/// Round steel of 0.016 carries a coil, and superelastic wire of that size does not.
#[test]
fn a_stiff_wire_under_a_coil_is_not_too_flexible() {
    let plan = |wire: &str| {
        format!(
            r#"springline 1
case "SM-9873"
use saltmarsh
start 2026-11-23
upper {{
  missing 12
  hold 12 6.5 mm
  bonded 15..13, 11..25 with twin
  tubes 16, 26 with molar
  gap 4.5 mm between 13 and 11
  follow firm
  step make-space as level after level, wire {wire}, ends turned-in slack 2 mm,
      until gap 6.5 mm between 13 and 11, next 6 wk {{
    tie 11..22 figure-eight
    open-coil between 13 and 11 with open-100, activated 2.5 mm each visit
  }}
}}
retain {{
  night-time upper
}}
"#
        )
    };
    let flexible =
        |found: &[Finding]| found.iter().any(|f| f.code.as_str() == "space/coil-on-light-wire");
    let found = in_small_slots(&plan("steel-16"));
    assert!(!flexible(&found), "{:?}", codes(&found));
    let found = in_small_slots(&plan("niti-16"));
    assert!(flexible(&found), "{:?}", codes(&found));
}

/// An open bite whose elastics have a step of their own, on the steel wire that went in one step before.
fn open_bite(longest: &str) -> String {
    format!(
        r#"springline 1
case "SM-9874"
use saltmarsh
start 2026-11-23
bite {{
  open-bite 2 mm
}}
goal {{
  overbite 1 mm
}}
upper {{
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow firm
  change work, express 5 wk, until expressed
  step close-bite as work after work, wire keep, until overbite 1 mm, next 6 wk
}}
lower {{
  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow firm
  change work, express 5 wk, until expressed
  step close-bite as work after work, wire keep, until overbite 1 mm, next 6 wk
}}
elastics triangle {{
  right 13 to 43 to 44 with light, wear 14 h
  left 23 to 33 to 34 with light, wear 14 h
  from close-bite
  until overbite 1 mm
  longest {longest}
}}
retain {{
  fixed 43..33
  night-time both
}}
"#
    )
}

/// Elastics that bring a bite part of the way are not nothing.
#[test]
fn elastics_that_stop_short_say_where() {
    let found = run(&open_bite("12 wk")).findings;
    let never: Vec<_> = found.iter().filter(|f| f.code.as_str() == "time/never-ends").collect();
    assert_eq!(never.len(), 1, "{:?}", codes(&found));
    assert!(
        never[0].message.contains("comes off at an open bite of 0.6 mm"),
        "{}",
        never[0].message
    );
    let found = run(&open_bite("27 wk")).findings;
    assert!(found.iter().all(|f| f.code.as_str() != "time/never-ends"), "{:?}", codes(&found));
}

/// A wire that stays has had its time to express.
#[test]
fn elastics_on_a_wire_of_the_step_before_are_not_too_early() {
    let plan = open_bite("26 wk")
        .replace("triangle", "class-2")
        .replace("13 to 43 to 44", "13 to 46")
        .replace("23 to 33 to 34", "23 to 36")
        .replace("  open-bite 2 mm\n", "  overjet 5 mm\n")
        .replace("overbite 1 mm", "overjet 2.5 mm");
    let early = |text: &str| {
        let found = run(text).findings;
        let early = found.iter().any(|f| f.code.as_str() == "order/elastics-too-early");
        (early, codes(&found))
    };
    let (found, said) = early(&plan);
    assert!(!found, "{said:?}");
    let (found, said) = early(&plan.replace("from close-bite", "from work"));
    assert!(found, "{said:?}");
}

/// A wire was taken out at one visit and the next one went in at the visit after: all that was recorded from then on was once
/// left out of account, and the arch was said to have jumped over a step.
#[test]
fn records_go_on_after_an_arch_was_without_a_wire() {
    let text = example("cases/sm-0377-light-class-2.spring");
    let without = text.replacen("lower binds at 42, kept", "lower binds at 42, out", 1);
    assert_ne!(text, without);
    let options = CheckOptions { today: Some(jiff::civil::date(2026, 11, 25)) };
    let found = check(&source(&without), &Practices::of(SALTMARSH), &options).findings;
    assert!(found.iter().all(|f| f.code.family() != "record"), "{:?}", codes(&found));
}
