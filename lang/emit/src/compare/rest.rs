//! Comparison of everything else in a plan. Statements without a wording of their own are listed by
//! keyword, so that no change is omitted.

use serde_json::Value;

use super::{Change, differ};
use crate::plan::Plan;
use crate::wording;
use springline_model::Case;
use springline_model::case::{ElasticRun, Elastics, Visit, say_overjet};
use springline_units::quantity::{mm, plain};
use springline_units::tooth::Notation;

pub fn head(old: &Plan<'_>, new: &Plan<'_>) -> Vec<Change> {
    let mut out = Vec::new();
    let mut told = |what: &str, of: &dyn Fn(&Case) -> Option<String>| {
        differ("Case", what, of(old.case), of(new.case), &mut out);
    };
    told("chart", &|c| Some(c.chart.clone()));
    told("doctor", &|c| c.doctor.as_deref().map(str::to_owned));
    told("start", &|c| c.start.as_ref().map(|(d, _)| d.to_string()));
    told("in place since", &|c| c.in_place.as_ref().map(|i| i.on.to_string()));
    told("patient", &|c| Some(format!("{:?}", c.growth).to_lowercase()));
    told("age", &|c| c.age.map(|(years, _)| format!("{years} years")));
    told("overjet", &|c| c.bite.overjet.map(|(jet, _)| say_overjet(jet.mm())));
    told("overbite", &|c| c.bite.overbite.map(|(l, _)| format!("{} mm", plain(mm(l)))));
    let house = |p: &Plan<'_>| (p.stamp.house.clone(), p.house().title.clone());
    if house(old) != house(new) {
        let name = |p: &Plan<'_>| Some(format!("{}, {}", p.house().title, short(&p.stamp.house)));
        differ("Case", "practice file", name(old), name(new), &mut out);
    }
    out
}

fn short(fingerprint: &str) -> &str {
    fingerprint.get(..12).unwrap_or(fingerprint)
}

pub fn changes(old: &Plan<'_>, new: &Plan<'_>) -> Vec<Change> {
    let mut out = Vec::new();
    elastics(&old.case.elastics, &new.case.elastics, new.notation(), &mut out);
    visits(old.case, new.case, &mut out);
    accepts(old.case, new.case, &mut out);
    out
}

fn elastics(old: &[Elastics], new: &[Elastics], n: Notation, out: &mut Vec<Change>) {
    let rows = |all: &[Elastics]| -> Vec<(String, String)> {
        let each = all.iter().flat_map(|e| {
            let from =
                e.from.as_ref().map(|(s, _, _)| format!(", from step {s}")).unwrap_or_default();
            let until = e.until.as_ref().map(|(c, _)| format!(", until {}", c.text));
            let step = e.until_step.as_ref().map(|(s, _)| format!(", until step {s}"));
            let until = until.or(step).unwrap_or_default();
            let longest =
                e.longest.as_ref().map(|(t, _)| format!(", {} at most", crate::dates::period(*t)));
            let longest = longest.unwrap_or_default();
            e.runs.iter().map(move |r| {
                let at = format!("Elastics {}, {}", e.kind.word(), r.side);
                (at, format!("{}{from}{until}{longest}", run(r, n)))
            })
        });
        each.collect()
    };
    let (a, b) = (rows(old), rows(new));
    let find = |rows: &[(String, String)], at: &str| {
        rows.iter().find(|(name, _)| name == at).map(|(_, text)| text.clone())
    };
    for (at, text) in &a {
        if find(&b, at).is_none() {
            differ(at, "worn", Some(text.clone()), None, out);
        }
    }
    for (at, text) in &b {
        differ(at, "worn", find(&a, at), Some(text.clone()), out);
    }
}

fn run(run: &ElasticRun, n: Notation) -> String {
    let teeth: Vec<String> = run.teeth.iter().map(|t| t.write(n)).collect();
    format!(
        "{}, {}, {} h",
        teeth.join(" to "),
        wording::elastic(&run.elastic),
        plain(run.hours_a_day)
    )
}

