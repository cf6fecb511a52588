//! A client on an in-memory pipe: strict about what comes, patient for a while.

use std::collections::BTreeMap;
use std::time::Duration;

use serde_json::{Value, json};
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _, DuplexStream, ReadHalf, WriteHalf};
use tokio::task::JoinHandle;

/// Nothing may take longer.
const PATIENCE: Duration = Duration::from_secs(60);

/// One list of diagnostics with its version.
pub type Published = (Option<i64>, Vec<Value>);

pub struct Client {
    read: ReadHalf<DuplexStream>,
    write: Option<WriteHalf<DuplexStream>>,
    buffer: Vec<u8>,
    next: i64,
    answers: BTreeMap<String, Value>,
    /// Every list of diagnostics that came, by document: version and list.
    pub published: BTreeMap<String, Vec<Published>>,
    /// Requests of the server, in order.
    pub asked: Vec<String>,
    /// What came of work under way: token and kind.
    pub progress: Vec<(String, String)>,
    /// What the user was shown.
    pub shown: Vec<String>,
    /// Leave the server's requests unanswered.
    pub silent: bool,
    pub capabilities: Value,
    server: JoinHandle<u8>,
}

/// What a modern editor that is sent its diagnostics says it can do.
pub fn pushing() -> Value {
    json!({
        "general": {"positionEncodings": ["utf-16"]},
        "workspace": {
            "configuration": true,
            "didChangeWatchedFiles": {"dynamicRegistration": true},
            "workspaceEdit": {"documentChanges": true},
            "inlayHint": {"refreshSupport": true}
        },
        "textDocument": {
            "publishDiagnostics": {"versionSupport": true, "relatedInformation": true},
            "completion": {"completionItem": {"snippetSupport": true}},
            "documentSymbol": {"hierarchicalDocumentSymbolSupport": true}
        },
        "experimental": {"commands": {"commands": [
            "springline.check", "springline.schedule", "springline.course", "springline.print",
            "springline.cursor"
        ]}}
    })
}

/// The same for one that asks.
pub fn pulling() -> Value {
    let mut out = pushing();
    out["textDocument"]["diagnostic"] = json!({"dynamicRegistration": false});
    out["workspace"]["diagnostics"] = json!({"refreshSupport": true});
    out
}

impl Client {
    /// A server that nobody has spoken to.
    pub fn raw() -> Client {
        let (ours, theirs) = tokio::io::duplex(1 << 20);
        let (input, output) = tokio::io::split(theirs);
        let server = tokio::spawn(springline_lsp::serve(input, output));
        let (read, write) = tokio::io::split(ours);
        Client {
            read,
            write: Some(write),
            buffer: Vec::new(),
            next: 0,
            answers: BTreeMap::new(),
            published: BTreeMap::new(),
            asked: Vec::new(),
            progress: Vec::new(),
            shown: Vec::new(),
            silent: false,
            capabilities: Value::Null,
            server,
        }
    }

    pub async fn start(capabilities: Value) -> Client {
        Client::start_in(capabilities, None).await
    }

    /// A server in a folder, on a day on which the examples are as they say. It tells of a line at once:
    /// what it does while somebody types is asked of one that does.
    pub async fn start_in(capabilities: Value, root: Option<&std::path::Path>) -> Client {
        let options = json!({"today": "2026-11-24", "typingPause": 0});
        Client::start_with(capabilities, root, options).await
    }

    /// The same with other settings.
    pub async fn start_with(
        capabilities: Value,
        root: Option<&std::path::Path>,
        options: Value,
    ) -> Client {
        let mut client = Client::raw();
        let folder = root.map(|r| format!("file://{}", r.display()));
        let params = json!({
            "processId": null,
            "rootUri": folder,
            "capabilities": capabilities,
            "initializationOptions": options
        });
        let answer = client.request("initialize", params).await;
        client.capabilities = answer["capabilities"].clone();
        client.notify("initialized", json!({})).await;
        client
    }

    pub async fn send_bytes(&mut self, bytes: &[u8]) {
        if let Some(write) = &mut self.write {
            write.write_all(bytes).await.unwrap();
        }
    }

    pub async fn send(&mut self, message: &Value) {
        let body = message.to_string();
        let frame = format!("Content-Length: {}\r\n\r\n{body}", body.len());
        self.send_bytes(frame.as_bytes()).await;
    }

