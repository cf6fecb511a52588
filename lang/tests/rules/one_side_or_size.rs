//! Slips of one side or one size: elastics on the side of another class, and a wire thinner by a size.

use crate::rules_common::run;
use springline_lang::finding::Severity;

fn elastics(molars: &str, more: &str) -> Vec<String> {
    let text = format!(
        r#"springline 1
case "SM-9966"
use saltmarsh
start 2026-11-23
bite {{
  overjet 4 mm
  molars {molars}
}}
upper {{
  bonded 15..25 with twin
  tubes 16, 26 with molar
  follow firm
  change work {{
    tie 13..23 figure-eight
  }}
}}
lower {{
{more}  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow firm
}}
elastics class-2 {{
  right 13 to 46 with medium, wear 12 h
  left 23 to 36 with medium, wear 12 h
  from work expressed
  longest 26 wk
}}
retain {{
  fixed 43..33
  night-time both
}}
"#
    );
    let found = run(&text).findings;
    let of_rule = found.iter().filter(|f| f.code.as_str() == "order/elastics-wrong-class");
    of_rule.map(|f| f.message.clone()).collect()
}

#[test]
fn elastics_worn_on_the_side_of_the_other_class_too_are_found_at_that_side() {
    let found = elastics("right class-2 4 mm, left class-3 1.5 mm", "");
    assert_eq!(
        found,
        ["Class II elastics are worn on the left too, where the occlusion is Class III."]
    );
    assert!(elastics("right class-2 4 mm, left class-2 1.5 mm", "").is_empty());
}

/// Pulling unevenly moves a midline.
#[test]
fn a_midline_to_move_is_a_reason_to_pull_on_that_side() {
    let midline = "  midline 2 mm to patient-right of face\n";
    let found = elastics("right class-2 4 mm, left class-3 1.5 mm", midline);
    assert!(found.is_empty(), "{found:?}");
}

/// One step of the case put before or after the practice's aligning wire.
fn aligning(step: &str) -> Vec<(usize, Severity)> {
    let text = format!(
        r#"springline 1
case "SM-9967"
use saltmarsh
start 2026-11-23
upper {{
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 12 labial 1 mm
  follow firm
  {step}
}}
retain {{
  night-time upper
}}
"#
    );
    let checked = run(&text);
    let of_rule = checked.findings.iter().filter(|f| f.code.as_str() == "order/step-back");
    let line = |at: usize| text[..at].lines().count();
    of_rule.map(|f| (line(f.place.span.start as usize), f.severity)).collect()
}

#[test]
fn a_size_less_of_one_alloy_is_a_step_back_told_where_it_was_written() {
    let first = "step align-0 as align before align, wire niti-16, ends turned-in slack 2 mm, until passive, next 8 wk";
    assert_eq!(aligning(first), [(10, Severity::Warning)]);
    let next = first.replace("before", "after").replace("align-0", "align-2");
    assert!(aligning(&next).is_empty());
}

/// Only the lower arch has a day of its own, and the upper wire was tested at the first visit.
#[test]
fn an_arch_with_records_and_no_day_of_beginning_is_found() {
    use springline_lang::{CheckOptions, check};
    use springline_test_support::{Practices, SALTMARSH, example};
    let text = example("cases/sm-0402-deep-bite.spring");
    let options = CheckOptions { today: Some(jiff::civil::date(2026, 11, 25)) };
    let said = |text: &str| {
        let source = crate::rules_common::source(text);
        let found = check(&source, &Practices::of(SALTMARSH), &options).findings;
        found.iter().any(|f| f.code.as_str() == "time/no-start")
    };
    assert!(!said(&text));
    assert!(said(&text.replacen("start 2026-02-09\n", "", 1)));
}

/// Taken out at one visit, kept at the next.
#[test]
fn a_wire_is_not_kept_that_was_taken_out() {
    use springline_lang::{CheckOptions, check};
    use springline_test_support::{Practices, SALTMARSH, example};
    let text = example("cases/sm-0377-light-class-2.spring");
    let text = text.replacen("  upper passive, same-wire", "  upper passive, out", 1);
    let options = CheckOptions { today: Some(jiff::civil::date(2026, 11, 25)) };
    let source = crate::rules_common::source(&text);
    let found = check(&source, &Practices::of(SALTMARSH), &options).findings;
    let said = found.iter().any(|f| f.message.contains("had been taken out on 2026-08-17"));
    assert!(said, "{found:#?}");
}
