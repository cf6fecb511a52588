//! Fixes that once did harm, or only silenced what was found: each as a plan in which that fix was offered.

use crate::rules_common::{library, options, run, source};
use crate::trials::trial;
use springline_lang::finding::Finding;
use springline_lang::fixes::{Budget, Harm, Tried};
use springline_lang::text::FileId;
use springline_lang::{Checked, Checker};

/// A fix as it is offered, with the plan that it makes.
struct Offered {
    title: String,
    text: String,
}

fn tried(text: &str) -> Checked {
    let mut checker = Checker::new();
    let checked = checker.check(&source(text), &library(), &options());
    checker.try_fixes(checked, &library(), &options(), Budget { tries: 1000 })
}

fn found<'c>(checked: &'c Checked, code: &str) -> &'c Finding {
    let all: Vec<_> = checked.findings.iter().map(|f| f.code.as_str()).collect();
    checked
        .findings
        .iter()
        .find(|f| f.code.as_str() == code)
        .unwrap_or_else(|| panic!("{code}: {all:?}"))
}

fn offered(text: &str, code: &str) -> Vec<Offered> {
    let checked = tried(text);
    let each = found(&checked, code).fixes.iter().map(|fix| Offered {
        title: format!("{}: {}", fix.title, fix.outcome.clone().unwrap_or_default()),
        text: fix.apply(FileId(0), text).expect("it fits"),
    });
    each.collect()
}

/// What is offered for the example of a rule.
fn of_example(code: &str) -> Vec<Offered> {
    let each = trial(code).mended.iter().map(|fix| Offered {
        title: format!("{}: {}", fix.title, fix.outcome.clone().unwrap_or_default()),
        text: fix.after.as_ref().expect("it fits").0.clone(),
    });
    each.collect()
}

fn titles(offered: &[Offered]) -> Vec<&str> {
    offered.iter().map(|o| o.title.as_str()).collect()
}

/// What the checker says of every fix that a rule thinks of, for looking into a withdrawn one.
fn judged(text: &str, code: &str) -> Vec<(String, Tried)> {
    let mut checker = Checker::new();
    let checked = checker.check(&source(text), &library(), &options());
    let finding = found(&checked, code).clone();
    let each = finding.fixes.iter().map(|fix| {
        let tried = checker.try_fix(&checked, &finding, fix, &library(), &options());
        (fix.title.clone(), tried)
    });
    each.collect()
}

const COIL_THEN_FULL_WIRE: &str = r#"springline 1
case "SM-9801"
use saltmarsh
start 2026-11-23
patient growing
goal {
  incisors forward
}
upper {
  bonded 15..13, 11..25 with twin
  tubes 16, 26 with molar
  missing 12
  gap 5.5 mm between 13 and 11
  tooth 22 palatal 2.5 mm, rotated 20 deg mesial-in
  tooth 23 labial 1.5 mm
  follow usual from level
  change level, wire niti-18, until gap 6.5 mm between 13 and 11, next 6 wk {
    tie 11..21 figure-eight
    open-coil between 13 and 11 with open-100, activated 3 mm each visit
  }
  change work, wire niti-19x25
}
retain {
  night-time upper
}
"#;

#[test]
fn waiting_for_a_passive_wire_leaves_what_the_step_waits_for() {
    let fixes = offered(COIL_THEN_FULL_WIRE, "force/sustained");
    for fix in &fixes {
        assert!(fix.text.contains("gap 6.5 mm between 13 and 11"), "{}\n{}", fix.title, fix.text);
    }
}

#[test]
fn one_wing_is_written_in_place_of_both() {
    let plan = |taken: &str| {
        format!(
            r#"springline 1
case "SM-9802"
use saltmarsh
start 2026-11-23
patient growing
upper {{
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 15 rotated 50 deg mesial-in
  follow usual
  change align {{
    bypass 14, 15
    sleeve between 16 and 13
  }}
  step take-in as align after align, wire niti-14, until passive, next computed {{
    {taken}
  }}
}}
retain {{
  night-time upper
}}
"#
        )
    };
    let fixes = judged(&plan("engage 14, 15"), "space/severe-rotation-engaged");
    let Some((_, Tried::Mends(fix))) = fixes.first() else { panic!("{fixes:?}") };
    let text = fix.apply(FileId(0), &plan("engage 14, 15")).expect("it fits");
    let (steps, rest) = text.split_once("  step take-in-2").expect("a step for the other wing");
    let wanted = plan("engage 14\n    engage 15 mesial-wing");
    assert_eq!(Some(steps), wanted.split_once("}\nretain").map(|(before, _)| before));
    // The other wing comes in by itself, so that the tooth is not left on one.
    assert!(rest.contains("wire niti-12") && rest.contains("    engage 15\n"), "{rest}");
    // What was written beside the old statement mended nothing.
    let beside = run(&plan("engage 15\n    engage 15 mesial-wing"));
    assert!(beside.findings.iter().any(|f| f.code.is_language()), "said twice");
}

