//! A house that is open and not saved counts; a change of it is felt in its cases.

use std::fs;

use serde_json::{Value, json};

use crate::client::{Client, pulling, pushing};

const HOUSE: &str = "springline 1\nhouse \"Saltmarsh\"\ndefaults 1\n\
    wire niti-14 superelastic-niti, round 0.014 in\n\
    bracket twin {\n  slide passive\n  slot 0.022 x 0.028 in\n  width 3 mm\n}\n";

const CASE: &str = "springline 1\ncase \"SM-0001\"\nuse saltmarsh\ndoctor KL\nstart 2026-11-23\n\
    patient adult\nupper {\n  bonded 15..25 with twin\n\
    \x20 step align, wire niti-14, ends turned-in, until passive, next computed\n}\n";

fn folder() -> (tempfile::TempDir, String, String) {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("saltmarsh.spring"), HOUSE).unwrap();
    fs::write(folder.path().join("case.spring"), CASE).unwrap();
    let root = fs::canonicalize(folder.path()).unwrap();
    let uri = |name: &str| format!("file://{}/{name}.spring", root.display());
    let uris = (uri("saltmarsh"), uri("case"));
    (folder, uris.0, uris.1)
}

fn names(list: &[Value]) -> Vec<&str> {
    list.iter().filter_map(|d| d["code"].as_str()).collect()
}

fn whole(text: &str) -> Value {
    json!([{"text": text}])
}

async fn until(client: &mut Client, uri: &str, code: &str, there: bool) {
    loop {
        let last = client.published.get(uri).and_then(|all| all.last());
        if last.is_some_and(|(_, list)| names(list).contains(&code) == there) {
            return;
        }
        client.receive().await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_case_sees_its_house_on_disk_then_as_edited_then_on_disk_again() {
    let (folder, house, case) = folder();
    let mut client = Client::start_in(pushing(), Some(folder.path())).await;
    client.open(&case, 1, CASE).await;
    let found = client.settled(&case, 1).await;
    assert!(!names(&found).contains(&"name/unknown-wire"), "{found:?}");

    client.open(&house, 1, HOUSE).await;
    client.change(&house, 2, whole(&HOUSE.replace("niti-14", "niti-16"))).await;
    until(&mut client, &case, "name/unknown-wire", true).await;
    client.close(&house).await;
    until(&mut client, &case, "name/unknown-wire", false).await;
    // The same text all along, so the same version.
    assert!(client.published[&case].iter().all(|(version, _)| *version == Some(1)));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_house_changed_on_disk_is_felt_when_the_client_says_so() {
    let (folder, house, case) = folder();
    let mut client = Client::start_in(pushing(), Some(folder.path())).await;
    client.open(&case, 1, CASE).await;
    client.settled(&case, 1).await;
    assert!(client.asked.contains(&"client/registerCapability".to_owned()));
    fs::write(folder.path().join("saltmarsh.spring"), HOUSE.replace("twin", "double")).unwrap();
    let changes = json!({"changes": [{"uri": house, "type": 2}]});
    client.notify("workspace/didChangeWatchedFiles", changes).await;
    until(&mut client, &case, "name/unknown-bracket", true).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_client_that_asks_is_told_to_ask_again() {
    let (folder, house, case) = folder();
    let mut client = Client::start_in(pulling(), Some(folder.path())).await;
    client.open(&case, 1, CASE).await;
    client.open(&house, 1, HOUSE).await;
    assert!(!names(&client.pull(&case).await).contains(&"name/unknown-wire"));
    client.asked.clear();
    client.change(&house, 2, whole(&HOUSE.replace("niti-14", "niti-16"))).await;
    while !client.asked.contains(&"workspace/diagnostic/refresh".to_owned()) {
        client.receive().await;
    }
    assert!(names(&client.pull(&case).await).contains(&"name/unknown-wire"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_wire_is_renamed_in_the_house_and_in_closed_cases() {
    let (folder, house, case) = folder();
    let mut client = Client::start_in(pushing(), Some(folder.path())).await;
    client.open(&house, 1, HOUSE).await;
    let place = json!({"textDocument": {"uri": house}, "position": {"line": 3, "character": 7}});
    let found = client.request("textDocument/references", {
        let mut params = place.clone();
        params["context"] = json!({"includeDeclaration": true});
        params
    });
    assert_eq!(found.await.as_array().unwrap().len(), 2);
    let mut params = place.clone();
    params["newName"] = json!("light");
    let edit = client.request("textDocument/rename", params.clone()).await;
    let files: Vec<&str> = edit["documentChanges"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|c| c["textDocument"]["uri"].as_str())
        .collect();
    assert_eq!(files, [house.as_str(), case.as_str()]);
    for wrong in ["two words", "12", "bad-", ""] {
        params["newName"] = json!(wrong);
        assert_eq!(client.error("textDocument/rename", params.clone()).await, -32602, "{wrong}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn use_leads_to_the_house() {
    let (folder, house, case) = folder();
    let mut client = Client::start_in(pushing(), Some(folder.path())).await;
    client.open(&case, 1, CASE).await;
    let document = json!({"textDocument": {"uri": case}});
    let links = client.request("textDocument/documentLink", document).await;
    assert_eq!(links[0]["target"], json!(house));
    let place = json!({"textDocument": {"uri": case}, "position": {"line": 8, "character": 22}});
    let found = client.request("textDocument/definition", place).await;
    assert_eq!(found[0]["uri"], json!(house));
    assert_eq!(found[0]["range"]["start"], json!({"line": 3, "character": 5}));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_house_edit_tells_of_the_closed_cases_that_it_breaks() {
    let (folder, house, case) = folder();
    let mut client = Client::start_in(pushing(), Some(folder.path())).await;
    client.open(&house, 1, HOUSE).await;
    client.change(&house, 2, whole(&HOUSE.replace("niti-14", "niti-15"))).await;
    until(&mut client, &case, "name/unknown-wire", true).await;
    client.change(&house, 3, whole(HOUSE)).await;
    until(&mut client, &case, "name/unknown-wire", false).await;
    // Findings of an open case are published for that case only.
    client.change(&house, 4, whole(&HOUSE.replace("niti-14", "niti-15"))).await;
    until(&mut client, &case, "name/unknown-wire", true).await;
    client.open(&case, 7, CASE).await;
    client.settled(&case, 7).await;
    let (version, _) = client.published[&case].last().unwrap();
    assert_eq!(*version, Some(7));
}
