//! A reverse overjet, places told in words, and the crowding of an arch: what is forecast, found and printed.

use springline_emit as emit;
use springline_emit::{Plan, PrintStamp};
use springline_lang::course::bands;
use springline_lang::mechanics::Spread;
use springline_lang::units::tooth::{Arch, Tooth};
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_test_support::Practices;

const HOUSE: &str = r#"springline 1
practice "Saltmarsh"
defaults 1
chart "SM-####"
bracket twin {
  slide passive
  slot 0.022 x 0.028 in
  width 3 mm
  hook on 13, 23, 33, 43
}
tube molar {
  slot 0.022 x 0.028 in
  width 4 mm
  hook on 16, 26, 36, 46
}
wire th-14 thermal-niti, round 0.014 in
wire ss-19x25 steel, rect 0.019 x 0.025 in
elastic light size 1/4 in, force 3.5 oz
sequence usual {
  step align, wire th-14, ends turned-in slack 2 mm, until passive, next 8..10 wk
  step work, wire ss-19x25, ends turned-in slack 1 mm, express 4 wk, until doctor-decides, next 6 wk
}
"#;

fn case(head: &str, upper: &str, lower: &str, tail: &str) -> String {
    format!(
        "springline 1\ncase \"SM-0392\"\nuse saltmarsh\nstart 2026-09-14\npatient adult\n{head}upper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n{upper}  follow usual\n}}\nlower {{\n  bonded 45..35 with twin\n  tubes 46, 36 with molar\n{lower}  follow usual\n}}\n{tail}retain {{\n  night-time both\n}}\n"
    )
}

fn check(text: &str) -> Checked {
    let source = SourceText { name: "case.spring".to_owned(), text: text.into() };
    let today = Some(jiff::civil::date(2026, 9, 1));
    Checker::new().check(&source, &Practices::of(HOUSE), &CheckOptions { today })
}

fn codes(checked: &Checked) -> Vec<&str> {
    checked.findings.iter().map(|f| f.code.as_str()).collect()
}

fn stamp() -> PrintStamp {
    PrintStamp {
        case: "0".repeat(12),
        house: "0".repeat(12),
        tool: "springline".to_owned(),
        printed: jiff::civil::date(2026, 9, 1),
    }
}

const CLASS_3: &str = "elastics class-3 {\n  right 43 to 16 with light, wear 22 h\n  left 33 to 26 with light, wear 22 h\n  from work expressed\n  until overjet 2 mm\n}\n";
const CLASS_2: &str = "elastics class-2 {\n  right 13 to 46 with light, wear 22 h\n  left 23 to 36 with light, wear 22 h\n  from work expressed\n  until overjet 2 mm\n}\n";

/// Class III elastics take the overjet through nought: 4 mm at 0.75 mm a month, the rate of the course, from the
/// day they are worn.
#[test]
fn class_3_elastics_bring_a_reverse_overjet_right() {
    let head =
        "bite {\n  reverse-overjet 2 mm\n  molars class-3 3 mm\n}\ngoal {\n  overjet 2 mm\n}\n";
    let steps = "  change work, until overjet 2 mm\n";
    let text = case(head, &steps.replace("  change", "  follow usual\n  change"), "", CLASS_3);
    // The sequence is followed once.
    let text = text.replacen("  follow usual\n}\nlower", "}\nlower", 1);
    let checked = check(&text);
    let forecast = checked.forecast.as_deref().unwrap();
    let work = forecast.arch(Arch::Upper).unwrap().phases.last().unwrap();
    let days = work.end.predicted.as_ref().expect("a date").median_days;
    let way = 4.0 / 0.75 * 30.4;
    assert!((way..way + 90.0).contains(&days), "{days} days; the way itself is {way}");
    let found = codes(&checked);
    for never in ["order/elastics-wrong-class", "order/goal-unmet", "order/reverse-overjet"] {
        assert!(!found.contains(&never), "{never} in {found:?}");
    }
}

#[test]
fn class_2_elastics_are_the_wrong_ones_for_it() {
    let head = "bite {\n  reverse-overjet 2 mm\n}\n";
    let text = case(head, "", "", CLASS_2);
    let checked = check(&text);
    let wrong = checked.findings.iter().find(|f| f.code.as_str() == "order/elastics-wrong-class");
    let wrong = wrong.expect("the wrong class");
    assert_eq!(
        wrong.message,
        "Class II elastics are planned, and the overjet is reversed by 2 mm."
    );
    let mended = wrong.fixes[0].apply(springline_lang::text::FileId(0), &text).unwrap();
    assert!(mended.contains("elastics class-3 {\n  right 43 to 16"), "{mended}");
    // One finding for one mistake.
    assert!(!codes(&checked).contains(&"order/overdoing"));
}

