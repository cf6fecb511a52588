//! Pairs of statements that make no sense together: the smallest plan of each, what finds it, and on which line.

use crate::rules_common::{line_of, run, tell};
use springline_lang::finding::Severity;

/// Lines of one small plan; the line that must be reported ends in `// <- here`.
#[derive(Clone, Copy, Default)]
struct Pair {
    /// Before the arches: bite, goal, patient.
    head: &'static str,
    /// In the upper arch, before its steps.
    upper: &'static str,
    /// Teeth bonded in the upper arch, if not all.
    bonded: &'static str,
    /// The step that is changed, and what goes into it.
    step: &'static str,
    lines: &'static str,
    /// After the arches.
    tail: &'static str,
}

const HERE: &str = "// <- here";

fn plan(pair: &Pair) -> String {
    let bonded = if pair.bonded.is_empty() { "15..25" } else { pair.bonded };
    let change = match pair.step {
        "" => String::new(),
        step => format!("  change {step} {{\n{}\n  }}\n", pair.lines),
    };
    format!(
        "springline 1\ncase \"SM-9951\"\nuse saltmarsh\nstart 2026-11-23\n{}\nupper {{\n  bonded {bonded} with twin\n\
         \x20 tubes 16, 26 with molar\n{}\n  follow firm\n{change}}}\nlower {{\n  bonded 45..35 with twin\n  tubes 46, 36 with \
         molar\n  hook 42, 32, 44, 34\n  follow firm\n}}\n{}\nretain {{\n  night-time both\n}}\n",
        pair.head, pair.upper, pair.tail
    )
}

const NONE: Pair = Pair { head: "", upper: "", bonded: "", step: "", lines: "", tail: "" };
const LATERAL: &str = "  missing 12\n  gap 5 mm between 13 and 11";
const WITHOUT_12: &str = "15..25 except 12";
const SITES: &str = "  extracted 14, 24\n  gap 6 mm between 15 and 13\n  gap 6 mm between 23 and 25\n  palatal-arch 16 to 26";
const WITHOUT_4: &str = "15, 13..23, 25";

const fn step(step: &'static str, lines: &'static str) -> Pair {
    Pair { step, lines, ..NONE }
}

