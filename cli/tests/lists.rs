//! Lists of a practice, two versions compared, and what shells and manuals need, through the real
//! program.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command as Tool;

use assert_cmd::Command;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

fn springline(args: &[&str]) -> Command {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("springline");
    command.current_dir(examples()).args(args).env("SPRINGLINE_TODAY", "2026-11-25");
    command
}

fn said(args: &[&str], code: i32) -> String {
    let assert = springline(args).assert().code(code);
    String::from_utf8(assert.get_output().stdout.clone()).expect("UTF-8")
}

const CASE: &str = "cases/sm-0417-lateral-blocked-out.spring";

#[test]
fn the_practice_in_every_format() {
    let all = said(&["practice", "all", "cases"], 0);
    let order = [
        "Open findings",
        "patients",
        "Tray set-up",
        "Stock needed",
        "Overdue",
        "Departures from the usual",
        "Unused wires",
    ];
    let places: Vec<usize> = order
        .iter()
        .map(|part| all.find(part).unwrap_or_else(|| panic!("{part}: {all}")))
        .collect();
    assert!(places.is_sorted(), "findings first, then the day: {places:?}");
    let json: serde_json::Value =
        serde_json::from_str(&said(&["practice", "stock", CASE, "--format", "json"], 0))
            .expect("JSON");
    assert_eq!(json["schema"], "springline.practice/1");
    assert!(
        json["stock"]["items"].as_array().is_some_and(|i| !i.is_empty()) && json["day"].is_null()
    );
    let csv = said(&["practice", "departures", CASE, "--format", "csv"], 0);
    assert!(csv.starts_with("Chart,Arch,Step,Departure,Reason,Note\r\n"), "{csv}");
    assert!(csv.contains("SM-0417"), "{csv}");
    let html = said(&["practice", "all", CASE, "--format", "html"], 0);
    assert!(html.starts_with("<!DOCTYPE html>") && html.contains("Stock needed"));
    said(&["practice", "all", CASE, "--format", "csv"], 2);
    said(&["practice", "day", CASE, "--date", "tomorrow"], 2);
    said(&["practice", "findings", "unsafe/engaged-without-space.spring"], 1);
}

#[test]
fn two_versions_are_told_apart_in_clinical_terms() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    fs::copy(examples().join("saltmarsh.spring"), here.join("saltmarsh.spring")).expect("copied");
    let text = fs::read_to_string(examples().join(CASE)).expect("an example");
    let (old, new) = (here.join("old.spring"), here.join("new.spring"));
    fs::write(&old, &text).expect("written");
    let edited = text.replacen("width 6.5 mm, space 4 mm", "width 6.5 mm, space 5 mm", 1);
    assert_ne!(edited, text, "the example has changed: {text}");
    fs::write(&new, &edited).expect("written");
    let (old, new) = (old.to_str().expect("a path"), new.to_str().expect("a path"));
    let told = said(&["diff", old, new], 1);
    assert!(told.contains("tooth 12") && told.contains("- space: 4 mm"), "{told}");
    assert!(told.contains("+ space: 5 mm"), "{told}");
    assert_eq!(said(&["diff", old, old], 0).trim_end(), "SM-0417\n  No differences.");
    let json: serde_json::Value =
        serde_json::from_str(&said(&["diff", old, new, "--format", "json"], 1)).expect("JSON");
    assert_eq!(json["schema"], "springline.diff/1");
    fs::write(new, format!("// a comment\n{text}")).expect("written");
    assert!(said(&["diff", old, new], 0).contains("only layout or comments differ"));
    said(&["diff", old], 2);
}

#[test]
fn git_shows_plans_through_it() {
    let Ok(version) = Tool::new("git").arg("--version").output() else {
        assert!(std::env::var_os("SPRINGLINE_DEMAND_TOOLS").is_none(), "git is missing");
        eprintln!("skipped: git is not installed");
        return;
    };
    assert!(version.status.success());
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    let program = assert_cmd::cargo::cargo_bin!("springline");
    let git = |args: &[&str]| {
        let name = ["-c", "user.name=x", "-c", "user.email=x@example.invalid"];
        let mut tool = Tool::new("git");
        let out = tool.current_dir(here).args(name).args(args).output().expect("git");
        assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
        String::from_utf8_lossy(&out.stdout).into_owned()
    };
    fs::copy(examples().join("saltmarsh.spring"), here.join("saltmarsh.spring")).expect("copied");
    fs::create_dir(here.join("cases")).expect("made");
    let case = here.join("cases/a.spring");
    let text = fs::read_to_string(examples().join(CASE)).expect("an example");
    fs::write(&case, &text).expect("written");
    fs::write(here.join(".gitattributes"), "*.spring diff=springline\n").expect("written");
    git(&["init", "-q"]);
    git(&["config", "diff.springline.command", &format!("'{}' diff", program.display())]);
    git(&["add", "."]);
    git(&["commit", "-q", "-m", "plan"]);
    fs::write(&case, text.replacen("width 6.5 mm, space 4 mm", "width 6.5 mm, space 5 mm", 1))
        .expect("written");
    let shown = git(&["diff"]);
    assert!(shown.contains("Upper, tooth 12") && shown.contains("+ space: 5 mm"), "{shown}");
    let staged = here.join("cases/b.spring");
    fs::write(&staged, &text).expect("written");
    git(&["add", "."]);
    assert!(git(&["diff", "--cached"]).contains("new plan"));
}

