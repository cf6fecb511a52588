//! From a key to fresh diagnostics, mechanics included, over the wire: `cargo bench -p springline-lsp`.
//!
//! The server is the program itself, in a process of its own. A key is one `didChange`; its time ends
//! when the whole list of findings for that text has arrived.

use std::io::{BufReader, Read as _, Write as _};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

const KEYS: usize = 200;

struct Server {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    next: u64,
}

impl Server {
    fn start(root: &std::path::Path) -> Server {
        let mut child = Command::new(env!("CARGO_BIN_EXE_springline-lsp"))
            .env("SPRINGLINE_TODAY", "2026-11-24")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the server starts");
        let input = child.stdin.take().expect("an input");
        let output = BufReader::new(child.stdout.take().expect("an output"));
        let mut server = Server { child, input, output, next: 0 };
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

    fn notify(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    fn request(&mut self, method: &str, params: Value) -> Value {
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
}

/// A two-arch case of about 300 lines: one of the examples, with notes as long treatments gather them.
fn case(root: &std::path::Path) -> String {
    let mut text = std::fs::read_to_string(root.join("cases/sm-0410-both-arches.spring"))
        .expect("the example");
    let mut n = 0;
    while text.lines().count() < 300 {
        n += 1;
        text.push_str(&format!("note \"remark {n}: nothing to be seen\" // written by the desk\n"));
    }
    text
}

struct Key {
    line: usize,
    character: usize,
}

fn place(text: &str, what: &str) -> Key {
    let at = text.find(what).expect("the place") + what.len();
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    Key { line: text[..at].matches('\n').count(), character: at - start }
}

/// Types a character and deletes it again, over and over; each is a key.
fn keys(
    server: &mut Server,
    uri: &str,
    version: &mut i64,
    key: &Key,
    typed: &str,
) -> Vec<Duration> {
    let mut times = Vec::new();
    for n in 0..KEYS {
        let width = typed.len() * (n % 2);
        let position = |c: usize| json!({"line": key.line, "character": key.character + c});
        let change = json!({
            "range": {"start": position(0), "end": position(width)},
            "text": if n % 2 == 0 { typed } else { "" }
        });
        *version += 1;
        let begun = Instant::now();
        let document = json!({"uri": uri, "version": *version});
        server.notify(
            "textDocument/didChange",
            json!({"textDocument": document, "contentChanges": [change]}),
        );
        server.request("textDocument/diagnostic", json!({"textDocument": {"uri": uri}}));
        times.push(begun.elapsed());
    }
    times
}

/// Another figure with every key, so that nothing of that arch is remembered.
fn figures(server: &mut Server, uri: &str, version: &mut i64, key: &Key) -> Vec<Duration> {
    let mut times = Vec::new();
    for n in 0..KEYS / 10 {
        let width = if n == 0 { 2 } else { 5 };
        let position = |c: usize| json!({"line": key.line, "character": key.character + c});
        let change = json!({
            "range": {"start": position(0), "end": position(width)}, "text": format!("20.{n:02}")
        });
        *version += 1;
        let begun = Instant::now();
        let document = json!({"uri": uri, "version": *version});
        server.notify(
            "textDocument/didChange",
            json!({"textDocument": document, "contentChanges": [change]}),
        );
        // Lenses wait for the whole check.
        server.request("textDocument/codeLens", json!({"textDocument": {"uri": uri}}));
        times.push(begun.elapsed());
    }
    times
}

/// Only the language: a change, and the outline of the text after it.
fn outlines(server: &mut Server, uri: &str, version: &mut i64, key: &Key) -> Vec<Duration> {
    let mut times = Vec::new();
    for n in 0..KEYS {
        let position = |c: usize| json!({"line": key.line, "character": key.character + c});
        let change = json!({
            "range": {"start": position(0), "end": position(n % 2)},
            "text": if n % 2 == 0 { "x" } else { "" }
        });
        *version += 1;
        let begun = Instant::now();
        let document = json!({"uri": uri, "version": *version});
        server.notify(
            "textDocument/didChange",
            json!({"textDocument": document, "contentChanges": [change]}),
        );
        server.request("textDocument/documentSymbol", json!({"textDocument": {"uri": uri}}));
        times.push(begun.elapsed());
    }
    times
}

/// Ten of the examples opened and checked: what the process has held at most.
fn memory(server: &mut Server, root: &std::path::Path) {
    let mut files: Vec<_> = std::fs::read_dir(root.join("cases"))
        .expect("the cases")
        .flatten()
        .map(|entry| entry.path())
        .collect();
    files.sort();
    for path in files.iter().take(10) {
        let uri = format!("file://{}", path.display());
        let text = std::fs::read_to_string(path).expect("a case");
        let document = json!({"uri": uri, "languageId": "springline", "version": 1, "text": text});
        server.notify("textDocument/didOpen", json!({"textDocument": document}));
        server.request("textDocument/codeLens", json!({"textDocument": {"uri": uri}}));
    }
    let status = std::fs::read_to_string(format!("/proc/{}/status", server.child.id()));
    let peak = status.ok().and_then(|s| {
        let line = s.lines().find(|l| l.starts_with("VmHWM"))?.to_owned();
        line.split_whitespace().nth(1)?.parse::<f64>().ok()
    });
    // Only Linux tells it this way.
    if let Some(kib) = peak {
        println!("most memory with ten more cases open {:.1} MiB", kib / 1024.0);
    }
}

fn show(what: &str, mut times: Vec<Duration>) {
    times.sort();
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
    println!(
        "{what:<46} median {:7.2} ms   95 % {:7.2} ms   worst {:7.2} ms",
        at(0.5),
        at(0.95),
        at(1.0)
    );
}

fn main() {
    // `cargo test` builds benches too, and runs them to see whether they work.
    if !std::env::args().any(|arg| arg == "--bench") {
        return;
    }
    let root = std::fs::canonicalize(concat!(env!("CARGO_MANIFEST_DIR"), "/../examples"))
        .expect("the examples");
    let uri = format!("file://{}/cases/bench.spring", root.display());
    let text = case(&root);
    let begun = Instant::now();
    let mut server = Server::start(&root);
    let document = json!({"uri": uri, "languageId": "springline", "version": 1, "text": text});
    server.notify("textDocument/didOpen", json!({"textDocument": document}));
    let first = server.request("textDocument/diagnostic", json!({"textDocument": {"uri": uri}}));
    let cold = begun.elapsed();
    server.request("textDocument/codeLens", json!({"textDocument": {"uri": uri}}));
    let whole = begun.elapsed();
    println!(
        "{} lines, {} findings; cold start to first diagnostics {:.1} ms, to the whole check {:.1} ms",
        text.lines().count(),
        first["result"]["items"].as_array().map_or(0, Vec::len),
        cold.as_secs_f64() * 1e3,
        whole.as_secs_f64() * 1e3
    );
    let mut version = 1;
    for (what, after, typed) in [
        ("a letter in a note", "remark 100: nothing", "x"),
        ("a letter in a comment, first lines", "case \"SM-0410\"", " // x"),
        ("a word of the language misspelt", "follow", "x"),
    ] {
        if text.contains(after) {
            let key = place(&text, after);
            let times = keys(&mut server, &uri, &mut version, &key, typed);
            show(what, times);
        }
    }
    let key = place(&text, "remark 100: nothing");
    show("the language alone, and the outline", outlines(&mut server, &uri, &mut version, &key));
    let key = place(&text, "tooth 22 rotated ");
    show("another stand each time, mechanics anew", figures(&mut server, &uri, &mut version, &key));
    memory(&mut server, &root);
    server.request("shutdown", Value::Null);
    server.notify("exit", Value::Null);
    let _ = server.child.wait();
}
