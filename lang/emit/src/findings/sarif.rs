//! Findings as SARIF 2.1.0 (OASIS), for code hosts and build servers.
//!
//! Only what the format asks for and readers show is written; a test validates it against the
//! published schema.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::{FilePositions, FileRegion, whole_message};
use crate::caution::CAUTION_IN_FULL;
use crate::masked;
use springline_finding::{Finding, Fix, FixKind, Severity};
use springline_finding::{FindingReport, RuleText};

const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// `version` is the tool's own; `describe` knows what each code means.
pub fn text(
    checked: &[&impl FindingReport],
    version: &str,
    describe: impl Fn(&str) -> Option<RuleText>,
) -> String {
    serde_json::to_string_pretty(&log(checked, version, describe)).unwrap_or_default() + "\n"
}

pub fn log(
    checked: &[&impl FindingReport],
    version: &str,
    describe: impl Fn(&str) -> Option<RuleText>,
) -> Value {
    let mut codes: BTreeMap<&str, Severity> = BTreeMap::new();
    for finding in checked.iter().flat_map(|c| c.findings()) {
        let worst = codes.entry(finding.code.as_str()).or_insert(finding.severity);
        *worst = (*worst).min(finding.severity);
    }
    let rules: Vec<Value> =
        codes.iter().map(|(code, worst)| rule(code, *worst, describe(code))).collect();
    let index: BTreeMap<&str, usize> = codes.keys().enumerate().map(|(i, c)| (*c, i)).collect();
    let mut results = Vec::new();
    for one in checked {
        let places = FilePositions::of(*one);
        for located in places.located() {
            let at = index.get(located.finding.code.as_str()).copied();
            results.push(result(located.finding, &located.at, at, &places));
        }
    }
    json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": {
                "name": "Springline",
                "version": version,
                "fullDescription": { "text": CAUTION_IN_FULL },
                "rules": rules,
            } },
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    })
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Advice => "note",
    }
}

fn rule(code: &str, worst: Severity, text: Option<RuleText>) -> Value {
    let mut out = json!({ "id": code, "defaultConfiguration": { "level": level(worst) } });
    if let Some(text) = text {
        out["shortDescription"] = json!({ "text": text.short });
        if let Some(full) = text.full {
            out["fullDescription"] = json!({ "text": full });
        }
        out["help"] = json!({ "text": text.help });
    }
    out
}

fn result(
    finding: &Finding,
    at: &FileRegion,
    index: Option<usize>,
    places: &FilePositions<'_>,
) -> Value {
    let mut out = json!({
        "ruleId": finding.code.as_str(),
        "level": level(finding.severity),
        "message": { "text": whole_message(finding) },
        "locations": [{ "physicalLocation": physical(at) }],
        "partialFingerprints": { "springline/v1": fingerprint(finding, at) },
    });
    if let Some(index) = index {
        out["ruleIndex"] = json!(index);
    }
    if !finding.related.is_empty() {
        // The format wants them unique, and two steps of a sequence may stand on one line.
        let mut related: Vec<Value> = Vec::new();
        for r in &finding.related {
            let location = json!({
                "physicalLocation": physical(&places.spot(r.place)),
                "message": { "text": masked(&r.message) },
            });
            if !related.contains(&location) {
                related.push(location);
            }
        }
        out["relatedLocations"] = json!(related);
    }
    // Tools may apply `fixes` without confirmation, so fixes that change the plan are only described.
    let (safe, clinical): (Vec<&Fix>, Vec<&Fix>) =
        finding.fixes.iter().partition(|f| f.kind == FixKind::Safe);
    if !safe.is_empty() {
        let fixes: Vec<Value> = safe.iter().map(|f| fix(f, places)).collect();
        out["fixes"] = json!(fixes);
    }
    let mut properties = serde_json::Map::new();
    if !clinical.is_empty() {
        let titles: Vec<String> = clinical.iter().map(|f| described(f)).collect();
        properties.insert("forTheDoctorToChoose".to_owned(), json!(titles));
    }
    if let Some(accepted) = &finding.accepted {
        out["suppressions"] = json!([{
            "kind": "inSource",
            "status": "accepted",
            "justification": format!("{} ({})", masked(&accepted.reason), masked(&accepted.by)),
            "location": { "physicalLocation": physical(&places.spot(accepted.place)) },
        }]);
    }
    if let Some(figure) = &finding.figure
        && figure.value.is_finite()
        && figure.limit.is_finite()
    {
        properties.insert("figure".to_owned(), json!(figure.value));
        properties.insert("limit".to_owned(), json!(figure.limit));
        properties.insert("unit".to_owned(), json!(figure.unit.symbol()));
    }
    if !properties.is_empty() {
        out["properties"] = Value::Object(properties);
    }
    out
}

fn fix(fix: &Fix, places: &FilePositions<'_>) -> Value {
    let mut by_file: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    for edit in &fix.edits {
        let spot = places.spot(edit.place);
        by_file.entry(uri(&spot.file)).or_default().push(json!({
            "deletedRegion": region(&spot),
            "insertedContent": { "text": masked(&edit.text) },
        }));
    }
    let changes: Vec<Value> = by_file
        .into_iter()
        .map(|(file, replacements)| {
            json!({ "artifactLocation": { "uri": file }, "replacements": replacements })
        })
        .collect();
    json!({ "description": { "text": described(fix) }, "artifactChanges": changes })
}

/// Description of a fix, with its outcome in the recomputed plan.
fn described(fix: &Fix) -> String {
    let outcome = fix.outcome.as_deref().map(|o| format!(" ({o})")).unwrap_or_default();
    masked(&format!("{}{outcome}", fix.title))
}

fn physical(spot: &FileRegion) -> Value {
    json!({ "artifactLocation": { "uri": uri(&spot.file) }, "region": region(spot) })
}

fn region(spot: &FileRegion) -> Value {
    let r = spot.region;
    json!({
        "startLine": r.start.line,
        "startColumn": r.start.column,
        "endLine": r.end.line,
        "endColumn": r.end.column,
    })
}

/// A file name as a relative reference: what RFC 3986 does not allow in a path is escaped.
fn uri(file: &str) -> String {
    let mut out = String::with_capacity(file.len());
    for byte in file.replace('\\', "/").bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => {
                out.push(char::from(byte));
            }
            other => out.push_str(&format!("%{other:02X}")),
        }
    }
    out
}

/// Stays when lines above move: code, file, teeth and step, not the position.
fn fingerprint(finding: &Finding, at: &FileRegion) -> String {
    let mut parts = vec![finding.code.as_str().to_owned(), at.file.clone()];
    parts.extend(finding.step.as_deref().map(str::to_owned));
    parts.extend(finding.teeth.iter().map(ToString::to_string));
    format!("{:016x}", fnv(parts.join("\u{1f}").as_bytes()))
}

/// FNV-1a, 64 bits: the same mark on every machine and with every compiler.
///
/// Source: Fowler, Noll, Vo; constants as in IETF draft-eastlake-fnv (value from memory).
pub(super) fn fnv(bytes: &[u8]) -> u64 {
    let step = |hash: u64, byte: &u8| (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names_become_references() {
        assert_eq!(uri("cases\\sm 0417.spring"), "cases/sm%200417.spring");
        assert_eq!(uri("caf\u{e9}"), "caf%C3%A9");
    }
}
