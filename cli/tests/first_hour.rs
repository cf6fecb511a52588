//! The first hour of a practice through the real program: a practice file, a first case, a first card.

use std::fs;
use std::path::Path;
use std::process::{Command as Plain, Stdio};

use assert_cmd::Command;

const FLAGS: [&str; 8] = [
    "--slot",
    "0.022",
    "--brackets",
    "passive",
    "--wires",
    "thermal-16,superelastic-16x22,beta-18x25",
    "--clinic",
    "mon,tue,thu",
];

/// The Saturday before the demo practice's first Monday of December.
fn springline(folder: &Path, args: &[&str]) -> Command {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("springline");
    command.current_dir(folder).args(args).env("SPRINGLINE_TODAY", "2026-12-05");
    command
}

fn said(folder: &Path, args: &[&str], code: i32) -> (String, String) {
    let assert = springline(folder, args).assert().code(code);
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&assert.get_output().stdout), text(&assert.get_output().stderr))
}

fn read(folder: &Path, name: &str) -> String {
    fs::read_to_string(folder.join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn with_practice(more: &[&str]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let mut args = vec!["new", "practice", "Brook"];
    args.extend(FLAGS);
    args.extend(more);
    said(folder.path(), &args, 0);
    folder
}

#[test]
fn from_an_empty_folder_to_the_first_card() {
    let folder = with_practice(&["--prescription", "11 +13 / 14 -6", "--chart", "BK-####"]);
    let here = folder.path();
    let (told, _) = said(here, &["check", "brook.spring", "--all"], 0);
    assert!(told.starts_with("1 file: no errors, no warnings"), "{told}");
    said(here, &["fmt", "--check"], 0);

    let (told, _) = said(here, &["new", "BK-0001", "--adult"], 0);
    assert!(told.starts_with("brook.spring is used, the only practice file here.\n"), "{told}");
    let case = read(here, "BK-0001.spring");
    assert!(case.contains("start 2026-12-07\n"), "Monday, for nobody is seen on Saturday: {case}");
    assert!(case.contains("  follow usual\n") && case.contains("patient adult"), "{case}");
    assert!(!case.contains("\n  check ") && !case.contains("\nretain"), "{case}");

    // All that stands open is what the file says it lacks.
    let (told, _) = said(here, &["check", "BK-0001.spring", "--format", "one-line"], 0);
    assert_eq!(told.lines().count(), 1, "{told}");
    assert!(told.contains("order/no-retainer"), "{told}");

    let (told, _) = said(here, &["print", "BK-0001.spring", "--visit", "next"], 0);
    assert!(told.contains("one visit in out/BK-0001.next-visit.html"), "{told}");
    let page = read(here, "out/BK-0001.next-visit.html");
    assert_eq!(page.matches("<section class=\"page").count(), 2, "a card and a sheet");
}

#[test]
fn a_practice_file_is_never_written_over() {
    let folder = with_practice(&[]);
    let before = read(folder.path(), "brook.spring");
    for name in ["brook", "BROOK", "brook.spring"] {
        let mut args = vec!["new", "house", name];
        args.extend(FLAGS);
        let (_, told) = said(folder.path(), &args, 2);
        assert!(told.contains("already exists"), "{told}");
    }
    assert_eq!(read(folder.path(), "brook.spring"), before);
    assert!(!before.lines().any(|l| l.trim_start().starts_with("torque")), "{before}");
}

#[test]
fn what_is_missing_or_cannot_be_taken_is_said_and_nothing_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    let (_, told) = said(here, &["new", "practice", "brook", "--slot", "0.022"], 2);
    assert!(told.contains("--brackets and --wires are not said"), "{told}");
    let mut args = vec!["new", "practice", "brook", "--prescription", "11 +13 / 14"];
    args.extend(FLAGS);
    let (_, told) = said(here, &args, 2);
    assert!(told.contains("--prescription") && told.contains("`14`"), "{told}");
    let (_, told) = said(here, &["new", "practice"], 2);
    assert!(told.contains("NAME"), "{told}");
    assert_eq!(fs::read_dir(here).expect("folder").count(), 0);
}

#[test]
fn a_table_is_read_from_a_file_and_from_standard_input() {
    let table = "tooth tip torque\nUR1 5 13\nUR4 2 -6\n";
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    fs::write(here.join("table.txt"), table).expect("written");
    for (name, from) in [("one", "table.txt"), ("two", "-")] {
        let mut args = vec!["new", "practice", name, "--title", "Brook", "--notation", "quadrant"];
        args.extend(["--prescription", from]);
        args.extend(FLAGS);
        springline(here, &args).write_stdin(table).assert().success();
    }
    let text = read(here, "one.spring");
    assert_eq!(text, read(here, "two.spring"));
    assert!(text.contains("torque 6 deg crown-palatal on UR4, UL4"), "{text}");
    assert!(text.contains("tipped 5 deg mesial on UR1, UL1"), "{text}");
}

#[test]
fn a_case_without_a_practice_file_says_so_first() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    let none = "no practice file: run `springline new practice NAME`";
    let (told, _) = said(here, &["new", "BK-0001"], 0);
    assert_eq!(told.lines().next(), Some(none));
    let (told, _) = said(here, &["check", "BK-0001.spring", "--format", "one-line"], 0);
    assert!(told.lines().next().is_some_and(|l| l.contains("name/no-house")), "{told}");
    assert!(told.contains("No practice file: run `springline new practice NAME`"), "{told}");
    let (told, _) = said(here, &["schedule", "BK-0001.spring"], 0);
    assert!(told.contains(none), "{told}");
}