#[test]
fn the_formatter_shows_what_it_would_do() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.spring");
    let text = "springline 1\ncase   \"A-1\"\n";
    fs::write(&path, text).expect("written");
    let shown = said(&["fmt", "--diff", path.to_str().expect("a path")], 1);
    assert!(shown.contains("-case   \"A-1\"") && shown.contains("+case \"A-1\""), "{shown}");
    assert_eq!(fs::read_to_string(&path).expect("there"), text, "nothing is written");
}

#[test]
fn shells_and_manuals_know_every_command() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let text = said(&["completions", shell], 0);
        assert!(text.contains("verify-print") && text.contains("practice"), "{shell}");
    }
    let page = said(&["man"], 0);
    assert!(page.contains(".TH springline 1") && page.contains("schedule"), "{page}");
    let folder = tempfile::tempdir().expect("a folder");
    let to = folder.path().join("man");
    said(&["man", "--to", to.to_str().expect("a path")], 0);
    let page = fs::read_to_string(to.join("springline-bench.1")).expect("a page a command");
    assert!(page.contains("ceiling") || page.contains("span"), "{page}");
}

#[test]
fn the_schedule_as_fhir() {
    let text = said(&["schedule", CASE, "--format", "fhir"], 0);
    let bundle: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let entries = bundle["entry"].as_array().expect("entries");
    assert_eq!(entries[0]["resource"]["resourceType"], "CarePlan");
    assert!(entries.len() > 2, "{text}");
    for entry in &entries[1..] {
        let resource = &entry["resource"];
        assert_eq!(resource["resourceType"], "Appointment");
        // Invariant app-3: only proposed or cancelled ones may be without start and end.
        assert_eq!(resource["status"], "proposed");
        let url = entry["fullUrl"].as_str().expect("a URL");
        let named = entries[0]["resource"]["activity"].to_string();
        assert!(named.contains(url), "the plan names {url}");
    }
    assert_eq!(said(&["schedule", CASE, "--format", "fhir"], 0), text, "the same names every time");
    // Each resource against the published definitions, as the npm package `fhir` holds them.
    let Some(out) = validated(
        &text,
        r#"
        const { Fhir } = require('fhir');
        const bundle = JSON.parse(require('fs').readFileSync(process.argv[1], 'utf8'));
        const fhir = new Fhir();
        const all = [bundle].concat(bundle.entry.map(e => e.resource));
        const told = all.flatMap(r => fhir.validate(r).messages);
        const bad = told.filter(m => m.severity === 'error' || m.severity === 'fatal');
        console.log(JSON.stringify(bad));
        "#,
    ) else {
        return;
    };
    assert_eq!(out.trim(), "[]");
    // The validator does find what is wrong.
    let wrong = text.replacen("\"intent\": \"plan\"", "\"intent\": \"dinner\"", 1);
    assert_ne!(wrong, text);
    let out = validated(
        &wrong,
        r#"
        const { Fhir } = require('fhir');
        const bundle = JSON.parse(require('fs').readFileSync(process.argv[1], 'utf8'));
        console.log(new Fhir().validate(bundle.entry[0].resource).valid);
        "#,
    );
    assert_eq!(out.expect("node is there").trim(), "false");
}

/// SARIF 2.1.0, its schema as OASIS publishes it (kept in `tests/schemas`). One of its patterns is none
/// in the newer reading of expressions, hence `unicodeRegExp: false`.
#[test]
fn sarif_keeps_to_its_schema() {
    for (folder, code) in [("unsafe", 1), ("cases", 0)] {
        let text = said(&["check", folder, "--format", "sarif"], code);
        let schema = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas/sarif-2.1.0.json");
        let script = format!(
            r#"
            const Ajv = require('ajv').default;
            const fs = require('fs');
            const ajv = new Ajv({{ strict: false, allErrors: true, unicodeRegExp: false }});
            require('ajv-formats').default(ajv);
            const check = ajv.compile(JSON.parse(fs.readFileSync({:?}, 'utf8')));
            const log = JSON.parse(fs.readFileSync(process.argv[1], 'utf8'));
            check(log);
            console.log(JSON.stringify((check.errors || []).slice(0, 10)));
            "#,
            schema.display().to_string()
        );
        let Some(out) = validated(&text, &script) else { return };
        assert_eq!(out.trim(), "[]", "{folder}");
        let wrong = text.replacen("\"version\": \"2.1.0\"", "\"version\": \"9\"", 1);
        assert_ne!(validated(&wrong, &script).expect("node is there").trim(), "[]");
    }
}

