//! What changes a text, over the wire: offers in a broken file, names, actions whose fixes were tried.

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::examples;
use crate::features::{at, opened, place};

/// The text after the edits of one action to this document.
pub fn after(text: &str, edit: &Value, uri: &str) -> String {
    let changes = edit["documentChanges"].as_array().unwrap();
    let here = changes.iter().find(|c| c["textDocument"]["uri"] == uri).unwrap();
    let starts: Vec<usize> =
        std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
    let offset = |p: &Value| {
        let line = starts[p["line"].as_u64().unwrap() as usize];
        let wide = p["character"].as_u64().unwrap() as usize;
        let mut units = 0;
        let rest = text[line..].char_indices();
        let found = rest.into_iter().find(|(_, c)| {
            let here = units >= wide;
            units += c.len_utf16();
            here
        });
        line + found.map_or(text.len() - line, |(i, _)| i)
    };
    let mut edits: Vec<(usize, usize, &str)> = here["edits"]
        .as_array()
        .unwrap()
        .iter()
        .map(|e| {
            let range = &e["range"];
            (offset(&range["start"]), offset(&range["end"]), e["newText"].as_str().unwrap())
        })
        .collect();
    edits.sort();
    let mut out = text.to_owned();
    for (start, end, new) in edits.into_iter().rev() {
        out.replace_range(start..end, new);
    }
    out
}

async fn actions(client: &mut Client, uri: &str, start: Value, end: Value) -> Vec<Value> {
    let params = json!({
        "textDocument": {"uri": uri}, "range": {"start": start, "end": end},
        "context": {"diagnostics": []}
    });
    let found = client.request("textDocument/codeAction", params).await;
    found.as_array().cloned().unwrap_or_default()
}

fn title(action: &Value) -> &str {
    action["title"].as_str().unwrap()
}

