//! The practice of Saltmarsh taken together: day list, set-up, unused wires; and the bench chart.

use std::fs;
use std::path::PathBuf;

use jiff::civil::date;
use springline_emit::draw::list::DrawItem;
use springline_emit::draw::{bench, svg, terminal};
use springline_emit::tables::chart::chart;
use springline_emit::{Plan, PrintStamp, practice};
use springline_lang::course::on_demand;
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_test_support::{Practices, example, examples_in};

const TODAY: jiff::civil::Date = date(2026, 11, 25);

fn some_cases() -> Vec<Checked> {
    let mut checker = Checker::new();
    ["sm-0377-light-class-2", "sm-0399-missing-lateral", "sm-0417-lateral-blocked-out"]
        .iter()
        .map(|name| {
            let text = example(&format!("cases/{name}.spring")).into();
            let source = SourceText { name: (*name).to_owned(), text };
            checker.check(&source, &Practices::saltmarsh(), &CheckOptions { today: Some(TODAY) })
        })
        .collect()
}

#[test]
fn lists_of_the_practice_agree_with_the_cards() {
    let stamp = PrintStamp {
        case: "1".into(),
        house: "2".into(),
        tool: "springline".into(),
        printed: TODAY,
    };
    let all = some_cases();
    let plans: Vec<Plan<'_>> =
        all.iter().filter_map(|c| Plan::of(c.course(), &c.findings, TODAY, &stamp)).collect();
    assert_eq!(plans.len(), 3);
    for plan in &plans {
        let (number, visit) = plan.coming().next().expect("a visit");
        let day = practice::day_sheet(&plans, visit.date);
        let row = day.rows.iter().find(|r| r.chart == plan.case.chart).expect("on its day");
        if !row.on_hold {
            let card = springline_emit::card::staff_card(plan, number).expect("a card");
            assert_eq!(row.today, card.today);
        }
    }
    let all_days = practice::pull_list(&plans, TODAY, date(2028, 12, 31));
    assert!(all_days.items.iter().any(|i| i.kind == "wire" && i.count > 0));
    assert!(
        all_days.items.iter().all(|i| i.count >= i.charts.len().min(1) && !i.charts.is_empty())
    );
    assert!(practice::overdue(&plans, TODAY).iter().all(|o| o.days > 0 && o.planned < TODAY));
    let off = practice::off_sequence(&plans);
    assert!(off.iter().any(|o| o.chart == "SM-0417" && o.step == "bring-in"), "{off:?}");
    let unused = practice::unused_wires(plans[0].house(), &plans);
    assert!(unused.contains(&"steel-18".to_owned()) && !unused.contains(&"niti-14".to_owned()));
}

/// The day a visit was due stays what counts once it is booked anew.
#[test]
fn a_case_last_seen_months_ago_is_overdue() {
    let text = examples_in("year").swap_remove(0).1.into();
    let source = SourceText { name: "first".to_owned(), text };
    let checked = Checker::new().check(
        &source,
        &Practices::saltmarsh(),
        &CheckOptions { today: Some(TODAY) },
    );
    let late = checked.findings.iter().any(|f| f.code.as_str() == "record/overdue");
    let stamp = PrintStamp {
        case: "1".into(),
        house: "2".into(),
        tool: "springline".into(),
        printed: TODAY,
    };
    let plan = Plan::of(checked.course(), &checked.findings, TODAY, &stamp).expect("a plan");
    let listed = practice::overdue(&[plan], TODAY);
    assert!(late && listed.len() == 1 && listed[0].days > 14, "{late} {listed:?}");
}

/// Steel gives all it was bent with; its way back from a set is no reading.
#[test]
fn an_elastic_wire_is_read_on_the_way_in() {
    let all = some_cases();
    let house = all[0].house.as_ref().expect("a house");
    let wires: Vec<_> =
        ["steel-19x25", "niti-14"].iter().map(|n| house.wires[*n].clone()).collect();
    let chart = chart(&on_demand::bench(house, &wires, None, 3.0));
    let under: Vec<f64> = chart.wires.iter().map(|w| w.under_ceiling_mm.expect("some")).collect();
    assert!(under[0] < 0.1 && under[1] > 1.0, "{under:?}");
}

/// All paths of the group of that name.
fn lowest<'d>(items: &'d [DrawItem], name: &str, found: &mut Vec<&'d [DrawItem]>) {
    for item in items {
        if let DrawItem::Group { name: own, items, .. } = item {
            if own == name {
                found.push(items);
            }
            lowest(items, name, found);
        }
    }
}

#[test]
fn the_bench_chart_draws_the_ceiling_and_every_wire() {
    let all = some_cases();
    let house = all[0].house.as_ref().expect("a house");
    let wires: Vec<_> =
        ["niti-12", "niti-14", "niti-19x25"].iter().map(|n| house.wires[*n].clone()).collect();
    let chart = chart(&on_demand::bench(house, &wires, None, 3.0));
    let drawing = bench(&chart);
    for name in ["ceiling", "wire-1", "wire-2", "wire-3"] {
        let mut found = Vec::new();
        lowest(&drawing.items, name, &mut found);
        assert_eq!(found.len(), 1, "{name}");
    }
    assert!(drawing.description.contains("niti-14") && drawing.description.contains("60 g"));
    let text = terminal(&chart);
    let dots = |c: &char| ('\u{2801}'..='\u{28ff}').contains(c);
    assert!(text.contains("niti-12") && text.chars().filter(dots).count() > 100, "{text}");
    if let Some(folder) = std::env::var_os("SPRINGLINE_LOOK").map(PathBuf::from) {
        fs::write(folder.join("bench.svg"), svg::file(&drawing)).expect("written");
        fs::write(folder.join("bench.txt"), text).expect("written");
    }
}
