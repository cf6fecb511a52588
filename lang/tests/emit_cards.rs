//! The cards: their words, their order, and what must not be on them.

mod emit_support;

use std::collections::BTreeMap;

use emit_support::*;
use jiff::civil::{Date, date};
use springline_emit::card;
use springline_emit::card::{RecordPart, StaffCard};
use springline_emit::{Plan, PrintStamp, html};
use springline_lang::finding::{Acceptance, Finding};
use springline_lang::model::Case;
use springline_lang::model::case::{ArchSeen, Bite, Debond, Hygiene, Overjet, Trouble, Visit};
use springline_lang::model::step::{ActKind, Spot, Term, Wing};
use springline_lang::model::stock::Along;
use springline_lang::units::quantity::from_mm;
use springline_lang::units::tooth::Arch;

fn stamp() -> PrintStamp {
    PrintStamp {
        case: "3f9a12c07be4d1".into(),
        house: "77aa04be91c2f0".into(),
        tool: "springline 0.1.0".into(),
        printed: date(2026, 9, 14),
    }
}

fn accepted() -> Finding {
    let mut finding =
        Finding::warning("force/sustained", nowhere(), "13 gets 78 g from niti-14, limit 60 g.");
    finding.accepted = Some(Acceptance {
        reason: "one visit, then space is made".into(),
        by: "RB".into(),
        up_to: Some("90 g".into()),
        until: None,
        place: nowhere(),
    });
    finding
}

fn cards(case: &Case, findings: &[Finding]) -> Vec<StaffCard> {
    let today = date(2026, 9, 14);
    let forecast = forecast(case, today);
    let stamp = stamp();
    let plan = Plan { case, forecast: &forecast, findings, today, stamp: &stamp };
    (1..=plan.visits_in_all()).filter_map(|n| card::staff_card(&plan, n)).collect()
}

/// The card as a person reads it down the page, without the drawing.
fn text(card: &StaffCard) -> String {
    let mut out = Vec::new();
    let h = &card.head;
    out.push(format!(
        "{} | {} | visit {} of {} | {} | {} min",
        h.chart, h.kind, h.number, h.of, h.date, h.minutes
    ));
    out.extend(card.first.iter().map(|l| format!("first: {l}")));
    out.extend(card.today.iter().cloned());
    out.extend(card.unusual.iter().chain(&card.ahead).cloned());
    let mut list = |name: &str, lines: &[String]| {
        out.extend(lines.iter().map(|l| format!("{name}: {l}")));
    };
    for tray in &card.lay_out {
        list(&format!("set up {}", tray.heading), &tray.items);
    }
    list("ask", &card.ask);
    list("look", &card.look);
    let measure: Vec<String> =
        card.measure.iter().map(|b| format!("{} ___ {}", b.what, b.unit)).collect();
    list("measure", &measure);
    out.extend(card.measure_how.clone());
    for test in &card.tests {
        out.push(format!(
            "test {}: {} {} {}",
            test.arch,
            test.question,
            test.how.join(" "),
            test.where_to.join(" ")
        ));
        out.push(format!("  {} -> {}", test.yes, test.yes_do.join(" ")));
        out.push(format!("  {} -> {}", test.no, test.no_do.join(" ")));
    }
    for arch in &card.doing {
        out.push(arch.heading.clone());
        for (i, line) in arch.lines.iter().enumerate() {
            let house = line.house.as_ref().map(|h| format!("  [{h}]")).unwrap_or_default();
            out.push(format!("  {}. {}{house}", i + 1, line.text));
        }
    }
    let mut list = |name: &str, lines: &[String]| {
        out.extend(lines.iter().map(|l| format!("{name}: {l}")));
    };
    list("fit", &card.fit_check);
    let worn: Vec<String> = card
        .elastics
        .iter()
        .map(|e| format!("{}: {}, {}, {}, until {}", e.side, e.from_to, e.what, e.hours, e.until))
        .collect();
    list("elastics", &worn);
    list("tell", &card.tell);
    list("next", &card.next);
    let record: Vec<String> =
        card.record.iter().map(|l| l.0.iter().map(part).collect::<Vec<_>>().join(" ")).collect();
    list("write", &record);
    list("call if", &card.call);
    list("accepted", &card.accepted);
    out.push(card.stamp.clone());
    out.join("\n")
}