async fn labels(client: &mut Client, uri: &str, text: &str, mark: &str) -> Vec<String> {
    let marked = text.replacen(mark, "", 1);
    let version = client.published.get(uri).map_or(1, Vec::len) as i64 + 100;
    client.change(uri, version, json!([{"text": marked}])).await;
    let offers = client.request("textDocument/completion", at(uri, place(text, mark))).await;
    let label = |o: &Value| o["label"].as_str().unwrap().to_owned();
    offers.as_array().unwrap().iter().map(label).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn offers_come_on_an_empty_line_and_in_a_broken_file() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    let empty = text.replacen("  follow firm\n", "  follow firm\n  ¦\n", 1);
    let found = labels(&mut client, &uri, &empty, "¦").await;
    for word in ["tooth", "step", "caution", "step ..."] {
        assert!(found.iter().any(|l| l == word), "{word}: {found:?}");
    }
    // Two braces gone, a word misspelt, a text left open above it.
    let broken = empty.replacen("}\n", "", 2).replacen("bonded", "bondet", 1);
    let broken = broken.replacen("doctor RB", "doctor RB\nnote \"open", 1);
    let found = labels(&mut client, &uri, &broken, "¦").await;
    assert!(found.iter().any(|l| l == "tooth"), "{found:?}");
    // Teeth that are named already are not offered again.
    let teeth = text.replacen("  follow firm\n", "  tooth ¦\n  follow firm\n", 1);
    let found = labels(&mut client, &uri, &teeth, "¦").await;
    assert!(found.iter().any(|l| l == "11") && !found.iter().any(|l| l == "13"), "{found:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn shapes_ranges_and_highlights_are_of_the_place() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    let mut params = at(&uri, place(&text, "12 palatal"));
    params["context"] = json!({"triggerKind": 1, "isRetrigger": false});
    let shapes = client.request("textDocument/signatureHelp", params).await;
    let label = shapes["signatures"][0]["label"].as_str().unwrap();
    assert!(label.contains("tooth"), "{shapes}");
    let marks = client
        .request("textDocument/documentHighlight", at(&uri, place(&text, "bring-in as")))
        .await;
    assert!(!marks.as_array().unwrap().is_empty(), "{marks}");
    // Two untidy lines, one of them settled.
    let untidy = text.replace("  bonded 15..13", "bonded 15..13").replace("  midline", "midline");
    client.change(&uri, 2, json!([{"text": untidy}])).await;
    let start = place(&untidy, "bonded 15..13");
    let params = json!({
        "textDocument": {"uri": uri}, "range": {"start": start, "end": start},
        "options": {"tabSize": 2, "insertSpaces": true}
    });
    let edits = client.request("textDocument/rangeFormatting", params).await;
    assert_eq!(edits.as_array().unwrap().len(), 1, "{edits}");
    assert_eq!(edits[0]["range"]["start"]["line"], start["line"]);
}

#[tokio::test(flavor = "multi_thread")]
async fn brackets_sequences_and_wires_are_renamed_wherever_they_are_used() {
    let (mut client, uri, text) = opened("cases/sm-0392-mild-crowding.spring").await;
    for (what, new) in [("twin\n", "double"), ("usual\n", "common"), ("molar\n", "buccal-tube")] {
        let here = at(&uri, place(&text, what));
        let prepared = client.request("textDocument/prepareRename", here.clone()).await;
        assert_eq!(prepared["placeholder"], what.trim(), "{prepared}");
        let mut params = here;
        params["newName"] = json!(new);
        let edit = client.request("textDocument/rename", params).await;
        let files: Vec<&str> = edit["documentChanges"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(|c| c["textDocument"]["uri"].as_str())
            .collect();
        // The house, this case, and others that nobody has opened.
        assert!(files.iter().any(|f| f.ends_with("/saltmarsh.spring")), "{what}: {files:?}");
        assert!(files.contains(&uri.as_str()) && files.len() > 3, "{what}: {files:?}");
        assert!(after(&text, &edit, &uri).contains(new));
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn figures_notations_and_steps_are_rewritten_by_action() {
    let (mut client, uri, text) = opened("cases/sm-0417-lateral-blocked-out.spring").await;
    client.request("textDocument/codeLens", json!({"textDocument": {"uri": uri}})).await;
    for (what, wanted, gives) in [
        ("2.5 mm, rot", "write `2.5 mm` as", " in, rotated"),
        ("12 palatal", "write it as UR2", "tooth UR2 palatal"),
    ] {
        let here = place(&text, what);
        let found = actions(&mut client, &uri, here.clone(), here).await;
        let one = found.iter().find(|a| title(a).contains(wanted));
        let one = one.unwrap_or_else(|| panic!("{wanted}: {found:#?}"));
        let new = after(&text, &one["edit"], &uri);
        assert!(new.contains(gives), "{new}");
    }
    // Steps of one's own become a sequence of the house.
    let (mut client, uri, text) = opened("unsafe/steel-too-early.spring").await;
    let here = place(&text, "upper");
    let found = actions(&mut client, &uri, here.clone(), here).await;
    let kinds: Vec<&str> = found.iter().filter_map(|a| a["kind"].as_str()).collect();
    if text.contains("  step ") {
        assert!(kinds.contains(&"refactor.extract"), "{found:#?}");
    }
}

/// Every fix of the trade that is offered says what the recomputed plan gives, and mends.
#[tokio::test(flavor = "multi_thread")]
async fn only_fixes_that_mend_are_offered_and_they_say_what_comes_of_it() {
    let mut tried = 0;
    for name in
        ["heavy-wire-in-crowding", "coil-too-heavy", "engaged-without-space", "steel-too-early"]
    {
        let (mut client, uri, text) = opened(&format!("unsafe/{name}.spring")).await;
        let found = client.settled(&uri, 1).await;
        let end = json!({"line": text.lines().count(), "character": 0});
        let all = actions(&mut client, &uri, json!({"line": 0, "character": 0}), end).await;
        let clinical = all.iter().filter(|a| {
            let chosen = a["kind"] == "quickfix" && a["isPreferred"] != true;
            chosen && !title(a).starts_with("accept ")
        });
        let mut version = 1;
        for action in clinical {
            let said = title(action);
            let tells = [": with ", ": then ", ": checked: ", ": also causes: "]
                .iter()
                .any(|t| said.contains(t));
            assert!(tells, "{name}: {said}");
            version += 1;
            let text = after(&text, &action["edit"], &uri);
            client.change(&uri, version, json!([{"text": &text}])).await;
            let after = client.settled(&uri, version).await;
            // Nothing is left that does nothing.
            let idle = |l: &[Value]| {
                l.iter().filter(|d| d["code"] == "name/change-without-effect").count()
            };
            assert!(idle(&after) <= idle(&found), "{name}: {said}: {text}");
            let errors = |l: &[Value]| l.iter().filter(|d| d["severity"] == 1).count();
            assert!(errors(&after) <= errors(&found), "{name}: {said}: {after:#?}");
            tried += 1;
        }
        let accept = all.iter().find(|a| title(a).starts_with("accept "));
        let new = after(&text, &accept.unwrap()["edit"], &uri);
        assert!(new.contains(" because \"\" by "), "{new}");
    }
    assert!(tried >= 3, "{tried}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_diagnostic_links_to_the_page_of_its_finding() {
    let mut capabilities = pushing();
    capabilities["textDocument"]["publishDiagnostics"]["codeDescriptionSupport"] = json!(true);
    let root = examples();
    let mut client = Client::start_in(capabilities, Some(&root)).await;
    let path = root.join("unsafe/heavy-wire-in-crowding.spring");
    let uri = format!("file://{}", path.display());
    client.open(&uri, 1, &std::fs::read_to_string(path).unwrap()).await;
    let found = client.settled(&uri, 1).await;
    for one in &found {
        let href = one["codeDescription"]["href"].as_str().unwrap_or_default();
        let name = one["code"].as_str().unwrap().replace('/', "-");
        assert!(href.starts_with("file:///") && href.ends_with(&format!("/{name}.md")), "{one}");
    }
    // They are written while the editor still shows the list.
    let page = found[0]["codeDescription"]["href"].as_str().unwrap().trim_start_matches("file://");
    let begun = std::time::Instant::now();
    while !std::path::Path::new(page).is_file() {
        assert!(begun.elapsed().as_secs() < 30, "{page} is not there");
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
}
