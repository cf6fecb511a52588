//! Files and messages that may be there by mistake or by malice: none of them stops the server.

use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::Duration;

use serde_json::json;

use crate::client::{Client, pushing};
use crate::{CASE, URI};

/// Without an end a hanging server would never fail a test.
async fn in_time<T>(work: impl Future<Output = T>) -> T {
    tokio::time::timeout(Duration::from_secs(40), work).await.expect("the server answers")
}

fn pipe(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}

/// A house that is not found is looked for among what lies beside the case: a pipe would be waited for
/// and a device read without end, with every other document waiting as well.
#[cfg(unix)]
#[tokio::test(flavor = "multi_thread")]
async fn what_never_ends_beside_a_case_stops_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let root = fs::canonicalize(folder.path()).unwrap();
    pipe(&root.join("pipe.spring"));
    std::os::unix::fs::symlink("/dev/zero", root.join("zero.spring")).unwrap();
    fs::write(root.join("real.spring"), "springline 1\nhouse \"Real\"\ndefaults 1\n").unwrap();
    let mut client = Client::start_in(pushing(), Some(&root)).await;
    let case = uri(&root.join("case.spring"));
    for (version, used) in (1..).zip(["nowhere", "pipe", "zero"]) {
        let text = CASE.replace("doctor KL", &format!("use {used}\ndoctor KL"));
        if version == 1 {
            client.open(&case, version, &text).await;
        } else {
            client.change(&case, version, json!([{"text": text}])).await;
        }
        let found = in_time(client.settled(&case, version)).await;
        let told = serde_json::to_string(&found).unwrap();
        let expected = match used {
            "nowhere" => "name/house-not-found",
            "pipe" => "it is a named pipe",
            _ => "it is a device",
        };
        assert!(told.contains(expected), "{used}: {told}");
    }
    client.open(URI, 1, CASE).await;
    in_time(client.settled(URI, 1)).await;
    let symbols = client.request("workspace/symbol", json!({"query": "retain"}));
    assert!(in_time(symbols).await.as_array().is_some_and(|all| !all.is_empty()));
}

/// Searching the folder as well: what cannot be read is passed by, and the rest is found.
#[cfg(unix)]
#[tokio::test(flavor = "multi_thread")]
async fn a_folder_with_every_trick_is_searched_all_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let root = fs::canonicalize(folder.path()).unwrap();
    let write = |name: &str, bytes: &[u8]| fs::write(root.join(name), bytes).unwrap();
    pipe(&root.join("pipe.spring"));
    for (to, name) in [
        ("/dev/zero", "zero.spring"),
        ("gone", "gone.spring"),
        ("loop.spring", "loop.spring"),
        ("/", "all"),
    ] {
        std::os::unix::fs::symlink(to, root.join(name)).unwrap();
    }
    write("binary.spring", b"\x00\xff\xfe");
    write("n\nl\u{1b}[8m.spring", CASE.as_bytes());
    write("-dash.spring", CASE.as_bytes());
    fs::create_dir(root.join("folder.spring")).unwrap();
    let mut client = Client::start_in(pushing(), Some(&root)).await;
    let case = uri(&root.join("case.spring"));
    let text = CASE.replace("SM-0001", "SM-1\u{1b}]0;x\u{7}\u{202e}");
    client.open(&case, 1, &text).await;
    let found = in_time(client.settled(&case, 1)).await;
    assert!(found.iter().any(|d| d["code"] == "syntax/hidden-character"), "{found:?}");
    let symbols = client.request("workspace/symbol", json!({"query": "retain"}));
    assert_eq!(in_time(symbols).await.as_array().map(Vec::len), Some(3));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_message_too_large_is_told() {
    let mut client = Client::start(pushing()).await;
    let length = (64 << 20) + 1;
    client.send_bytes(format!("Content-Length: {length}\r\n\r\n").as_bytes()).await;
    assert_eq!(client.nameless_error().await, -32700);
    while client.shown.is_empty() {
        in_time(client.receive()).await;
    }
    assert!(
        client.shown[0].contains("64 MiB") && client.shown[0].contains("did not accept it"),
        "{:?}",
        client.shown
    );
}

/// Every snapshot knows what was open when it was made. Copied for each, that grows with the square: the
/// review measured 935 MiB for 4 000 documents.
#[cfg(target_os = "linux")]
#[test]
fn memory_keeps_step_with_the_documents_opened() {
    use std::io::{Read as _, Write as _};
    let mut server = Command::new(env!("CARGO_BIN_EXE_springline-lsp"))
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = server.stdin.take().unwrap();
    let mut output = server.stdout.take().unwrap();
    let reading = std::thread::spawn(move || {
        let mut bytes = [0u8; 64 * 1024];
        let mut seen = Vec::new();
        while let Ok(count) = output.read(&mut bytes) {
            if count == 0 {
                return false;
            }
            seen.extend_from_slice(&bytes[..count]);
            if seen.windows(7).any(|w| w == b"\"id\":77") {
                return true;
            }
            let keep = seen.len().saturating_sub(16);
            seen.drain(..keep);
        }
        false
    });
    let mut send = |message: serde_json::Value| {
        let body = message.to_string();
        write!(input, "Content-Length: {}\r\n\r\n{body}", body.len()).unwrap();
    };
    send(
        json!({"jsonrpc": "2.0", "id": 1, "method": "initialize", "params": {"capabilities": {}}}),
    );
    send(json!({"jsonrpc": "2.0", "method": "initialized", "params": {}}));
    for number in 0..4000 {
        let document = json!({
            "uri": format!("file:///work/practice/cases/sm-{number:05}.spring"),
            "languageId": "springline", "version": 1, "text": CASE
        });
        let params = json!({"textDocument": document});
        send(json!({"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": params}));
    }
    let place = json!({
        "textDocument": {"uri": "file:///work/practice/cases/sm-03999.spring"},
        "position": {"line": 0, "character": 0}
    });
    send(json!({"jsonrpc": "2.0", "id": 77, "method": "textDocument/hover", "params": place}));
    assert!(reading.join().unwrap(), "the server answers");
    let status = fs::read_to_string(format!("/proc/{}/status", server.id())).unwrap();
    let peak = status.lines().find_map(|l| l.strip_prefix("VmHWM:")).unwrap();
    let peak: u64 = peak.trim().trim_end_matches(" kB").parse().unwrap();
    let _ = server.kill();
    let _ = server.wait();
    println!("4000 documents: {} MiB at most", peak >> 10);
    assert!(peak >> 10 < 300, "{} MiB", peak >> 10);
}
