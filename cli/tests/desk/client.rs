//! A desk that runs, and the least client of it: plain requests, and one socket.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};

const SPRINGLINE: &str = env!("CARGO_BIN_EXE_springline");

/// Nothing here takes longer; without an end a test would never fail.
const PATIENCE: Duration = Duration::from_secs(30);

pub const CASE: &str = include_str!("../../../examples/cases/sm-0392-mild-crowding.spring");
const HOUSE: &str = include_str!("../../../examples/saltmarsh.spring");

/// A folder with one case and its practice file, and a home beside it.
pub struct Home(tempfile::TempDir);

impl Home {
    pub fn new() -> Home {
        let home = Home(tempfile::tempdir().unwrap());
        std::fs::create_dir(home.plans()).unwrap();
        std::fs::write(home.plans().join("saltmarsh.spring"), HOUSE).unwrap();
        std::fs::write(home.case(), CASE).unwrap();
        home
    }

    pub fn path(&self) -> &Path {
        self.0.path()
    }

    pub fn plans(&self) -> PathBuf {
        self.0.path().join("plans")
    }

    pub fn case(&self) -> PathBuf {
        self.plans().join("a.spring")
    }

    pub fn command(&self) -> Command {
        let mut command = Command::new(SPRINGLINE);
        command
            .args(["desk", "--no-browser"])
            .arg(self.plans())
            .env("SPRINGLINE_TODAY", "2026-11-24")
            .env("XDG_STATE_HOME", self.path().join("state"))
            .env("XDG_CACHE_HOME", self.path().join("cache"))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    pub fn start(&self) -> RunningDesk {
        self.start_with(self.command())
    }

    /// The page for the points of one picture.
    pub fn start_pick(&self, arguments: &[&str]) -> RunningDesk {
        let mut command = Command::new(SPRINGLINE);
        command
            .args(["pick", "--no-browser"])
            .args(arguments)
            .current_dir(self.plans())
            .env("SPRINGLINE_TODAY", "2026-11-24")
            .env("XDG_STATE_HOME", self.path().join("state"))
            .env("XDG_CACHE_HOME", self.path().join("cache"))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        self.start_with(command)
    }

    fn start_with(&self, mut command: Command) -> RunningDesk {
        let mut child = command.spawn().unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.as_mut().unwrap()).read_line(&mut line).unwrap();
        let (port, word) = read_address(&line);
        RunningDesk { child, port, word }
    }
}

/// `http://127.0.0.1:PORT/#WORD`
pub fn read_address(line: &str) -> (u16, String) {
    let rest = line.trim().strip_prefix("http://127.0.0.1:").unwrap_or_else(|| panic!("{line}"));
    let (port, word) = rest.split_once("/#").unwrap();
    (port.parse().unwrap(), word.to_owned())
}

pub struct RunningDesk {
    pub child: Child,
    pub port: u16,
    pub word: String,
}

impl Drop for RunningDesk {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl RunningDesk {
    pub fn own(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// The whole answer to a request of these lines.
    pub fn ask(&self, lines: &[&str]) -> String {
        let mut stream = connect(self.port);
        stream.write_all(format!("{}\r\n\r\n", lines.join("\r\n")).as_bytes()).unwrap();
        let mut answer = Vec::new();
        // A line that is cut off is an answer too.
        let _ = stream.read_to_end(&mut answer);
        String::from_utf8_lossy(&answer).into_owned()
    }

    pub fn get(&self, path: &str) -> String {
        let host = format!("Host: {}", self.own());
        self.ask(&[&format!("GET {path} HTTP/1.1"), &host, "Connection: close"])
    }

    /// A body is sent as far as it is taken.
    pub fn post(&self, body: &[u8]) -> String {
        let mut stream = connect(self.port);
        let head = format!(
            "POST / HTTP/1.1\r\nHost: {}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            self.own(),
            body.len()
        );
        stream.write_all(head.as_bytes()).unwrap();
        let _ = stream.write_all(body);
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        String::from_utf8_lossy(&answer).into_owned()
    }

    pub fn socket(&self) -> Tab {
        let origin = format!("http://{}", self.own());
        Tab::open(self.port, &[&format!("Host: {}", self.own()), &format!("Origin: {origin}")])
            .unwrap()
    }

    /// A tab that is in.
    pub fn enter(&self, word: &str) -> Tab {
        let mut tab = self.socket();
        tab.ask("desk/enter", json!({"word": word})).unwrap();
        tab.ask("initialize", json!({"capabilities": {}})).unwrap();
        tab.tell("initialized", json!({}));
        tab
    }

    /// It still answers.
    pub fn assert_alive(&self) {
        assert!(self.get("/").starts_with("HTTP/1.1 200"), "it answers");
    }
}

pub fn status(answer: &str) -> u16 {
    answer.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or(0)
}

fn connect(port: u16) -> TcpStream {
    let stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    stream.set_write_timeout(Some(PATIENCE)).unwrap();
    stream
}

pub struct Tab {
    stream: TcpStream,
    count: u64,
    /// What was told while an answer was waited for.
    pub heard: Vec<Value>,
}

/// What came over a socket.
#[derive(Debug, PartialEq)]
pub enum Came {
    Message(Value),
    Closed(Option<u16>),
}

impl Tab {
    /// A socket with these headers, or the status that it was refused with.
    pub fn open(port: u16, headers: &[&str]) -> Result<Tab, u16> {
        let mut stream = connect(port);
        let request = format!(
            "GET /socket HTTP/1.1\r\n{}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\
             Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n",
            headers.join("\r\n")
        );
        stream.write_all(request.as_bytes()).unwrap();
        let mut head = Vec::new();
        while !head.ends_with(b"\r\n\r\n") {
            let mut byte = [0];
            if stream.read(&mut byte).unwrap_or(0) == 0 {
                break;
            }
            head.push(byte[0]);
        }
        match status(&String::from_utf8_lossy(&head)) {
            101 => Ok(Tab { stream, count: 0, heard: Vec::new() }),
            other => Err(other),
        }
    }

