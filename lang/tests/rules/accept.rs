//! Accepting: with a figure, an end, a reason and initials; back when it has grown or its day has passed.

use crate::rules_common::{run, tell};
use springline_lang::Checked;
use springline_lang::check::rule_text;
use springline_lang::finding::{Finding, Severity};
use springline_lang::text::FileId;

const STALE: &str = "record/stale-accept";

/// Class II elastics worn ten hours apart, with this line in their block.
fn uneven(accept: &str) -> String {
    format!(
        r#"springline 1
case "SM-9950"
use saltmarsh
start 2026-11-23
patient growing
bite {{
  overjet 5 mm
  molars class-2 3 mm
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
  bonded 45..35 with twin
  tubes 46, 36 with molar
  follow firm
}}
elastics class-2 {{
  right 13 to 46 with medium, wear 22 h
  left 23 to 36 with medium, wear 12 h
  from work settled
  until overjet 2.5 mm
  longest 26 wk
  {accept}
}}
retain {{
  night-time both
}}
"#
    )
}

fn of<'c>(checked: &'c Checked, code: &str) -> Vec<&'c Finding> {
    checked.findings.iter().filter(|f| f.code.as_str() == code).collect()
}

/// The finding, and what is said of the accept.
fn judged(accept: &str) -> (Finding, Option<String>) {
    let text = uneven(accept);
    let checked = run(&text);
    let own = of(&checked, "order/elastics-uneven");
    assert_eq!(own.len(), 1, "{}", tell(&text, &checked.findings));
    (own[0].clone(), of(&checked, STALE).first().map(|f| f.message.clone()))
}

#[test]
fn it_carries_its_figure_its_end_its_reason_and_its_initials() {
    let (finding, stale) = judged(
        "accept order/elastics-uneven up to 10 h until 2027-03-01 because \"midline goes left\" by RB",
    );
    assert_eq!(stale, None);
    let accepted = finding.accepted.expect("accepted");
    assert_eq!(accepted.reason, "midline goes left");
    assert_eq!(accepted.by, "RB");
    assert_eq!(accepted.up_to.as_deref(), Some("10 h"));
    assert_eq!(accepted.until.as_deref(), Some("2027-03-01"));
}

#[test]
fn a_grown_figure_brings_it_back() {
    let (finding, stale) =
        judged("accept order/elastics-uneven up to 6 h because \"midline goes left\" by RB");
    assert!(finding.accepted.is_none());
    let stale = stale.expect("the accept is spoken of");
    assert!(stale.contains("up to 6 h") && stale.contains("10 h now"), "{stale}");
}

#[test]
fn a_figure_in_another_unit_is_the_same_figure() {
    let (finding, stale) =
        judged("accept order/elastics-uneven up to 600 min because \"midline goes left\" by RB");
    assert!(finding.accepted.is_some() && stale.is_none(), "{stale:?}");
}

#[test]
fn a_passed_day_brings_it_back() {
    // The day of the check is 2026-12-01.
    let (finding, stale) = judged(
        "accept order/elastics-uneven up to 10 h until 2026-11-30 because \"midline goes left\" by RB",
    );
    assert!(finding.accepted.is_none());
    assert!(stale.expect("the accept is spoken of").contains("until 2026-11-30"));
}

#[test]
fn its_last_day_still_counts() {
    let (finding, stale) = judged(
        "accept order/elastics-uneven up to 10 h until 2026-12-01 because \"midline goes left\" by RB",
    );
    assert!(finding.accepted.is_some() && stale.is_none());
}

#[test]
fn a_step_that_has_begun_ends_it() {
    let accept =
        "accept order/elastics-uneven up to 10 h until align because \"midline goes left\" by RB";
    let text =
        uneven(accept) + "seen 2026-11-30 by MT {\n  upper not-tested, now align with niti-14\n}\n";
    let checked = run(&text);
    assert!(of(&checked, "order/elastics-uneven").iter().all(|f| f.accepted.is_none()));
    assert_eq!(of(&checked, STALE).len(), 1, "{}", tell(&text, &checked.findings));
}

#[test]
fn one_that_matches_nothing_is_itself_found_and_can_be_removed() {
    let text = uneven("accept space/enamel-too-much because \"looked at\" by RB");
    let checked = run(&text);
    let stale = of(&checked, STALE);
    assert_eq!(stale.len(), 1);
    assert_eq!(stale[0].severity, Severity::Warning);
    let mended = stale[0].fixes[0].apply(FileId(0), &text).unwrap();
    assert!(!mended.contains("accept"));
    assert!(of(&run(&mended), STALE).is_empty());
}

#[test]
fn without_a_figure_it_says_so_and_offers_it() {
    let accept = "accept order/elastics-uneven because \"midline goes left\" by RB";
    let (finding, said) = judged(accept);
    assert!(finding.accepted.is_some());
    assert!(said.expect("the open end is spoken of").contains("without a figure"));
    let text = uneven(accept);
    let fix = of(&run(&text), STALE)[0].fixes[0].clone();
    let mended = fix.apply(FileId(0), &text).unwrap();
    assert!(mended.contains("accept order/elastics-uneven up to 10 h because"), "{mended}");
    assert!(of(&run(&mended), STALE).is_empty());
}