#[test]
fn a_far_tooth_is_given_no_wire_that_presses_harder() {
    let plan = |wire: &str| {
        format!(
            r#"springline 1
case "SM-9803"
use saltmarsh
start 2026-11-23
patient growing
upper {{
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 13 labial 3.5 mm
  follow usual
  change align, wire {wire}
}}
retain {{
  night-time upper
}}
"#
        )
    };
    let mut checker = Checker::new();
    let checked = checker.check(&source(&plan("niti-14")), &library(), &options());
    let finding = found(&checked, "force/far-tooth").clone();
    // What the rule once thought of, put in by hand: the finding goes, for a graver one speaks.
    for wire in ["niti-18x25", "niti-19x25"] {
        let at = plan("niti-14").find("niti-14").expect("it is there");
        let place = springline_lang::text::Place {
            file: FileId(0),
            span: springline_lang::text::Span::new(at, at + "niti-14".len()),
        };
        let kind = springline_lang::finding::FixKind::Clinical;
        let fix = springline_lang::finding::Fix::replace(wire, kind, place, wire);
        let tried = checker.try_fix(&checked, &finding, &fix, &library(), &options());
        assert!(matches!(tried, Tried::Fails(Harm::Brings(_) | Harm::Worse(_))), "{tried:?}");
    }
    assert!(offered(&plan("niti-14"), "force/far-tooth").is_empty());
}

#[test]
fn poor_hygiene_puts_the_next_wire_off_and_does_not_leave_it_out() {
    let fixes = of_example("order/heavier-despite-hygiene");
    assert_eq!(fixes.len(), 1, "{:?}", titles(&fixes));
    let before = &trial("order/heavier-despite-hygiene").checked;
    let after = run(&fixes[0].text);
    let wires = |checked: &Checked| -> Vec<(String, String)> {
        let arch = &checked.case.as_ref().unwrap().arches[0];
        arch.steps.iter().map(|s| (s.name.to_string(), s.wire.wire.name.to_string())).collect()
    };
    let now = wires(&after);
    assert!(wires(before).iter().all(|step| now.contains(step)), "{now:?}");
    assert_eq!(now.len(), wires(before).len() + 1, "{now:?}");
}

#[test]
fn a_bracket_moved_under_a_stiff_wire_is_not_mended_by_the_wire_after_it() {
    let plan = |from: &str| {
        format!(
            r#"springline 1
case "SM-9805"
use saltmarsh
start 2026-11-23
upper {{
  bonded 15..25 with twin
  tubes 16, 26 with molar
  {from}
  change work, until 6 wk {{
    reposition 12 gingival 2 mm
  }}
}}
retain {{
  night-time upper
}}
"#
        )
    };
    let text = plan("follow firm");
    let checked = tried(&text);
    let finding = found(&checked, "force/left-over");
    assert!(
        finding.message.contains("whose bracket is repositioned in work"),
        "{}",
        finding.message
    );
    for fix in &finding.fixes {
        let after = run(&fix.apply(FileId(0), &text).expect("it fits"));
        let case = after.case.expect("a plan");
        let finish = case.arches[0].steps.iter().find(|s| *s.name == *"finish").expect("kept");
        assert_eq!(&*finish.wire.wire.name, "beta-19x25", "{}", fix.title);
    }
}

#[test]
fn a_tooth_that_cannot_be_engaged_is_not_left_out_for_good() {
    for fix in of_example("force/not-engageable") {
        let checked = run(&fix.text);
        let (case, forecast) = (checked.case.expect("a plan"), checked.forecast.expect("a course"));
        assert!(!fix.text.contains("bypass 15 until doctor-decides"), "{}", fix.text);
        let last = case.arches[0].steps.len() - 1;
        let state = forecast.timeline.planned(case.arches[0].arch, last).unwrap();
        let tooth = springline_lang::units::tooth::Tooth::iso(15).unwrap();
        assert!(state.status(tooth).is_in_wire(), "{}", fix.title);
    }
}

/// The wire gives way at 22; it is 23 that stands out.
const HIGH_CANINE: &str = r#"springline 1
case "SM-9816"
use saltmarsh
doctor KL
start 2026-11-23
patient growing
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  tooth 23 gingival 5.5 mm, labial 3.5 mm, space 6 mm
  tooth 22 palatal 1 mm
  follow usual
}
retain {
  night-time upper
}
"#;

#[test]
fn the_tooth_that_stands_out_is_blamed_and_left_out() {
    let checked = tried(HIGH_CANINE);
    let finding = found(&checked, "space/high-tooth-drags");
    let teeth: Vec<u32> = finding.teeth.iter().map(|t| t.code()).collect();
    assert_eq!(teeth, [23], "{}", finding.message);
    let marked = &HIGH_CANINE[finding.place.span.range()];
    assert!(marked.contains("23"), "{marked}");
    let fixes = judged(HIGH_CANINE, "space/high-tooth-drags");
    let out: Vec<_> = fixes
        .iter()
        .filter(|(_, tried)| matches!(tried, Tried::Mends(_)))
        .filter(|(title, _)| title.contains("leave 23 out"))
        .collect();
    assert!(!out.is_empty(), "{fixes:#?}");
    assert!(fixes.iter().all(|(title, _)| !title.contains("leave 22")), "{fixes:#?}");
}