#[test]
fn among_several_practice_files_one_must_be_named() {
    let folder = with_practice(&[]);
    let here = folder.path();
    let mut args = vec!["new", "practice", "marsh"];
    args.extend(FLAGS);
    said(here, &args, 0);
    let (_, told) = said(here, &["new", "BK-0001"], 2);
    assert!(told.contains("brook, marsh") && told.contains("--practice"), "{told}");
    for flag in ["--practice", "--house"] {
        said(here, &["new", flag, "marsh", &format!("BK{flag}")], 0);
    }
}

#[test]
fn the_first_sequence_in_the_file_is_followed() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    fs::write(here.join("saltmarsh.spring"), include_str!("../../examples/saltmarsh.spring"))
        .expect("practice file");
    said(here, &["new", "SM-0901", "--start", "2026-12-07"], 0);
    assert!(read(here, "SM-0901.spring").contains("follow usual"), "its first, not `firm`");
}

#[test]
fn a_name_that_leads_nowhere_is_answered_with_the_file_that_was_meant() {
    let folder = with_practice(&[]);
    let here = folder.path();
    said(here, &["new", "BK-0001"], 0);
    fs::rename(here.join("BK-0001.spring"), here.join("bk-0001.spring")).expect("renamed");
    for args in [
        ["check", "BK-0001"].as_slice(),
        &["check", "BK-0001.spring"],
        &["seen", "BK-0001", "--upper", "kept"],
        &["verify-print", "0123456789ab", "BK-0001"],
        &["print", "bk-0001"],
    ] {
        let (_, told) = said(here, args, 2);
        assert!(told.contains("Did you mean bk-0001.spring?"), "{args:?}: {told}");
    }
    fs::rename(here.join("bk-0001.spring"), here.join("canine.spring")).expect("renamed");
    let (_, told) = said(here, &["verify-print", "0123456789ab", "BK-0001"], 2);
    assert!(told.contains("Did you mean canine.spring?"), "by its chart: {told}");
}

