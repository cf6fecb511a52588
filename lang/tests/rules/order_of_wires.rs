//! The order of wires is the practice's: each of its limits moves what the rules find.

use crate::rules_common::{options, source};
use springline_lang::{Checked, check};
use springline_test_support::{Practices, RULES_SALTMARSH};

/// Checked by the practice of the rules' examples with one more line.
fn under(limit: &str, text: &str) -> Checked {
    let practice = format!("{RULES_SALTMARSH}\n{limit}\n");
    check(&source(text), &Practices::of(practice), &options())
}

fn finds(limit: &str, text: &str, code: &str) -> bool {
    let findings = under(limit, text).findings;
    let unread = findings.iter().find(|f| f.code.family() == "name");
    assert!(unread.is_none(), "{limit}: {unread:?}");
    findings.iter().any(|f| f.code.as_str() == code)
}

fn upper(lines: &str) -> String {
    format!(
        "springline 1\ncase \"SM-9832\"\nuse saltmarsh\nstart 2026-11-23\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with \
         molar\n{lines}}}\nretain {{\n  night-time upper\n}}\n"
    )
}

/// A coil for a lateral without room.
fn with_coil(wire: &str, coil: &str) -> String {
    let lines = format!(
        "  tooth 12 palatal 2 mm, space 5.5 mm\n  follow usual\n  change align, wire {wire} {{\n    bypass 12 unbonded until space 7 \
         mm\n    tie 11..22 figure-eight\n    open-coil between 13 and 11 with {coil}, activated 3 mm each visit\n  }}\n  step \
         bring-in as align after align, wire niti-14, until passive, next 8 wk {{\n    pick-up 12 with twin\n  }}\n"
    );
    upper(&lines).replace("bonded 15..25", "bonded 15..13, 11..25")
}

#[test]
fn the_thickest_first_round_wire() {
    let thick = upper(
        "  tooth 14 rotated 11 deg mesial-in\n  follow usual\n  change align, wire niti-18\n",
    );
    let code = "order/first-wire-too-thick";
    assert!(finds("", &thick, code));
    assert!(!finds("limit first-round 0.018 in", &thick, code));
    // Out of line only from farther on: nothing is.
    assert!(!finds("limit rotation-light 12 deg", &thick, code));
    let usual = upper("  tooth 14 rotated 11 deg mesial-in\n  follow usual\n");
    assert!(!finds("", &usual, code));
    assert!(finds("limit first-round 0.012 in", &usual, code));
}

#[test]
fn how_far_off_teeth_may_be_for_a_light_rectangular_wire() {
    let early = upper("  tooth 12 palatal 2.5 mm\n  follow usual\n  change align, until 4 wk\n");
    let code = "order/level-before-aligned";
    assert!(finds("", &early, code));
    assert!(!finds("limit misfit-light 3 mm\nlimit rotation-light 30 deg", &early, code));
    assert!(!finds("limit misfit-light 3 mm on 12", &early, code));
}

#[test]
fn how_long_rectangular_wires_level() {
    let firm = upper("  tooth 12 palatal 1 mm\n  follow firm\n");
    assert!(!finds("", &firm, "order/steep-step"));
    assert!(finds("limit levelling 40 wk", &firm, "order/steep-step"));
}

#[test]
fn which_wire_carries_which_coil() {
    let code = "space/coil-on-light-wire";
    assert!(!finds("", &with_coil("niti-18", "open-100"), code));
    assert!(finds("limit coil-wire 0.02 in", &with_coil("niti-18", "open-100"), code));
    assert!(finds("", &with_coil("niti-14", "open-100"), code));
    assert!(!finds("limit coil-wire 0.014 in", &with_coil("niti-14", "open-100"), code));
    assert!(!finds("", &with_coil("niti-16", "open-50"), code));
    assert!(finds("limit coil-light 30 g", &with_coil("niti-16", "open-50"), code));
}

#[test]
fn how_far_off_a_tooth_is_left_out() {
    let code = "space/left-out-without-need";
    let out = |off: &str| {
        upper(&format!(
            "  tooth 12 {off}\n  follow usual\n  change align {{\n    bypass 12 until 8 wk\n  }}\n"
        ))
    };
    assert!(finds("", &out("palatal 1 mm"), code));
    assert!(!finds("limit left-out 0.5 mm", &out("palatal 1 mm"), code));
    assert!(finds("limit left-out 3 mm", &out("palatal 2 mm"), code));
    assert!(!finds("", &out("rotated 50 deg mesial-in"), code));
    assert!(finds("limit left-out-rotation 60 deg", &out("rotated 50 deg mesial-in"), code));
}

#[test]
fn what_would_change_nothing_is_refused() {
    for line in ["limit levelling 8 wk to 12 wk", "limit first-round 0.016 in on 11"] {
        let text = format!("{RULES_SALTMARSH}\n{line}\n");
        let findings = check(&source(&text), &Practices::of(RULES_SALTMARSH), &options()).findings;
        let said = findings.iter().filter(|f| f.code.as_str() == "name/limit-says-too-much");
        assert_eq!(said.count(), 1, "{line}: {findings:?}");
    }
}
