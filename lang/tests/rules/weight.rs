//! A tooth is judged by what is known of it, not by the number of the step.

use crate::rules_common::run;
use springline_lang::finding::Severity;

fn plan(bonded: &str, first: &str, later: &str) -> String {
    format!(
        "springline 1\ncase \"SM-9953\"\nuse saltmarsh\nstart 2026-11-23\nupper {{\n  bonded {bonded} with twin\n  tubes 16, 26 with \
         molar\n  tooth 12 palatal 2.5 mm\n  follow firm\n  change align {{\n    note \"x\"{first}\n  }}\n  {later}\n}}\nretain {{\n  \
         night-time upper\n}}\n"
    )
}

fn gravest(text: &str, family: &str) -> Option<Severity> {
    let findings = run(text).findings;
    let of_12 = findings.iter().filter(|f| f.code.family() == family);
    of_12.filter(|f| f.teeth.iter().any(|t| t.code() == 12)).map(|f| f.severity).min()
}

const LATE: &str = "15..25 except 12";

#[test]
fn a_tooth_that_no_wire_has_moved_stops_a_stiff_wire_at_any_step() {
    let late = plan(LATE, "", "change work {\n    pick-up 12 with twin\n  }");
    assert_eq!(gravest(&late, "force"), Some(Severity::Error));
    // In line by then as far as anybody can foresee: the chair looks.
    let moved = plan("15..25", "", "change work {\n    note \"x\"\n  }");
    assert_ne!(gravest(&moved, "force"), Some(Severity::Error));
}

#[test]
fn and_a_heavy_superelastic_one_after_done_work() {
    let late = plan(LATE, "", "change level-2 {\n    pick-up 12 with twin\n  }");
    assert_eq!(gravest(&late, "force"), Some(Severity::Error));
}

#[test]
fn a_bracket_placed_anew_on_a_stiff_wire_is_found_by_how_far_it_goes() {
    let anew = |by: &str| {
        let text = plan(
            "15..25",
            "",
            &format!("change work {{\n    records panoramic\n    reposition 15{by}\n  }}"),
        );
        let findings = run(&text).findings;
        let found =
            findings.iter().find(|f| f.code.as_str() == "force/bracket-moved-on-stiff-wire");
        found.map(|f| f.severity)
    };
    assert_eq!(anew(" gingival 1 mm"), Some(Severity::Error));
    assert_eq!(anew(" gingival 0.6 mm"), Some(Severity::Warning));
    assert_eq!(anew(""), Some(Severity::Warning));
    assert_eq!(anew(" gingival 0.3 mm"), None);
}

/// As far as level-2 by the visits, the steel of `work` still to come.
fn with_visits(first_visit: &str, last_visit: &str, work: &str) -> String {
    format!(
        "springline 1\ncase \"SM-9962\"\nuse saltmarsh\nstart 2026-05-04\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with \
         molar\n  tooth 12 palatal 2.5 mm\n  follow firm\n  change work {{\n    note \"x\"{work}\n  }}\n}}\nretain {{\n  night-time \
         upper\n}}\nseen 2026-05-18 by MT as emergency {{\n  note \"called in\"{first_visit}\n}}\nseen 2026-07-06 by MT as \
         wire-change {{\n  upper passive, now level with niti-16x22\n}}\nseen 2026-08-31 by MT as wire-change {{\n  upper passive, \
         now level-2 with niti-18x25\n}}\nseen 2026-11-23 by MT as wire-change {{\n  upper {last_visit}\n}}\n"
    )
}

#[test]
fn a_tooth_rebonded_after_being_out_is_as_far_off_as_it_was_left() {
    let out_since_may = with_visits("\n  loose 12", "kept", "\n    rebond 12");
    assert_eq!(gravest(&out_since_may, "force"), Some(Severity::Error));
    // Never out: in line by then as far as anybody can foresee.
    assert_ne!(gravest(&with_visits("", "kept", ""), "force"), Some(Severity::Error));
}

#[test]
fn a_tooth_recorded_off_is_judged_as_measured() {
    let off = |by: &str| {
        let last = format!("passive, now work with steel-19x25\n  tooth 12 palatal {by}");
        let text = with_visits("", &last, "");
        gravest(&text, "force")
    };
    assert_eq!(off("2.5 mm"), Some(Severity::Error));
    assert_ne!(off("0.2 mm"), Some(Severity::Error));
}

/// A full wire that comes out for a measure, not because it is passive, may leave a tooth far off: said before steel.
#[test]
fn what_a_full_wire_leaves_in_millimetres_is_said_before_steel() {
    let plan = |mm: &str| {
        format!(
            "springline 1\ncase \"SM-9963\"\nuse saltmarsh\nstart 2026-12-01\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 \
             with molar\n  tooth 12 palatal {mm} mm\n  gap 1 mm between 25 and 26\n  step level, wire niti-18x25, ends turned-in \
             slack 2 mm, until gap 1.2 mm between 25 and 26, next 4 wk {{\n    open-coil between 25 and 26 with open-100, \
             activated 1 mm\n    tie 13..23 figure-eight\n  }}\n  step work, wire steel-19x25, ends turned-in slack 1 mm, until 12 \
             wk, next 6 wk\n}}\nretain {{\n  night-time upper\n}}\n"
        )
    };
    let said = |mm: &str| {
        let findings = run(&plan(mm)).findings;
        let found = findings.iter().find(|f| f.code.as_str() == "force/left-over");
        found.map(|f| (f.severity, f.figure.as_ref().is_some_and(|g| g.limit == 0.9)))
    };
    assert_eq!(said("0.5"), None);
    assert_eq!(said("2"), Some((Severity::Warning, true)));
}
