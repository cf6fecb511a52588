//! The order of work at the chair, both answers of a test, and what a later visit still has to do.

mod emit_support;

use emit_support::*;
use jiff::civil::{Date, date};
use springline_emit::card::{self, StaffCard};
use springline_emit::patient_texts::Catalogue;
use springline_emit::sheet::{PatientSheet, patient_sheet};
use springline_emit::{Plan, PrintStamp};
use springline_lang::course::Forecast;
use springline_lang::model::Case;

fn stamp() -> PrintStamp {
    PrintStamp {
        case: "3f9a12c07be4d1".into(),
        house: "77aa04be91c2f0".into(),
        tool: "springline 0.1.0".into(),
        printed: date(2026, 9, 14),
    }
}

const TODAY: Date = date(2026, 9, 14);

/// All cards and sheets; at those visits (from 1) the change is not counted on.
fn papers(case: &Case, not_expected: &[usize]) -> Vec<(StaffCard, PatientSheet)> {
    let mut forecast: Forecast = forecast(case, TODAY);
    for number in not_expected {
        for arch in &mut forecast.visits[number - 1].arches {
            arch.change_expected = false;
        }
    }
    let forecast = forecast.read_anew(case);
    let stamp = stamp();
    let plan = Plan { case, forecast: &forecast, findings: &[], today: TODAY, stamp: &stamp };
    (1..=plan.visits_in_all())
        .filter_map(|n| {
            Some((card::staff_card(&plan, n)?, patient_sheet(&plan, n, Catalogue::english())?))
        })
        .collect()
}

fn lines(card: &StaffCard, heading: &str) -> Vec<String> {
    let blocks = card.doing.iter().filter(|d| d.heading.contains(heading));
    blocks.flat_map(|d| d.lines.iter().map(|l| l.text.clone())).collect()
}

fn set_up(card: &StaffCard) -> String {
    let tray = |t: &card::Tray| format!("{}: {}", t.heading, t.items.join(", "));
    card.lay_out.iter().map(tray).collect::<Vec<_>>().join("\n")
}

#[track_caller]
fn in_order(lines: &[String], parts: &[&str]) {
    let mut from = 0;
    for part in parts {
        let found = lines[from..].iter().position(|l| l.contains(part));
        from += found.unwrap_or_else(|| panic!("no {part:?} from line {from} on: {lines:#?}")) + 1;
    }
}

const CLOSING: &str = r#"springline 1
case "SM-0601"
use saltmarsh
start 2026-09-14
patient growing
bite {
  overjet 4 mm
  overbite 2 mm
}
upper {
  extract 14, 24 before 2026-09-10
  bonded 15, 13..23, 25 with twin
  banded 16, 26 with molar
  palatal-arch 16 to 26
  gap 7 mm between 15 and 13
  gap 7 mm between 23 and 25
  step base as work, wire steel-19x25, ends turned-in slack 1 mm, until 4 wk, next 6 wk {
    post distal of 12, distal of 22
    laceback 16 to 13, 26 to 23
  }
  step close as work, wire keep, ends free trimmed,
      until gap 0 mm between 15 and 13 and gap 0 mm between 23 and 25, next 6 wk {
    tie 13..23 figure-eight
    closing-spring 16 to post 12, 26 to post 22 with closing-150
    trim 16, 26
  }
  step finish, wire beta-19x25, ends turned-in slack 1 mm, until 12 wk, next 5 wk {
    tie 16..26 figure-eight
  }
}
retain {
  night-time upper
  check 3 mo
}
"#;

#[test]
fn while_spaces_close_springs_are_felt_and_the_wire_is_cut_back() {
    let case = case_of(CLOSING);
    for not_expected in [&[][..], &[3][..]] {
        let (card, _) = &papers(&case, not_expected)[2];
        let left_in = lines(card, "if the test is not passed");
        in_order(
            &left_in,
            &["hooked at both ends? About 150 g on the gauge?", "behind 16, 26: what stands out"],
        );
        assert!(left_in.iter().all(|l| !l.contains("turned in")), "the ends are free: {left_in:?}");
        let tray = set_up(card);
        assert!(
            tray.contains("Upper, if the test is not passed: Force gauge, Distal end cutter"),
            "{tray}"
        );
    }
}