/// Records are added at the end; a record changed afterwards is reported too.
fn visits(old: &Case, new: &Case, out: &mut Vec<Change>) {
    let find = |case: &Case, v: &Visit| case.visits.iter().find(|o| o.on == v.on).cloned();
    for visit in &old.visits {
        if find(new, visit).is_none() {
            differ("Record", "visit", Some(visit.on.to_string()), None, out);
        }
    }
    for visit in &new.visits {
        match find(old, visit) {
            None => differ("Record", "visit", None, Some(visit.on.to_string()), out),
            Some(before) if bare(&before) != bare(visit) => {
                let (a, b) = (format!("{} before", visit.on), format!("{} now", visit.on));
                differ("Record", "changed since", Some(a), Some(b), out);
            }
            Some(_) => {}
        }
    }
}

fn accepts(old: &Case, new: &Case, out: &mut Vec<Change>) {
    let rows = |case: &Case| -> Vec<String> {
        let row = |a: &springline_model::case::Accept| {
            let up_to = a.up_to.as_ref().map(|q| format!(" up to {q}")).unwrap_or_default();
            format!("{}{up_to} because {} ({})", a.code, a.reason, a.by)
        };
        case.accepts.iter().map(row).collect()
    };
    let (a, b) = (rows(old), rows(new));
    for text in a.iter().filter(|t| !b.contains(t)) {
        differ("Case", "accepted", Some(text.clone()), None, out);
    }
    for text in b.iter().filter(|t| !a.contains(t)) {
        differ("Case", "accepted", None, Some(text.clone()), out);
    }
}

/// Fields of the case that have lines of their own; places move with every line.
const CASE_TOLD: [&str; 10] = [
    "chart",
    "chart_place",
    "house",
    "doctor",
    "start",
    "growth",
    "arches",
    "elastics",
    "visits",
    "accepts",
];
/// The same of an arch.
const ARCH_TOLD: [&str; 9] =
    ["arch", "place", "bonded", "states", "stands", "hooks", "follows", "steps", "unread"];

/// Parts that no other comparison covers: every field that is not listed above, so that a new one is
/// never left out.
pub fn also(old: &Plan<'_>, new: &Plan<'_>) -> Vec<String> {
    let (a, b) = (bare(old.case), bare(new.case));
    let mut out = Vec::new();
    for key in fields(&b, &CASE_TOLD) {
        // Overjet and overbite have lines of their own.
        let part = |case: &Value| {
            let mut part = case[key].clone();
            if let (Some(object), true) = (part.as_object_mut(), key == "bite") {
                object.remove("overjet");
                object.remove("overbite");
            }
            part
        };
        if part(&a) != part(&b) {
            out.push(in_words(key, "spaces held and records"));
        }
    }
    for arch in ["upper", "lower"] {
        let find =
            |case: &Value| case["arches"].as_array()?.iter().find(|x| x["arch"] == arch).cloned();
        let (Some(x), Some(y)) = (find(&a), find(&b)) else { continue };
        for key in fields(&y, &ARCH_TOLD).filter(|key| x[*key] != y[*key]) {
            out.push(format!("{arch} {}", in_words(key, "spaces held")));
        }
    }
    out
}

fn fields<'v>(value: &'v Value, told: &'static [&'static str]) -> impl Iterator<Item = &'v str> {
    let keys = value.as_object().into_iter().flat_map(|o| o.keys()).map(String::as_str);
    keys.filter(|key| !told.contains(key))
}

/// A field as a person would call it; `extras` are called by what they are there.
fn in_words(field: &str, extras: &str) -> String {
    match field {
        "missed" => "missed visits".to_owned(),
        "form" => "arch form".to_owned(),
        "skipped" => "steps left out".to_owned(),
        "in_place" => "what was in place".to_owned(),
        "reading" => "measured points".to_owned(),
        "extras" => extras.to_owned(),
        other => other.replace('_', " "),
    }
}

/// As data without the places in the text, which move with every line.
fn bare(value: &impl serde::Serialize) -> Value {
    let mut value = serde_json::to_value(value).unwrap_or_default();
    strip(&mut value);
    value
}

fn strip(value: &mut Value) {
    match value {
        Value::Object(map)
            if map.len() == 2 && map.contains_key("file") && map.contains_key("span") =>
        {
            *value = Value::Null;
        }
        Value::Object(map) => map.values_mut().for_each(strip),
        Value::Array(items) => items.iter_mut().for_each(strip),
        _ => {}
    }
}