fn part(part: &RecordPart) -> String {
    match part {
        RecordPart::Word(w) => w.clone(),
        RecordPart::Tick(w) => format!("[ ] {w}"),
        RecordPart::Write(unit) => format!("___{unit}"),
        RecordPart::Key(words) => format!("({words})"),
    }
}

#[test]
fn a_card_in_words() {
    let all = cards(&lateral_blocked_out(), &[accepted()]);
    insta::assert_snapshot!("blocked_out_lateral_visit_2", text(&all[1]));
    insta::assert_snapshot!("blocked_out_lateral_visit_3", text(&all[2]));
    let all = cards(&premolars_out(), &[]);
    insta::assert_snapshot!("premolars_out_visit_1", text(&all[0]));
    insta::assert_snapshot!("premolars_out_visit_2", text(&all[1]));
}

#[test]
fn what_must_not_be_on_a_card() {
    for case in [plain(), lateral_blocked_out(), premolars_out()] {
        for card in cards(&case, &[accepted()]) {
            let page = html::document("x", "en", &[("x".into(), html::staff(&card, "c"))]);
            let body = page.split("</style>").nth(1).expect("a body").to_lowercase();
            for banned in [
                "consider",
                "newton",
                " n ",
                "nmm",
                "probab",
                "percent",
                "%",
                "force/",
                "space/",
                "http",
                "<script",
                "undefined",
                "nan ",
            ] {
                assert!(
                    !body.replace("http://www.w3.org/2000/svg", "").contains(banned),
                    "{} has {banned:?}",
                    case.chart
                );
            }
            for test in &card.tests {
                assert!(!test.yes_do.is_empty() && !test.no_do.is_empty());
            }
        }
    }
}

#[test]
fn the_page_keeps_the_order_of_the_visit() {
    let card = &cards(&premolars_out(), &[accepted()])[1];
    let page = html::document("x", "en", &[("x".into(), html::staff(card, "c"))]);
    let places: Vec<usize> = [
        "Patient label",
        "Upper: niti-14 out",
        "Set up",
        "Ask",
        "Look",
        "Measure first",
        "Test,",
        "<figure",
        "change wire",
        "Both ends: ",
        "Elastics</h3>",
        "Fit check",
        "Tell the patient",
        "Next visit",
        "Visit record",
        "Call the doctor if",
        "Accepted by the doctor",
        "<footer",
    ]
    .iter()
    .map(|word| page.find(word).unwrap_or_else(|| panic!("no {word}")))
    .collect();
    assert!(places.windows(2).all(|w| w[0] < w[1]), "{places:?}");
    assert!(page.contains("plan 3f9a12c07be4 "), "fingerprint in the foot");
}

#[test]
fn the_next_visit_is_on_a_day_the_clinic_is_open() {
    for case in [plain(), lateral_blocked_out()] {
        for card in cards(&case, &[]) {
            for line in card.tests.iter().flat_map(|t| &t.no_do) {
                assert!(
                    !line.contains("Wed ") && !line.contains("Fri ") && !line.contains("Sat "),
                    "{line}"
                );
            }
        }
    }
}

#[test]
fn text_of_the_file_cannot_become_markup() {
    let mut case = lateral_blocked_out();
    case.chart = "<script>alert(1)</script>".into();
    case.doctor = Some("\"><b>KL".into());
    let steps = &mut case.arches[0].steps;
    steps[1].acts.push(act(springline_lang::model::step::ActKind::Note {
        text: "</style><img src=x> call Mrs Example on 0123 4567890".into(),
    }));
    for card in cards(&case, &[]) {
        let page =
            html::document(&case.chart, "en", &[(case.chart.clone(), html::staff(&card, "c"))]);
        assert!(!page.contains("<script") && !page.contains("<img") && !page.contains("<b>KL"));
        assert!(!page.contains("Example") && !page.contains("4567890"), "identity is masked");
    }
}

