//! Every request at every offset of every example, and of careless edits of them: no panic, and no
//! range outside its text.

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::examples;
use crate::mutants::mutant;

/// Requests about a place.
const PLACED: [&str; 8] = [
    "textDocument/hover",
    "textDocument/signatureHelp",
    "textDocument/completion",
    "textDocument/definition",
    "textDocument/references",
    "textDocument/documentHighlight",
    "textDocument/prepareRename",
    "textDocument/selectionRange",
];

fn files() -> Vec<std::path::PathBuf> {
    let mut out = Vec::new();
    for folder in ["", "cases", "unsafe"] {
        for entry in std::fs::read_dir(examples().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "spring") {
                out.push(path);
            }
        }
    }
    out.sort();
    assert!(out.len() > 30);
    out
}

/// Line lengths in the units of the encoding.
struct Shape(Vec<u64>);

impl Shape {
    fn new(text: &str, encoding: &str) -> Shape {
        let lines = text.split('\n').map(|line| {
            let line = line.strip_suffix('\r').unwrap_or(line);
            let count = match encoding {
                "utf-8" => line.len(),
                "utf-16" => line.encode_utf16().count(),
                _ => line.chars().count(),
            };
            count as u64
        });
        Shape(lines.collect())
    }

    fn holds(&self, position: &Value) -> bool {
        let (line, character) = (position["line"].as_u64(), position["character"].as_u64());
        let length = line.and_then(|l| self.0.get(l as usize));
        length.zip(character).is_some_and(|(length, character)| character <= *length)
    }

    /// What is wrong with the ranges of an answer about this document.
    fn check(&self, answer: &Value, uri: &str) -> Result<(), String> {
        match answer {
            Value::Array(all) => all.iter().try_for_each(|a| self.check(a, uri)),
            Value::Object(fields) => {
                // Answers about other files are checked when those are asked.
                if fields.get("uri").is_some_and(|u| u != uri) {
                    return Ok(());
                }
                if let (Some(start), Some(end)) = (fields.get("start"), fields.get("end")) {
                    let fits = self.holds(start) && self.holds(end);
                    return if fits { Ok(()) } else { Err(format!("{answer} is outside")) };
                }
                fields
                    .iter()
                    .filter(|(k, _)| *k != "data")
                    .try_for_each(|(_, v)| self.check(v, uri))
            }
            _ => Ok(()),
        }
    }
}

async fn sweep(client: &mut Client, uri: &str, text: &str, encoding: &str, step: usize) {
    let shape = Shape::new(text, encoding);
    let document = json!({"textDocument": {"uri": uri}});
    let end = json!({"line": shape.0.len() - 1, "character": 0});
    let all = json!({
        "textDocument": {"uri": uri},
        "range": {"start": {"line": 0, "character": 0}, "end": end},
        "context": {"diagnostics": []}
    });
    for method in ["documentSymbol", "foldingRange", "documentLink", "codeLens"] {
        let answer = client.request(&format!("textDocument/{method}"), document.clone()).await;
        shape.check(&answer, uri).unwrap_or_else(|e| panic!("{uri} {method}: {e}"));
    }
    for method in ["codeAction", "inlayHint"] {
        let answer = client.request(&format!("textDocument/{method}"), all.clone()).await;
        shape.check(&answer, uri).unwrap_or_else(|e| panic!("{uri} {method}: {e}"));
    }
    client.request("textDocument/semanticTokens/full", document).await;
    let mut asked = Vec::new();
    for (line, length) in shape.0.iter().enumerate() {
        // Each line begins elsewhere: no column is left out over a file.
        let first = (line as u64 * 5) % step as u64;
        for character in (first.min(*length)..=*length).step_by(step) {
            let position = json!({"line": line, "character": character});
            for method in PLACED {
                let params = json!({
                    "textDocument": {"uri": uri}, "position": position,
                    "positions": [position],
                    "context": {
                        "includeDeclaration": true, "triggerKind": 1, "isRetrigger": false
                    }
                });
                asked.push((client.ask(method, params).await, method, line, character));
            }
        }
        for (id, method, line, character) in asked.drain(..) {
            let answer = client.answer(id).await;
            let context = format!("{uri} {method} at {line}:{character}");
            assert!(answer.get("error").is_none(), "{context}: {answer}");
            shape.check(&answer["result"], uri).unwrap_or_else(|e| panic!("{context}: {e}"));
        }
    }
}

async fn all_files(encoding: &str, step: usize, change: impl Fn(&str) -> String) {
    let mut capabilities = pushing();
    capabilities["general"]["positionEncodings"] = json!([encoding]);
    let mut client = Client::start_in(capabilities, Some(&examples())).await;
    for path in files() {
        let text = change(&std::fs::read_to_string(&path).unwrap());
        let uri = format!("file://{}", path.display());
        client.open(&uri, 1, &text).await;
        sweep(&mut client, &uri, &text, encoding, step).await;
        client.close(&uri).await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn many_places_of_every_example() {
    all_files("utf-16", 17, str::to_owned).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn places_of_every_example_with_wide_characters_and_crlf() {
    // In every comment and text, a face, a combining mark and an ideograph.
    let wide = |text: &str| {
        text.replace("// ", "// 😀e\u{301}漢 ").replace(" \"", " \"😀").replace('\n', "\r\n")
    };
    all_files("utf-8", 43, wide).await;
    all_files("utf-16", 53, wide).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn places_of_careless_edits() {
    // Cut in the middle, a line doubled, a brace lost, words swapped for rubbish.
    let cut = |text: &str| text[..text.floor_char_boundary(text.len() / 2)].to_owned();
    all_files("utf-16", 41, cut).await;
    all_files("utf-16", 41, |text| text.replacen('}', "", 2)).await;
    all_files("utf-16", 41, |text| text.replace(" mm", "").replace("upper", "😀")).await;
}

/// Mutants of every example; the four ways to count and to end a line take turns.
async fn mutants(count: u64, step: usize) {
    let mut clients = Vec::new();
    for encoding in ["utf-8", "utf-16"] {
        let mut capabilities = pushing();
        capabilities["general"]["positionEncodings"] = json!([encoding]);
        clients.push((encoding, Client::start_in(capabilities, Some(&examples())).await));
    }
    for (n, path) in files().iter().enumerate() {
        let text = std::fs::read_to_string(path).unwrap();
        for seed in 0..count {
            let turn = seed as usize + n;
            let (encoding, client) = &mut clients[turn % 2];
            let mut text = mutant(&text, seed * 1000 + n as u64);
            if turn / 2 % 2 == 1 {
                text = text.replace('\n', "\r\n");
            }
            let uri = format!("file://{}", path.display());
            client.open(&uri, seed as i64, &text).await;
            sweep(client, &uri, &text, encoding, step).await;
            client.close(&uri).await;
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn some_places_of_some_mutants() {
    mutants(1, 97).await;
}

/// The whole of it takes hours:
/// `cargo test --release -p springline-lsp --test protocol -- --ignored every_place_of_200_mutants`.
/// `SPRINGLINE_MUTANTS` sets another number.
#[tokio::test(flavor = "multi_thread")]
#[ignore = "takes hours"]
async fn every_place_of_200_mutants_of_every_example() {
    let count = std::env::var("SPRINGLINE_MUTANTS").ok().and_then(|n| n.parse().ok());
    all_files("utf-8", 1, |text| text.replace('\n', "\r\n")).await;
    all_files("utf-16", 1, str::to_owned).await;
    mutants(count.unwrap_or(200), 1).await;
}
