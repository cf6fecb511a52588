//! The tables of checks in `lang/docs/course.md` are made by this test. `UPDATE_DOCS=1` rewrites them; a
//! stale table fails, and so does a source without its citation at the end of the page.

mod course_support;

use course_support::trial;
use std::fmt::Write as _;
use std::path::Path;

use springline_lang::course::forecast;
use springline_lang::course::movement::{K_SLIDE, MONTH_DAYS, SIGMA_PATIENT, rate_mm_per_day};
use springline_lang::course::periodontium::{pressure_kpa, projected_area_mm2};
use springline_lang::units::quantity::grams_to_newtons;
use springline_lang::units::tooth::Tooth;
use springline_test_support::case;

/// Arches of each cohort.
const ARCHES: u64 = 24;
/// Growing patients against the pooled ones the rates were fitted to.
const GROWING: f64 = 1.26;

struct Row {
    what: &'static str,
    published: String,
    model: String,
    role: Role,
    /// What is to be said of the agreement.
    remark: &'static str,
    /// As listed at the end of the page; several with `; ` between.
    source: &'static str,
}

/// What the published figure was used for.
#[derive(Clone, Copy, PartialEq)]
enum Role {
    /// A parameter was set on it, so agreement shows no more than that the fit is one.
    Fitted(&'static str),
    /// No parameter was set on it.
    Tested,
}

fn sliding_mm_per_month(tooth: u32, grams: f64) -> f64 {
    let area = projected_area_mm2(Tooth::iso(tooth).unwrap());
    MONTH_DAYS * K_SLIDE * rate_mm_per_day(pressure_kpa(grams_to_newtons(grams), area))
}

fn law_rows(rows: &mut Vec<Row>) {
    for (kpa, published) in [(4.0, 0.028), (13.0, 0.040), (52.0, 0.054)] {
        rows.push(Row {
            what: "canine, free, mm a day",
            published: format!("{published:.3} (SE 0.004) at {kpa} kPa"),
            model: format!("{:.3}", rate_mm_per_day(kpa)),
            role: Role::Fitted("a, p0"),
            remark: "",
            source: "Nickel 2014",
        });
    }
    let month = MONTH_DAYS * rate_mm_per_day(4.0);
    assert!((month / 0.87).ln().abs() < 1.645 * SIGMA_PATIENT / 7_f64.sqrt());
    rows.push(Row {
        what: "canine, free, mm a month",
        published: "0.87 at about 4 kPa, n = 7, differing 3 to 1".to_owned(),
        model: format!("{month:.2}"),
        role: Role::Tested,
        remark: "the same group as the fitted rates; these seven may be among its subjects",
        source: "Iwasaki 2000",
    });
    // Forces are not in the row: 100 to 200 g is what such springs give. Nor is age: canines are
    // slid after extractions mostly in adolescents (common practice, no source).
    let slide = [100.0, 200.0].map(|g| 8.0 * 7.0 / MONTH_DAYS * sliding_mm_per_month(43, g));
    let growing = slide.map(|s| GROWING * s);
    assert!(growing[0] < 1.79 && 1.70 < growing[1], "Oz 2012: {growing:?}");
    rows.push(Row {
        what: "lower canine on 19x25 steel, mm in 8 weeks",
        published: "1.79; 1.70".to_owned(),
        model: format!(
            "{:.2} to {:.2} growing, {:.2} to {:.2} age unknown (100 to 200 g)",
            growing[0], growing[1], slide[0], slide[1]
        ),
        role: Role::Tested,
        remark: "met in growing patients; ages not in the abstract",
        source: "Oz 2012",
    });
    let translated = GROWING * sliding_mm_per_month(13, 200.0);
    // On round wire a canine tips as far as play and wire allow: some 3 degrees of play (0.16 mm over
    // 3 mm) and as much again by the wire's give, at 9 mm from the middle of the root to the crown's
    // tip, once over the ten weeks of such a trial (estimates).
    let tipped = (6_f64.to_radians() * 9.0) * MONTH_DAYS / 70.0;
    rows.push(Row {
        what: "upper canine on round wire, mm a month, 200 g",
        published: "1.37 / 1.20".to_owned(),
        model: format!(
            "{translated:.2} growing; {:.2} with 6 degrees of tipping in ten weeks",
            translated + tipped
        ),
        role: Role::Tested,
        remark: "low by a fifth to a third without the tipping, which the rate of closing leaves out; children and adolescents",
        source: "Huffman 1983",
    });
}

/// A lower arch on one wire until its overbite is 2.5 mm, months; bite raisers are on the upper one.
fn levelling_months(jaw: &str, overbite: f64, wire: &str, act: &str) -> Option<f64> {
    let teeth =
        if jaw == "lower" { ("45..35", "47, 46, 36, 37") } else { ("15..25", "17, 16, 26, 27") };
    let course = forecast(
        &case(&format!(
            "start 2026-09-14\nbite {{\n  overjet 3 mm\n  overbite {overbite} mm\n}}\n{jaw} {{\n  bonded {} with twin\n  tubes {} \
             with molar\n  step level as level, wire {wire}, until overbite 2.5 mm, next 6 wk {{\n    {act}\n  }}\n}}\n",
            teeth.0, teeth.1
        )),
        None,
    );
    course.arches[0].phases[0].end.predicted.map(|t| t.median_days / MONTH_DAYS)
}

fn bite_rows(rows: &mut Vec<Row>) {
    let curve = levelling_months("lower", 5.8, "niti-16x22", "reverse-curve 3 mm").expect("months");
    assert!((4.85 - 2.0 * 1.56..=4.85 + 2.0 * 1.56).contains(&curve), "Al-Zoubi 2022: {curve}");
    rows.push(Row {
        what: "months to open 5.8 mm of overbite, lower 0.016 x 0.022 with a reverse curve",
        published: "4.85 (sd 1.56)".to_owned(),
        model: format!("{curve:.1} to 2.5 mm"),
        role: Role::Tested,
        remark: "the depth of the curve, 3 mm, and the end are assumed",
        source: "Al-Zoubi 2022",
    });
    let raised =
        levelling_months("upper", 5.2, "niti-16x22", "bite-raisers 11, 21").expect("months");
    assert!((3.15 - 0.93..=3.15 + 0.93).contains(&raised), "Al-Zoubi 2022: {raised}");
    rows.push(Row {
        what: "months to open 5.2 mm of overbite, raisers behind the upper incisors",
        published: "3.15 (sd 0.93)".to_owned(),
        model: format!("{raised:.1} to 2.5 mm"),
        role: Role::Fitted("raisers, 1 mm a month"),
        remark: "",
        source: "Al-Zoubi 2022",
    });
    let steel = levelling_months("lower", 4.5, "steel-19x25", "note \"x\"").expect("months");
    let light = levelling_months("lower", 4.5, "niti-14", "note \"x\"");
    assert!((0.3..=0.8).contains(&(2.0 / steel)) && light.is_none(), "{steel} {light:?}");
    rows.push(Row {
        what: "overbite from 4.5 to 2.5 mm on flat lower steel, mm a month; on 0.014",
        published: "0.5 (0.3 to 0.8); hardly".to_owned(),
        model: format!("{:.2}; none", 2.0 / steel),
        role: Role::Tested,
        remark: "",
        source: "common practice, no source",
    });
    for (jaw, tooth, published) in [("upper", 13, 0.71), ("lower", 43, 0.57)] {
        rows.push(Row {
            what: match jaw {
                "upper" => "upper canine alone on a spring, mm a month",
                _ => "lower canine alone on a spring, mm a month",
            },
            published: format!("{published}"),
            model: format!(
                "{published}; the law at 100 g {:.2}",
                sliding_mm_per_month(tooth, 100.0)
            ),
            role: Role::Fitted("closing of a canine, by jaw"),
            remark: "25 adults, if they are those of the group's first report",
            source: "Monini 2019",
        });
    }
}

fn crowding_rows(rows: &mut Vec<Row>) {
    let thumb = [(3.0, 5.5, 6.0), (5.0, 8.0, 8.0), (7.0, 10.0, 10.0), (9.0, 10.0, 10.0)];
    let mut misfit = 0.0;
    for (index, practice, _) in thumb {
        let (mut quarter, mut strict, mut left) = (Vec::new(), Vec::new(), Vec::new());
        for seed in 0..ARCHES {
            let course = trial::arch(seed + 1000 * index as u64, index, &["niti-14"]);
            let passive = &course.arches[0].phases[0].passive;
            if let (Some(q), Some(s)) = (passive.quarter, passive.no_bend) {
                quarter.push(q.median_days / 7.0 / GROWING);
                strict.push(s.median_days / 7.0 / GROWING);
                left.push(passive.index_passive_mm);
            }
        }
        let (quarter, strict, left) =
            (trial::median(quarter), trial::median(strict), trial::median(left));
        misfit += (quarter / practice).ln().powi(2) / 4.0;
        rows.push(Row {
            what: match index as u32 {
                3 => "weeks to passive, growing, 0.014, 3 mm",
                5 => "weeks to passive, growing, 0.014, 5 mm",
                7 => "weeks to passive, growing, 0.014, 7 mm",
                _ => "weeks to passive, growing, 0.014, 9 mm",
            },
            published: format!("{practice} (rule of thumb)"),
            model: format!("{quarter:.1}; strict look {strict:.0}; {left:.1} mm left"),
            role: Role::Fitted("the quarter of the rule"),
            remark: "",
            source: "common practice, no source",
        });
    }
    assert!(misfit.sqrt() < 0.25, "against the rule of thumb: rms {}", misfit.sqrt());
}

fn trial_rows(rows: &mut Vec<Row>) {
    // The trial does not give its starts; those of another on the same wire were 5.3 and 7.9 mm (Sandhu 2012).
    let lost: Vec<f64> = (0..ARCHES)
        .map(|seed| {
            let index = if seed % 2 == 0 { 5.3 } else { 7.9 };
            index - trial::index_after(&trial::arch(seed + 20_000, index, &["niti-16"]), 42.0)
        })
        .collect();
    let lost = trial::median(lost);
    assert!((2.0..=3.4).contains(&lost), "Piers 2019: {lost}");
    rows.push(Row {
        what: "irregularity lost in 6 weeks on 0.016, mm",
        published: "3.2 / 2.2 (sd 1.9 / 1.4)".to_owned(),
        model: format!("{lost:.1} (starts 5.3 and 7.9 mm, assumed)"),
        role: Role::Fitted("k"),
        remark: "starts as in Sandhu 2012, whose patients were 12 to 18; age not in the abstract",
        source: "Piers 2019; Sandhu 2012",
    });
    let starts = [3.0, 4.0, 4.7, 5.5, 7.0];
    let mut aligned = Vec::new();
    let mut early = Vec::new();
    for seed in 0..ARCHES {
        let index = starts[seed as usize % starts.len()];
        let course = trial::arch(seed + 30_000, index, &["niti-16", "niti-18x25"]);
        let visit = (1..=14).map(|n| 28.0 * f64::from(n));
        aligned.push(
            visit.into_iter().find(|d| trial::index_after(&course, *d) < 1.0).unwrap_or(392.0),
        );
        let (at8, at16) = (trial::index_after(&course, 56.0), trial::index_after(&course, 112.0));
        early.push((index - at8) / (index - at16).max(0.1));
    }
    let mean = aligned.iter().sum::<f64>() / aligned.len() as f64;
    assert!((80.0..=180.0).contains(&mean), "Pandis 2007, 2009: {mean}");
    rows.push(Row {
        what: "days until a lower arch is aligned (index under 1), 4-week visits",
        published: "91 to 129, mean 114".to_owned(),
        model: format!("{mean:.0} (starts 3 to 7 mm, assumed)"),
        role: Role::Fitted("k"),
        remark: "13 to 14 years on average, from memory; ages not in the abstracts",
        source: "Pandis 2007; Pandis 2009",
    });
    let early = trial::median(early);
    assert!(early > 0.5, "Prog Orthod 2019: {early}");
    rows.push(Row {
        what: "share of 16 weeks' reduction that comes before week 8",
        published: "most".to_owned(),
        model: format!("{:.0} %", 100.0 * early),
        role: Role::Tested,
        remark: "another sequence of wires; adolescents",
        source: "Prog Orthod 2019",
    });
}

/// Both tables: what was fitted is not among what was tested.
fn tables(rows: &[Row]) -> String {
    let mut text =
        String::from("Set on these, so agreement shows no more than that the fit is one:\n\n");
    text.push_str(
        "| fitted | published | model | what was set | source |\n|---|---|---|---|---|\n",
    );
    for row in rows {
        let Row { what, published, model, role, source, .. } = row;
        if let Role::Fitted(parameter) = role {
            let model = remarked(model, row.remark);
            let _ = writeln!(text, "| {what} | {published} | {model} | {parameter} | {source} |");
        }
    }
    text.push_str("\nNothing was set on these:\n\n");
    text.push_str("| tested | published | model | source |\n|---|---|---|---|\n");
    for row in rows.iter().filter(|row| row.role == Role::Tested) {
        let Row { what, published, model, source, .. } = row;
        let model = remarked(model, row.remark);
        let _ = writeln!(text, "| {what} | {published} | {model} | {source} |");
    }
    text
}

fn remarked(model: &str, remark: &str) -> String {
    if remark.is_empty() { model.to_owned() } else { format!("{model}: {remark}") }
}

#[test]
fn the_tables_of_checks_are_fresh() {
    let mut rows = Vec::new();
    law_rows(&mut rows);
    bite_rows(&mut rows);
    crowding_rows(&mut rows);
    trial_rows(&mut rows);
    let table = tables(&rows);
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/course.md");
    let text = std::fs::read_to_string(&path).unwrap();
    for source in rows.iter().flat_map(|row| row.source.split("; ")) {
        assert!(
            source.starts_with("common practice") || text.contains(&format!("\n- **{source}**: ")),
            "{source} has no citation under Sources"
        );
    }
    let (begin, end) =
        ("<!-- checks: made by tests/course_docs.rs -->\n", "<!-- end of checks -->");
    let from = text.find(begin).expect("the mark of the table") + begin.len();
    let to = from + text[from..].find(end).expect("the end of the table");
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, format!("{}{table}{}", &text[..from], &text[to..])).unwrap();
    } else {
        assert_eq!(&text[from..to], table, "stale: run with UPDATE_DOCS=1");
    }
}

/// A key of a list that the reader does not have is no source: pages and comments give citations.
#[test]
fn no_page_gives_a_key_for_a_source() {
    let mut found = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for folder in ["docs", "src", "tests", "examples", "pdf/src"] {
        keys(&root.join(folder), &mut found);
    }
    assert!(found.is_empty(), "keys for sources: {found:#?}");
}

/// Words such as V05, A12 or K05 in pages and sources: the letters of the lists that figures came from.
fn keys(folder: &Path, found: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            keys(&path, found);
            continue;
        }
        // This file names some.
        let read = path.extension().is_some_and(|e| e == "rs" || e == "md" || e == "py")
            && !path.ends_with("course_docs.rs");
        for line in
            read.then(|| std::fs::read_to_string(&path).unwrap()).iter().flat_map(|t| t.lines())
        {
            let words = line.split(|c: char| !c.is_ascii_alphanumeric());
            let is_key = |word: &str| matches!(word.as_bytes(), [b'V' | b'A' | b'K' | b'F', a, b] if a.is_ascii_digit() && b.is_ascii_digit());
            if words.into_iter().any(is_key) {
                found.push(format!("{}: {line}", path.display()));
            }
        }
    }
}
