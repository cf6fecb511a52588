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

/// From points to a plan that is checked: what was written is read back, and what the doctor wrote stays.
#[test]
fn what_was_measured_goes_into_the_case() {
    let folder = tempfile::tempdir().expect("a folder");
    let examples = format!("{}/../examples", env!("CARGO_MANIFEST_DIR"));
    std::fs::copy(format!("{examples}/saltmarsh.spring"), folder.path().join("saltmarsh.spring"))
        .expect("the practice");
    let case = folder.path().join("sm-0001.spring");
    let text = "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-11-23\n\nupper {\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 23 labial 1.5 mm // by eye\n  follow usual\n}\n\nretain {\n  night-time upper\n}\n";
    std::fs::write(&case, text).expect("the case");
    let path = case.display().to_string();
    let with = [&points("lateral-in.csv"), "--case", &path, "--form", "catenary 15 mm", "--write"];
    let (fine, _, err) = run(&with);
    assert!(fine && err.contains("left as the case has them: 23"), "{err}");
    let written = std::fs::read_to_string(&case).expect("the case");
    assert!(written.contains("tooth 12 palatal 2.3 mm"), "{written}");
    assert!(written.contains("between 13 and 12"), "{written}");
    assert!(written.contains("tooth 23 labial 1.5 mm // by eye"), "{written}");
    let kept: String =
        written.lines().filter(|l| text.contains(l)).map(|l| format!("{l}\n")).collect();
    assert_eq!(kept, text);
    // Twice is once.
    assert!(run(&with).0);
    assert_eq!(std::fs::read_to_string(&case).expect("the case"), written);
    // Nothing is written of points with errors.
    let (fine, _, err) = run(&[&points("mesial-distal.csv"), "--case", &path, "--write"]);
    assert!(!fine && err.contains("Nothing was written"), "{err}");
    assert_eq!(std::fs::read_to_string(&case).expect("the case"), written);
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
