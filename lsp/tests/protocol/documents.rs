//! Versions, closing, positions at the edges, and the three encodings.

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::{CASE, URI};

fn place(line: i64, character: i64) -> Value {
    json!({"line": line, "character": character})
}

fn insert(line: i64, character: i64, text: &str) -> Value {
    let at = place(line, character);
    json!([{"range": {"start": at, "end": at}, "text": text}])
}

#[tokio::test(flavor = "multi_thread")]
async fn every_list_has_its_version_and_closing_clears_it() {
    let mut client = Client::start(pushing()).await;
    client.open(URI, 7, &format!("{CASE}note\n")).await;
    assert_eq!(client.settled(URI, 7).await.len(), 1);
    client.change(URI, 9, insert(8, 4, " \"x\"")).await;
    assert!(client.settled(URI, 9).await.is_empty());
    client.close(URI).await;
    while client.published[URI].last().unwrap().0.is_some() {
        client.receive().await;
    }
    let versions: Vec<Option<i64>> = client.published[URI].iter().map(|(v, _)| *v).collect();
    assert!(versions.iter().all(|v| [Some(7), Some(9), None].contains(v)), "{versions:?}");
    assert!(client.published[URI].last().unwrap().1.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn an_edit_outside_the_text_is_moved_into_it() {
    let mut client = Client::start(pushing()).await;
    client.open(URI, 1, CASE).await;
    client.change(URI, 2, insert(1, 5000, "\nnote")).await;
    let found = client.settled(URI, 2).await;
    assert_eq!(found[0]["range"]["start"]["line"], 2);
    client.change(URI, 3, insert(9000, 3, "note\n")).await;
    assert_eq!(client.settled(URI, 3).await.len(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn wide_characters_count_as_agreed() {
    // The fault stands behind a face, an ideograph and a combining mark.
    let line = "note \"😀漢e\u{301}\" !";
    for (encoding, character) in [("utf-8", 18), ("utf-16", 13), ("utf-32", 12)] {
        for end in ["\n", "\r\n", "\r"] {
            let mut capabilities = pushing();
            capabilities["general"]["positionEncodings"] = json!([encoding]);
            let mut client = Client::start(capabilities).await;
            let text = format!("{CASE}{line}\n").replace('\n', end);
            client.open(URI, 1, &text).await;
            let found = client.settled(URI, 1).await;
            assert_eq!(found.len(), 1, "{encoding} {end:?} {found:?}");
            assert_eq!(found[0]["range"]["start"], place(8, character), "{encoding} {end:?}");
            // Taking the mark away again needs the same arithmetic the other way.
            let range = json!({"start": place(8, character - 1), "end": place(8, character + 1)});
            client.change(URI, 2, json!([{"range": range, "text": ""}])).await;
            assert!(client.settled(URI, 2).await.is_empty(), "{encoding} {end:?}");
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn documents_that_nobody_saved_and_odd_names_are_served() {
    let mut client = Client::start(pushing()).await;
    for uri in ["untitled:Untitled-1", "file:///no/such%20folder/a%25b.spring"] {
        client.open(uri, 1, &format!("{CASE}note\n")).await;
        assert_eq!(client.settled(uri, 1).await.len(), 1, "{uri}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_document_that_is_not_open_is_no_end() {
    let mut client = Client::start(pushing()).await;
    client.change("file:///none.spring", 1, insert(0, 0, "x")).await;
    client.close("file:///none.spring").await;
    let params = json!({"textDocument": {"uri": "file:///none.spring"}, "position": place(0, 0)});
    assert_eq!(client.request("textDocument/hover", params).await, Value::Null);
}