/// Two orders for one place, and orders with nothing to act on: all are on one card.
const PAIRS: &[(&str, Pair, &str, Severity)] = &[
    // ------------------------------------------------------------ two orders for one place
    (
        "left out and taken in",
        step("align", "    bypass 12 until 8 wk\n    engage 12 // <- here"),
        "order/two-orders",
        Severity::Error,
    ),
    (
        "left out and bonded",
        Pair {
            bonded: WITHOUT_12,
            ..step("align", "    bypass 12 until 8 wk\n    pick-up 12 with twin // <- here")
        },
        "order/two-orders",
        Severity::Error,
    ),
    (
        "put back and placed anew",
        step("work", "    rebond 12\n    reposition 12 // <- here"),
        "order/two-orders",
        Severity::Error,
    ),
    (
        "makes space and keeps it",
        Pair {
            upper: LATERAL,
            bonded: WITHOUT_12,
            ..step(
                "work",
                "    open-coil between 13 and 11 with open-100\n    passive-coil between 13 and 11 with keeper // <- here",
            )
        },
        "order/two-orders",
        Severity::Error,
    ),
    (
        "stop and post",
        step("work", "    stop mesial of 13\n    post mesial of 13 // <- here"),
        "order/two-orders",
        Severity::Error,
    ),
    (
        "sleeve and coil",
        Pair {
            upper: LATERAL,
            bonded: WITHOUT_12,
            ..step(
                "work",
                "    open-coil between 13 and 11 with open-100\n    sleeve between 13 and 11 // <- here",
            )
        },
        "order/two-orders",
        Severity::Error,
    ),
    (
        "held and pulled",
        Pair {
            upper: SITES,
            bonded: WITHOUT_4,
            ..step(
                "work",
                "    laceback 16 to 13\n    closing-spring 16 to 13 with closing-150 // <- here",
            )
        },
        "order/two-orders",
        Severity::Warning,
    ),
    // ------------------------------------------------------------ nothing to act on
    (
        "rebonded, never bonded",
        Pair { bonded: WITHOUT_12, ..step("align", "    rebond 12 // <- here") },
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "left unbonded and repositioned",
        Pair {
            bonded: WITHOUT_12,
            ..step(
                "align",
                "    bypass 12 unbonded until 8 wk\n    reposition 12 gingival 1 mm // <- here",
            )
        },
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "taken in, never bonded",
        Pair { bonded: WITHOUT_12, ..step("level", "    engage 12 // <- here") },
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "bent at a tooth that is out",
        step("finish", "    bypass 12 until 8 wk\n    bend 12 gingival 0.5 mm // <- here"),
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "torqued at a tooth that is out",
        step("finish", "    bypass 12 until 8 wk\n    torque 12 10 deg root-palatal // <- here"),
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "cut in front of the last tube",
        step("work", "    trim 15, 25 // <- here"),
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "pulled from a post that is not there",
        Pair {
            upper: SITES,
            bonded: WITHOUT_4,
            ..step("work", "    closing-spring 16 to post 12 with closing-150 // <- here")
        },
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "pulled from a screw that is not there",
        Pair {
            upper: SITES,
            bonded: WITHOUT_4,
            ..step("work", "    closing-spring screw 16 to 13 with closing-150 // <- here")
        },
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "bonded before it is through",
        Pair {
            upper: "  unerupted 13",
            bonded: "15..25 except 13",
            ..step("work", "    pick-up 13 with twin // <- here")
        },
        "order/nothing-to-act-on",
        Severity::Error,
    ),
    (
        "no crossbite to correct",
        step("align", "    bite-raisers 36, 46 until crossbite-corrected 12 // <- here"),
        "order/no-crossbite",
        Severity::Error,
    ),
    (
        "a goal out of no crossbite",
        Pair { head: "goal { // <- here\n  crossbite-corrected 12\n}", ..NONE },
        "order/no-crossbite",
        Severity::Error,
    ),
    (
        "an elastic on a tooth that is out",
        Pair {
            tail: "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h // <- here\n  from work expressed\n  longest 12 wk\n}",
            ..step("work", "    bypass 13 until 30 wk")
        },
        "order/elastics-without-support",
        Severity::Error,
    ),
    (
        "an elastic outside the section",
        Pair {
            tail: "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h // <- here\n  from work expressed\n  longest 12 wk\n}",
            ..step("work", "    sectional 16..14")
        },
        "order/elastics-without-support",
        Severity::Error,
    ),
    // ------------------------------------------------------------ one undoes the other
    (
        "a coil in a gap that a spring closes",
        Pair {
            upper: SITES,
            bonded: WITHOUT_4,
            ..step(
                "work",
                "    closing-spring 16 to 13, 26 to 23 with closing-150\n    open-coil between 15 and 13 with open-100 // <- here",
            )
        },
        "order/undoes-the-other",
        Severity::Error,
    ),
    (
        "a coil under a laceback",
        Pair {
            upper: SITES,
            bonded: WITHOUT_4,
            ..step(
                "work",
                "    open-coil between 15 and 13 with open-100\n    laceback 16 to 13 // <- here",
            )
        },
        "order/undoes-the-other",
        Severity::Error,
    ),
    (
        "a coil against a stop",
        Pair {
            upper: LATERAL,
            bonded: WITHOUT_12,
            ..step(
                "work",
                "    open-coil between 13 and 11 with open-100\n    stop mesial of 13 // <- here",
            )
        },
        "order/undoes-the-other",
        Severity::Error,
    ),
    (
        "a kept space under a spring",
        Pair {
            upper: SITES,
            bonded: WITHOUT_4,
            ..step(
                "work",
                "    closing-spring 16 to 13, 26 to 23 with closing-150\n    passive-coil between 15 and 13 with keeper // <- here",
            )
        },
        "order/undoes-the-other",
        Severity::Error,
    ),
    (
        "a tooth pulled against a stop",
        Pair {
            upper: SITES,
            bonded: WITHOUT_4,
            ..step(
                "work",
                "    closing-spring 16 to 13, 26 to 23 with closing-150\n    stop distal of 13, distal of 23 // <- here",
            )
        },
        "order/undoes-the-other",
        Severity::Error,
    ),
    (
        "both classes at once",
        Pair {
            tail: "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h\n  from work expressed\n  longest 12 wk\n}\nelastics class-3 {\n  right 43 to 16 with medium, wear 22 h // <- here\n  from work expressed\n  longest 12 wk\n}",
            ..NONE
        },
        "order/undoes-the-other",
        Severity::Error,
    ),
    (
        "a curve in an open bite",
        Pair {
            head: "bite {\n  open-bite 2 mm\n}",
            ..step("work", "    reverse-curve 2 mm // <- here")
        },
        "order/worsens-the-overbite",
        Severity::Error,
    ),
    (
        "class II in an open bite",
        Pair {
            head: "bite {\n  open-bite 2 mm\n  overjet 6 mm\n  molars class-2 4 mm\n}",
            tail: "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h // <- here\n  from work expressed\n  until overjet 3 mm\n  longest 12 wk\n}",
            ..NONE
        },
        "order/worsens-the-overbite",
        Severity::Warning,
    ),
    (
        "a space held for a tooth, and a chain over it",
        Pair {
            upper: "  missing 12\n  hold 12 5 mm\n  gap 5 mm between 13 and 11",
            bonded: WITHOUT_12,
            ..step("work", "    chain 15..11 with short-clear // <- here")
        },
        "order/undoes-the-other",
        Severity::Error,
    ),
    // ------------------------------------------------------------ pushes the wrong way, or too far
    (
        "a diagonal elastic, and midlines that are on",
        Pair {
            head: "bite {\n  upper midline on face\n  lower midline on face\n}",
            tail: "elastics diagonal {\n  right 13 to 33 with medium, wear 12 h // <- here\n  from work expressed\n  longest 8 wk\n}",
            ..NONE
        },
        "order/pulls-the-midline-off",
        Severity::Warning,
    ),
    (
        "class II, and the overjet at its goal",
        Pair {
            head: "bite {\n  overjet 2.5 mm\n}\ngoal {\n  overjet 2.5 mm\n}",
            tail: "elastics class-2 { // <- here\n  right 13 to 46 with medium, wear 22 h\n  left 23 to 36 with medium, wear 22 h\n  from work expressed\n  longest 12 wk\n}",
            ..NONE
        },
        "order/overdoing",
        Severity::Warning,
    ),
    (
        "upper spaces closed, and an overjet of 2 mm",
        Pair {
            head: "bite {\n  overjet 2 mm\n}",
            upper: SITES,
            bonded: WITHOUT_4,
            ..step(
                "work",
                "    post mesial of 13, mesial of 23\n    closing-spring 16 to post 13, 26 to post 23 with closing-150 // <- here",
            )
        },
        "order/overdoing",
        Severity::Warning,
    ),
    (
        "raisers behind the incisors, and an overjet of 7 mm",
        Pair {
            head: "bite {\n  overjet 7 mm\n  overbite 5 mm\n}",
            ..step("align", "    bite-raisers 11, 21 until overbite 3 mm // <- here")
        },
        "order/raisers-not-reached",
        Severity::Warning,
    ),
    // ------------------------------------------------------------ too much, or its partner missing
    (
        "settling elastics on two rigid wires",
        Pair {
            tail: "elastics settling {\n  right 13 to 43 with light, wear 22 h // <- here\n  left 23 to 33 with light, wear 22 h\n  from work expressed\n  longest 6 wk\n}",
            ..NONE
        },
        "order/settling-held-back",
        Severity::Warning,
    ),
    (
        "separators, and no band",
        Pair { upper: "  separators 16, 26 on 2026-11-16 // <- here", ..NONE },
        "order/separators-without-band",
        Severity::Warning,
    ),
    (
        "torque at a tooth that bears half",
        Pair {
            upper: "  caution 11 because \"short root\"",
            ..step("finish", "    torque 11 15 deg root-palatal // <- here")
        },
        "force/asked-at-once",
        Severity::Warning,
    ),
    (
        "a spring and a chain on one space",
        Pair {
            upper: SITES,
            bonded: WITHOUT_4,
            ..step(
                "work",
                "    closing-spring 16 to 13, 26 to 23 with closing-150\n    chain 16..13 with short-clear // <- here",
            )
        },
        "order/closing-too-heavy",
        Severity::Error,
    ),
    (
        "two sets of elastics begun together on one hook",
        Pair {
            tail: "elastics class-2 {\n  right 13 to 46 with light, wear 22 h\n  left 23 to 36 with light, wear 22 h\n  from work expressed\n  longest 12 wk\n}\nelastics triangle {\n  right 13 to 43 to 44 with light, wear 12 h // <- here\n  left 23 to 33 to 34 with light, wear 12 h\n  from work expressed\n  longest 12 wk\n}",
            ..NONE
        },
        "order/two-sets-on-one-hook",
        Severity::Error,
    ),
    (
        "one wing, and never both",
        Pair {
            upper: "  tooth 15 rotated 50 deg mesial-in",
            ..step("align", "    engage 15 mesial-wing // <- here")
        },
        "space/one-wing-to-the-end",
        Severity::Warning,
    ),
    // ------------------------------------------------------------ the plan denies itself
    (
        "no extraction, and one",
        Pair {
            head: "goal { // <- here\n  extraction none\n}",
            upper: "  extract 14, 24 on 2026-11-12",
            bonded: WITHOUT_4,
            ..NONE
        },
        "order/denies-itself",
        Severity::Error,
    ),
    (
        "an extraction, and none",
        Pair { head: "goal { // <- here\n  extraction planned\n}", ..NONE },
        "order/denies-itself",
        Severity::Error,
    ),
    (
        "reached before it begins",
        Pair {
            head: "bite {\n  overjet 6 mm\n  molars class-2 4 mm\n}",
            tail: "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h\n  from work expressed\n  until overjet 9 mm // <- here\n  longest 12 wk\n}",
            ..NONE
        },
        "order/denies-itself",
        Severity::Error,
    ),
    (
        "an implant that is grown past",
        Pair {
            head: "patient growing",
            upper: "  implant 14 // <- here",
            bonded: WITHOUT_4,
            ..NONE
        },
        "order/denies-itself",
        Severity::Warning,
    ),
    (
        "a hook that comes a step too late",
        Pair {
            tail: "elastics class-2 {\n  right 14 to 46 with medium, wear 22 h // <- here\n  from work expressed\n  longest 12 wk\n}",
            ..step("finish", "    post mesial of 14")
        },
        "order/no-hook",
        Severity::Error,
    ),
    // ------------------------------------------------------------ dates and retention
    (
        "extracted after its gap is closed",
        Pair {
            upper: "  extract 14, 24 on 2029-03-01 // <- here\n  palatal-arch 16 to 26",
            bonded: WITHOUT_4,
            ..step("work", "    closing-spring 16 to 13, 26 to 23 with closing-150")
        },
        "time/extraction-after-closing",
        Severity::Error,
    ),
    (
        "an arch before its case",
        Pair { upper: "  start 2026-10-05 // <- here", ..NONE },
        "time/begins-out-of-order",
        Severity::Error,
    ),
    (
        "in the mouth since later",
        Pair {
            head: "in-place 2026-11-23 {\n  upper niti-14 since 2026-12-14 // <- here\n}",
            ..NONE
        },
        "time/begins-out-of-order",
        Severity::Error,
    ),
];

