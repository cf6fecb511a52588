//! `springline compare`: two plans of one case beside each other.

use std::path::Path;

use assert_cmd::Command;

const SOUND: &str = "cases/sm-0392-mild-crowding.spring";

fn springline(args: &[&str]) -> Command {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("springline");
    command.current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples"));
    command.args(args).env("SPRINGLINE_TODAY", "2026-11-25");
    command
}

fn said(args: &[&str]) -> String {
    let assert = springline(args).assert().code(0);
    String::from_utf8(assert.get_output().stdout.clone()).expect("UTF-8")
}

#[test]
fn two_plans_stand_beside_each_other_in_every_format() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples").join(SOUND),
    )
    .unwrap();
    let house = include_str!("../../examples/saltmarsh.spring");
    std::fs::write(folder.path().join("saltmarsh.spring"), house).unwrap();
    let other = folder.path().join("firm.spring");
    std::fs::write(&other, text.replace("follow usual", "follow firm")).unwrap();
    let other = other.to_str().unwrap();
    let human = said(&["compare", SOUND, other]);
    for words in
        ["Visits", "Chair time", "beta-18x25", "steel-19x25", "greatest after 0.2 mm", "Warnings"]
    {
        assert!(human.contains(words), "{words}: {human}");
    }
    let value: serde_json::Value =
        serde_json::from_str(&said(&["compare", SOUND, other, "--format", "json"])).unwrap();
    assert_eq!(value["schema"], "springline.compare/1");
    assert_eq!(value["plans"][1], "firm.spring");
    let page = said(&["compare", SOUND, other, "--format", "html"]);
    assert!(page.starts_with("<!DOCTYPE html>") && page.contains("steel-19x25"), "{page}");
}

#[test]
fn plans_of_two_patients_are_not_compared() {
    let other = "cases/sm-0410-both-arches.spring";
    let assert = springline(&["compare", SOUND, other]).assert().code(2);
    let told = String::from_utf8_lossy(&assert.get_output().stderr).into_owned();
    assert!(told.contains("two patients"), "{told}");
}