#[test]
fn while_an_error_stands_nothing_of_the_plan_is_printed() {
    let case = lateral_blocked_out();
    let today = date(2026, 11, 2);
    let forecast = forecast(&case, today);
    let stamp = stamp();
    let findings = [Finding::error("force/peak", nowhere(), "12 gets 1200 g.")];
    let plan = Plan { case: &case, forecast: &forecast, findings: &findings, today, stamp: &stamp };
    assert_eq!(plan.blocking().len(), 1);
    let hold = card::hold_card(&plan);
    let page = html::document("x", "en", &[("x".into(), html::hold(&hold))]);
    let body = page.split("</style>").nth(1).expect("a body");
    for word in ["niti-", "coil between", "1200", "<svg", "make-space"] {
        assert!(!body.contains(word), "{word}");
    }
    assert!(body.contains("Do not change a wire today") && body.contains("Call the doctor"));
}

fn seen(on: Date) -> Visit {
    Visit {
        on,
        by: None,
        kind: None,
        arches: Vec::new(),
        as_planned: false,
        stands: BTreeMap::new(),
        gaps: Vec::new(),
        overlaps: Vec::new(),
        readings: Vec::new(),
        bite: Bite::default(),
        over_the_bite: Vec::new(),
        troubles: Vec::new(),
        pain: None,
        wear: Vec::new(),
        hygiene: None,
        raisers_off: Vec::new(),
        expanded: Vec::new(),
        notes: Vec::new(),
        place: nowhere(),
    }
}

/// The card of the next visit.
fn next_card(case: &Case, today: Date) -> StaffCard {
    let forecast = forecast(case, today);
    let stamp = stamp();
    let plan = Plan { case, forecast: &forecast, findings: &[], today, stamp: &stamp };
    let (number, _) = plan.coming().next().expect("a visit to come");
    card::staff_card(&plan, number).expect("its card")
}

fn all_lines(card: &StaffCard) -> String {
    text(card)
}

#[test]
fn nothing_unusual_reads_as_a_ban() {
    for case in [lateral_blocked_out(), premolars_out()] {
        for card in cards(&case, &[]) {
            for line in card.doing.iter().flat_map(|d| &d.lines) {
                let Some(house) = &line.house else { continue };
                assert!(!house.contains("House: no"), "{house}");
                assert!(
                    house.contains("for this patient")
                        || house.contains("For this patient")
                        || house.contains("Not for this patient"),
                    "{house}"
                );
            }
        }
    }
}

#[test]
fn a_bracket_recorded_loose_is_said_first_and_not_drawn() {
    let mut case = plain();
    let mut visit = seen(date(2026, 11, 9));
    visit.troubles.push((Trouble::Loose { teeth: teeth(&[45]) }, nowhere()));
    visit.hygiene = Some(Hygiene::Poor);
    case.visits = vec![visit];
    case.debond = Some(Debond { on: Some(date(2027, 1, 25)), because: None, place: nowhere() });
    let card = next_card(&case, date(2026, 11, 10));
    assert!(
        card.first[0].contains("45") && card.first[0].contains("Mon 9 Nov 2026"),
        "{:?}",
        card.first
    );
    assert!(card.first.iter().any(|l| l.contains("Cleaning was poor at the last visit")));
    assert!(card.first.iter().any(|l| l.contains("Debond is planned for Mon 25 Jan 2027")));
    assert!(card.drawing.description.contains("45: bracket off"), "{}", card.drawing.description);
    assert!(!card.drawing.description.contains("45\u{2013}"), "{}", card.drawing.description);
    for line in card.doing.iter().flat_map(|d| &d.lines) {
        assert!(!line.text.contains(" in: 46\u{2013}41"), "45 is not in the wire: {}", line.text);
    }
    assert!(all_lines(&card).contains("45 has no bracket"), "{}", all_lines(&card));
    // Put back, it is a bracket as any other.
    let mut mended = seen(date(2026, 11, 12));
    mended.arches.push(ArchSeen {
        arch: Arch::Lower,
        found: None,
        done: None,
        midline: None,
        acts: vec![act(ActKind::Rebond { teeth: teeth(&[45]), bracket: None })],
        place: nowhere(),
    });
    case.visits.push(mended);
    let card = next_card(&case, date(2026, 11, 12));
    assert!(!card.first.iter().any(|l| l.contains("45")), "{:?}", card.first);
}