#[test]
fn what_is_about_the_text_cannot_be_accepted() {
    for code in ["syntax/unexpected", "name/crosses-the-mouth", "unit/missing"] {
        let text = uneven(&format!("accept {code} because \"so\" by RB"));
        let checked = run(&text);
        assert!(checked.findings.iter().any(|f| f.code.as_str() == "name/cannot-accept"), "{code}");
        assert!(!checked.may_print(), "{code}");
    }
}

#[test]
fn no_finding_is_made_up_for_an_accept() {
    for code in ["name/any", "unit/any", "syntax/nothing-is-called-so", "name/"] {
        let checked = run(&uneven(&format!("accept {code} because \"so\" by RB")));
        let said: Vec<&str> = checked.findings.iter().map(|f| f.code.as_str()).collect();
        assert!(!said.contains(&"name/cannot-accept"), "{code}: {said:?}");
        assert!(!checked.may_print(), "{code}");
    }
}

#[test]
fn neither_reason_nor_initials_may_be_left_out() {
    for accept in [
        "accept order/elastics-uneven up to 10 h",
        "accept order/elastics-uneven up to 10 h because \"\" by RB",
        "accept order/elastics-uneven up to 10 h because \"so\"",
        "accept order/elastics-uneven up to 10 h by RB",
    ] {
        let checked = run(&uneven(accept));
        assert!(!checked.may_print(), "{accept}");
        assert!(
            of(&checked, "order/elastics-uneven").iter().all(|f| f.accepted.is_none()),
            "{accept}"
        );
    }
}

#[test]
fn every_machine_readable_output_lists_it() {
    use springline_emit::findings;
    let text = uneven(
        "accept order/elastics-uneven up to 10 h until 2027-03-01 because \"midline goes left\" by RB",
    );
    let checked = run(&text);
    for (name, out) in [
        ("json", findings::json::text(&[&checked])),
        ("sarif", findings::sarif::text(&[&checked], "0", rule_text)),
        ("junit", findings::junit::text(&[&checked])),
        ("line", findings::line::lines(&[&checked])),
    ] {
        assert!(out.contains("midline goes left"), "{name} does not say the reason:\n{out}");
    }
}

/// `done as-planned` begins the next step as `now STEP` does.
#[test]
fn an_end_by_step_is_past_once_a_visit_went_as_planned() {
    let accept =
        "accept order/elastics-uneven up to 10 h until level because \"midline goes left\" by RB";
    let message = |record: &str| {
        let text = format!("{}{record}", uneven(accept).replace("2026-11-23", "2026-09-14"));
        let checked = run(&text);
        of(&checked, STALE).first().map(|f| f.message.clone())
    };
    let seen = |lines: &str| format!("seen 2026-11-09 by RB {{\n{lines}}}\n");
    let both = |done: &str| format!("  upper passive{done}\n  lower passive{done}\n");
    let wanted =
        Some("`order/elastics-uneven` was accepted until level; that step has begun.".to_owned());
    assert_eq!(message(""), None);
    assert_eq!(message(&seen(&both(", now level with niti-14x25"))), wanted);
    assert_eq!(message(&seen(&format!("{}  done as-planned\n", both("")))), wanted);
}

const TOO_WIDE: &str = "record/accept-too-wide";
const NEVER: &str = "record/never-accepted";

/// The finding's figure is 10 h and the day of the check 2026-12-01.
#[test]
fn one_that_reaches_far_past_the_finding_is_found() {
    for (accept, found) in [
        ("up to 12.5 h until finish", false),
        ("up to 13 h until finish", true),
        ("up to 200 h until finish", true),
        ("up to 10 h", true),
        ("up to 10 h until 2027-06-01", false),
        ("up to 10 h until 2027-06-02", true),
        ("up to 10 h until 2036-12-01", true),
        ("up to 10 h until finish", false),
    ] {
        let text = uneven(&format!("accept order/elastics-uneven {accept} because \"so\" by RB"));
        let checked = run(&text);
        let wide = of(&checked, TOO_WIDE);
        assert_eq!(wide.len(), usize::from(found), "{accept}: {}", tell(&text, &checked.findings));
        // The finding is accepted all the same: the line says what is too wide, and a fix narrows it.
        assert!(of(&checked, "order/elastics-uneven")[0].accepted.is_some());
        for wide in wide {
            let mended = wide.fixes[0].apply(FileId(0), &text).unwrap();
            let then = run(&mended);
            assert!(of(&then, TOO_WIDE).is_empty(), "{mended}");
            assert!(of(&then, "order/elastics-uneven")[0].accepted.is_some(), "{mended}");
        }
    }
}

#[test]
fn what_is_never_accepted_stays_a_finding() {
    let text = uneven("accept order/no-hook because \"it will hold\" by RB")
        .replace("13 to 46", "14 to 46");
    let checked = run(&text);
    let own = of(&checked, "order/no-hook");
    assert_eq!((own.len(), own[0].severity), (1, Severity::Error));
    assert!(own[0].accepted.is_none());
    let never = of(&checked, NEVER);
    assert_eq!(never.len(), 1, "{}", tell(&text, &checked.findings));
    let mended = never[0].fixes[0].apply(FileId(0), &text).unwrap();
    assert!(!mended.contains("accept"));
}
