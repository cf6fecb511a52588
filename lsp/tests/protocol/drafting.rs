//! Drafts of the steps of an arch: as code actions, as a request, and the reasons of one that stands.

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::desk::ask;
use crate::features::{at, place};
use crate::writing::after;

/// A crowded lower arch whose first wire, as changed, is far too heavy.
const CROWDED: &str = "springline 1\ncase \"SM-9801\"\nuse saltmarsh\ndoctor KL\nstart 2026-11-30\npatient adult\nlower {\n  \
    bonded 45..35 with twin\n  tubes 46, 36 with molar\n  tooth 42 lingual 2 mm, rotated 15 deg mesial-in\n  \
    tooth 33 labial 1.5 mm\n  follow usual\n  change align, wire niti-18\n}\nretain {\n  fixed 43..33\n}\n";

/// A client that works out the edit of an action once it is chosen.
fn choosing() -> Value {
    let mut out = pushing();
    out["textDocument"]["codeAction"] =
        json!({"dataSupport": true, "resolveSupport": {"properties": ["edit"]}});
    out
}

/// Superelastic wires of the practice: so few that a draft takes no time.
const DRAWER: [&str; 3] = ["niti-12", "niti-18", "niti-16x22"];

/// The practice of the examples with that drawer.
fn practice() -> String {
    let of_drawer = |line: &&str| {
        let name = line.strip_prefix("wire ").and_then(|rest| rest.split(' ').next());
        name.is_none_or(|n| !line.contains("-niti, ") || DRAWER.contains(&n))
    };
    let kept: Vec<&str> = springline_test_support::SALTMARSH.lines().filter(of_drawer).collect();
    let text = kept.join("\n") + "\n";
    text.replace("wire thermal-16,", "wire niti-12,")
        .replace("wire niti-18x25,", "wire niti-16x22,")
}

/// The crowded arch in a folder of its own, with its practice.
async fn crowded(capabilities: Value) -> (Client, String, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("saltmarsh.spring"), practice()).unwrap();
    let uri = format!("file://{}", folder.path().join("case.spring").display());
    let mut client = Client::start_in(capabilities, Some(folder.path())).await;
    client.open(&uri, 1, CROWDED).await;
    (client, uri, folder)
}

async fn actions(client: &mut Client, uri: &str, text: &str, what: &str) -> Vec<Value> {
    let position = place(text, what);
    let params = json!({
        "textDocument": {"uri": uri}, "range": {"start": position, "end": position},
        "context": {"diagnostics": []}
    });
    // The findings are there once a lens can be shown.
    client.request("textDocument/codeLens", json!({"textDocument": {"uri": uri}})).await;
    let actions = client.request("textDocument/codeAction", params).await;
    actions.as_array().cloned().unwrap_or_default()
}

fn titled<'v>(actions: &'v [Value], words: &str) -> Option<&'v Value> {
    actions.iter().find(|a| a["title"].as_str().is_some_and(|t| t.starts_with(words)))
}