#[test]
fn a_wire_for_the_coil_stays_in_the_coils_step() {
    let wire_of = |text: &str, step: &str| -> String {
        let case = run(text).case.expect("a plan");
        let step = case.arches[0].steps.iter().find(|s| *s.name == *step).expect("it is there");
        step.wire.wire.name.to_string()
    };
    let fixes = of_example("space/coil-on-light-wire");
    assert!(!fixes.is_empty());
    for fix in fixes {
        assert_eq!(wire_of(&fix.text, "bring-in"), "niti-14", "{}", fix.title);
    }
}

#[test]
fn a_step_that_never_ends_is_not_ended_by_crossing_out_its_aim() {
    for fix in of_example("time/never-ends") {
        assert!(fix.text.contains("until overjet 2.5 mm"), "{}", fix.title);
    }
}

#[test]
fn incisors_are_not_let_forward_where_one_has_thin_gum_or_they_are_held() {
    let plan = |goal: &str, caution: &str| {
        format!(
            r#"springline 1
case "SM-9809"
use saltmarsh
start 2026-11-23
{goal}lower {{
  bonded 45..35 with twin
  tubes 46, 36 with molar
{caution}  tooth 42 lingual 1 mm, space 4.1 mm
  tooth 32 lingual 1 mm, space 4.1 mm
  follow usual
}}
retain {{
  fixed 43..33
}}
"#
        )
    };
    let forward = |goal: &str, caution: &str| {
        let fixes = offered(&plan(goal, caution), "space/shortage-unexplained");
        fixes.iter().any(|f| f.text.contains("incisors forward"))
    };
    assert!(forward("", ""), "offered where nothing speaks against it");
    assert!(!forward("", "  caution 41 because \"thin gum\"\n"));
    assert!(!forward("goal {\n  incisors held\n}\n", ""));
}

#[test]
fn a_chain_over_spaces_works_on_the_overjet() {
    let plan = |chain: &str| {
        format!(
            r#"springline 1
case "SM-9813"
use saltmarsh
start 2026-11-23
bite {{
  overjet 5 mm
}}
goal {{
  overjet 2.5 mm
  spaces closed
}}
upper {{
  bonded 15..25 with twin
  tubes 16, 26 with molar
  gap 1.5 mm between 13 and 12
  gap 1.5 mm between 22 and 23
  follow firm
  change work {{
    {chain}
  }}
}}
retain {{
  night-time upper
}}
"#
        )
    };
    let unmet = |chain: &str| {
        run(&plan(chain)).findings.iter().any(|f| f.code.as_str() == "order/goal-unmet")
    };
    assert!(!unmet("chain 16..26 with short-clear"));
    assert!(unmet("chain 12..22 with short-clear"), "over closed contacts it moves nothing");
}

#[test]
fn a_coil_that_opens_a_gap_too_little_says_how_much_it_brings() {
    let plan = |activated: &str| {
        format!(
            r#"springline 1
case "SM-9814"
use saltmarsh
start 2026-11-23
upper {{
  bonded 15..13, 11..25 with twin
  tubes 16, 26 with molar
  missing 12
  gap 3 mm between 13 and 11
  follow firm
  change level-2, until gap 6.5 mm between 13 and 11 {{
    open-coil between 13 and 11 with open-100, activated {activated}
    tie 11..21 figure-eight
  }}
  hold 12 6.5 mm
}}
retain {{
  night-time upper
}}
"#
        )
    };
    let said = |activated: &str| -> Vec<(String, String)> {
        let findings = run(&plan(activated)).findings;
        findings.into_iter().map(|f| (f.code.to_string(), f.message)).collect()
    };
    let spent = said("3 mm");
    assert!(spent.iter().any(|(_, m)| m.contains("makes 2.4 mm of the 3.5 mm")), "{spent:?}");
    assert!(spent.iter().all(|(code, _)| code != "time/never-ends"), "{spent:?}");
    let enough = said("3 mm each visit");
    let waits = |c: &str| matches!(c, "time/never-ends" | "space/coil-spent");
    assert!(enough.iter().all(|(code, _)| !waits(code)), "{enough:?}");
}

#[test]
fn lines_that_come_end_as_the_others_do() {
    let text = trial("space/endless-bypass").example.failing.replace('\n', "\r\n");
    let fixes = offered(&text, "space/endless-bypass");
    assert!(!fixes.is_empty());
    for fix in fixes {
        assert!(!fix.text.replace("\r\n", "").contains('\n'), "{:?}", fix.text);
    }
}
