//! Each feature once over the wire; what they say is tested where they live.

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::examples;

pub async fn opened(name: &str) -> (Client, String, String) {
    let root = examples();
    let path = root.join(name);
    let text = std::fs::read_to_string(&path).unwrap();
    let uri = format!("file://{}", path.display());
    let mut client = Client::start_in(pushing(), Some(&root)).await;
    client.open(&uri, 1, &text).await;
    (client, uri, text)
}

/// The position of the first character of a text's first occurrence.
pub fn place(text: &str, what: &str) -> Value {
    let at = text.find(what).unwrap_or_else(|| panic!("no {what}"));
    let line = text[..at].matches('\n').count();
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    json!({"line": line, "character": text[start..at].encode_utf16().count()})
}

pub fn at(uri: &str, position: Value) -> Value {
    json!({"textDocument": {"uri": uri}, "position": position})
}

#[tokio::test(flavor = "multi_thread")]
async fn hovers_say_what_things_are() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    for (what, says) in [
        ("niti-18,", "superelastic-niti"),
        ("12 palatal", "upper right lateral incisor"),
        ("2.5 mm, rot", "0.0984 in"),
        ("palatal 2.5", "Towards the palate"),
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
async fn hints_and_lenses_show_the_forecast() {
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
    assert_eq!(lenses.as_array().unwrap().len(), 4, "{lenses}");
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

#[tokio::test(flavor = "multi_thread")]
async fn an_offered_wire_is_explained_with_its_force_in_this_step() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    let place = place(&text, "niti-18,");
    client.request("textDocument/codeLens", json!({"textDocument": {"uri": uri}})).await;
    let offers = client.request("textDocument/completion", at(&uri, place)).await;
    let wire = offers.as_array().unwrap().iter().find(|o| o["label"] == "niti-16").unwrap();
    let explained = client.request("completionItem/resolve", wire.clone()).await;
    let text = explained["documentation"]["value"].as_str().unwrap();
    assert!(
        text.starts_with("forecast in `make-space`") && text.contains(" g after 0.5 mm"),
        "{text}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn the_preview_follows_cursor_choice_and_text() {
    let (mut client, uri, text) = opened("cases/sm-0410-both-arches.spring").await;
    let document = json!({"uri": uri});
    let cursor = json!({"textDocument": document, "position": place(&text, "ipr 0.2")});
    let shown = client.request("springline/preview", cursor).await;
    let html = shown["html"].as_str().unwrap();
    assert!(html.contains("Lower, finish: forecast force") && html.contains("<svg"), "{html}");
    assert!(!html.contains("<script") && shown["version"] == 1);
    let chosen = client
        .request("springline/preview", json!({"textDocument": document, "at": 0, "nonce": "n1"}))
        .await;
    let html = chosen["html"].as_str().unwrap();
    assert!(html.starts_with("<!DOCTYPE html>") && html.contains("nonce=\"n1\""), "{html}");
    assert!(html.contains("Upper, align: forecast force of thermal-16"), "{html}");
    client.change(&uri, 2, json!([{"text": text.replace("follow usual", "follow firm")}])).await;
    let shown = client.request("springline/preview", json!({"textDocument": document})).await;
    assert_eq!(shown["version"], 2);
    let none = json!({"textDocument": {"uri": "file:///none.spring"}});
    assert_eq!(client.request("springline/preview", none).await, Value::Null);
}

#[tokio::test(flavor = "multi_thread")]
async fn plans_are_rewritten_and_visits_added_by_action() {
    let name = "cases/sm-0410-both-arches.spring";
    let text = std::fs::read_to_string(examples().join(name)).unwrap();
    let uri = format!("file://{}/{name}", examples().display());
    // The next visit is on the fourth: it is due.
    let options = json!({"today": "2027-01-12", "typingPause": 0});
    let mut client = Client::start_with(pushing(), Some(&examples()), options).await;
    client.open(&uri, 1, &text).await;
    let document = json!({"uri": uri});
    client.request("textDocument/codeLens", json!({"textDocument": document})).await;
    let ask = |place: Value| {
        json!({
            "textDocument": document, "range": {"start": place, "end": place},
            "context": {"diagnostics": []}
        })
    };
    let kinds = |actions: &Value| -> Vec<(String, String)> {
        let text = |v: &Value| v.as_str().unwrap_or_default().to_owned();
        actions.as_array().unwrap().iter().map(|a| (text(&a["kind"]), text(&a["title"]))).collect()
    };
    let tooth = client.request("textDocument/codeAction", ask(place(&text, "12 palatal"))).await;
    let found = kinds(&tooth);
    assert!(found.contains(&("refactor.rewrite".into(), "write it as UR2".into())), "{found:?}");
    let case = client.request("textDocument/codeAction", ask(place(&text, "doctor"))).await;
    let found = kinds(&case);
    assert!(
        found.iter().any(|(k, t)| k == "source.recordVisit" && t.starts_with("record the visit")),
        "{found:?}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_line_is_settled_as_it_ends() {
    let (mut client, uri, text) = opened("cases/sm-0392-mild-crowding.spring").await;
    let untidy = text.replace("  bonded 15..25", "bonded   15..25");
    client.change(&uri, 2, json!([{"text": untidy}])).await;
    let mut after = place(&untidy, "bonded   15..25");
    after["line"] = json!(after["line"].as_u64().unwrap() + 1);
    let params = json!({
        "textDocument": {"uri": uri}, "position": after, "ch": "\n",
        "options": {"tabSize": 2, "insertSpaces": true}
    });
    let edits = client.request("textDocument/onTypeFormatting", params).await;
    assert_eq!(edits[0]["newText"], "  bonded 15..25 with twin", "{edits}");
    assert_eq!(edits.as_array().unwrap().len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_search_over_files_says_when_it_begins_and_ends() {
    let (mut client, uri, text) = opened("cases/sm-0392-mild-crowding.spring").await;
    let mut params = at(&uri, place(&text, "usual"));
    params["workDoneToken"] = json!("t1");
    params["context"] = json!({"includeDeclaration": true});
    let found = client.request("textDocument/references", params).await;
    assert!(found.as_array().unwrap().len() >= 2, "{found}");
    // Both came before the answer.
    let kinds: Vec<&str> = client.progress.iter().map(|(_, kind)| kind.as_str()).collect();
    assert_eq!(kinds, ["begin", "end"]);
    assert!(client.progress.iter().all(|(token, _)| token == "t1"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tooth_is_found_over_the_case_and_a_step_by_its_chart() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    let mut params = at(&uri, place(&text, "12 palatal"));
    let marks = client.request("textDocument/documentHighlight", params.clone()).await;
    params["context"] = json!({"includeDeclaration": true});
    let found = client.request("textDocument/references", params).await;
    assert_eq!(marks.as_array().unwrap().len(), found.as_array().unwrap().len());
    assert!(found.as_array().unwrap().len() >= 10, "{found}");
    let symbols = client.request("workspace/symbol", json!({"query": "0417 make-space"})).await;
    assert_eq!(symbols[0]["containerName"], "SM-0417, upper", "{symbols}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_signature_has_parts_and_lenses_only_commands_that_the_client_has() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    let place = place(&text, "unbonded until");
    let help = client.request("textDocument/signatureHelp", at(&uri, place)).await;
    let parts = help["signatures"][0]["parameters"].as_array().unwrap();
    assert!(parts.len() >= 3, "{help}");
    assert!(help["activeParameter"].is_u64(), "{help}");
    let mut plain = pushing();
    plain["experimental"] = json!({});
    let mut other = Client::start_in(plain, Some(&examples())).await;
    other.open(&uri, 1, &text).await;
    let document = json!({"textDocument": {"uri": uri}});
    let lenses = other.request("textDocument/codeLens", document).await;
    assert_eq!(lenses, json!([]));
}

#[tokio::test(flavor = "multi_thread")]
async fn without_a_house_one_error_names_the_cure() {
    let (mut client, uri, text) = opened("cases/sm-0392-mild-crowding.spring").await;
    client.change(&uri, 2, json!([{"text": text.replace("use saltmarsh\n", "")}])).await;
    let found = client.settled(&uri, 2).await;
    let errors: Vec<_> = found.iter().filter(|d| d["severity"] == 1).collect();
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert_eq!(errors[0]["code"], "name/no-house");
    let params = json!({
        "textDocument": {"uri": uri}, "range": errors[0]["range"],
        "context": {"diagnostics": [errors[0]]}
    });
    let actions = client.request("textDocument/codeAction", params).await;
    assert_eq!(actions[0]["title"], "write `use saltmarsh`", "{actions}");
}