#[test]
fn what_is_tied_under_the_wire_comes_off_after_it() {
    let case = case_of(CLOSING);
    let all = papers(&case, &[]);
    // The wire stays, but a tie goes under it.
    let begin = lines(&all[1].0, "next step, same wire");
    in_order(
        &begin,
        &[
            "steel-19x25 out.",
            "Take off the lacebacks.",
            "Tie 13\u{2013}11, 21\u{2013}23 together",
            "steel-19x25 in again: 16, 15",
            "Hang the closing springs",
            "Cut the wire",
            "Both ends: left free",
        ],
    );
    assert!(!all[1].0.fit_check.is_empty(), "it goes in again");
    let change = lines(&all[2].0, "change wire");
    in_order(
        &change,
        &["Take off the closing springs.", "steel-19x25 out.", "Take off the tie on"],
    );
}

#[test]
fn the_debond_goes_from_the_wire_to_the_retainer() {
    let case = case_of(CLOSING);
    let all = papers(&case, &[]);
    let (card, sheet) = all.last().expect("a debond");
    let upper = lines(card, "Upper: debond");
    in_order(
        &upper,
        &["Wire out; then the tie on 16", "Palatal arch 16 to 26: off.", "bands off 16, 26"],
    );
    let then = lines(card, "Records and retainers");
    in_order(
        &then,
        &["Scan or impressions of the clean teeth", "Night retainer, upper: made beforehand"],
    );
    assert!(set_up(card).contains("Band remover, for 16, 26"), "{}", set_up(card));
    assert_eq!(
        sheet.next,
        ["We will look at your retainers in about 3 months. We will tell you the date."]
    );
}

const OPENING: &str = r#"springline 1
case "SM-0602"
use saltmarsh
start 2026-09-14
patient adult
upper {
  missing 12, 22
  bonded 15..13, 11, 21, 23..25 with twin
  tubes 16, 26 with molar
  gap 3 mm between 13 and 11
  gap 2 mm between 11 and 21
  gap 3 mm between 21 and 23
  step base as work, wire steel-19x25, ends turned-in slack 1 mm, until 4 wk, next 6 wk
  step open as work, wire keep, ends turned-in slack 1 mm,
      until gap 6.5 mm between 21 and 23, next 6 wk {
    chain 11..21
    open-coil between 13 and 11 with open-100, activated 3.5 mm each visit
    open-coil between 21 and 23 with open-100, activated 2.5 mm each visit
  }
  step more as work, wire keep, ends turned-in slack 1 mm,
      until gap 6.5 mm between 13 and 11, next 6 wk {
    tie 11..21 figure-eight
    open-coil between 13 and 11 with open-100, activated 2 mm each visit
    passive-coil between 21 and 23, hold 6.5 mm
  }
  step finish, wire beta-19x25, ends turned-in slack 1 mm, until 12 wk, next 5 wk {
    reposition 13
    records panoramic
  }
}
"#;

