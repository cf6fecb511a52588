//! What is printed of the practice of Saltmarsh: every case, from its text to its pages.

use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;

use jiff::civil::date;
use springline_emit::draw::list::{DrawItem, Segment};
use springline_emit::patient_texts::Catalogue;
use springline_emit::{Plan, PrintStamp, card, findings, html, sheet};
use springline_lang::check::rule_text;
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_test_support::{Practices, example, examples_in};
use springline_tests::reading;

/// The day the examples were written for.
const TODAY: jiff::civil::Date = date(2026, 11, 25);

/// The sound cases, checked once for all tests.
fn cases() -> &'static [Checked] {
    static CASES: OnceLock<Vec<Checked>> = OnceLock::new();
    CASES.get_or_init(|| checked("cases"))
}

fn checked(folder: &str) -> Vec<Checked> {
    let mut checker = Checker::new();
    examples_in(folder)
        .into_iter()
        .map(|(name, text)| {
            let source = SourceText { name: format!("{name}.spring"), text: text.into() };
            checker.check(&source, &Practices::saltmarsh(), &CheckOptions { today: Some(TODAY) })
        })
        .collect()
}

fn stamp() -> PrintStamp {
    PrintStamp {
        case: "3f9a12c07be4d1".into(),
        house: "77aa04be91c2f0".into(),
        tool: "springline 0.1.0".into(),
        printed: TODAY,
    }
}

#[test]
fn every_example_prints() {
    let (stamp, look) = (stamp(), std::env::var_os("SPRINGLINE_LOOK").map(PathBuf::from));
    for one in cases() {
        let name = &one.files[0].name;
        let plan = Plan::of(one.course(), &one.findings, TODAY, &stamp)
            .unwrap_or_else(|| panic!("{name} has no plan"));
        let page = html::case_document(&plan);
        assert!(page.starts_with("<!DOCTYPE html>") && page.ends_with("</html>"), "{name}");
        for outside in ["http:", "https:", "<script", "<link", "url("] {
            let text = page.replace("http://www.w3.org/2000/svg", "");
            assert!(!text.contains(outside), "{name} reaches outside: {outside}");
        }
        if let Some(folder) = &look {
            let path = folder.join(name).with_extension("html");
            fs::write(path, &page).expect("written");
        }
        for (number, visit) in plan.coming() {
            let card = card::staff_card(&plan, number).expect("a card for each visit");
            assert!(plan.house().is_open(visit.date), "{name}: closed on {}", visit.date);
            assert!(!card.today.is_empty() && !card.lay_out.is_empty(), "{name}");
            let ids = page.matches(&format!("id=\"v{number}-h\"")).count();
            assert!(plan.blocking().is_empty() == (ids == 1), "{name}: card {number} once");
        }
    }
}

#[test]
fn patients_can_read_their_sheet() {
    let stamp = stamp();
    let (mut worst_age, mut worst_ease) = (0.0_f64, 100.0_f64);
    for one in cases() {
        let Some(plan) = Plan::of(one.course(), &one.findings, TODAY, &stamp) else { continue };
        for (number, _) in plan.coming() {
            let english = sheet::patient_sheet(&plan, number, Catalogue::english());
            let spanish = Catalogue::built_in("es").expect("comes with the tool");
            let spanish = sheet::patient_sheet(&plan, number, spanish);
            let (english, spanish) = (english.expect("a sheet"), spanish.expect("a sheet"));
            worst_age = worst_age.max(reading::age_english(&english.text()));
            // The house writes its own texts in English: they have no place on a Spanish sheet.
            let text = spanish.text();
            let own = plan.house().patient_texts.get("en").into_iter().flat_map(|t| t.values());
            let foreign = own.clone().find(|own| text.contains(own.as_str()));
            assert!(own.count() > 0);
            assert_eq!(foreign, None);
            worst_ease = worst_ease.min(reading::ease_spanish(&text));
        }
    }
    assert!(worst_age <= 11.0, "reading age {worst_age:.1}");
    assert!(worst_ease >= 80.0, "reading ease {worst_ease:.1}");
}

/// One of the examples under a practice file with other lines in it.
fn under(lines: &str) -> Checked {
    let house = example("saltmarsh.spring");
    let kept: Vec<&str> = house
        .lines()
        .filter(|l| !l.starts_with("text patient") && !l.starts_with("telephone"))
        .collect();
    let house = kept.join("\n").replace("defaults 1\n", &format!("defaults 1\n{lines}\n"));
    let text = example("cases/sm-0377-light-class-2.spring").into();
    let source = SourceText { name: "case.spring".to_owned(), text };
    Checker::new().check(&source, &Practices::of(house), &CheckOptions { today: Some(TODAY) })
}

