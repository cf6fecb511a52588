//! Names renamed whole, or not at all, whatever the editor has open.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use crate::client::{Client, pushing};

const HOUSE: &str = "springline 1\nhouse \"Saltmarsh\"\ndefaults 1\n\
    wire niti-14 superelastic-niti, round 0.014 in\n\
    bracket twin {\n  slide passive\n  slot 0.022 x 0.028 in\n  width 3 mm\n}\n";

const CASE: &str = "springline 1\ncase \"SM-0001\"\nuse saltmarsh\ndoctor KL\nstart 2026-11-23\n\
    patient adult\nupper {\n  bonded 15..25 with twin\n\
    \x20 step align, wire niti-14, ends turned-in, until passive, next computed\n}\n";

struct Practice {
    folder: tempfile::TempDir,
    root: PathBuf,
}

impl Practice {
    /// Under version control, so that a house is found from any depth.
    fn new() -> Practice {
        let folder = tempfile::tempdir().unwrap();
        let root = fs::canonicalize(folder.path()).unwrap();
        fs::create_dir(root.join(".git")).unwrap();
        let practice = Practice { folder, root };
        practice.write("saltmarsh.spring", HOUSE);
        practice
    }

    fn write(&self, name: &str, text: &str) -> String {
        assert!(self.folder.path().exists());
        let path = self.root.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
        self.uri(name)
    }

    fn uri(&self, name: &str) -> String {
        format!("file://{}", self.root.join(name).display())
    }
}

/// In the case: the bracket it bonds.
fn twin(uri: &str) -> Value {
    json!({"textDocument": {"uri": uri}, "position": {"line": 7, "character": 23}, "newName": "mini"})
}

async fn renamed(client: &mut Client, params: Value) -> Vec<String> {
    let edit = client.request("textDocument/rename", params).await;
    let mut out: Vec<String> = edit["documentChanges"]
        .as_array()
        .unwrap_or_else(|| panic!("{edit}"))
        .iter()
        .filter_map(|c| c["textDocument"]["uri"].as_str().map(str::to_owned))
        .collect();
    out.sort();
    out
}

async fn refused(client: &mut Client, params: Value) -> String {
    let id = client.ask("textDocument/rename", params).await;
    let answer = client.answer(id).await;
    answer["error"]["message"].as_str().unwrap_or_else(|| panic!("{answer}")).to_owned()
}

async fn opened(root: Option<&Path>, uri: &str, text: &str) -> Client {
    let mut capabilities = pushing();
    capabilities["workspace"]["workspaceEdit"]["resourceOperations"] = json!(["create", "rename"]);
    let mut client = Client::start_in(capabilities, root).await;
    client.open(uri, 1, text).await;
    client
}

#[tokio::test(flavor = "multi_thread")]
async fn two_thousand_cases_and_eight_folders_are_no_bound() {
    let practice = Practice::new();
    let mut all = vec![practice.uri("saltmarsh.spring")];
    for number in 0..2100 {
        all.push(practice.write(&format!("cases/{number:04}.spring"), CASE));
    }
    all.push(practice.write("a/b/c/d/e/f/g/h/deep.spring", CASE));
    all.push(practice.write(".old/hidden.spring", CASE));
    all.sort();
    let case = practice.uri("cases/0000.spring");
    let mut client = opened(Some(&practice.root), &case, CASE).await;
    assert_eq!(renamed(&mut client, twin(&case)).await, all);
}