#[test]
fn a_coil_goes_on_a_wire_that_is_out() {
    let all = papers(&case_of(OPENING), &[]);
    let begin = &all[1].0;
    in_order(
        &lines(begin, "next step, same wire"),
        &[
            "steel-19x25 out.",
            "Thread the open coil on the wire between 13 and 11",
            "steel-19x25 in again",
            "Chain over the wire on 11, 21",
            "Both ends as before.",
        ],
    );
    assert!(begin.fit_check[0].starts_with("Wire in with finger pressure"));
    assert!(set_up(begin).contains("the steel-19x25 goes in again"));
    let then = &all[2].0;
    in_order(
        &lines(then, "next step, same wire"),
        &[
            "Take off the chain.",
            "steel-19x25 out with its coils; the coil between 21 and 23 off it.",
            "New open coil open-100 between 13 and 11, cut 2 mm longer than the clear wire",
            "Thread the passive coil between 21 and 23",
            "steel-19x25 in again",
        ],
    );
    in_order(
        &lines(then, "if the test is not passed"),
        &[
            "Chain off; steel-19x25 out with its coils.",
            "New open coil open-100 between 13 and 11, cut 3.5 mm longer",
            "New open coil open-100 between 21 and 23, cut 2.5 mm longer",
            "steel-19x25 in again, both ends as before.",
            "New chain over the wire on 11, 21",
        ],
    );
    let tray = set_up(then);
    let not_passed = tray.lines().find(|l| l.contains("if the test is not passed"));
    let not_passed = not_passed.unwrap_or_else(|| panic!("{tray}"));
    assert!(not_passed.contains("Open coil open-100, to be cut at the chair"), "{tray}");
    assert!(not_passed.contains("Chain, 2 links"), "{tray}");
    // Pulled together between front teeth, no wire comes out behind.
    assert!(!not_passed.contains("cutter"), "{tray}");
}

#[test]
fn a_film_is_taken_before_a_bracket_is_moved_and_the_doctor_says_where_to() {
    let all = papers(&case_of(OPENING), &[]);
    in_order(
        &lines(&all[3].0, "change wire"),
        &["Take records: panoramic", "Move the bracket on 13: the doctor marks the place."],
    );
}

const BURIED: &str = r#"springline 1
case "SM-0603"
use saltmarsh
start 2026-09-14
patient growing
upper {
  unerupted 23
  expose 23 closed on 2026-10-05
  bonded 15..22, 24, 25 with twin
  tubes 16, 26 with molar
  tooth 23 gingival 6 mm, palatal 4 mm, width 8 mm
  gap 8.5 mm between 22 and 24
  step base as work, wire steel-19x25, ends turned-in slack 1 mm, until 4 wk, next 6 wk {
    passive-coil between 22 and 24, hold 8.5 mm
  }
  step pull as work, wire keep, until within 1.5 mm at 23, next 6 wk {
    traction 23 by gold-chain to wire, force 60 g, first distal
  }
  step bring-in as work, wire keep, until within 0.5 mm at 23, next 6 wk {
    pick-up 23 with twin
    piggyback niti-12 in 23, over 22, 24
  }
  step realign as align, wire niti-14, ends turned-in slack 1 mm, until passive, next computed {
    engage 23
  }
}
"#;

#[test]
fn a_buried_tooth_from_the_surgeon_into_the_wire() {
    let all = papers(&case_of(BURIED), &[]);
    let first = all[0].0.first.join(" ");
    assert!(first.contains("Surgery on Mon 5 Oct 2026, before the next visit: 23"), "{first}");
    assert!(first.contains("call the doctor today"), "{first}");
    let told = all[0].1.text();
    assert!(told.contains("on Monday 5 October 2026, a surgeon frees a tooth"), "{told}");
    let begin = &all[1].0;
    in_order(
        &lines(begin, "next step"),
        &[
            "elastic thread from the surgeon\u{2019}s gold chain to the base wire, 60 g on the gauge. Pull it \
           distally (backwards) first, away from the root beside it; then down.",
        ],
    );
    assert!(set_up(begin).contains("Elastic thread for the gold chain on 23"), "{}", set_up(begin));
    assert!(all[1].1.text().contains("A thin thread draws a hidden tooth"));
    // Under the gum no caliper reaches it; both ways are asked for.
    let asked: Vec<&str> = begin.measure.iter().map(|b| b.what.as_str()).collect();
    assert!(asked.contains(&"23 to the line of its neighbours, up or down"), "{asked:?}");
    assert!(asked.contains(&"23 to the line of its neighbours, in or out"), "{asked:?}");
    assert!(
        begin
            .measure_how
            .as_deref()
            .is_some_and(|h| h.contains("23 under the gum is not measured"))
    );
    let bonded = &all[2].0;
    in_order(
        &lines(bonded, "next step"),
        &[
            "Take off the traction on 23.",
            "Take the surgeon\u{2019}s chain and pad off 23; polish, rinse and dry.",
            "Bond twin on 23",
        ],
    );
    in_order(
        &lines(bonded, "if the test is not passed"),
        &["new elastic thread to the gold chain, 60 g on the gauge. Pull it distally"],
    );
    assert!(all[2].1.text().contains("We plan to put a brace on one more tooth."));
    // What the test asks is measured, and a tooth that the wire lies in is not taken in twice.
    let into = &all[3].0;
    assert!(
        into.measure.iter().any(|b| b.what.starts_with("23 to the line")),
        "{:?}",
        into.measure
    );
    let change = lines(into, "change wire");
    in_order(&change, &["niti-14 in: 16\u{2013}11, 21\u{2013}26, now with 23."]);
    assert!(change.iter().all(|l| !l.contains("Take 23")), "{change:?}");
    // How the wire lies can be recorded at any visit: later ones learn from it.
    assert!(card_words(into).contains("nearly-passive"));
}

