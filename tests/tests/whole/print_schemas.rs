//! Every JSON output keeps to its published schema in `lang/docs/schemas`.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::civil::date;
use serde::Serialize;
use serde_json::Value;
use springline_emit::practice::steps::PracticeStepRow;
use springline_emit::tables;
use springline_emit::tables::{chart, course, forces, schedule};
use springline_emit::{Plan, PrintStamp, beside, compare, findings, practice, spreadsheet};
use springline_lang::course::learn;
use springline_lang::course::on_demand;
use springline_lang::{CheckOptions, Checked, SourceText, check};
use springline_test_support::{Practices, example};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

const TODAY: jiff::civil::Date = date(2026, 11, 25);

fn checked(path: &str) -> Checked {
    let text = example(path).into();
    let source = SourceText { name: path.to_owned(), text };
    check(&source, &Practices::saltmarsh(), &CheckOptions { today: Some(TODAY) })
}

/// How a schema says that a text is a date.
const DATE: &str = r"^\d{4}-\d{2}-\d{2}$";

/// Holds a value against the part of JSON Schema that ours use; gives what is wrong and where.
fn faults(schema: &Value, root: &Value, value: &Value, at: &str, out: &mut Vec<String>) {
    if let Some(name) = schema["$ref"].as_str() {
        let part = name.strip_prefix('#').and_then(|p| root.pointer(p));
        return faults(part.expect("a known part"), root, value, at, out);
    }
    if let Some(choices) = schema["anyOf"].as_array() {
        let fits = choices.iter().any(|c| {
            let mut own = Vec::new();
            faults(c, root, value, at, &mut own);
            own.is_empty()
        });
        if !fits {
            out.push(format!("{at}: fits none of its choices: {value}"));
        }
        return;
    }
    if let Some(constant) = schema.get("const")
        && constant != value
    {
        out.push(format!("{at}: {value} is not {constant}"));
    }
    if let Some(choices) = schema["enum"].as_array()
        && !choices.contains(value)
    {
        out.push(format!("{at}: {value} is not among {choices:?}"));
    }
    let fits = |kind: &str| match kind {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.is_u64() || value.is_i64(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        other => panic!("unknown type {other}"),
    };
    let fits = match &schema["type"] {
        Value::String(kind) => fits(kind),
        Value::Array(kinds) => kinds.iter().filter_map(Value::as_str).any(fits),
        _ => true,
    };
    if !fits {
        out.push(format!("{at}: {value} is no {}", schema["type"]));
        return;
    }
    if let Some(pattern) = schema["pattern"].as_str() {
        let text = value.as_str().unwrap_or_default();
        if !regex_lite::Regex::new(pattern).expect("a pattern").is_match(text) {
            out.push(format!("{at}: {text} is not written as {pattern}"));
        }
        // A day that no calendar has is written like a date too.
        if pattern == DATE && text.parse::<jiff::civil::Date>().is_err() {
            out.push(format!("{at}: {text} is no date"));
        }
    }
    if let (Some(properties), Some(object)) = (schema["properties"].as_object(), value.as_object())
    {
        for name in schema["required"].as_array().into_iter().flatten() {
            if !object.contains_key(name.as_str().unwrap_or_default()) {
                out.push(format!("{at}: {name} is missing"));
            }
        }
        for (name, inner) in object {
            match properties.get(name) {
                Some(part) => faults(part, root, inner, &format!("{at}.{name}"), out),
                None => out.push(format!("{at}: {name} is not in the schema")),
            }
        }
    }
    if let (Some(items), Some(values)) = (schema.get("items"), value.as_array()) {
        for (i, inner) in values.iter().enumerate() {
            faults(items, root, inner, &format!("{at}[{i}]"), out);
        }
    }
}

fn keeps_to(name: &str, value: &impl Serialize) {
    let path = root().join("lang/docs/schemas").join(format!("{name}.json"));
    let schema: Value =
        serde_json::from_str(&fs::read_to_string(path).expect("a schema")).expect("JSON");
    let value = serde_json::to_value(value).expect("JSON");
    let mut out = Vec::new();
    faults(&schema, &schema, &value, "$", &mut out);
    assert!(out.is_empty(), "{name}:\n{}", out[..out.len().min(20)].join("\n"));
}

#[test]
fn every_json_output_keeps_to_its_schema() {
    let stamp = PrintStamp {
        case: "1".into(),
        house: "2".into(),
        tool: "springline".into(),
        printed: TODAY,
    };
    let files = [
        "cases/sm-0417-lateral-blocked-out.spring",
        "cases/sm-0377-light-class-2.spring",
        "unsafe/several-faults.spring",
        "unsafe/a-person-in-a-note.spring",
    ];
    let all: Vec<Checked> = files.iter().map(|f| checked(f)).collect();
    let refs: Vec<&Checked> = all.iter().collect();
    keeps_to("findings", &findings::json::report(&refs));
    let line = |line: &str| serde_json::from_str::<Value>(line).expect("JSON");
    for one in &all {
        let findings = findings::rows::lines(one);
        assert_eq!(findings.lines().count(), one.findings.len());
        findings.lines().for_each(|l| keeps_to("finding-row", &line(l)));
        for row in practice::steps::step_rows(one.course(), &one.findings, one.may_print()) {
            keeps_to("step-row", &line(&practice::steps::line(&row)));
            let columns = |text: &str| text.trim_end().split(',').count();
            assert_eq!(
                columns(&spreadsheet::head::<PracticeStepRow>()),
                columns(&spreadsheet::rows(&row))
            );
        }
    }
    let plans: Vec<Plan<'_>> =
        all.iter().filter_map(|c| Plan::of(c.course(), &c.findings, TODAY, &stamp)).collect();
    for plan in &plans {
        keeps_to("schedule", &schedule::schedule(plan));
        keeps_to("course", &course::course(plan));
        keeps_to("forces", &forces::forces(plan, |phase| on_demand::phase_figures(phase, false)));
    }
    let house = plans.first().expect("a plan").house();
    let wires: Vec<_> = house.wires.values().take(3).cloned().collect();
    keeps_to("chart", &chart::chart(&on_demand::bench(house, &wires, None, 3.0)));
    let visit = plans.iter().find_map(|p| p.coming().next()).expect("a visit to come").1;
    let cases: Vec<_> = plans.iter().map(|p| p.case).collect();
    let learning = learn::learn(&cases, Some(TODAY));
    let read = tables::learn::CaseCounts { cases: cases.len(), with_visits: cases.len() };
    keeps_to("learn", &tables::learn::learn(&learning, house, read, TODAY));
    keeps_to("practice", &practice::day_sheet(&plans, visit.date));
    keeps_to("practice", &practice::pull_list(&plans, TODAY, date(2027, 2, 28)));
    let days = practice::OverviewDays { today: TODAY, day: visit.date, until: date(2027, 2, 28) };
    keeps_to("practice", &practice::overview(&plans, days, &practice::Ask::ALL));
    keeps_to("practice", &practice::overview(&plans, days, &[practice::Ask::Overdue]));
    keeps_to("measured", &measured());
    let comparison = compare::compare(&plans[0], &plans[1]);
    assert!(!comparison.changes.is_empty() && !comparison.dates.is_empty());
    keeps_to("diff", &comparison);
    let both = beside::beside([("a.spring", &plans[0]), ("b.spring", &plans[1])]);
    assert!(both.rows.iter().any(|row| row.part == "Wires"));
    keeps_to("compare", &both);
}

/// Both arches of a made scan.
fn measured() -> tables::measured::MeasuredTable {
    let path = root().join("lang/measure/tests/points/both-arches.csv");
    let text = fs::read_to_string(path).expect("points");
    let (points, _) = springline_measure::read_csv(springline_lang::text::FileId(0), &text);
    let fitted = springline_measure::FormToLay::FittedCatenary;
    let options = springline_measure::MeasureOptions {
        upper: fitted,
        lower: fitted,
        loss: springline_measure::FitLoss::Cauchy,
        in_line: Vec::new(),
        error_mm: 0.2,
        anatomy: springline_measure::MeasureAnatomy::default(),
    };
    let (read, findings) = springline_measure::measure_points(&points.expect("points"), &options);
    let prints = [("both.csv".to_owned(), "7c1e09b2".to_owned())];
    let table = tables::measured::measured(&read, &prints, 0.2, &findings, |_| "fitted".to_owned());
    assert!(table.arches.len() == 2 && !table.both.is_empty());
    table
}

#[test]
fn a_draft_keeps_to_its_schema() {
    use springline_lang::Checker;
    use springline_lang::draft::{CaseDraftRequest, DRAFT_CAUTION, DraftDocument, DraftStage};
    use springline_lang::units::tooth::Arch;
    let source = SourceText {
        name: "cases/sm-0392-mild-crowding.spring".to_owned(),
        text: example("cases/sm-0392-mild-crowding.spring").into(),
    };
    let options = CheckOptions { today: Some(TODAY) };
    let arches = vec![Arch::Lower, Arch::Upper];
    let request = CaseDraftRequest { arches, with: None };
    let of = |practices: &Practices| {
        let mut left = 40;
        let mut go_on = |_: DraftStage, _: usize| {
            left -= 1;
            left > 0
        };
        let draft = Checker::new().draft_case(&source, &request, practices, &options, &mut go_on);
        let document = DraftDocument::new(&source.name, &draft, "");
        assert_eq!(document.note, DRAFT_CAUTION);
        keeps_to("draft", &document);
        draft.arches.iter().filter(|(_, d)| d.is_ok()).count()
    };
    assert!(of(&Practices::saltmarsh()) > 0);
    assert_eq!(of(&Practices::of("springline 1\npractice \"Bare\"\n")), 0);
    let list = "sequence light {\n  step align, wire niti-12, ends turned-in slack 2 mm, until passive, next computed\n  \
                step work, wire steel-19x25, ends turned-in slack 1 mm, until doctor-decides, next 6 wk\n}\n";
    let among = Checker::new().draft_among(
        &source,
        Arch::Lower,
        list,
        &Practices::saltmarsh(),
        &options,
        &mut |_, _| true,
    );
    keeps_to("draft", &DraftDocument::among(&source.name, &[(Arch::Lower, among)]));
}

#[test]
fn a_value_unlike_its_schema_is_noticed() {
    let schema = serde_json::json!({
        "type": "object", "properties": { "a": { "type": "integer" } }, "required": ["a"],
        "additionalProperties": false,
    });
    for wrong in
        [serde_json::json!({}), serde_json::json!({"a": "x"}), serde_json::json!({"a": 1, "b": 2})]
    {
        let mut out = Vec::new();
        faults(&schema, &schema, &wrong, "$", &mut out);
        assert_eq!(out.len(), 1, "{wrong}");
    }
}

/// A number behind the name of every machine-readable form: a schema that lost it could change without
/// anybody noticing.
#[test]
fn every_schema_states_its_version() {
    let folder = root().join("lang/docs/schemas");
    let mut seen = 0;
    for entry in fs::read_dir(folder).expect("the schemas").flatten() {
        let text = fs::read_to_string(entry.path()).expect("a schema");
        let schema: Value = serde_json::from_str(&text).expect("JSON");
        let stem = entry.path().file_stem().expect("a name").to_string_lossy().into_owned();
        let stated = text.contains(&format!("\"const\": \"springline.{stem}/1\""));
        assert!(stated, "{stem}: its version is not among its properties: {}", schema["title"]);
        seen += 1;
    }
    assert!(seen >= 10, "only {seen} schemas");
}