#[test]
fn a_goal_out_of_a_reverse_overjet_wants_a_means() {
    let head = "bite {\n  reverse-overjet 2 mm\n}\ngoal {\n  overjet 2.5 mm\n}\n";
    let checked = check(&case(head, "", "", ""));
    let unmet = checked.findings.iter().find(|f| f.code.as_str() == "order/goal-unmet");
    assert_eq!(
        unmet.expect("an unmet goal").message,
        "The overjet is reversed by 2 mm, the goal 2.5 mm, and nothing in the plan corrects it."
    );
    let bare = check(&case("bite {\n  reverse-overjet 2 mm\n}\n", "", "", ""));
    assert!(codes(&bare).contains(&"order/reverse-overjet"), "{:?}", codes(&bare));
}

#[test]
fn said_in_both_words_it_is_said_twice() {
    let head = "bite {\n  overjet 2 mm\n  reverse-overjet 2 mm\n}\n";
    assert!(codes(&check(&case(head, "", "", ""))).contains(&"name/said-twice"));
}

/// The card and the record ask for the overjet either way about.
#[test]
fn a_card_asks_which_way_the_overjet_is() {
    let head = "bite {\n  reverse-overjet 2 mm\n}\n";
    let checked = check(&case(head, "", "", CLASS_3));
    let stamp = stamp();
    let plan = Plan::of(checked.course(), &checked.findings, jiff::civil::date(2026, 9, 1), &stamp)
        .unwrap();
    let card = emit::card::staff_card(&plan, 2).expect("a second visit");
    let record = format!("{:?}", card.record);
    assert!(record.contains(r#"Tick("overjet"), Tick("reverse-overjet")"#), "{record}");
    assert!(card.measure.iter().any(|b| b.what == "Overjet (or reverse)"), "{:?}", card.measure);
    assert!(card.call.iter().any(|c| c.contains("lower front teeth bite farther in front")));
}

fn band_of(checked: &Checked, tooth: u32) -> (f64, f64) {
    let forecast = checked.forecast.as_deref().unwrap();
    let phase = &forecast.arch(Arch::Upper).unwrap().phases[0];
    let all = bands(&phase.setup, &Spread::default()).expect("bands");
    let band = all.tooth(Tooth::iso(tooth).unwrap()).expect("a band").peak_n;
    (band.low, band.high)
}

/// A word is a figure with a wide error: the same nominal force, a wider band, a wider time.
#[test]
fn a_word_has_the_figure_s_force_and_a_wider_band() {
    let of = |line: &str| check(&case("", &format!("  tooth 12 {line}\n"), "", ""));
    let (figure, word) = (of("palatal 2 mm"), of("clearly palatal"));
    let load = |checked: &Checked| {
        let phase = &checked.forecast.as_deref().unwrap().arch(Arch::Upper).unwrap().phases[0];
        let load = phase.insertion.tooth(Tooth::iso(12).unwrap()).unwrap().peak_n;
        (load, phase.passive.spread_ln)
    };
    let ((a, narrow), (b, wide)) = (load(&figure), load(&word));
    assert!((a - b).abs() < 1e-9, "{a} {b}");
    assert!(wide > narrow + 0.05, "{narrow} {wide}");
    let (a, b) = (band_of(&figure, 12), band_of(&word, 12));
    // On its plateau a superelastic wire hardly pulls more for being bent farther.
    assert!(b.1 - b.0 > 1.2 * (a.1 - a.0), "{a:?} {b:?}");
}

#[test]
fn what_was_said_in_words_is_printed_with_its_figure() {
    let checked = check(&case("", "  tooth 12 clearly palatal, rotated half mesial-in\n", "", ""));
    let stamp = stamp();
    let plan = Plan::of(checked.course(), &checked.findings, jiff::civil::date(2026, 9, 1), &stamp)
        .unwrap();
    let course = emit::tables::course::course(&plan);
    assert!(
        course.note.starts_with(
            "Positions given in words, with wide ranges: 12 clearly palatal (about 2 mm), half rotated, mesial edge in (about 45 deg)."
        ),
        "{}",
        course.note
    );
}

/// The pattern is marked wherever something rests on it, and its lack of room is what was written.
#[test]
fn a_crowding_is_spread_as_a_pattern_and_says_so() {
    let checked = check(&case("", "  crowding 5 mm\n", "", ""));
    let says = "Upper arch: positions spread from crowding 5 mm: a pattern, not this patient.";
    let stamp = stamp();
    let plan = Plan::of(checked.course(), &checked.findings, jiff::civil::date(2026, 9, 1), &stamp)
        .unwrap();
    let card = emit::card::staff_card(&plan, 1).unwrap();
    assert!(card.unusual.contains(&says.to_owned()), "{:?}", card.unusual);
    assert!(emit::tables::course::course(&plan).note.starts_with(says));
    let table = emit::tables::forces::forces(&plan, |_| Default::default());
    assert!(table.note.starts_with(says));
    let phase = &checked.forecast.as_deref().unwrap().arch(Arch::Upper).unwrap().phases[0];
    assert!((phase.room.demanded_mm - 5.0).abs() < 1e-9 && !phase.room.assumed);
    assert!(phase.passive.spread_ln > 0.6, "{}", phase.passive.spread_ln);
}

/// Room that nobody plans comes from the incisors, whether it is written tooth by tooth or for the arch.
#[test]
fn a_crowding_wants_its_room_explained() {
    let code = "space/shortage-unexplained";
    let found = check(&case("", "  crowding 5 mm\n", "", ""));
    assert!(codes(&found).contains(&code), "{:?}", codes(&found));
    let forward = "goal {\n  incisors forward\n}\n";
    assert!(!codes(&check(&case(forward, "  crowding 5 mm\n", "", ""))).contains(&code));
    assert!(!codes(&check(&case("", "  crowding 1.5 mm\n", "", ""))).contains(&code));
}

#[test]
fn beside_described_teeth_no_pattern_is_spread() {
    let checked = check(&case("", "  crowding 5 mm\n  tooth 12 palatal 2 mm\n", "", ""));
    let beside = checked.findings.iter().find(|f| f.code.as_str() == "name/crowding-beside-teeth");
    assert_eq!(
        beside.expect("a finding").message,
        "This crowding is not used: the position recorded for 12 counts, and no pattern is added to it."
    );
    let case = checked.case.as_deref().unwrap();
    let upper = case.arch(Arch::Upper).unwrap();
    assert_eq!(upper.stands.len(), 1);
    assert!(upper.crowding.is_none());
}

#[test]
fn a_debond_s_reason_is_printed_with_it() {
    let checked = check(&case("", "", "", "debond 2027-12-14 because \"moves abroad\"\n"));
    let stamp = stamp();
    let plan = Plan::of(checked.course(), &checked.findings, jiff::civil::date(2026, 9, 1), &stamp)
        .unwrap();
    let schedule = emit::tables::schedule::schedule(&plan);
    assert!(
        schedule.visits.iter().any(|v| v.reason == "debond: moves abroad"),
        "{:?}",
        schedule.visits.iter().map(|v| &v.reason).collect::<Vec<_>>()
    );
    let number = schedule.visits.iter().find(|v| v.reason.starts_with("debond")).unwrap().number;
    let card = emit::card::staff_card(&plan, number).unwrap();
    assert!(card.unusual.iter().any(|l| l.contains("moves abroad")), "{:?}", card.unusual);
}

#[test]
fn teeth_left_out_of_a_stretch_are_not_bonded() {
    let text = case("", "", "", "").replace("bonded 15..25 with", "bonded 15..25 except 12 with");
    let checked = check(&text);
    let upper = checked.case.as_deref().unwrap().arch(Arch::Upper).unwrap().clone();
    assert!(!upper.bonded.contains_key(&Tooth::iso(12).unwrap()));
    assert_eq!(upper.bonded.len(), 11);
}

/// Of points the error that they have counts, in place of that of figures rounded by hand: forces and times of exact points
/// are narrower, of coarse ones wider, and what is forecast is the same.
#[test]
fn the_error_of_points_counts_in_bands_of_force_and_time() {
    let own = "  tooth 12 palatal 1.5 mm, width 6.5 mm\n";
    let measured = |within: &str| {
        format!(
            "  measured 2026-08-25 from scan \"sm-0392.csv\" as \"7c1e09b2\", within {within} mm {{\n    tooth 12 palatal 1.5 mm, width 6.5 mm\n    tooth 16, 15, 14, 13, 11, 21, 22, 23, 24, 25, 26 rotated 0 deg mesial-in\n  }}\n"
        )
    };
    let width = |upper: &str| {
        let checked = check(&case("", upper, "", ""));
        let forecast = checked.forecast.as_deref().unwrap();
        let phase = &forecast.arch(Arch::Upper).unwrap().phases[0];
        let tooth = Tooth::iso(12).unwrap();
        let load = phase.insertion.tooth(tooth).expect("a load");
        let all = bands(&phase.setup, &Spread::default()).expect("bands");
        let band = all.tooth(tooth).expect("a band").sustained_n;
        (load.peak_n, band.high - band.low, phase.passive.spread_ln)
    };
    let (peak, rounded, weeks) = width(own);
    let (same, exact, exact_weeks) = width(&measured("0.05"));
    let (_, coarse, coarse_weeks) = width(&measured("0.3"));
    assert!((peak - same).abs() < 1e-6, "{peak} {same}");
    assert!(exact < 0.8 * rounded && rounded < coarse, "{exact} {rounded} {coarse}");
    assert!(exact_weeks < weeks && weeks < coarse_weeks, "{exact_weeks} {weeks} {coarse_weeks}");
}