#[test]
fn one_visit_is_printed_and_a_wrong_one_is_answered_with_the_nearest() {
    let folder = with_practice(&[]);
    let here = folder.path();
    said(here, &["new", "BK-0001"], 0);
    said(here, &["print", "BK-0001.spring", "--visit", "2", "--only", "cards"], 0);
    let page = read(here, "out/BK-0001.visit-2.cards.html");
    assert_eq!(page.matches("<section class=\"page").count(), 1);
    said(here, &["print", "BK-0001.spring", "--visit", "2026-12-07"], 0);
    let (_, told) = said(here, &["print", "BK-0001.spring", "--visit", "2026-12-08"], 2);
    assert!(told.contains("Nearest: visit 1 on Mon 7 Dec 2026"), "{told}");
    let (_, told) = said(here, &["print", "BK-0001.spring", "--visit", "99"], 2);
    assert!(told.contains("There is no visit 99") && told.contains("Nearest"), "{told}");
    said(here, &["print", "BK-0001.spring", "--visit", "soon"], 2);
    let (_, told) = said(here, &["print", "BK-0001.spring", "--only", "repair"], 2);
    assert!(told.contains("Nothing is in the mouth yet"), "{told}");
    let later = ["print", "BK-0001.spring", "--only", "repair"];
    springline(here, &later).env("SPRINGLINE_TODAY", "2026-12-08").assert().success();
    let page = read(here, "out/BK-0001.repair.html");
    assert_eq!(page.matches("<section class=\"page").count(), 1);
    // All of it, where nothing is picked.
    said(here, &["print", "BK-0001.spring"], 0);
    assert!(read(here, "out/BK-0001.html").matches("<section class=\"page").count() > 4);
}

#[test]
fn eight_bond_ups_on_a_day_are_seen_and_printed_in_one_file() {
    let folder = with_practice(&["--chair-time", "400 min"]);
    let here = folder.path();
    for n in 1..=8 {
        said(here, &["new", &format!("BK-000{n}")], 0);
    }
    let (told, _) = said(here, &["practice", "day", ".", "--date", "2026-12-07"], 0);
    assert!(told.contains("8 patients, 480 min; 80 min more than Brook has (400 min)"), "{told}");
    // Asked today of the weeks to come.
    let (told, _) = said(here, &["practice", "all", "."], 0);
    assert!(told.contains("Days booked for more than the chair time"), "{told}");
    assert!(told.contains("Mon 7 Dec 2026") && told.contains("400 min"), "{told}");
    let json = said(here, &["practice", "day", ".", "--format", "json"], 0).0;
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["full"][0]["visits"], 8, "{json}");

    let (told, _) = said(here, &["print", "--day", "2026-12-07", "."], 0);
    assert!(told.contains("8 visits take 480 min"), "{told}");
    let page = read(here, "out/day-2026-12-07.html");
    assert_eq!(page.matches("<section class=\"page").count(), 1 + 2 * 8);
    let order: Vec<usize> =
        (1..=8).map(|n| page.find(&format!("BK-000{n}: staff card")).expect("a card")).collect();
    assert!(order.is_sorted(), "in the order of the day");
    // Names of drawings are names in the whole file.
    let mut ids: Vec<&str> =
        page.split(" id=\"").skip(1).filter_map(|p| p.split('"').next()).collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all);
    let (_, told) = said(here, &["print", "--day", "tomorrow", "."], 2);
    assert!(told.contains("Mon 7 Dec 2026 (2026-12-07)"), "{told}");
}

#[test]
fn without_a_word_of_chair_time_no_day_is_too_full() {
    let folder = with_practice(&[]);
    let here = folder.path();
    said(here, &["new", "BK-0001"], 0);
    let (told, _) = said(here, &["practice", "all", "."], 0);
    assert!(!told.contains("chair time"), "{told}");
}

#[test]
fn a_case_entered_while_running_is_not_late_for_days_before() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    fs::write(here.join("saltmarsh.spring"), include_str!("../../examples/saltmarsh.spring"))
        .expect("practice file");
    let case = "springline 1\ncase \"SM-0112\"\nuse saltmarsh\ndoctor KL\npatient growing\n\
        in-place 2026-12-03 {\n  upper niti-14x25 since 2026-08-20\n}\nupper {\n  bonded 15..25 with twin\n  \
        tubes 16, 26 with molar\n  tooth 12 rotated 10 deg mesial-in\n  follow usual from level\n}\n\
        retain {\n  night-time upper\n}\n";
    fs::write(here.join("sm-0112.spring"), case).expect("written");
    let (told, _) = said(here, &["practice", "overdue", "."], 0);
    assert!(told.contains("No overdue visits."), "{told}");
}

