//! Each feature once over the wire; what they say is tested where they live.

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::examples;

async fn opened(name: &str) -> (Client, String, String) {
    let root = examples();
    let path = root.join(name);
    let text = std::fs::read_to_string(&path).unwrap();
    let uri = format!("file://{}", path.display());
    let mut client = Client::start_in(pushing(), Some(&root)).await;
    client.open(&uri, 1, &text).await;
    (client, uri, text)
}

/// The position of the first character of a text's first occurrence.
fn place(text: &str, what: &str) -> Value {
    let at = text.find(what).unwrap_or_else(|| panic!("no {what}"));
    let line = text[..at].matches('\n').count();
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    json!({"line": line, "character": text[start..at].encode_utf16().count()})
}

fn at(uri: &str, position: Value) -> Value {
    json!({"textDocument": {"uri": uri}, "position": position})
}

#[tokio::test(flavor = "multi_thread")]
async fn hovers_say_what_things_are() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    for (what, says) in [
        ("niti-18,", "superelastic-niti"),
        ("12 palatal", "upper right lateral incisor"),
        ("2.5 mm, rot", "0.0984 in"),
        ("palatal 2.5", "towards the tongue"),
        ("bypass", "Leaves teeth out"),
        ("make-space as", "make-space"),
        ("firm", "level-2"),
        ("2026-11-16", "Monday"),
    ] {
        let hover = client.request("textDocument/hover", at(&uri, place(&text, what))).await;
        let value = hover["contents"]["value"].as_str().unwrap_or_default();
        assert!(value.contains(says), "{what}: {value}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_fix_is_offered_and_mends() {
    let (mut client, uri, text) = opened("cases/sm-0392-mild-crowding.spring").await;
    let broken = text.replace("follow usual", "folow usual");
    client.change(&uri, 2, json!([{"text": broken}])).await;
    let found = client.settled(&uri, 2).await;
    let first = found.iter().find(|d| d["message"].as_str().unwrap().contains("folow")).unwrap();
    let params = json!({
        "textDocument": {"uri": uri}, "range": first["range"], "context": {"diagnostics": [first]}
    });
    let actions = client.request("textDocument/codeAction", params).await;
    let fix = &actions[0];
    assert_eq!(fix["kind"], "quickfix", "{actions}");
    assert_eq!(fix["diagnostics"][0]["range"], first["range"]);
    let edit = &fix["edit"]["documentChanges"][0];
    assert_eq!(edit["textDocument"]["version"], 2);
    assert_eq!(edit["edits"][0]["newText"], "follow");
}

#[tokio::test(flavor = "multi_thread")]
async fn an_untidy_file_is_settled() {
    let (mut client, uri, text) = opened("cases/sm-0392-mild-crowding.spring").await;
    let untidy = text.replace("  bonded 15..25", "bonded   15..25");
    client.change(&uri, 2, json!([{"text": untidy}])).await;
    let params = json!({
        "textDocument": {"uri": uri}, "options": {"tabSize": 2, "insertSpaces": true}
    });
    let edits = client.request("textDocument/formatting", params).await;
    assert_eq!(edits.as_array().unwrap().len(), 1, "{edits}");
    assert_eq!(edits[0]["newText"], "  bonded 15..25 with twin\n");
}

#[tokio::test(flavor = "multi_thread")]
async fn colours_come_whole_and_then_as_what_changed() {
    let (mut client, uri, _) = opened("cases/sm-0392-mild-crowding.spring").await;
    let document = json!({"textDocument": {"uri": uri}});
    let all = client.request("textDocument/semanticTokens/full", document).await;
    let count = all["data"].as_array().unwrap().len();
    assert!(count > 100 && count % 5 == 0);
    let start = json!({"line": 0, "character": 0});
    let change = json!([{"range": {"start": start, "end": start}, "text": "// new\n"}]);
    client.change(&uri, 2, change).await;
    let params = json!({"textDocument": {"uri": uri}, "previousResultId": all["resultId"]});
    let delta = client.request("textDocument/semanticTokens/full/delta", params).await;
    assert_eq!(delta["edits"].as_array().unwrap().len(), 1, "{delta}");
    assert!(delta["edits"][0]["data"].as_array().unwrap().len() <= 10, "{delta}");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_outline_folds_and_selections_are_nested() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    let document = json!({"textDocument": {"uri": uri}});
    let outline = client.request("textDocument/documentSymbol", document.clone()).await;
    let names: Vec<&str> =
        outline.as_array().unwrap().iter().filter_map(|s| s["name"].as_str()).collect();
    assert!(names.contains(&"upper") && names.contains(&"lower"), "{names:?}");
    let folds = client.request("textDocument/foldingRange", document).await;
    assert!(folds.as_array().unwrap().len() >= 6);
    let params = json!({"textDocument": {"uri": uri}, "positions": [place(&text, "unbonded")]});
    let chain = client.request("textDocument/selectionRange", params).await;
    let mut depth = 0;
    let mut here = &chain[0];
    while here["parent"].is_object() {
        here = &here["parent"];
        depth += 1;
    }
    assert!(depth >= 4, "{chain}");
}

#[tokio::test(flavor = "multi_thread")]
async fn hints_and_lenses_show_the_predicted_course() {
    let (mut client, uri, text) = opened("cases/sm-0392-mild-crowding.spring").await;
    let end = json!({"line": text.lines().count(), "character": 0});
    let range = json!({"start": {"line": 0, "character": 0}, "end": end});
    let params = json!({"textDocument": {"uri": uri}, "range": range});
    let hints = client.request("textDocument/inlayHint", params.clone()).await;
    let labels: Vec<&str> =
        hints.as_array().unwrap().iter().filter_map(|h| h["label"].as_str()).collect();
    assert!(labels.iter().any(|l| l.ends_with(" g")), "{labels:?}");
    assert!(labels.iter().any(|l| l.contains("passive in")), "{labels:?}");
    let document = json!({"textDocument": {"uri": uri}});
    let lenses = client.request("textDocument/codeLens", document).await;
    assert_eq!(lenses.as_array().unwrap().len(), 3, "{lenses}");
    // Each can be switched off.
    let off =
        json!({"springline": {"inlayHints": {"force": false, "passive": false, "space": false}}});
    client.notify("workspace/didChangeConfiguration", json!({"settings": off})).await;
    let hints = client.request("textDocument/inlayHint", params).await;
    assert_eq!(hints, json!([]));
}

#[tokio::test(flavor = "multi_thread")]
async fn completions_hold_the_cursor_and_are_explained_when_asked() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    let place = place(&text, "niti-18,");
    let offers = client.request("textDocument/completion", at(&uri, place)).await;
    let wire = offers.as_array().unwrap().iter().find(|o| o["label"] == "niti-16").unwrap();
    assert!(wire.get("documentation").is_none());
    let explained = client.request("completionItem/resolve", wire.clone()).await;
    let text = explained["documentation"]["value"].as_str().unwrap();
    assert!(text.contains("three-point"), "{text}");
}

#[tokio::test(flavor = "multi_thread")]
async fn symbols_of_closed_files_are_found() {
    let (mut client, ..) = opened("cases/sm-0392-mild-crowding.spring").await;
    let found = client.request("workspace/symbol", json!({"query": "steel-19"})).await;
    let uri = found[0]["location"]["uri"].as_str().unwrap();
    assert!(uri.ends_with("saltmarsh.spring"), "{found}");
}