    /// One text frame, masked with nothing, as a browser's are masked with something.
    pub fn send(&mut self, text: &str) -> bool {
        let mut frame = vec![0x81];
        match text.len() {
            n if n < 126 => frame.push(0x80 | n as u8),
            n if n < 65536 => {
                frame.push(0x80 | 126);
                frame.extend((n as u16).to_be_bytes());
            }
            n => {
                frame.push(0x80 | 127);
                frame.extend((n as u64).to_be_bytes());
            }
        }
        frame.extend([0; 4]);
        frame.extend(text.as_bytes());
        self.stream.write_all(&frame).is_ok()
    }

    pub fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}).to_string());
    }

    /// The answer, or what it was refused with.
    pub fn ask(&mut self, method: &str, params: Value) -> Result<Value, String> {
        self.count += 1;
        let id = self.count;
        let message = json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params});
        self.send(&message.to_string());
        loop {
            match self.receive() {
                Came::Message(came) if came["id"] == id && came.get("method").is_none() => {
                    return match came.get("error") {
                        Some(error) => Err(error["message"].as_str().unwrap().to_owned()),
                        None => Ok(came["result"].clone()),
                    };
                }
                Came::Message(came) => self.heard.push(came),
                Came::Closed(code) => return Err(format!("closed with {code:?}")),
            }
        }
    }

    /// Waits for a notice of that name.
    pub fn wait_for(&mut self, method: &str) -> Value {
        loop {
            if let Some(at) = self.heard.iter().position(|m| m["method"] == method) {
                return self.heard.remove(at)["params"].clone();
            }
            match self.receive() {
                Came::Message(came) => self.heard.push(came),
                Came::Closed(code) => panic!("closed with {code:?} before {method}"),
            }
        }
    }

    pub fn receive(&mut self) -> Came {
        loop {
            let mut head = [0; 2];
            if self.stream.read_exact(&mut head).is_err() {
                return Came::Closed(None);
            }
            let length = match head[1] & 0x7f {
                126 => u64::from(u16::from_be_bytes(self.bytes())),
                127 => u64::from_be_bytes(self.bytes()),
                n => u64::from(n),
            };
            let mut body = vec![0; length as usize];
            if self.stream.read_exact(&mut body).is_err() {
                return Came::Closed(None);
            }
            match head[0] & 0xf {
                1 => return Came::Message(serde_json::from_slice(&body).unwrap()),
                8 => {
                    let code = body.first_chunk().map(|code| u16::from_be_bytes(*code));
                    return Came::Closed(code);
                }
                _ => {}
            }
        }
    }

    fn bytes<const N: usize>(&mut self) -> [u8; N] {
        let mut out = [0; N];
        self.stream.read_exact(&mut out).unwrap();
        out
    }

    /// A plan, opened as the page does.
    pub fn attach(&mut self, doc: &str) -> Value {
        let got = self.ask("desk/attach", json!({"doc": doc})).unwrap();
        let document = json!({"uri": got["uri"], "languageId": "springline", "version": 1, "text": got["text"]});
        self.tell("textDocument/didOpen", json!({"textDocument": document}));
        got
    }

    /// The whole text anew.
    pub fn write(&mut self, attached: &Value, text: &str) {
        self.tell(
            "textDocument/didChange",
            json!({
                "textDocument": {"uri": attached["uri"], "version": 2},
                "contentChanges": [{"text": text}], "text": text, "base": attached["base"],
            }),
        );
    }

    pub fn save(&mut self, attached: &Value) -> Result<Value, String> {
        self.ask("desk/save", json!({"doc": attached["doc"], "base": attached["base"]}))
    }
}