    pub async fn notify(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params})).await;
    }

    /// Sends a request and says under which id.
    pub async fn ask(&mut self, method: &str, params: Value) -> i64 {
        self.next += 1;
        let id = self.next;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params})).await;
        id
    }

    /// The whole answer to a request, error or not.
    pub async fn answer(&mut self, id: i64) -> Value {
        self.answer_to(&json!(id)).await
    }

    /// The same to a request with any id.
    pub async fn answer_to(&mut self, id: &Value) -> Value {
        let key = id.to_string();
        loop {
            if let Some(answer) = self.answers.remove(&key) {
                return answer;
            }
            self.receive().await;
        }
    }

    /// The result of a request; asks again where the text had moved on.
    pub async fn request(&mut self, method: &str, params: Value) -> Value {
        loop {
            let id = self.ask(method, params.clone()).await;
            let mut answer = self.answer(id).await;
            if answer["error"]["code"] == -32801 {
                continue;
            }
            assert!(answer.get("error").is_none(), "{method}: {answer}");
            return answer["result"].take();
        }
    }

    pub async fn error(&mut self, method: &str, params: Value) -> i64 {
        let id = self.ask(method, params).await;
        self.answer(id).await["error"]["code"].as_i64().unwrap_or(0)
    }

    /// An answer to something that could not be read has no id.
    pub async fn nameless_error(&mut self) -> i64 {
        loop {
            if let Some(answer) = self.answers.remove("null") {
                return answer["error"]["code"].as_i64().unwrap_or(0);
            }
            self.receive().await;
        }
    }

    pub async fn open(&mut self, uri: &str, version: i64, text: &str) {
        let document =
            json!({"uri": uri, "languageId": "springline", "version": version, "text": text});
        self.notify("textDocument/didOpen", json!({"textDocument": document})).await;
    }

    pub async fn change(&mut self, uri: &str, version: i64, changes: Value) {
        let params = json!({
            "textDocument": {"uri": uri, "version": version},
            "contentChanges": changes
        });
        self.notify("textDocument/didChange", params).await;
    }

    pub async fn close(&mut self, uri: &str) {
        self.notify("textDocument/didClose", json!({"textDocument": {"uri": uri}})).await;
    }

    /// The diagnostics of a version, once the whole check has been made.
    pub async fn settled(&mut self, uri: &str, version: i64) -> Vec<Value> {
        let wait = async {
            // Hints need the whole check; its diagnostics leave before them.
            let range =
                json!({"start": {"line": 0, "character": 0}, "end": {"line": 1, "character": 0}});
            let params = json!({"textDocument": {"uri": uri}, "range": range});
            self.request("textDocument/inlayHint", params).await;
            loop {
                let last = self.published.get(uri).and_then(|all| all.last()).cloned();
                match last {
                    Some((Some(v), list)) if v == version => {
                        // The list of the fast pass may have come first.
                        if self.receive_within(Duration::from_millis(100)).await {
                            continue;
                        }
                        return list;
                    }
                    _ => self.receive().await,
                }
            }
        };
        tokio::time::timeout(PATIENCE, wait).await.expect("diagnostics in time")
    }

    pub async fn pull(&mut self, uri: &str) -> Vec<Value> {
        let params = json!({"textDocument": {"uri": uri}});
        let mut answer = self.request("textDocument/diagnostic", params).await;
        match answer["items"].take() {
            Value::Array(items) => items,
            other => panic!("no items: {other}"),
        }
    }

    async fn receive_within(&mut self, time: Duration) -> bool {
        tokio::time::timeout(time, self.receive()).await.is_ok()
    }

    /// Takes in one message.
    pub async fn receive(&mut self) {
        let message =
            tokio::time::timeout(PATIENCE, self.message()).await.expect("a message in time");
        let method = message["method"].as_str().map(str::to_owned);
        match (method, message.get("id").cloned()) {
            (None, Some(id)) => {
                let known = self.answers.insert(id.to_string(), message);
                assert!(known.is_none() || id.is_null(), "a second answer to {id}");
            }
            (Some(method), Some(id)) => self.serve(&method, id, &message).await,
            (Some(method), None) if method == "textDocument/publishDiagnostics" => {
                let params = &message["params"];
                let list = params["diagnostics"].as_array().cloned().unwrap_or_default();
                let uri = params["uri"].as_str().unwrap_or_default().to_owned();
                let entry = (params["version"].as_i64(), list);
                self.published.entry(uri).or_default().push(entry);
            }
            (Some(method), None) if method == "window/showMessage" => {
                let text = message["params"]["message"].as_str().unwrap_or_default();
                self.shown.push(text.to_owned());
            }
            (Some(method), None) if method == "$/progress" => {
                let text = |v: &Value| v.as_str().unwrap_or_default().to_owned();
                let params = &message["params"];
                self.progress.push((text(&params["token"]), text(&params["value"]["kind"])));
            }
            _ => {}
        }
    }

    async fn serve(&mut self, method: &str, id: Value, message: &Value) {
        self.asked.push(method.to_owned());
        if self.silent {
            return;
        }
        let result = match method {
            "workspace/configuration" => {
                let items = message["params"]["items"].as_array().map_or(0, Vec::len);
                Value::Array(vec![Value::Null; items])
            }
            _ => Value::Null,
        };
        self.send(&json!({"jsonrpc": "2.0", "id": id, "result": result})).await;
    }

    async fn message(&mut self) -> Value {
        loop {
            if let Some(value) = self.take() {
                return value;
            }
            let mut bytes = [0u8; 16 * 1024];
            let count = self.read.read(&mut bytes).await.unwrap();
            assert!(count > 0, "the server has closed its end");
            self.buffer.extend_from_slice(&bytes[..count]);
        }
    }

    fn take(&mut self) -> Option<Value> {
        let end = self.buffer.windows(4).position(|w| w == b"\r\n\r\n")?;
        let header = std::str::from_utf8(&self.buffer[..end]).unwrap();
        let length: usize = header.strip_prefix("Content-Length: ").unwrap().parse().unwrap();
        let body = self.buffer.get(end + 4..end + 4 + length)?.to_vec();
        self.buffer.drain(..end + 4 + length);
        Some(serde_json::from_slice(&body).unwrap())
    }

    /// Closes our end and gives the server's exit code.
    pub async fn hang_up(mut self) -> u8 {
        self.write = None;
        drop(self.read);
        tokio::time::timeout(PATIENCE, self.server).await.expect("it ends").unwrap()
    }

    /// Says `exit` with our end still open.
    pub async fn exit(mut self) -> u8 {
        self.send(&json!({"jsonrpc": "2.0", "method": "exit"})).await;
        let server = self.server;
        tokio::time::timeout(PATIENCE, server).await.expect("it ends").unwrap()
    }
}
