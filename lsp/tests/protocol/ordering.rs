//! Changes in the order sent, whatever else is asked.

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::{CASE, URI};
use fastrand::Rng;

/// A text as lines of characters, edited beside the server's.
struct Model {
    lines: Vec<Vec<char>>,
}

impl Model {
    fn new(text: &str) -> Model {
        Model { lines: text.split('\n').map(|l| l.chars().collect()).collect() }
    }

    fn text(&self) -> String {
        let lines: Vec<String> = self.lines.iter().map(|l| l.iter().collect()).collect();
        lines.join("\n")
    }

    /// A random edit within a line, or a line split or joined; as the protocol says it in UTF-16.
    fn edit(&mut self, random: &mut Rng) -> Value {
        const PIECES: [&str; 8] = ["a", " ", "12", "é", "😀", "\n", "note \"x\"", "{"];
        let line = random.usize(..self.lines.len());
        let from = random.usize(..self.lines[line].len() + 1);
        let to = from + random.usize(..3.min(self.lines[line].len() - from + 1));
        let units = |n: usize| self.lines[line][..n].iter().map(|c| c.len_utf16()).sum::<usize>();
        let range = json!({
            "start": {"line": line, "character": units(from)},
            "end": {"line": line, "character": units(to)}
        });
        let text = PIECES[random.usize(..PIECES.len())];
        let rest = self.lines[line].split_off(to);
        self.lines[line].truncate(from);
        let mut new: Vec<Vec<char>> = text.split('\n').map(|l| l.chars().collect()).collect();
        new.last_mut().unwrap().extend(rest);
        let mut new = new.into_iter();
        self.lines[line].extend(new.next().unwrap());
        for (i, extra) in new.enumerate() {
            self.lines.insert(line + 1 + i, extra);
        }
        json!({"range": range, "text": text})
    }
}

async fn analysed(client: &mut Client, version: i64) -> (Vec<Value>, Value, Value) {
    let diagnostics = client.settled(URI, version).await;
    let document = json!({"textDocument": {"uri": URI}});
    let symbols = client.request("textDocument/documentSymbol", document.clone()).await;
    let tokens = client.request("textDocument/semanticTokens/full", document).await;
    (diagnostics, symbols, tokens["data"].clone())
}

#[tokio::test(flavor = "multi_thread")]
async fn a_storm_of_edits_ends_like_a_fresh_server() {
    let mut random = Rng::with_seed(0x5eed);
    let mut model = Model::new(CASE);
    let mut client = Client::start(pushing()).await;
    client.open(URI, 0, CASE).await;
    let mut hovers = Vec::new();
    for version in 1..=2000 {
        let edit = model.edit(&mut random);
        client.change(URI, version, json!([edit])).await;
        if version % 5 == 0 {
            let position = json!({"line": 1, "character": 1});
            let params = json!({"textDocument": {"uri": URI}, "position": position});
            hovers.push(client.ask("textDocument/hover", params).await);
        }
    }
    for id in hovers {
        let answer = client.answer(id).await;
        let code = answer["error"]["code"].as_i64();
        assert!(matches!(code, None | Some(-32801)), "{answer}");
    }
    let stormed = analysed(&mut client, 2000).await;
    let mut fresh = Client::start(pushing()).await;
    fresh.open(URI, 2000, &model.text()).await;
    assert_eq!(stormed, analysed(&mut fresh, 2000).await);
    let versions: Vec<i64> = client.published[URI].iter().filter_map(|(v, _)| *v).collect();
    assert!(versions.is_sorted(), "{versions:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_client_that_answers_nothing_is_still_served() {
    let mut client = Client::raw();
    client.silent = true;
    let mut capabilities = pushing();
    capabilities["textDocument"]["diagnostic"] = json!({});
    capabilities["workspace"]["diagnostics"] = json!({"refreshSupport": true});
    client.request("initialize", json!({"capabilities": capabilities})).await;
    client.notify("initialized", json!({})).await;
    for _ in 0..8 {
        let settings = json!({"settings": {"springline": {"inlayHints": {"force": true}}}});
        client.open(URI, 1, CASE).await;
        client.notify("workspace/didChangeConfiguration", settings).await;
        // Each of these leaves another request of the server without an answer.
        client.pull(URI).await;
        tokio::time::sleep(std::time::Duration::from_millis(60)).await;
    }
    for _ in 0..20 {
        let document = json!({"textDocument": {"uri": URI}});
        client.request("textDocument/documentSymbol", document).await;
    }
    assert!(client.asked.len() >= 4, "{:?}", client.asked);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_cancelled_request_has_one_answer() {
    let mut client = Client::start(pushing()).await;
    client.open(URI, 1, CASE).await;
    for _ in 0..20 {
        let document = json!({"textDocument": {"uri": URI}});
        let id = client.ask("textDocument/documentSymbol", document).await;
        client.notify("$/cancelRequest", json!({"id": id})).await;
        let code = client.answer(id).await["error"]["code"].as_i64();
        assert!(matches!(code, None | Some(-32800)), "{code:?}");
    }
}