#[test]
fn a_picked_up_tooth_without_its_bracket_is_not_taken_into_the_wire() {
    let mut case = lateral_blocked_out();
    let mut visit = seen(date(2026, 11, 9));
    visit.troubles.push((Trouble::Loose { teeth: teeth(&[12]) }, nowhere()));
    case.visits = vec![visit];
    let steps = &mut case.arches[0].steps;
    steps[2].acts = vec![act(ActKind::Engage { teeth: teeth(&[12]), wing: Wing::Both })];
    let card = next_card(&case, date(2026, 11, 10));
    let words = all_lines(&card);
    assert!(words.contains("Once 12 has its bracket again: Take 12 into the wire."), "{words}");
}

#[test]
fn bite_raisers_say_until_when_and_come_off_once_a_record_shows_it() {
    let mut case = lateral_blocked_out();
    let raise = |case: &mut Case| {
        for step in &mut case.arches[0].steps {
            step.acts.retain(|a| !matches!(a.kind, ActKind::BiteRaisers { .. }));
            step.acts.push(act(ActKind::BiteRaisers {
                teeth: teeth(&[36, 46]),
                until: Some(until(Term::OverTheBite { teeth: teeth(&[12]) }, "over-the-bite 12")),
            }));
        }
    };
    raise(&mut case);
    case.visits = vec![seen(date(2026, 11, 9))];
    let card = next_card(&case, date(2026, 11, 10));
    let words = all_lines(&card);
    assert!(words.contains("take them off once 12 is out of crossbite"), "{words}");
    assert!(card.drawing.description.contains("Bite raisers"));
    assert!(words.contains("[ ] crossbite-corrected 12"), "the record asks for it: {words}");
    case.visits[0].over_the_bite = teeth(&[12]);
    let card = next_card(&case, date(2026, 11, 10));
    assert_eq!(
        card.first,
        ["Take the bite raisers off 46, 36: 12 is out of crossbite (recorded)."]
    );
    assert!(!card.drawing.description.contains("Bite raisers"), "{}", card.drawing.description);
}

#[test]
fn elastics_say_until_when_and_end() {
    let mut case = premolars_out();
    case.elastics[0].from = None;
    case.elastics[0].until = Some((
        until(Term::Overjet { overjet: Overjet::forward(from_mm(2.5)) }, "overjet 2.5 mm"),
        nowhere(),
    ));
    let all = cards(&case, &[]);
    assert_eq!(all[1].elastics[0].until, "the overjet is 2.5 mm");
    assert!(
        all[0].elastics[0].hours.ends_with("h per day, new each day, from today"),
        "{:?}",
        all[0].elastics
    );
    assert!(!all[1].elastics[0].hours.contains("today"));
    // Twice on the same hooks is asked, not decided.
    let again = case.elastics[0].clone();
    case.elastics.push(again);
    let card = &cards(&case, &[])[1];
    assert!(card.elastics_doubt.as_deref().is_some_and(|d| d.contains("same hooks")));
    case.elastics.truncate(1);
    // Reached by record: gone from the card.
    let mut visit = seen(date(2026, 11, 9));
    visit.bite.overjet = Some((Overjet::forward(from_mm(2.5)), nowhere()));
    case.visits = vec![visit];
    assert_eq!(next_card(&case, date(2026, 11, 10)).elastics, []);
}

#[test]
fn closing_and_opening_steps_ask_for_their_gap() {
    let words = all_lines(&cards(&premolars_out(), &[])[1]);
    assert!(
        words.contains("Gap 15 to 13") && words.contains("gap ___mm between 15 and 13"),
        "{words}"
    );
    assert!(words.contains("from the contact point of one tooth named to that of the other"));
    let words = all_lines(&cards(&lateral_blocked_out(), &[])[1]);
    assert!(words.contains("Space 12 (13 to 11)"), "{words}");
}