/// An order of every kind for a tooth that is missing.
const ON_A_MISSING_TOOTH: &[&str] = &[
    "bend 12 gingival 0.5 mm",
    "torque 12 10 deg root-palatal",
    "rebond 12",
    "reposition 12",
    "engage 12",
    "bypass 12 until 8 wk",
    "pick-up 12 with twin",
    "tie 12, 11",
    "chain 12, 11",
    "stop mesial of 12",
    "post mesial of 12",
    "trim 12",
    "ipr 0.2 mm between 12 and 11",
    "laceback 16 to 12",
    "closing-spring 16 to 12 with closing-150",
    "piggyback niti-12 in 12, over 13, 11",
    "separators 12",
    "sectional 12..16",
    "bite-raisers 12",
];

fn wrong(what: &str, pair: &Pair, code: &str, severity: Severity) -> Option<String> {
    let text = plan(pair);
    let mark = text.lines().position(|l| l.contains(HERE)).map(|i| i + 1)?;
    let checked = run(&text);
    let found = checked
        .findings
        .iter()
        .any(|f| f.code.as_str() == code && f.severity == severity && line_of(&text, f) == mark);
    let told = tell(&text, &checked.findings);
    (!found).then(|| format!("{what}: wanted {severity} {code} on line {mark}\n{told}\n"))
}

