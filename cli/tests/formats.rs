//! Every format of every command, once, through the real program; exit codes; and what is said of
//! files that cannot be read.

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

const SOUND: &str = "cases/sm-0392-mild-crowding.spring";
const FAULTY: &str = "unsafe/inches-for-millimetres.spring";

fn springline(args: &[&str]) -> Command {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("springline");
    command.current_dir(examples()).args(args).env("SPRINGLINE_TODAY", "2026-11-25");
    command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE");
    command
}

/// What it printed, the exit code held against the one expected.
fn said(args: &[&str], code: i32) -> String {
    let assert = springline(args).assert().code(code);
    String::from_utf8(assert.get_output().stdout.clone()).expect("UTF-8")
}

fn json(text: &str) -> serde_json::Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

#[test]
fn findings_in_every_format() {
    let human = said(&["check", FAULTY], 1);
    assert!(human.contains("1 file: 1 error"), "{human}");
    assert!(human.contains("unit/"), "{human}");
    let line = said(&["check", FAULTY, "--format", "one-line"], 1);
    assert!(line.starts_with("unsafe/inches-for-millimetres.spring:"), "{line}");
    let value = json(&said(&["check", FAULTY, "--format", "json"], 1));
    assert_eq!(value["schema"], "springline.findings/1");
    assert_eq!(value["cases"][0]["may_print"], false);
    let value = json(&said(&["check", FAULTY, "--format", "sarif"], 1));
    assert_eq!(value["version"], "2.1.0");
    assert!(!value["runs"][0]["results"].as_array().expect("results").is_empty());
    let junit = said(&["check", FAULTY, "--format", "junit"], 1);
    assert!(junit.starts_with("<?xml") && junit.contains("<failure"), "{junit}");
}

#[test]
fn the_arches_are_drawn_on_any_day_and_bad_input_is_refused() {
    let of = |args: &[&str]| said(&[&["draw", SOUND], args].concat(), 0);
    let today = of(&[]);
    assert!(today.starts_with("<?xml") && today.contains("data-part=\"wire\""), "{today}");
    assert!(of(&["--entered"]).contains("As entered"));
    assert!(of(&["--from", "front"]).contains("data-part=\"wire-"));
    assert_ne!(of(&["--on", "2027-06-01"]), today);
    for (args, why) in [
        (vec!["draw", "cases"], "one case"),
        (vec!["draw", SOUND, "--on", "tomorrow-ish"], "not a date"),
        (vec!["draw", SOUND, "--entered", "--from", "front"], "from the bite only"),
    ] {
        let refused = springline(&args).assert().code(2);
        let error = String::from_utf8_lossy(&refused.get_output().stderr).into_owned();
        assert!(error.contains(why), "{error}");
    }
}

#[test]
fn the_course_in_every_format() {
    assert!(said(&["course", SOUND], 0).contains("SM-0392"));
    let value = json(&said(&["course", SOUND, "--format", "json"], 0));
    assert_eq!(value["schema"], "springline.course/1");
    assert!(said(&["course", SOUND, "--format", "csv"], 0).lines().count() > 2);
    let svg = said(&["course", SOUND, "--format", "svg"], 0);
    assert!(svg.starts_with("<?xml") && svg.trim_end().ends_with("</svg>"));
    let both = springline(&["course", "cases", "--format", "svg"]).assert().code(2);
    let error = String::from_utf8_lossy(&both.get_output().stderr).into_owned();
    assert!(error.contains("one case"), "{error}");
}

#[test]
fn the_bench_chart_in_every_format() {
    let house = ["--house", "saltmarsh.spring"];
    let chart = |format: &str| {
        said(&[&["chart", "niti-14", "steel-18", "--format", format], &house[..]].concat(), 0)
    };
    let human = chart("human");
    assert!(human.contains("niti-14") && human.contains("mm under ceiling"), "{human}");
    let dots = |c: &char| ('\u{2801}'..='\u{28ff}').contains(c);
    assert!(human.chars().filter(dots).count() > 100, "{human}");
    assert!(chart("svg").starts_with("<?xml") && chart("svg").contains("<svg"));
    assert!(chart("csv").starts_with("wire,branch,"));
    assert_eq!(json(&chart("json"))["schema"], "springline.chart/1");
}