#[test]
fn a_stop_is_put_on_before_the_wire_and_crimped_after_it() {
    let mut case = plain();
    case.arches[0].steps[0].acts =
        vec![act(ActKind::Stop { spots: vec![Spot { along: Along::Mesial, tooth: t(26) }] })];
    let card = &cards(&case, &[])[0];
    let lines: Vec<&str> = card.doing[0].lines.iter().map(|l| l.text.as_str()).collect();
    let at = |part: &str| {
        lines.iter().position(|l| l.contains(part)).unwrap_or_else(|| panic!("{part}: {lines:?}"))
    };
    assert!(at("put on, not crimped yet") < at("niti-14 in"));
    assert!(at("niti-14 in") < at("Crimp the stop against the tube of 26"));
}

#[test]
fn power_arms_go_on_before_what_hangs_on_them_and_come_off_by_name() {
    let mut case = premolars_out();
    let arms = ActKind::PowerArm { teeth: teeth(&[13, 23]), height: from_mm(7.0) };
    case.arches[0].steps[1].acts.insert(0, act(arms));
    let all = cards(&case, &[]);
    let said = |card: &StaffCard, part: &str| text(card).contains(part);
    let on = all.iter().position(|c| said(c, "Power arms on 13, 23, 7 mm towards the gum"));
    let off = all.iter().position(|c| said(c, "Power arms 7 mm on 13, 23: off"));
    assert!(on.is_some() && on < off, "{on:?} {off:?}");
    let words = text(&all[on.unwrap()]);
    assert!(words.find("Power arms on 13") < words.find("Hang the closing springs"), "{words}");
    // On since the step before, they are looked at.
    let mut case = premolars_out();
    let arms = ActKind::PowerArm { teeth: teeth(&[13, 23]), height: from_mm(7.0) };
    case.arches[0].steps[0].acts.push(act(arms));
    let looked = |c: &StaffCard| said(c, "Power arms on 13, 23: clear of gum and cheek?");
    assert!(cards(&case, &[]).iter().any(looked));
}

#[test]
fn what_passive_and_the_other_words_mean_stands_once_beside_the_boxes() {
    for case in [plain(), lateral_blocked_out(), premolars_out()] {
        for card in cards(&case, &[]) {
            let words = all_lines(&card);
            let boxes = words.contains("[ ] nearly-passive");
            let count = words.matches("at the base of every slot").count();
            assert_eq!(count, usize::from(boxes), "{words}");
            for word in ["nearly-passive:", "active:", "binds at:"] {
                assert_eq!(words.contains(word), boxes, "{word}");
            }
        }
    }
}

/// Written for looking at: `SPRINGLINE_LOOK=folder cargo test`.
#[test]
fn cards_to_look_at() {
    let Some(folder) = std::env::var_os("SPRINGLINE_LOOK") else { return };
    let folder = std::path::PathBuf::from(folder);
    for case in [plain(), lateral_blocked_out(), premolars_out()] {
        let pages: Vec<_> = cards(&case, &[accepted()])
            .iter()
            .enumerate()
            .map(|(i, c)| (format!("Visit {}", i + 1), html::staff(c, &format!("c{i}"))))
            .collect();
        let text = html::document(&format!("{}: staff cards", case.chart), "en", &pages);
        std::fs::write(folder.join(format!("{}-cards.html", case.chart)), text).expect("written");
        let today = date(2026, 11, 2);
        let forecast = forecast(&case, today);
        let stamp = stamp();
        let findings = [Finding::error("force/peak", nowhere(), "12 gets 1200 g.")];
        let plan =
            Plan { case: &case, forecast: &forecast, findings: &findings, today, stamp: &stamp };
        let mut pages = vec![("Hold".to_owned(), html::hold(&card::hold_card(&plan)))];
        if let Some(repair) = card::repair_card(&plan) {
            pages.push(("Repair".to_owned(), html::repair(&repair)));
        }
        let text = html::document("Other cards", "en", &pages);
        std::fs::write(folder.join(format!("{}-other.html", case.chart)), text).expect("written");
    }
}
