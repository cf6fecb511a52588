//! The bytes themselves: frames in pieces, ids of both kinds, little said and much said, and the
//! program's own exit codes.

use std::io::Write as _;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::{CASE, URI};

fn framed(message: &Value) -> Vec<u8> {
    let body = message.to_string();
    format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_client_that_says_almost_nothing_is_served() {
    let mut client = Client::raw();
    // What comes before `initialize` is dropped.
    client.open(URI, 1, "springline 1\nnote\n").await;
    let params = json!({"processId": null, "rootUri": null, "capabilities": {}});
    client.request("initialize", params).await;
    client.notify("initialized", json!({})).await;
    assert!(client.published.is_empty());
    client.open(URI, 1, &format!("{CASE}note\n")).await;
    assert_eq!(client.settled(URI, 1).await.len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn frames_may_come_in_pieces_and_two_at_once() {
    let mut client = Client::start(pushing()).await;
    let ask = |id: Value| json!({"jsonrpc": "2.0", "id": id, "method": "no/such"});
    for byte in framed(&ask(json!("slow"))) {
        client.send_bytes(&[byte]).await;
    }
    let both = [framed(&ask(json!("one"))), framed(&ask(json!(77)))].concat();
    client.send_bytes(&both).await;
    for id in [json!("slow"), json!("one"), json!(77)] {
        let answer = client.answer_to(&id).await;
        assert_eq!(answer["id"], id);
        assert_eq!(answer["error"]["code"], -32601);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn headers_may_be_written_otherwise() {
    let mut client = Client::start(pushing()).await;
    let body = json!({"jsonrpc": "2.0", "id": "h", "method": "no/such"}).to_string();
    let kind = "CONTENT-TYPE: application/vscode-jsonrpc; charset=utf-8\r\n";
    let message = format!("{kind}content-length:{}\r\n\r\n{body}", body.len());
    client.send_bytes(message.as_bytes()).await;
    assert_eq!(client.answer_to(&json!("h")).await["error"]["code"], -32601);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_message_too_large_to_take_in_is_skipped_whole() {
    let mut client = Client::start(pushing()).await;
    let length = 65 * 1024 * 1024;
    client.send_bytes(format!("Content-Length: {length}\r\n\r\n").as_bytes()).await;
    assert_eq!(client.nameless_error().await, -32700);
    // What it held is not read as messages.
    let piece = framed(&json!({"jsonrpc": "2.0", "id": 5000, "method": "no/such"}));
    let mut left = length;
    while left > 0 {
        let part = &piece[..piece.len().min(left)];
        client.send_bytes(part).await;
        left -= part.len();
    }
    assert_eq!(client.error("no/other", json!({})).await, -32601);
}

#[tokio::test(flavor = "multi_thread")]
async fn positions_that_are_none_harm_nothing() {
    let mut client = Client::start(pushing()).await;
    client.open(URI, 1, CASE).await;
    let place = |line: i64, character: i64| json!({"line": line, "character": character});
    let changes = [
        json!([{"range": {"start": place(3, 2), "end": place(1, 0)}, "text": ""}]),
        json!([{"range": {"start": place(-1, -1), "end": place(0, 0)}, "text": "x"}]),
        json!([{"range": {"start": place(0, 9_999_999_999), "end": place(0, 0)}, "text": "x"}]),
    ];
    for change in changes {
        client.change(URI, 2, change).await;
    }
    client.change(URI, 3, json!([{"text": format!("{CASE}note\n")}])).await;
    assert_eq!(client.settled(URI, 3).await.len(), 1);
    for position in [place(-1, 0), place(2_147_483_648, 0), place(0, 4_294_967_295)] {
        let params = json!({"textDocument": {"uri": URI}, "position": position});
        let id = client.ask("textDocument/hover", params).await;
        let answer = client.answer(id).await;
        assert!(answer["result"].is_null() || answer["error"]["code"] == -32602, "{answer}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_very_long_line_and_very_deep_braces_are_served() {
    let mut client = Client::start(pushing()).await;
    let long = format!("{CASE}note \"{}\"\n", "word ".repeat(200_000));
    client.open(URI, 1, &long).await;
    client.settled(URI, 1).await;
    let end = json!({"line": 8, "character": 1_000_006});
    let change = json!([{"range": {"start": end, "end": end}, "text": "x"}]);
    client.change(URI, 2, change).await;
    client.settled(URI, 2).await;
    client.change(URI, 3, json!([{"text": "upper { ".repeat(20_000)}])).await;
    assert!(!client.settled(URI, 3).await.is_empty());
    let document = json!({"textDocument": {"uri": URI}});
    client.request("textDocument/documentSymbol", document).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_file_keeps_its_line_ends_when_it_is_settled() {
    let mut client = Client::start(pushing()).await;
    client.open(URI, 1, &format!("{CASE}note   \"x\"\n").replace('\n', "\r\n")).await;
    let params = json!({
        "textDocument": {"uri": URI}, "options": {"tabSize": 2, "insertSpaces": true}
    });
    let edits = client.request("textDocument/formatting", params).await;
    assert_eq!(edits.as_array().unwrap().len(), 1, "{edits}");
    assert_eq!(edits[0]["newText"], "note \"x\"\r\n");
}

#[test]
fn the_program_itself_exits_as_the_protocol_says() {
    let initialize = json!({
        "jsonrpc": "2.0", "id": 1, "method": "initialize", "params": {"capabilities": {}}
    });
    let shutdown = json!({"jsonrpc": "2.0", "id": 2, "method": "shutdown", "params": null});
    let exit = json!({"jsonrpc": "2.0", "method": "exit"});
    for (messages, code) in [
        (vec![&initialize, &shutdown, &exit], 0),
        (vec![&initialize, &exit], 1),
        (vec![&exit], 1),
        (vec![&initialize], 1),
    ] {
        let mut server = Command::new(env!("CARGO_BIN_EXE_springline-lsp"))
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        let mut input = server.stdin.take().unwrap();
        for message in &messages {
            input.write_all(&framed(message)).unwrap();
        }
        // `exit` ends it with its input still open; without it the closed input does.
        let open = messages.contains(&&exit).then_some(input);
        assert_eq!(server.wait().unwrap().code(), Some(code), "{messages:?}");
        drop(open);
    }
}
