//! The cards: their words, their order, and what must not be on them.

mod emit_support;

use emit_support::*;
use jiff::civil::date;
use springline_lang::emit::card::{self, RecordPart, StaffCard};
use springline_lang::emit::{Plan, Stamp, html};
use springline_lang::finding::{Acceptance, Finding};
use springline_lang::model::Case;

fn stamp() -> Stamp {
    Stamp {
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
    (1..=forecast.visits.len()).filter_map(|n| card::staff_card(&plan, n)).collect()
}

/// The card as a person reads it down the page, without the drawing.
fn text(card: &StaffCard) -> String {
    let mut out = Vec::new();
    let h = &card.head;
    out.push(format!(
        "{} | {} | visit {} of {} | {} | {} min",
        h.chart, h.kind, h.number, h.of, h.date, h.minutes
    ));
    out.extend(card.today.iter().cloned());
    out.extend(card.unusual.iter().chain(&card.ahead).cloned());
    let mut list = |name: &str, lines: &[String]| {
        out.extend(lines.iter().map(|l| format!("{name}: {l}")));
    };
    for tray in &card.lay_out {
        list(&format!("lay out {}", tray.heading), &tray.items);
    }
    list("ask", &card.ask);
    list("look", &card.look);
    let measure: Vec<String> =
        card.measure.iter().map(|b| format!("{} ___ {}", b.what, b.unit)).collect();
    list("measure", &measure);
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
    for row in &card.ends {
        out.push(format!("ends {}: right {}, left {}", row.arches, row.right, row.left));
    }
    out.extend(card.ends_note.iter().map(|n| n.to_string()));
    let mut list = |name: &str, lines: &[String]| {
        out.extend(lines.iter().map(|l| format!("{name}: {l}")));
    };
    list("fit", &card.fit_check);
    let worn: Vec<String> = card
        .elastics
        .iter()
        .map(|e| format!("{}: {}, {}, {}", e.side, e.from_to, e.what, e.hours))
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
        "Lay out",
        "Ask",
        "Look",
        "Measure first",
        "Test,",
        "<figure",
        "out and in",
        "Ends of the wire",
        "Fit check",
        "Tell the patient",
        "Elastics</h3>",
        "Next visit",
        "Write down",
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
