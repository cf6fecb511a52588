//! From a key to fresh diagnostics, mechanics included, over the wire: `cargo bench -p springline-lsp`.
//!
//! The server is the program itself, in a process of its own. A key is one `didChange`; its time ends
//! when the whole list of findings for that text has arrived. Nothing is timed between keys, so there
//! is no pause in which the server could get ahead, as there is when a person types.

mod server;
mod session;

use std::path::Path;
use std::time::{Duration, Instant};

use serde_json::Value;

use server::Server;
use session::Kind;

const KEYS: usize = 200;

/// So many of a session's slowest keys are shown with their lines.
const SLOWEST: usize = 12;

/// A two-arch case of so many lines: one of the examples, with notes as long treatments gather them.
fn case(root: &Path, lines: usize) -> String {
    let mut text = std::fs::read_to_string(root.join("cases/sm-0410-both-arches.spring"))
        .expect("the example");
    let have = text.lines().count();
    for n in 1..=lines.saturating_sub(have) {
        text.push_str(&format!("note \"remark {n}: nothing to be seen\" // written by the desk\n"));
    }
    text
}

/// Line and character behind a piece of text.
fn behind(text: &str, what: &str) -> (usize, usize) {
    let at = text.find(what).expect("the place") + what.len();
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    (text[..at].matches('\n').count(), at - start)
}

/// Types a character and deletes it again, over and over; each is a key.
fn keys(server: &mut Server, (line, character): (usize, usize), typed: &str) -> Vec<Duration> {
    let key = |n: usize| {
        let begun = Instant::now();
        match n % 2 {
            0 => server.key(line, character, 0, typed),
            _ => server.key(line, character + typed.len(), typed.len(), ""),
        }
        server.findings(begun).0
    };
    (0..KEYS).map(key).collect()
}

/// Another figure with every key, so that nothing of that arch is remembered.
fn figures(server: &mut Server, (line, character): (usize, usize)) -> Vec<Duration> {
    let key = |n: usize| {
        let width = if n == 0 { 2 } else { 5 };
        let begun = Instant::now();
        server.key(line, character + width, width, &format!("20.{n:02}"));
        server.findings(begun).0
    };
    (0..KEYS / 5).map(key).collect()
}

/// Only the language: a change, and the outline of the text after it.
fn outlines(server: &mut Server, (line, character): (usize, usize)) -> Vec<Duration> {
    let key = |n: usize| {
        let begun = Instant::now();
        let back = n % 2;
        server.key(line, character + back, back, if back == 0 { "x" } else { "" });
        server.ask("documentSymbol");
        begun.elapsed()
    };
    (0..KEYS).map(key).collect()
}

/// Ten of the examples opened and checked: what the process has held at most.
fn memory(server: &mut Server, root: &Path) {
    let mut files: Vec<_> = std::fs::read_dir(root.join("cases"))
        .expect("the cases")
        .flatten()
        .map(|entry| entry.path())
        .collect();
    files.sort();
    for path in files.iter().take(10) {
        let text = std::fs::read_to_string(path).expect("a case");
        server.open(&format!("file://{}", path.display()), &text);
        server.ask("codeLens");
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
        "{what:<46} {:4} keys   fastest {:6.2}   median {:6.2}   95 % {:6.2}   worst {:6.2} ms",
        times.len(),
        at(0.0),
        at(0.5),
        at(0.95),
        at(1.0)
    );
}

fn start(root: &Path, text: &str) -> Server {
    let uri = format!("file://{}/cases/bench.spring", root.display());
    let mut server = Server::start(root);
    server.open(&uri, text);
    server
}

fn stop(mut server: Server) {
    server.request("shutdown", Value::Null);
    server.notify("exit", Value::Null);
    let _ = server.child.wait();
}

/// A session as a doctor types it, and its kinds one by one.
fn a_session(root: &Path) {
    let mut text = case(root, 300);
    let mut server = start(root, &text);
    server.ask("codeLens");
    let mut keys = session::typed(&mut server, &mut text);
    show("a session of typing", keys.iter().map(|key| key.took).collect());
    for kind in Kind::ALL {
        let of = keys.iter().filter(|key| key.kind == kind).map(|key| key.took).collect();
        show(kind.says(), of);
    }
    keys.sort_by_key(|key| std::cmp::Reverse(key.took));
    for key in keys.iter().take(SLOWEST) {
        println!("    {:6.1} ms at `{}`", key.took.as_secs_f64() * 1e3, key.line);
    }
    stop(server);
}

/// How a key's cost follows the length of the file.
fn lengths(root: &Path) {
    for lines in [300, 1_000, 10_000] {
        let text = case(root, lines);
        let mut server = start(root, &text);
        server.ask("codeLens");
        let times = keys(&mut server, behind(&text, "remark 100: nothing"), "x");
        show(&format!("a letter in a note, {lines} lines"), times);
        stop(server);
    }
}

fn main() {
    // `cargo test` builds benches too, and runs them to see whether they work.
    if !std::env::args().any(|arg| arg == "--bench") {
        return;
    }
    let root = std::fs::canonicalize(concat!(env!("CARGO_MANIFEST_DIR"), "/../examples"))
        .expect("the examples");
    let text = case(&root, 300);
    let begun = Instant::now();
    let mut server = start(&root, &text);
    server.ask("diagnostic");
    let cold = begun.elapsed();
    let (whole, found) = server.findings(begun);
    println!(
        "300 lines, {found} findings; cold start to first diagnostics {cold:.1?}, to the whole check {whole:.1?}"
    );
    for (what, after, typed) in [
        ("a letter in a note", "remark 100: nothing", "x"),
        ("a letter in a comment, first lines", "case \"SM-0410\"", " // x"),
        ("a word of the language misspelt", "follow", "x"),
    ] {
        let times = keys(&mut server, behind(&text, after), typed);
        show(what, times);
    }
    let place = behind(&text, "remark 100: nothing");
    show("the language alone, and the outline", outlines(&mut server, place));
    let place = behind(&text, "tooth 22 rotated ");
    show("another stand each time, mechanics anew", figures(&mut server, place));
    memory(&mut server, &root);
    stop(server);
    a_session(&root);
    lengths(&root);
}