fn next_sheet(checked: &Checked, language: &str) -> sheet::PatientSheet {
    let stamp = stamp();
    let plan = Plan::of(checked.course(), &checked.findings, TODAY, &stamp).expect("a plan");
    let (number, _) = plan.coming().next().expect("a visit");
    let words = Catalogue::built_in(language).expect("comes with the tool");
    sheet::patient_sheet(&plan, number, words).expect("a sheet")
}

#[test]
fn texts_of_the_practice_keep_to_their_language_and_its_number_is_printed() {
    let own = under(
        "telephone \"555-0142\"\ntext patient soreness \"It may ache.\"\n\
         text patient wire-stays \"El arco sigue.\" in es",
    );
    let (english, spanish) = (next_sheet(&own, "en"), next_sheet(&own, "es"));
    assert_eq!(english.contact, "Phone: 555-0142");
    assert_eq!(spanish.contact, "Tel\u{e9}fono: 555-0142");
    assert!(english.text().contains("It may ache.") && !english.text().contains("El arco sigue."));
    assert!(spanish.text().contains("El arco sigue.") && !spanish.text().contains("It may ache."));
    let bare = next_sheet(&under(""), "en");
    assert!(bare.contact_blank && bare.contact == "Phone:", "{:?}", bare.contact);
}

#[test]
fn a_sheet_shows_the_bands_claims_nothing_and_gives_a_range() {
    let sheet = next_sheet(&under(""), "en");
    let text = sheet.text();
    assert!(text.contains("What we plan for") && !text.contains("What we did"), "{text}");
    assert!(!text.contains("You have a new wire") && !text.contains("reading age"), "{text}");
    assert!(
        text.contains("On your right: top tooth 3 to bottom tooth 6, 14 hours a day."),
        "{text}"
    );
    assert!(text.contains("months."), "{text}");
    let picture = sheet.sections.iter().find_map(|s| s.picture.as_ref()).expect("the bands");
    // As in a mirror: the patient's right is on the right of the paper.
    let at = |name: &str| {
        let group = picture.items.iter().find_map(|i| match i {
            DrawItem::Group { name: own, items, .. } if own == name => Some(items),
            _ => None,
        });
        let Some(DrawItem::Path { segments, .. }) = group.and_then(|g| g.first()) else {
            panic!("no {name}")
        };
        match segments.first() {
            Some(Segment::Move(p)) => p.x,
            other => panic!("{other:?}"),
        }
    };
    assert!(at("band-right") > picture.width / 2.0 && at("band-left") < picture.width / 2.0);
}

#[test]
fn findings_for_machines_hold_every_finding() {
    let faulty = checked("unsafe");
    let refs: Vec<&Checked> = cases().iter().chain(&faulty).collect();
    let count: usize = refs.iter().map(|c| c.findings.len()).sum();
    assert_eq!(findings::line::lines(&refs).lines().count(), count);
    let report = findings::json::report(&refs);
    assert_eq!(report.cases.iter().map(|c| c.findings.len()).sum::<usize>(), count);
    let sarif = findings::sarif::log(&refs, "0.1.0", rule_text);
    let results = sarif["runs"][0]["results"].as_array().expect("results");
    assert_eq!(results.len(), count);
    for result in results {
        let rule = result["ruleIndex"].as_u64().expect("an index") as usize;
        assert_eq!(sarif["runs"][0]["tool"]["driver"]["rules"][rule]["id"], result["ruleId"]);
        let related = result["relatedLocations"].as_array().cloned().unwrap_or_default();
        for (i, one) in related.iter().enumerate() {
            assert!(!related[i + 1..].contains(one), "the format wants unique locations: {one}");
        }
    }
    let junit = findings::junit::text(&refs);
    assert_eq!(junit.matches("<testsuite ").count(), refs.len());
    assert_eq!(junit, findings::junit::text(&refs), "the same plans give the same text");
    if let Some(folder) = std::env::var_os("SPRINGLINE_LOOK").map(PathBuf::from) {
        fs::write(folder.join("findings.sarif"), findings::sarif::text(&refs, "0.1.0", rule_text))
            .expect("written");
        fs::write(folder.join("findings.json"), findings::json::text(&refs)).expect("written");
        fs::write(folder.join("findings.xml"), junit).expect("written");
    }
}
