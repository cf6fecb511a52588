//! After any sequence of edits at any positions a server says of the text what a new server says.

use serde_json::{Value, json};

use super::Draw;
use super::text::boundary;
use crate::client::{Client, pushing};

const URI: &str = "file:///any.spring";

const START: &str = "springline 1\ncase \"SM-0001\"\npatient adult\nupper {\n  bonded 15..25 with twin\n  \
    tooth 12 palatal 1 mm // 😀 über\n}\n";

const INSERTS: [&str; 10] =
    ["", "x", "\n", "}", "\"", "😀", "tooth 13 labial 1 mm\r\n", "note \"a\"\n", " 2 mm,", "\r"];

pub fn server(bytes: &[u8]) {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .expect("a runtime");
    runtime.block_on(edits(Draw::new(bytes)));
}

async fn edits(mut draw: Draw<'_>) {
    let encoding = if draw.byte().is_multiple_of(2) { "utf-8" } else { "utf-16" };
    let mut capabilities = pushing();
    capabilities["general"]["positionEncodings"] = json!([encoding]);
    let mut client = Client::start(capabilities.clone()).await;
    let mut text = START.to_owned();
    client.open(URI, 1, &text).await;
    let mut version = 1;
    while !draw.is_empty() && version < 200 {
        version += 1;
        let from = boundary(&text, draw.below(text.len() + 1));
        let to = boundary(&text, from + draw.below(9)).max(from);
        // Between the two halves of a line end there is no position of its own.
        let (from, to) = (off_line_end(&text, from), off_line_end(&text, to));
        let insert = draw.one(&INSERTS);
        let range =
            json!({"start": place(&text, from, encoding), "end": place(&text, to, encoding)});
        text.replace_range(from..to, insert);
        client.change(URI, version, json!([{"range": range, "text": insert}])).await;
    }
    let edited = client.settled(URI, version).await;
    let mut fresh = Client::start(capabilities).await;
    fresh.open(URI, version, &text).await;
    assert_eq!(edited, fresh.settled(URI, version).await, "{text}");
}

fn off_line_end(text: &str, at: usize) -> usize {
    let inside = at > 0 && text[..at].ends_with('\r') && text[at..].starts_with('\n');
    if inside { at - 1 } else { at }
}

/// Line and column as the protocol counts them.
fn place(text: &str, at: usize, encoding: &str) -> Value {
    let before = &text[..at];
    let lines = before.replace("\r\n", "\n").replace('\r', "\n");
    let line = lines.matches('\n').count();
    let last = lines.rsplit('\n').next().unwrap_or_default();
    let column = if encoding == "utf-8" { last.len() } else { last.encode_utf16().count() };
    json!({"line": line, "character": column})
}