/// At a terminal of its own, by `script`; skips, and says so, where that is not installed.
fn typed(folder: &Path, args: &str, typed: &str) -> Option<String> {
    use std::io::Write as _;
    let program = assert_cmd::cargo::cargo_bin!("springline");
    let child = Plain::new("script")
        .args(["-qec", &format!("'{}' {args}", program.display()), "/dev/null"])
        .current_dir(folder)
        .env("SPRINGLINE_TODAY", "2026-12-05")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
    let Ok(mut child) = child else {
        assert!(std::env::var_os("SPRINGLINE_DEMAND_TOOLS").is_none(), "`script` is not installed");
        eprintln!("skipped: `script` is not installed");
        return None;
    };
    child.stdin.take()?.write_all(typed.as_bytes()).ok()?;
    let output = child.wait_with_output().ok()?;
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

#[test]
fn a_practice_is_asked_for_at_a_terminal() {
    let folder = tempfile::tempdir().expect("a folder");
    // A wrong answer is put right, and one question is gone back to.
    let answers = "Brook Dental\n\nmon someday\nmon, thu\n480\n2\n1\n<\n3\n11 +13\n14 -6\n\n\n2, 5, 17, 32\n\n\n\
        BK-0001\n01234 567 890\nKL\n";
    let Some(asked) = typed(folder.path(), "new practice brook", answers) else { return };
    let text = read(folder.path(), "brook.spring");
    assert!(asked.contains("`someday` is no day of the week."), "{asked}");
    assert!(text.contains("\"Brook Dental\"") && text.contains("  ligated\n"), "{text}");
    for line in ["clinic mon, thu", "chair-time 480 min", "chart \"BK-####\"", "doctor KL"] {
        assert!(text.lines().any(|l| l == line), "{line}: {text}");
    }
    assert!(text.contains("torque 6 deg crown-palatal on 14, 24"), "{text}");
    assert!(text.contains("sequence usual {"), "{asked}{text}");
    said(folder.path(), &["check", "brook.spring"], 0);
    said(folder.path(), &["fmt", "--check"], 0);
    said(folder.path(), &["new", "BK-0001"], 0);
    assert!(read(folder.path(), "BK-0001.spring").contains("doctor KL"));
}

/// A form of chart references is there so that no name gets onto a page.
#[test]
fn a_patients_name_is_no_chart_reference() {
    let folder = with_practice(&["--chart", "BK-####"]);
    let here = folder.path();
    for chart in ["Jane Smith", "BK-12", "bk-0001"] {
        let (_, told) = said(here, &["new", chart], 2);
        assert!(told.contains("not a chart reference") && told.contains("BK-####"), "{told}");
    }
    assert_eq!(fs::read_dir(here).unwrap().count(), 1, "nothing was written");
    said(here, &["new", "BK-0001"], 0);
    let named = read(here, "BK-0001.spring").replace("BK-0001", "Jane Smith");
    fs::write(here.join("BK-0001.spring"), named).unwrap();
    let (told, _) = said(here, &["check", "BK-0001.spring", "--format", "one-line"], 0);
    assert!(told.contains("name/chart-form"), "{told}");
}

/// Where ligatures close the brackets, no card asks for a slide.
#[test]
fn a_ligated_practice_reads_of_ligatures() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    let mut args = vec!["new", "practice", "brook"];
    args.extend(FLAGS.map(|f| if f == "passive" { "ligated" } else { f }));
    said(here, &args, 0);
    said(here, &["new", "BK-0001", "--start", "2026-12-07"], 0);
    let case = read(here, "BK-0001.spring");
    let case = case.replacen("  follow usual", "  tooth 12 palatal 1 mm\n  follow usual", 1);
    fs::write(here.join("BK-0001.spring"), case).unwrap();
    said(here, &["print", "BK-0001.spring", "--only", "cards"], 0);
    let page = read(here, "out/BK-0001.cards.html");
    for words in
        ["Take the ligature", "ligature goes on", "ligate every bracket", "Ligatures in place?"]
    {
        assert!(page.contains(words), "{words}");
    }
    for words in
        ["Open the slide", "every slide", "Slides closed", "slide-open", "the slide closes"]
    {
        assert!(!page.contains(words), "{words}");
    }
}