/// What a script of node says to a text. `SPRINGLINE_VALIDATORS` names a folder whose node_modules
/// hold `fhir`, `ajv` and `ajv-formats`; without it the part is skipped, and said so.
fn validated(text: &str, script: &str) -> Option<String> {
    let Some(folder) = std::env::var_os("SPRINGLINE_VALIDATORS") else {
        let demanded = std::env::var_os("SPRINGLINE_DEMAND_TOOLS").is_some();
        assert!(!demanded, "SPRINGLINE_VALIDATORS is not set");
        eprintln!("skipped: SPRINGLINE_VALIDATORS names no folder with validators");
        return None;
    };
    // A file, not a pipe: node reads a pipe of this size in pieces, and may find it empty in between.
    let mut file = tempfile::NamedTempFile::new().expect("a file");
    use std::io::Write as _;
    file.write_all(text.as_bytes()).expect("written");
    let out = Tool::new("node")
        .current_dir(folder)
        .args(["-e", script])
        .arg(file.path())
        .output()
        .expect("node runs");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    Some(String::from_utf8_lossy(&out.stdout).into_owned())
}

/// Whatever gives a figure of the model says that it is one, in every format.
#[test]
fn every_output_says_that_its_figures_are_estimates() {
    const OUTPUTS: &[&str] = &[
        "check CASE",
        "check CASE --format json",
        "check unsafe/engaged-without-space.spring --format jsonl",
        "check CASE --format sarif",
        "check CASE --format junit",
        "forces CASE --no-bands",
        "forces CASE --no-bands --format json",
        "forces CASE --no-bands --format csv",
        "course CASE",
        "course CASE --format json",
        "course CASE --format csv",
        "course CASE --format svg",
        "schedule CASE",
        "schedule CASE --format json",
        "schedule CASE --format csv",
        "schedule CASE --format ics",
        "schedule CASE --format fhir",
        "chart --house saltmarsh.spring niti-14",
        "chart --house saltmarsh.spring niti-14 --format svg",
        "chart --house saltmarsh.spring niti-14 --format json",
        "chart --house saltmarsh.spring niti-14 --format csv",
        "practice all CASE",
        "practice all CASE --format json",
        "practice all CASE --format html",
        "practice stock CASE --format csv",
        "practice steps CASE --format jsonl",
        "practice steps CASE --format csv",
        "diff CASE cases/sm-0410-both-arches.spring",
        "diff CASE cases/sm-0410-both-arches.spring --format json",
        "learn year",
        "learn year --format json",
        "learn year --format svg",
        "explain force/peak",
        "explain sustained",
        "forces --help",
        "man",
        "--help",
    ];
    let mut silent = Vec::new();
    for output in OUTPUTS {
        let line = output.replace("CASE", CASE);
        let args: Vec<&str> = line.split(' ').collect();
        let made = springline(&args).output().expect("run");
        let text = String::from_utf8(made.stdout).expect("UTF-8");
        // A calendar and a help break their lines.
        let unfolded = text.replace("\r\n ", "").split_whitespace().collect::<Vec<_>>().join(" ");
        if !unfolded.to_lowercase().contains("estimates of a model") {
            silent.push(format!("{output}: {}", text.chars().take(200).collect::<String>()));
        }
    }
    assert!(silent.is_empty(), "{}", silent.join("\n"));
}

/// A build server may apply what SARIF calls a fix: what changes the plan is for the doctor.
#[test]
fn sarif_gives_no_clinical_change_as_a_fix() {
    let text = said(&["check", "unsafe", "--format", "sarif"], 1);
    let log: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let results = log["runs"][0]["results"].as_array().expect("results");
    let choices = results.iter().filter(|r| r["properties"]["forTheDoctorToChoose"].is_array());
    assert!(choices.count() > 0, "{text}");
    for result in results {
        let code = result["ruleId"].as_str().expect("a rule");
        let about_text = ["syntax/", "name/", "unit/"].iter().any(|f| code.starts_with(f));
        assert!(about_text || result["fixes"].is_null(), "{code}: {}", result["fixes"]);
    }
}
