//! Every condition of the language against what can bring it: where nothing does, the step that waits is found, and
//! where something does, it is left in peace.

use crate::rules_common::{run, tell};
use springline_lang::finding::Finding;
use springline_lang::syntax::vocabulary::FRAGMENTS;

/// One plan: what stands before the arches, in the upper arch, in the step, and after the arches.
#[derive(Clone, Copy)]
struct Means {
    head: &'static str,
    upper: &'static str,
    bonded: &'static str,
    /// The step that waits, and what is done in it.
    step: &'static str,
    acts: &'static str,
    tail: &'static str,
}

const ALL: &str = "15..25";
const WITHOUT_12: &str = "15..25 except 12";
const BARE: Means = Means { head: "", upper: "", bonded: ALL, step: "work", acts: "", tail: "" };

/// A condition by its first word, as it is waited for; where nothing brings it, and everything that can.
struct Row {
    word: &'static str,
    until: &'static str,
    nothing: Option<Means>,
    brought_by: &'static [(&'static str, Means)],
}

const OVERJET: Means = Means { head: "bite {\n  overjet 6 mm\n  molars class-2 4 mm\n}", ..BARE };
const REVERSE: Means =
    Means { head: "bite {\n  reverse-overjet 2 mm\n  molars class-3 3 mm\n}", ..BARE };
const OPEN: Means = Means { head: "bite {\n  open-bite 1 mm\n}", ..BARE };
const DEEP: Means = Means { head: "bite {\n  overbite 4 mm\n}", ..BARE };
const MIDLINE: Means = Means { upper: "  midline 2 mm to patient-right of face", ..BARE };
const LATERAL: Means = Means {
    upper: "  missing 12\n  gap 4 mm between 13 and 11\n  hold 12 6.5 mm",
    bonded: WITHOUT_12,
    ..BARE
};
const SPACED: Means = Means { upper: "  gap 1.5 mm between 12 and 11", ..BARE };
const BLOCKED: Means = Means {
    upper: "  tooth 12 palatal 1.5 mm, width 6.5 mm, space 5 mm",
    bonded: WITHOUT_12,
    ..BARE
};
const CROSSED: Means = Means {
    head: "bite {\n  crossbite 12\n}\ngoal {\n  crossbite-corrected 12\n  incisors forward\n}",
    upper: "  tooth 12 palatal 1.5 mm",
    step: "align",
    acts: "    bite-raisers 36, 46 until crossbite-corrected 12",
    ..BARE
};
const COIL: &str = "    open-coil between 13 and 11 with open-100, activated 3 mm each visit\n    tie 11..23 figure-eight";

const ROWS: &[Row] = &[
    Row { word: "passive", until: "passive", nothing: None, brought_by: &[("the wire", BARE)] },
    Row {
        word: "doctor-decides",
        until: "doctor-decides",
        nothing: None,
        brought_by: &[("a person", BARE)],
    },
    Row { word: "expressed", until: "expressed", nothing: None, brought_by: &[("time", BARE)] },
    Row { word: "TIME", until: "10 wk", nothing: None, brought_by: &[("time", BARE)] },
    Row {
        word: "space",
        until: "space 7 mm at 12",
        nothing: Some(Means { acts: "    bypass 12 unbonded until space 7 mm", ..BLOCKED }),
        brought_by: &[(
            "an open coil",
            Means {
                acts: "    bypass 12 unbonded until space 7 mm\n    open-coil between 13 and 11 with open-100, activated 3 mm each visit\n    tie 11..23 figure-eight",
                ..BLOCKED
            },
        )],
    },
    Row {
        word: "gap",
        until: "gap 6.5 mm between 13 and 11",
        nothing: Some(LATERAL),
        brought_by: &[("an open coil", Means { acts: COIL, ..LATERAL })],
    },
    Row {
        word: "gap",
        until: "gap 0 mm between 12 and 11",
        nothing: Some(SPACED),
        brought_by: &[
            ("a chain", Means { acts: "    chain 16..26 with short-clear", ..SPACED }),
            ("a spring", Means { acts: "    closing-spring 16 to 11 with closing-150", ..SPACED }),
        ],
    },
    Row {
        word: "overjet",
        until: "overjet 2.5 mm",
        nothing: Some(OVERJET),
        brought_by: &[(
            "class II elastics",
            Means {
                tail: "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h\n  left 23 to 36 with medium, wear 22 h\n  from work expressed\n  until overjet 2.5 mm\n  longest 26 wk\n}",
                ..OVERJET
            },
        )],
    },
    Row {
        word: "reverse-overjet",
        until: "overjet 2 mm",
        nothing: Some(REVERSE),
        brought_by: &[(
            "class III elastics",
            Means {
                tail: "elastics class-3 {\n  right 43 to 16 with medium, wear 22 h\n  left 33 to 26 with medium, wear 22 h\n  from work expressed\n  until overjet 2 mm\n  longest 26 wk\n}",
                ..REVERSE
            },
        )],
    },
    Row {
        word: "overbite",
        until: "overbite 1 mm",
        nothing: Some(OPEN),
        brought_by: &[(
            "triangles",
            Means {
                tail: "elastics triangle {\n  right 13 to 43 to 44 with light, wear 16 h\n  left 23 to 33 to 34 with light, wear 16 h\n  from work expressed\n  until overbite 1 mm\n  longest 26 wk\n}",
                ..OPEN
            },
        )],
    },
    Row {
        word: "overbite",
        until: "overbite 3 mm",
        nothing: None,
        brought_by: &[
            ("a stiff wire", DEEP),
            ("a reverse curve", Means { acts: "    reverse-curve 2 mm", ..DEEP }),
            ("raisers", Means { acts: "    bite-raisers 11, 21 until overbite 3 mm", ..DEEP }),
        ],
    },
    Row {
        word: "upper",
        until: "upper midline on face",
        nothing: Some(MIDLINE),
        brought_by: &[
            ("a stop on one side", Means { acts: "    stop mesial of 16", ..MIDLINE }),
            (
                "a diagonal elastic",
                Means {
                    tail: "elastics diagonal {\n  left 23 to 43 with medium, wear 22 h\n  from work expressed\n  longest 12 wk\n}",
                    ..MIDLINE
                },
            ),
        ],
    },
    Row {
        word: "crossbite-corrected",
        until: "crossbite-corrected 12",
        nothing: Some(Means {
            acts: "    bypass 12\n    bite-raisers 36, 46 until crossbite-corrected 12",
            ..CROSSED
        }),
        brought_by: &[("wire and raisers", CROSSED)],
    },
    Row {
        word: "within",
        until: "within 1 mm at 12",
        nothing: Some(Means { acts: "    bypass 12 unbonded", ..BLOCKED }),
        brought_by: &[
            (
                "a light wire over the base",
                Means {
                    acts: "    pick-up 12 with twin\n    piggyback niti-12 in 12, over 13, 11",
                    step: "level-2",
                    ..BLOCKED
                },
            ),
            (
                "the wire",
                Means { bonded: ALL, upper: "  tooth 12 palatal 1.5 mm", step: "align", ..BARE },
            ),
        ],
    },
];