#[test]
fn each_pair_is_found_on_its_line() {
    let missed =
        PAIRS.iter().filter_map(|(what, pair, code, level)| wrong(what, pair, code, *level));
    let missed: Vec<String> = missed.collect();
    assert!(missed.is_empty(), "{} of {}\n{}", missed.len(), PAIRS.len(), missed.concat());
}

#[test]
fn no_order_is_carried_out_on_a_missing_tooth() {
    let mut missed = String::new();
    for line in ON_A_MISSING_TOOTH {
        let lines = format!("    {line} {HERE}").leak();
        let pair = Pair { upper: LATERAL, bonded: WITHOUT_12, ..step("finish", lines) };
        missed.extend(wrong(line, &pair, "order/nothing-to-act-on", Severity::Error));
    }
    assert!(missed.is_empty(), "{missed}");
}

/// Pairs that only look like the ones above.
#[test]
fn harmless_pairs_are_left_in_peace() {
    let codes = [
        "order/two-orders",
        "order/nothing-to-act-on",
        "order/no-crossbite",
        "order/elastics-without-support",
        "order/pulls-the-midline-off",
        "order/overdoing",
        "order/settling-held-back",
        "order/separators-without-band",
        "order/two-sets-on-one-hook",
        "space/one-wing-to-the-end",
    ];
    for (what, pair) in [
        (
            "a light wire is how a tooth that is left out comes in",
            step("align", "    bypass 12 until 8 wk\n    piggyback niti-12 in 12, over 13, 11"),
        ),
        (
            "said twice",
            Pair { bonded: WITHOUT_12, ..step("align", "    pick-up 12 with twin\n    engage 12") },
        ),
        (
            "a range passes a missing tooth",
            Pair { upper: LATERAL, bonded: WITHOUT_12, ..step("work", "    chain 15..25") },
        ),
        (
            "space for an unerupted tooth",
            Pair {
                upper: "  unerupted 13",
                bonded: "15..25 except 13",
                ..step("align", "    bypass 13 until space 8 mm")
            },
        ),
        (
            "a button holds an elastic",
            Pair {
                upper: "  button labial 13",
                tail: "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h\n  from work expressed\n  longest 12 wk\n}",
                ..step("work", "    bypass 13 until 30 wk")
            },
        ),
        (
            "a diagonal elastic where a midline is off",
            Pair {
                head: "bite {\n  upper midline on face\n  lower midline 2 mm to patient-right of face\n}",
                tail: "elastics diagonal {\n  right 13 to 33 with medium, wear 12 h\n  from work expressed\n  longest 8 wk\n}",
                ..NONE
            },
        ),
        (
            "class II for the canines, the overjet at its goal",
            Pair {
                head: "bite {\n  overjet 2.5 mm\n  canines class-2 3 mm\n}\ngoal {\n  overjet 2.5 mm\n  canines class-1\n}",
                tail: "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h\n  left 23 to 36 with medium, wear 22 h\n  from work expressed\n  longest 12 wk\n}",
                ..NONE
            },
        ),
        (
            "class II after the triangles, on the same hooks",
            Pair {
                tail: "elastics class-2 {\n  right 13 to 46 with light, wear 22 h\n  left 23 to 36 with light, wear 22 h\n  from work expressed\n  longest 12 wk\n}\nelastics triangle {\n  right 13 to 43 to 44 with light, wear 12 h\n  left 23 to 33 to 34 with light, wear 12 h\n  from finish\n  longest 8 wk\n}",
                ..NONE
            },
        ),
        (
            "one wing, and both in the next step",
            Pair {
                upper: "  tooth 15 rotated 50 deg mesial-in",
                ..step("align", "    engage 15 mesial-wing\n  }\n  change level {\n    engage 15")
            },
        ),
    ] {
        let text = plan(&pair);
        let checked = run(&text);
        let found: Vec<_> =
            checked.findings.iter().filter(|f| codes.contains(&f.code.as_str())).cloned().collect();
        assert!(found.is_empty(), "{what}\n{}", tell(&text, &found));
    }
}