#[tokio::test(flavor = "multi_thread")]
async fn a_draft_is_worked_out_when_it_is_chosen_told_why_and_taken_on() {
    let (mut client, uri, _folder) = crowded(choosing()).await;
    assert_eq!(client.capabilities["codeActionProvider"]["resolveProvider"], true);
    let offered = actions(&mut client, &uri, CROWDED, "follow usual").await;
    let draft = titled(&offered, "draft the steps of this arch").expect("a draft is offered");
    assert!(draft["edit"].is_null(), "{draft}");
    let chosen = client.request("codeAction/resolve", draft.clone()).await;
    let shown = client.shown.join("\n");
    assert!(shown.contains("Lower arch, drafted"), "{shown}");
    let drafted = after(CROWDED, &chosen["edit"], &uri);
    assert!(drafted.contains("\n  drafted 2026-11-24\n"), "{drafted}");
    assert!(!drafted.contains("niti-18\n"), "{drafted}");

    client.change(&uri, 2, json!([{"text": drafted}])).await;
    let hover = client.request("textDocument/hover", at(&uri, place(&drafted, "drafted 2"))).await;
    let why = hover["contents"]["value"].as_str().unwrap_or_default();
    for words in ["then the working wire", "One wire more", "decides nothing"] {
        assert!(why.contains(words), "{words}: {why}");
    }
    let offered = actions(&mut client, &uri, &drafted, "drafted 2026").await;
    assert!(titled(&offered, "draft the steps").is_none(), "one draft stands: {offered:?}");
    let taken = titled(&offered, "take on, KL").expect("the doctor takes it on");
    let taken = after(&drafted, &taken["edit"], &uri);
    assert!(taken.contains("  // steps drafted 2026-11-24, taken on by KL\n"), "{taken}");
    assert!(!taken.contains("  drafted"), "{taken}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_finding_of_a_step_offers_another_sequence() {
    let (mut client, uri, _folder) = crowded(choosing()).await;
    let offered = actions(&mut client, &uri, CROWDED, "change align").await;
    let draft = titled(&offered, "draft another sequence").expect("a draft is offered");
    assert_eq!(draft["kind"], "quickfix");
    // The text has changed since: the draft would be of another one.
    client
        .change(&uri, 2, json!([{"text": CROWDED.replace("lingual 2 mm", "lingual 1 mm")}]))
        .await;
    assert_eq!(client.error("codeAction/resolve", draft.clone()).await, -32801);
}

#[tokio::test(flavor = "multi_thread")]
async fn without_late_edits_nothing_is_offered_that_nobody_could_apply() {
    let (mut client, uri, _folder) = crowded(pushing()).await;
    let offered = actions(&mut client, &uri, CROWDED, "follow usual").await;
    assert!(titled(&offered, "draft").is_none(), "{offered:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_page_is_told_what_can_be_drafted_and_gets_draft_reasons_and_the_way_to_take_it_on() {
    let (mut client, uri, _folder) = crowded(pushing()).await;
    let open = ask(&mut client, "springline/drafts", &uri, json!({})).await;
    assert_eq!(open["arches"], json!([{"arch": "lower", "open": true}]));
    let upper = ask(&mut client, "springline/draft", &uri, json!({"arch": "upper"})).await;
    assert_eq!(upper["refused"]["why"], "The case has no upper arch.");
    let draft = ask(&mut client, "springline/draft", &uri, json!({"arch": "lower"})).await;
    assert!(draft["says"][0].as_str().unwrap().starts_with("Lower arch, drafted"), "{draft}");
    assert!(draft["why"].as_array().unwrap().len() > 2, "{draft}");
    let drafted = after(CROWDED, &draft["edit"], &uri);
    client.change(&uri, 2, json!([{"text": drafted}])).await;
    let waits = ask(&mut client, "springline/drafts", &uri, json!({})).await;
    let arch = &waits["arches"][0];
    assert_eq!((&arch["open"], &arch["drafted"]), (&json!(false), &json!("2026-11-24")), "{waits}");
    assert_eq!(arch["takeOn"]["title"], "take on, KL");
    let taken = after(&drafted, &arch["takeOn"]["edit"], &uri);
    assert!(taken.contains("taken on by KL"), "{taken}");
    let standing = ask(&mut client, "springline/draft", &uri, json!({"arch": "lower"})).await;
    assert!(standing["edit"].is_null() && !standing["why"].as_array().unwrap().is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_cancelled_draft_ends_and_the_next_question_is_answered() {
    let (mut client, uri, _folder) = crowded(pushing()).await;
    let params = json!({"textDocument": {"uri": uri}, "arch": "lower"});
    let id = client.ask("springline/draft", params).await;
    client.notify("$/cancelRequest", json!({"id": id})).await;
    let answer = client.answer(id).await;
    assert_eq!(answer["error"]["code"], -32800, "{answer}");
    let hover = client.request("textDocument/hover", at(&uri, place(CROWDED, "33 labial"))).await;
    assert!(hover["contents"]["value"].as_str().is_some_and(|t| t.contains("canine")), "{hover}");
}