#[test]
fn schedule_and_forces_in_every_format() {
    assert!(said(&["schedule", SOUND], 0).contains("SM-0392"));
    assert_eq!(
        json(&said(&["schedule", SOUND, "--format", "json"], 0))["schema"],
        "springline.schedule/1"
    );
    assert!(said(&["schedule", SOUND, "--format", "csv"], 0).contains(','));
    assert!(said(&["schedule", SOUND, "--format", "ics"], 0).starts_with("BEGIN:VCALENDAR"));
    let forces = |format| said(&["forces", SOUND, "--no-bands", "--format", format], 0);
    assert!(forces("human").contains("SM-0392"));
    assert_eq!(json(&forces("json"))["schema"], "springline.forces/1");
    assert!(forces("csv").contains(','));
}

#[test]
fn exit_codes_follow_the_threshold() {
    said(&["check", SOUND], 0);
    said(&["check", FAULTY], 1);
    // Sound cases have notes; with the strictest threshold these count.
    let all = said(&["check", "cases", "--format", "one-line"], 0);
    assert!(all.contains("advice["), "{all}");
    said(&["check", "cases", "--fail-on", "advice", "--format", "one-line"], 1);
    said(&["check", "no-such-folder"], 2);
}

#[test]
fn a_file_that_is_not_there_is_told_with_a_way_out() {
    let assert = springline(&["check", "casse"]).assert().code(2);
    let error = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
    assert!(error.contains("casse") && error.contains("Check the spelling"), "{error}");
    assert!(!error.contains('\u{1b}'), "no colour away from a terminal: {error:?}");
    let coloured = springline(&["check", "casse", "--color", "always"]).assert().code(2);
    assert!(String::from_utf8_lossy(&coloured.get_output().stderr).contains('\u{1b}'));
}

#[test]
fn colour_only_where_it_is_wanted() {
    assert!(!said(&["check", FAULTY], 1).contains('\u{1b}'));
    assert!(said(&["check", FAULTY, "--color", "always"], 1).contains('\u{1b}'));
    assert!(!said(&["check", FAULTY, "--color", "never"], 1).contains('\u{1b}'));
    let assert = springline(&["check", FAULTY]).env("NO_COLOR", "1").assert().code(1);
    assert!(!String::from_utf8_lossy(&assert.get_output().stdout).contains('\u{1b}'));
}

#[test]
fn standard_input_is_a_file_like_any_other() {
    let text = fs::read_to_string(examples().join(FAULTY)).expect("an example");
    let assert = springline(&["check", "-", "--format", "one-line"])
        .write_stdin(text.clone())
        .assert()
        .code(1);
    let out = String::from_utf8_lossy(&assert.get_output().stdout).into_owned();
    assert!(out.starts_with("<stdin>:"), "{out}");
    let sound = fs::read_to_string(examples().join(SOUND)).expect("an example");
    let assert =
        springline(&["schedule", "-", "--format", "csv"]).write_stdin(sound).assert().code(0);
    assert!(String::from_utf8_lossy(&assert.get_output().stdout).contains("SM-0392"));
    // Bytes that are no text: place, reason, and nothing else.
    let assert =
        springline(&["check", "-"]).write_stdin(b"case \"\xff\"".to_vec()).assert().code(2);
    let error = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
    assert!(error.contains("UTF-8") && error.contains("line 1"), "{error}");
}

#[test]
fn a_folder_is_judged_whole_whatever_version_control_leaves_out() {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        fs::write(path, text).expect("written");
    };
    write("seen/a.spring", "springline 1\ncase \"A-1\"\nbogus\n");
    write("old/b.spring", "springline 1\ncase \"B-1\"\nbogus\n");
    write("seen/notes.txt", "bogus\n");
    write(".gitignore", "old/\n");
    let path = folder.path().display().to_string();
    let out = said(&["check", &path, "--format", "one-line"], 1);
    assert!(
        out.contains("a.spring") && out.contains("b.spring") && !out.contains("notes"),
        "{out}"
    );
}

/// Who reads only the table must not think that there is no upper arch.
#[test]
fn an_arch_with_an_unread_line_is_left_out_aloud() {
    let folder = tempfile::tempdir().expect("a folder");
    let text =
        fs::read_to_string(examples().join("cases/sm-0410-both-arches.spring")).expect("a case");
    fs::copy(examples().join("saltmarsh.spring"), folder.path().join("saltmarsh.spring"))
        .expect("the house");
    let case = folder.path().join("a.spring");
    fs::write(&case, text.replace("tooth 12 palatal", "tooth 12 palatl")).expect("a file");
    let path = case.display().to_string();
    for table in ["forces", "course", "schedule"] {
        let assert = springline(&[table, &path]).assert().code(1);
        let of = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        let (out, err) = (of(&assert.get_output().stdout), of(&assert.get_output().stderr));
        assert!(out.contains("omitted: upper"), "{table}: {out}");
        assert!(err.contains("omitted: upper"), "{table}: {err}");
    }
}