/// The house lies outside of what is open, or nothing is open at all.
#[tokio::test(flavor = "multi_thread")]
async fn a_house_outside_the_folder_takes_all_its_cases_along() {
    let practice = Practice::new();
    let case = practice.write("cases/a.spring", CASE);
    let mut all = vec![
        case.clone(),
        practice.uri("saltmarsh.spring"),
        practice.write("other/b.spring", CASE),
    ];
    all.sort();
    for root in [Some(practice.root.join("cases")), None] {
        let mut client = opened(root.as_deref(), &case, CASE).await;
        assert_eq!(renamed(&mut client, twin(&case)).await, all, "{root:?}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn who_uses_another_house_of_that_name_is_left_alone() {
    let practice = Practice::new();
    let case = practice.write("cases/a.spring", CASE);
    practice.write("branch/saltmarsh.spring", HOUSE);
    practice.write("branch/b.spring", CASE);
    // A project of its own below: its cases do not look up to here.
    practice.write("project/c.spring", CASE);
    fs::create_dir(practice.root.join("project/.git")).unwrap();
    let mut client = opened(Some(&practice.root), &case, CASE).await;
    let files = renamed(&mut client, twin(&case)).await;
    assert_eq!(files, [case.clone(), practice.uri("saltmarsh.spring")]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_rename_that_cannot_be_whole_is_refused() {
    let practice = Practice::new();
    let case = practice.write("cases/a.spring", CASE);
    let mut client = opened(Some(&practice.root), &case, CASE).await;
    // Nobody can tell whether this is a plan that uses it.
    let mut latin = CASE.as_bytes().to_vec();
    latin.push(0xe9);
    fs::write(practice.root.join("cases/latin.spring"), &latin).unwrap();
    let why = refused(&mut client, twin(&case)).await;
    assert!(why.contains("Nothing has been renamed") && why.contains("latin.spring"), "{why}");
    // One that does not hold the word is no hindrance.
    fs::write(practice.root.join("cases/latin.spring"), b"\xe9").unwrap();
    assert_eq!(renamed(&mut client, twin(&case)).await.len(), 2);
    // Taken in the house, though the case says nothing of it.
    let more = format!("{HOUSE}bracket mini {{\n  slide passive\n  slot 0.022 x 0.028 in\n}}\n");
    practice.write("saltmarsh.spring", &more);
    let why = refused(&mut client, twin(&case)).await;
    assert!(why.contains("already"), "{why}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_house_is_renamed_with_its_file_and_every_use() {
    let practice = Practice::new();
    let case = practice.write("cases/a.spring", CASE);
    let other = practice.write("b.spring", CASE);
    let named = |new: &str| json!({"textDocument": {"uri": case}, "position": {"line": 2, "character": 6}, "newName": new});
    let mut client = opened(Some(&practice.root), &case, CASE).await;
    let place = json!({"textDocument": {"uri": case}, "position": {"line": 2, "character": 6}});
    let prepared = client.request("textDocument/prepareRename", place).await;
    assert_eq!(prepared["placeholder"], "saltmarsh");
    let edit = client.request("textDocument/rename", named("northshore")).await;
    let changes = edit["documentChanges"].as_array().unwrap();
    assert_eq!(changes.len(), 3, "{edit}");
    let mut files: Vec<&str> =
        changes.iter().filter_map(|c| c["textDocument"]["uri"].as_str()).collect();
    files.sort();
    assert_eq!(files, [other.as_str(), case.as_str()]);
    assert_eq!(changes[2]["kind"], "rename");
    assert_eq!(changes[2]["newUri"], practice.uri("northshore.spring"));
    // What is there is not written over.
    practice.write("taken.spring", HOUSE);
    assert!(refused(&mut client, named("taken")).await.contains("already"));
    assert!(refused(&mut client, named("../out")).await.contains("cannot be a name"));
    // An editor that cannot rename files gets an error, and nothing is half done.
    let mut client = Client::start_in(pushing(), Some(&practice.root)).await;
    client.open(&case, 1, CASE).await;
    assert!(refused(&mut client, named("northshore")).await.contains("yourself"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_house_renamed_in_the_list_of_files_takes_every_use_along() {
    let practice = Practice::new();
    let case = practice.write("cases/a.spring", CASE);
    let mut client = opened(Some(&practice.root), &case, CASE).await;
    let filters = &client.capabilities["workspace"]["fileOperations"]["willRename"]["filters"];
    assert_eq!(filters[0]["pattern"]["glob"], "**/*.spring");
    let files = |old: &str, new: &str| json!({"files": [{"oldUri": practice.uri(old), "newUri": practice.uri(new)}]});
    let edit = client
        .request("workspace/willRenameFiles", files("saltmarsh.spring", "northshore.spring"))
        .await;
    assert_eq!(edit["documentChanges"][0]["textDocument"]["uri"], json!(case), "{edit}");
    assert_eq!(edit["documentChanges"][0]["edits"][0]["newText"], "northshore");
    // A case under another name is nobody's house.
    let edit = client
        .request("workspace/willRenameFiles", files("cases/a.spring", "cases/z.spring"))
        .await;
    assert!(edit.is_null(), "{edit}");
}