fn card_words(card: &StaffCard) -> String {
    format!("{:?}", card.record)
}

const TRIANGLES: &str = r#"springline 1
case "SM-0604"
use saltmarsh
start 2026-09-14
patient adult
bite {
  overjet 3 mm
  open-bite 2 mm
}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
  step base as work, wire steel-19x25, ends turned-in slack 1 mm, until 4 wk, next 6 wk
  step close as work, wire keep, until overbite 1 mm, next 6 wk
  step hold as work, wire keep, until 6 wk, next 6 wk
  step finish, wire beta-19x25, ends turned-in slack 1 mm, until 12 wk, next 5 wk
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  step base as work, wire steel-19x25, ends turned-in slack 1 mm, until 4 wk, next 6 wk
  step close as work, wire keep, until overbite 1 mm, next 6 wk
  step hold as work, wire keep, until 6 wk, next 6 wk
  step finish, wire beta-19x25, ends turned-in slack 1 mm, until 12 wk, next 5 wk
}
elastics triangle {
  right 12 to 13 to 43 with small, wear 16 h
  left 22 to 23 to 33 with small, wear 16 h
  from close
  until overbite 1 mm
  longest 26 wk
}
elastics triangle {
  right 12 to 13 to 43 with small, wear 8 h
  left 22 to 23 to 33 with small, wear 8 h
  from hold
  until step finish
}
"#;

#[test]
fn elastics_stand_on_both_sides_of_a_test() {
    let case = case_of(TRIANGLES);
    // Whether the change is counted on or comes early: what is worn hangs on the answer.
    for not_expected in [&[][..], &[3][..]] {
        let (card, sheet) = &papers(&case, not_expected)[2];
        let hours: Vec<&str> = card.elastics.iter().map(|e| e.hours.as_str()).collect();
        assert_eq!(
            hours,
            [
                "16 h per day, new each day, as before unless both tests are passed",
                "16 h per day, new each day, as before unless both tests are passed",
                "8 h per day, new each day, from today if both tests are passed",
                "8 h per day, new each day, from today if both tests are passed",
            ],
            "{not_expected:?}"
        );
        in_order(
            &lines(card, "Elastics: end"),
            &["off if both tests are passed, the new ones take their place; if not, worn on."],
        );
        let told = sheet.text();
        assert!(
            told.contains("On your right: top tooth 2 to top tooth 3 to bottom tooth 3, 16 hours"),
            "{told}"
        );
        assert!(told.contains("Not yet, only once we tell you: On your right"), "{told}");
    }
    // Nothing is asked before the time of the next step is over: they end with it for certain.
    let (card, _) = &papers(&case, &[])[3];
    assert_eq!(card.elastics, []);
    in_order(&lines(card, "Elastics: end"), &["off with the change of step."]);
}

