//! Beginning, end, and messages that are none.

use serde_json::json;

use crate::client::{Client, pulling, pushing};
use crate::{CASE, URI};

#[tokio::test(flavor = "multi_thread")]
async fn exit_is_0_after_shutdown_and_1_without() {
    let mut client = Client::start(pushing()).await;
    client.request("shutdown", json!(null)).await;
    assert_eq!(client.exit().await, 0);
    let client = Client::start(pushing()).await;
    assert_eq!(client.exit().await, 1);
    assert_eq!(Client::raw().exit().await, 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_closed_line_ends_the_server() {
    let client = Client::start(pushing()).await;
    assert_eq!(client.hang_up().await, 1);
    let mut client = Client::start(pushing()).await;
    client.request("shutdown", json!(null)).await;
    assert_eq!(client.hang_up().await, 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn requests_before_initialize_and_after_shutdown_are_refused() {
    let hover = json!({"textDocument": {"uri": URI}, "position": {"line": 0, "character": 0}});
    let mut client = Client::raw();
    assert_eq!(client.error("textDocument/hover", hover.clone()).await, -32002);
    let mut client = Client::start(pushing()).await;
    assert_eq!(client.error("initialize", json!({"capabilities": {}})).await, -32600);
    client.request("shutdown", json!(null)).await;
    assert_eq!(client.error("textDocument/hover", hover).await, -32600);
}

#[tokio::test(flavor = "multi_thread")]
async fn unknown_methods_and_bad_params_are_errors_and_no_end() {
    let mut client = Client::start(pushing()).await;
    assert_eq!(client.error("no/such", json!({})).await, -32601);
    assert_eq!(client.error("$/no/such", json!({})).await, -32601);
    assert_eq!(client.error("textDocument/hover", json!({"bogus": 1})).await, -32602);
    client.notify("textDocument/didChange", json!({"bogus": 1})).await;
    client.notify("textDocument/didOpen", json!({})).await;
    client.notify("workspace/didChangeConfiguration", json!({"settings": null})).await;
    client.open(URI, 1, CASE).await;
    assert!(client.settled(URI, 1).await.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_no_message_is_named_and_the_next_one_is_read() {
    let mut client = Client::start(pushing()).await;
    let broken: [&[u8]; 5] = [
        b"Content-Length: 9\r\n\r\n{\"jsonrpc",
        b"Content-Length: 4\r\n\r\n\xff\xfe{}",
        b"Content-Length: abc\r\n\r\n",
        b"Content-Type: x\r\n\r\n",
        b"Content-Length: 99999999999999999999\r\n\r\n",
    ];
    for bytes in broken {
        client.send_bytes(bytes).await;
        assert_eq!(client.nameless_error().await, -32700);
        assert_eq!(client.error("no/such", json!({})).await, -32601);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_encoding_is_one_that_was_offered() {
    for (offer, chosen) in [
        (json!(["utf-8", "utf-16"]), "utf-8"),
        (json!(["utf-32"]), "utf-32"),
        (json!(["utf-16"]), "utf-16"),
        (json!(null), "utf-16"),
    ] {
        let mut capabilities = pushing();
        capabilities["general"]["positionEncodings"] = offer;
        let client = Client::start(capabilities).await;
        assert_eq!(client.capabilities["positionEncoding"], chosen);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn diagnostics_are_pushed_or_pulled_and_never_both() {
    let bad = format!("{CASE}note\n");
    let mut client = Client::start(pushing()).await;
    assert!(client.capabilities["diagnosticProvider"].is_null());
    client.open(URI, 1, &bad).await;
    assert_eq!(client.settled(URI, 1).await.len(), 1);

    let mut client = Client::start(pulling()).await;
    assert!(client.capabilities["diagnosticProvider"].is_object());
    client.open(URI, 1, &bad).await;
    assert_eq!(client.pull(URI).await.len(), 1);
    client.close(URI).await;
    assert!(client.pull(URI).await.is_empty());
    assert!(client.published.values().flatten().all(|(_, list)| list.is_empty()));
}
