//! A real Kakoune with its own colours for the language. Without a client of the protocol in it, that is
//! all it has.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::project;
use crate::session::{Session, find, skip};

/// Ended when the test is, however it ends.
struct Editor(Child);

impl Drop for Editor {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// What Kakoune draws: pieces of text and the colour they have.
fn drawn(message: &Value) -> Vec<(String, String)> {
    let lines = message["params"][0].as_array().into_iter().flatten();
    let text = |v: &Value| v.as_str().unwrap_or_default().trim().to_owned();
    lines
        .flat_map(|line| line.as_array().into_iter().flatten())
        .map(|atom| (text(&atom["contents"]), text(&atom["face"]["fg"])))
        .collect()
}

#[test]
fn a_plan_is_coloured_in_kakoune() {
    let Some(kak) = find("kak") else { return skip("kak") };
    let session = Session::new();
    let colours = project().join("editors/kakoune/springline.kak");
    let log = session.path("kak.log");
    let mut command = Command::new(kak);
    command
        .args(["-ui", "json", "-e"])
        .arg(format!("source {}; edit case.spring", colours.display()))
        .current_dir(session.folder.path())
        .env("HOME", session.folder.path())
        .env("XDG_RUNTIME_DIR", session.folder.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(std::fs::File::create(&log).unwrap());
    let mut editor = Editor(command.spawn().unwrap());
    let resize = r#"{"jsonrpc": "2.0", "method": "resize", "params": [40, 100]}"#;
    let mut input = editor.0.stdin.take().unwrap();
    writeln!(input, "{resize}").unwrap();
    let lines = BufReader::new(editor.0.stdout.take().unwrap()).lines();
    let (send, drawings) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        for line in lines.map_while(Result::ok) {
            let message: Value = serde_json::from_str(&line).unwrap_or_default();
            if message["method"] == "draw" && send.send(drawn(&message)).is_err() {
                return;
            }
        }
    });
    let (begun, mut last) = (Instant::now(), Vec::new());
    let has = |drawing: &[(String, String)], text: &str, colour: &str| {
        drawing.iter().any(|(t, c)| t == text && c == colour)
    };
    while begun.elapsed() < Duration::from_secs(30) && !has(&last, "upper", "blue") {
        last = drawings.recv_timeout(Duration::from_secs(30)).unwrap_or_default();
    }
    for (text, colour) in
        [("upper", "blue"), ("palatal", "green"), ("deg", "yellow"), ("2026-11-23", "red")]
    {
        let said = std::fs::read_to_string(&log).unwrap_or_default();
        assert!(has(&last, text, colour), "{text} is not {colour}: {last:?}\n{said}");
    }
}