#[test]
fn the_last_day_of_elastics_is_said_before_it_comes() {
    let text = TRIANGLES.replace("longest 26 wk", "longest 6 wk");
    let case = case_of(&text);
    // From the second visit on, six weeks; the third is eight weeks later.
    let all = papers(&case, &[3]);
    let last = "Mon 21 Dec 2026";
    let told = all[1].1.text();
    assert!(all[1].0.elastics[0].until.contains(last), "{:?}", all[1].0.elastics);
    assert!(told.contains("Wear them for the last time on Monday 21 December 2026."), "{told}");
    let over = lines(&all[2].0, "Elastics: end").join(" ");
    assert!(over.contains(&format!("ended on {last} after 6 weeks; none since?")), "{over}");
    assert!(over.contains("By the forecast they have not done their work"), "{over}");
}

#[test]
fn a_wire_for_one_arch_more_is_told_as_that() {
    let case = case_of(TRIANGLES);
    let mut forecast = forecast(&case, TODAY);
    // The lower arch is bonded later.
    forecast.visits[0].arches.truncate(1);
    let forecast = forecast.read_anew(&case);
    let stamp = stamp();
    let plan =
        Plan { case: &case, forecast: &forecast, findings: &[], today: TODAY, stamp: &stamp };
    let sheet = patient_sheet(&plan, 1, Catalogue::english()).expect("a sheet");
    assert!(sheet.text().contains("We plan to put braces on your top teeth."), "{}", sheet.text());
}

/// Both laterals are missing: chain and coils are put on anew at every look.
fn chain_and_coils() -> (Case, Forecast) {
    let practice = include_str!("../../examples/saltmarsh.spring");
    let text = include_str!("../../examples/cases/sm-0470-both-laterals.spring");
    let case = springline_test_support::Practices::of(practice).case(text);
    let forecast =
        springline_lang::course::forecast_with(&case, Some(TODAY), &mut Default::default());
    (case, forecast)
}

#[test]
fn what_is_renewed_at_a_look_takes_time_and_stock() {
    let (case, forecast) = chain_and_coils();
    let stamp = stamp();
    let plan =
        Plan { case: &case, forecast: &forecast, findings: &[], today: TODAY, stamp: &stamp };
    let looks = || {
        plan.coming().map(|(_, v)| v).filter(|v| {
            let step = v.arches.first().and_then(|a| a.name.as_ref());
            step.is_some_and(|name| **name == *"make-space") && !v.arches[0].change_expected
        })
    };
    assert!(looks().next().is_some(), "a look while the coils push");
    for look in looks() {
        // A look of ten minutes, and five for coils and chain.
        assert_eq!(look.minutes, 15.0, "{}", look.date);
        let list =
            springline_emit::practice::pull_list(std::slice::from_ref(&plan), look.date, look.date);
        let needed: Vec<(&str, &str, usize)> =
            list.items.iter().map(|i| (i.kind, i.what.as_str(), i.count)).collect();
        assert_eq!(needed, [("chain", "short-clear", 1), ("coil", "open-100 (open)", 2)]);
    }
}

/// The lower arch is in its last wire and only holds: the upper, which is worked on, sets the visits.
#[test]
fn a_held_arch_makes_no_visit() {
    let (case, forecast) = chain_and_coils();
    let stamp = stamp();
    let plan =
        Plan { case: &case, forecast: &forecast, findings: &[], today: TODAY, stamp: &stamp };
    let rows = springline_emit::tables::schedule::schedule(&plan).visits;
    let working = rows.iter().filter(|v| v.arches.iter().any(|a| a.words.contains("level-2")));
    let idle = |v: &&springline_emit::tables::schedule::VisitRow| v.reason == "longest interval";
    assert_eq!(working.filter(idle).count(), 0, "{rows:#?}");
}
