//! The server, in a process of its own, and one client of it.

use std::io::{BufReader, Read as _, Write as _};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

pub struct Server {
    uri: String,
    version: i64,
    pub child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    next: u64,
}

impl Server {
    pub fn start(root: &std::path::Path) -> Server {
        let mut child = Command::new(env!("CARGO_BIN_EXE_springline-lsp"))
            .env("SPRINGLINE_TODAY", "2026-11-24")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the server starts");
        let input = child.stdin.take().expect("an input");
        let output = BufReader::new(child.stdout.take().expect("an output"));
        let mut server = Server { uri: String::new(), version: 0, child, input, output, next: 0 };
        let capabilities = json!({
            "textDocument": {"diagnostic": {}},
            "workspace": {"diagnostics": {"refreshSupport": true}}
        });
        let root = format!("file://{}", root.display());
        let params = json!({"processId": null, "rootUri": root, "capabilities": capabilities});
        server.request("initialize", params);
        server.notify("initialized", json!({}));
        server
    }

    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        let frame = format!("Content-Length: {}\r\n\r\n{body}", body.len());
        self.input.write_all(frame.as_bytes()).expect("the server listens");
        self.input.flush().expect("the server listens");
    }

    pub fn notify(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    pub fn request(&mut self, method: &str, params: Value) -> Value {
        self.next += 1;
        let id = self.next;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params}));
        loop {
            let message = self.message();
            if message["id"] == id && message.get("method").is_none() {
                return message;
            }
        }
    }

    fn message(&mut self) -> Value {
        let mut header = Vec::new();
        while !header.ends_with(b"\r\n\r\n") {
            let mut byte = [0];
            self.output.read_exact(&mut byte).expect("the server speaks");
            header.push(byte[0]);
        }
        let header = String::from_utf8_lossy(&header).into_owned();
        let length =
            header.trim().rsplit(' ').next().and_then(|n| n.parse().ok()).expect("a length");
        let mut body = vec![0; length];
        self.output.read_exact(&mut body).expect("the server speaks");
        serde_json::from_slice(&body).expect("JSON")
    }

    /// Opens a text; what comes after is about it.
    pub fn open(&mut self, uri: &str, text: &str) {
        self.uri = uri.to_owned();
        self.version = 1;
        let document = json!({"uri": uri, "languageId": "springline", "version": 1, "text": text});
        self.notify("textDocument/didOpen", json!({"textDocument": document}));
    }

    pub fn ask(&mut self, method: &str) -> Value {
        let params = json!({"textDocument": {"uri": self.uri}});
        self.request(&format!("textDocument/{method}"), params)
    }

    /// One key: text in the place of so many characters before the cursor.
    pub fn key(&mut self, line: usize, character: usize, back: usize, text: &str) {
        self.version += 1;
        let position = |character: usize| json!({"line": line, "character": character});
        let range = json!({"start": position(character - back), "end": position(character)});
        let document = json!({"uri": self.uri, "version": self.version});
        let changes = json!([{"range": range, "text": text}]);
        let params = json!({"textDocument": document, "contentChanges": changes});
        self.notify("textDocument/didChange", params);
    }

    /// The findings of the text as it is now, those of the mechanics with them, and how many they are.
    pub fn findings(&mut self, begun: Instant) -> (Duration, usize) {
        let mut found = self.ask("diagnostic");
        if begun.elapsed() >= PATIENCE {
            // The server may have answered with the language's alone and said that it would be told
            // more. Lenses wait for the whole check.
            self.ask("codeLens");
            found = self.ask("diagnostic");
        }
        (begun.elapsed(), found["result"]["items"].as_array().map_or(0, Vec::len))
    }
}

/// How long the server waits for the mechanics before it answers without them, nearly.
const PATIENCE: Duration = Duration::from_millis(39);
