//! `springline measure` as a user runs it.

use assert_cmd::Command;

fn points(name: &str) -> String {
    format!("{}/../lang/measure/tests/points/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn run(arguments: &[&str]) -> (bool, String, String) {
    let mut command = Command::cargo_bin("springline").expect("the program");
    let out = command.arg("measure").args(arguments).output().expect("it runs");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (out.status.success(), text(&out.stdout), text(&out.stderr))
}

#[test]
fn a_lateral_is_read_from_its_points() {
    let (fine, out, err) = run(&[&points("lateral-in.csv"), "--form", "catenary 15 mm"]);
    assert!(fine, "{err}");
    for part in ["2.3 palatal", "25 mesial-in", "overlap between 13 and 12", "mm short"] {
        assert!(out.contains(part), "{part}: {out}");
    }
}

#[test]
fn every_format_is_written() {
    let file = points("both-arches.csv");
    let (_, json, _) = run(&[&file, "--format", "json"]);
    let value: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(value["schema"], "springline.measured/1");
    assert_eq!(value["arches"].as_array().map(Vec::len), Some(2));
    let (_, csv, _) = run(&[&file, "--format", "csv"]);
    assert!(csv.starts_with("arch,teeth,figure,value,low,high,unit"), "{csv}");
    let (_, svg, _) = run(&[&file, "--format", "svg"]);
    assert!(svg.contains("<svg"), "{svg}");
}

#[test]
fn a_small_irregularity_is_no_more_than_an_upper_bound() {
    let (_, out, _) = run(&[&points("mesial-distal.csv")]);
    assert!(out.contains("irregularity: at most"), "{out}");
}

#[test]
fn bad_points_fail_with_their_place_and_nothing_but_words() {
    let (fine, _, err) = run(&[&points("numbers-exchanged.csv")]);
    assert!(
        !fine && err.contains("points/order") && err.contains("numbers-exchanged.csv"),
        "{err}"
    );
    let (fine, out, err) = run(&[&points("centimetres.csv")]);
    assert!(!fine && out.is_empty() && err.contains("points/unit"), "{err}");
}

#[test]
fn points_come_from_standard_input_too() {
    let text = std::fs::read_to_string(points("photograph.csv")).expect("points");
    let mut command = Command::cargo_bin("springline").expect("the program");
    let out = command.args(["measure", "-"]).write_stdin(text).output().expect("it runs");
    assert!(out.status.success());
}

#[test]
fn nonsense_is_answered_in_words() {
    for text in [
        "",
        "tooth;point\n",
        "\u{feff}tooth,point,x,y,z\n11,m,1,2",
        "tooth,point,x,y,z\n\"11,m,1,2,3\n",
    ] {
        let mut command = Command::cargo_bin("springline").expect("the program");
        let out = command.args(["measure", "-"]).write_stdin(text).output().expect("it runs");
        assert_eq!(out.status.code(), Some(1), "{text:?}");
        assert!(String::from_utf8_lossy(&out.stderr).contains("points/"), "{text:?}");
    }
}

const CASE: &str = "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-11-23\n\nupper {\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 23 labial 1.5 mm // by eye\n  follow usual\n}\n\nretain {\n  night-time upper\n}\n";

/// A folder with the practice, a case, and points of its upper arch beside it.
fn folder() -> (tempfile::TempDir, std::path::PathBuf, std::path::PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let examples = format!("{}/../examples", env!("CARGO_MANIFEST_DIR"));
    let at = |name: &str| folder.path().join(name);
    std::fs::copy(format!("{examples}/saltmarsh.spring"), at("saltmarsh.spring"))
        .expect("practice");
    std::fs::copy(points("lateral-in.csv"), at("sm-0001-upper.csv")).expect("points");
    std::fs::write(at("sm-0001.spring"), CASE).expect("the case");
    let (case, own) = (at("sm-0001.spring"), at("sm-0001-upper.csv"));
    (folder, case, own)
}

fn check(case: &std::path::Path) -> String {
    let mut command = Command::cargo_bin("springline").expect("the program");
    let command = command.env("SPRINGLINE_TODAY", "2026-11-25").arg("check").arg(case);
    let out = command.args(["--no-cache", "--all"]).output().expect("it runs");
    String::from_utf8_lossy(&out.stderr).into_owned() + &String::from_utf8_lossy(&out.stdout)
}

/// From points to a plan that is checked: what was written is read back, and what the doctor wrote stays.
#[test]
fn what_was_measured_goes_into_the_case() {
    let (_folder, case, own) = folder();
    let (path, own) = (case.display().to_string(), own.display().to_string());
    let with = [&own, "--case", &path, "--form", "catenary 15 mm", "--write", "--on", "2026-11-20"];
    let (fine, _, err) = run(&with);
    assert!(fine && err.contains("own lines go first: 23"), "{err}");
    let written = std::fs::read_to_string(&case).expect("the case");
    assert!(
        written.contains("measured 2026-11-20 from scan \"sm-0001-upper.csv\" as \""),
        "{written}"
    );
    assert!(written.contains("    tooth 12 palatal 2.3 mm"), "{written}");
    assert!(written.contains("between 13 and 12"), "{written}");
    let start = written.find("  measured").expect("the block");
    let end = start + written[start..].find("\n  }\n").expect("its end") + 5;
    assert_eq!(format!("{}{}", &written[..start], &written[end..]), CASE);
    // Twice is once.
    assert!(run(&with).0);
    assert_eq!(std::fs::read_to_string(&case).expect("the case"), written);
    // Nothing is written of points with errors.
    let (fine, _, err) = run(&[&points("mesial-distal.csv"), "--case", &path, "--write"]);
    assert!(!fine && err.contains("Nothing was written"), "{err}");
    assert_eq!(std::fs::read_to_string(&case).expect("the case"), written);
}

#[test]
fn check_says_that_points_were_changed_or_are_missing() {
    let (_folder, case, own) = folder();
    let (path, file) = (case.display().to_string(), own.display().to_string());
    assert!(run(&[&file, "--case", &path, "--form", "catenary 15 mm", "--write"]).0);
    assert!(!check(&case).contains("points/"), "{}", check(&case));
    let text = std::fs::read_to_string(&own).expect("points");
    std::fs::write(&own, text + "# looked at again\n").expect("points");
    let said = check(&case);
    assert!(said.contains("points/changed"), "{said}");
    std::fs::remove_file(&own).expect("points");
    assert!(check(&case).contains("points/missing"));
}

#[test]
fn a_progress_scan_goes_into_its_visit() {
    let (_folder, case, own) = folder();
    let text = format!("{CASE}\nseen 2027-01-11 by MT {{\n  upper active, kept\n}}\n");
    std::fs::write(&case, &text).expect("the case");
    let (path, file) = (case.display().to_string(), own.display().to_string());
    let with =
        [&file, "--case", &path, "--form", "catenary 15 mm", "--write", "--visit", "2027-01-11"];
    let (fine, _, err) = run(&with);
    assert!(fine, "{err}");
    let written = std::fs::read_to_string(&case).expect("the case");
    let visit = &written[written.find("seen 2027").expect("the visit")..];
    assert!(visit.contains("  measured 2027-01-11 from scan"), "{written}");
    assert!(visit.contains("gingival 0 mm"), "in line is a measurement: {written}");
    let (fine, _, err) = run(&[
        &file,
        "--case",
        &path,
        "--form",
        "catenary 15 mm",
        "--write",
        "--visit",
        "2027-02-11",
    ]);
    assert!(!fine && err.contains("no visit of"), "{err}");
}

#[test]
fn landmarks_without_teeth_are_read_with_their_labels() {
    let (mesh, labels) = (points("research.obj"), points("research.json"));
    let with = [&points("research__kpt.json"), "--labels", &labels, "--mesh", &mesh];
    let (fine, out, err) = run(&with);
    assert!(fine && out.contains("lower arch"), "{err}");
    let (fine, _, err) = run(&[&labels]);
    assert!(!fine && err.contains("points/labels"), "{err}");
}

/// Points of a visit are of one jaw: of a wrong one nothing is written, and nothing is read.
#[test]
fn points_of_the_wrong_jaw_reach_no_visit() {
    let (folder, case, own) = folder();
    let visit = "\nseen 2027-01-11 by MT {\n  upper active, kept\n}\n";
    std::fs::write(&case, format!("{CASE}{visit}")).expect("the case");
    let before = std::fs::read_to_string(&case).expect("the case");
    let path = case.display().to_string();
    // Upper crowns under lower numbers, and lower crowns under upper ones.
    let exchanged = |name: &str, numbers: [(&str, &str); 2]| {
        let text = std::fs::read_to_string(points(name)).expect("points");
        let renamed = |line: &str| {
            let by = numbers.iter().find(|(from, _)| line.starts_with(from));
            by.map_or(line.to_owned(), |(from, to)| line.replacen(from, to, 1)) + "\n"
        };
        let file = folder.path().join("other.csv");
        std::fs::write(&file, text.lines().map(renamed).collect::<String>()).expect("points");
        file.display().to_string()
    };
    let upper_as_lower = [("1", "4"), ("2", "3")];
    let lower_as_upper = [("4", "1"), ("3", "2")];
    for (name, numbers) in
        [("lateral-in.csv", upper_as_lower), ("lower-crowded.csv", lower_as_upper)]
    {
        let file = exchanged(name, numbers);
        for into in [&["--visit", "2027-01-11"][..], &[]] {
            let with = [&[&*file, "--case", &path, "--write"][..], into].concat();
            let (fine, _, err) = run(&with);
            assert!(!fine && err.contains("points/jaw"), "{name}: {err}");
            assert!(err.contains("Nothing was written"), "{name}: {err}");
        }
    }
    assert_eq!(std::fs::read_to_string(&case).expect("the case"), before);
    // A block that somebody gave a tooth of the other jaw.
    let file = own.display().to_string();
    let with =
        [&*file, "--case", &path, "--form", "catenary 15 mm", "--write", "--visit", "2027-01-11"];
    assert!(run(&with).0);
    let text = std::fs::read_to_string(&case).expect("the case");
    std::fs::write(&case, text.replace("    tooth 14 ", "    tooth 44 ")).expect("the case");
    let said = check(&case);
    assert!(said.contains("name/wrong-arch") && said.contains("44"), "{said}");
}