fn plan(means: &Means, until: &str) -> String {
    let Means { head, upper, bonded, step, acts, tail } = means;
    let acts = if acts.is_empty() { String::new() } else { format!(" {{\n{acts}\n  }}") };
    format!(
        "springline 1\ncase \"SM-9952\"\nuse saltmarsh\nstart 2026-11-23\npatient growing\n{head}\nupper {{\n  bonded {bonded} \
         with twin\n  tubes 16, 26 with molar\n{upper}\n  follow firm\n  change {step}, until {until}{acts}\n}}\nlower {{\n  \
         bonded 45..35 with twin\n  tubes 46, 36 with molar\n  hook 44, 34\n  follow firm\n}}\n{tail}\nretain {{\n  \
         night-time both\n}}\n"
    )
}

/// What says of a step that what it waits for does not come.
const SPEAKS: &[&str] =
    &["time/never-ends", "space/endless-bypass", "space/coil-spent", "space/coil-inert"];

fn waits_in_vain(findings: &[Finding]) -> Vec<&Finding> {
    findings.iter().filter(|f| SPEAKS.contains(&f.code.as_str())).collect()
}

#[test]
fn every_condition_of_the_language_has_its_row() {
    let (_, terms) = FRAGMENTS.iter().find(|(name, _)| *name == "term").expect("conditions");
    let words = terms.trim_matches(['(', ')']).split(" | ").map(|t| {
        let word = t.split(' ').next().unwrap_or_default();
        word.trim_matches(['(', ')'])
    });
    // `lower` stands beside `upper` in one alternative.
    let missing: Vec<&str> =
        words.filter(|w| *w != "lower" && !ROWS.iter().any(|r| r.word == *w)).collect();
    assert!(missing.is_empty(), "no row for {missing:?}");
}

#[test]
fn what_nothing_brings_is_found() {
    let mut silent = String::new();
    for row in ROWS {
        let Some(nothing) = &row.nothing else { continue };
        let text = plan(nothing, row.until);
        let checked = run(&text);
        if waits_in_vain(&checked.findings).is_empty() {
            silent.push_str(&format!("{}\n{}\n", row.until, tell(&text, &checked.findings)));
        }
    }
    assert!(silent.is_empty(), "{silent}");
}

#[test]
fn what_something_brings_is_left_in_peace() {
    let mut wrong = String::new();
    for row in ROWS {
        for (what, means) in row.brought_by {
            let text = plan(means, row.until);
            let checked = run(&text);
            let found: Vec<Finding> =
                waits_in_vain(&checked.findings).into_iter().cloned().collect();
            let unread = checked.findings.iter().any(|f| f.code.is_language());
            if !found.is_empty() || unread {
                wrong.push_str(&format!(
                    "{} by {what}\n{}\n",
                    row.until,
                    tell(&text, &checked.findings)
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// What is waited for and never comes ends the schedule: one visit more, at which the doctor decides.
#[test]
fn nothing_is_dated_after_what_is_not_foreseen() {
    let last = |means: &Means, until: &str| {
        let checked = run(&plan(means, until));
        let forecast = checked.forecast.as_deref().expect("a forecast").clone();
        let visits = forecast.visits;
        (visits.last().map(|v| v.reason.clone()), visits.len())
    };
    use springline_lang::course::VisitReason;
    let (reason, short) = last(&OVERJET, "overjet 2.5 mm");
    assert!(matches!(reason, Some(VisitReason::NotForeseen { .. })), "{reason:?}");
    let (reason, long) = last(&OVERJET, "12 wk");
    assert_eq!(reason, Some(VisitReason::Debond));
    assert!(short < long, "{short} visits, {long} where the step ends");
}
