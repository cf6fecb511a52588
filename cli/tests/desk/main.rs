//! The desk as others on the machine, other pages and other programs meet it, and what becomes of texts.

mod client;
mod picking;

use std::fs;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use client::{CASE, Came, Home, Tab, read_address, status};

#[test]
fn only_this_machine_by_its_own_name_is_answered() {
    let home = Home::new();
    let desk = home.start();
    let port = desk.port;
    for host in [
        "evil.example".to_owned(),
        format!("evil.example:{port}"),
        format!("127.0.0.1.evil.example:{port}"),
        format!("localhost.:{port}"),
        format!("127.0.0.1:{port}."),
        format!("127.1:{port}"),
        format!("127.0.0.1:{}", port.wrapping_add(1)),
        "127.0.0.1".to_owned(),
        String::new(),
    ] {
        let answer = desk.ask(&["GET / HTTP/1.1", &format!("Host: {host}"), "Connection: close"]);
        assert_eq!(status(&answer), 403, "{host}: {answer}");
    }
    let own = format!("Host: 127.0.0.1:{port}");
    for lines in [
        vec!["GET / HTTP/1.1", "Connection: close"],
        vec!["GET / HTTP/1.1", &own, "Host: evil.example", "Connection: close"],
        vec!["GET http://evil.example/ HTTP/1.1", &own, "Connection: close"],
    ] {
        assert_eq!(status(&desk.ask(&lines)), 403, "{lines:?}");
    }
    let answer =
        desk.ask(&["GET / HTTP/1.1", &format!("Host: localhost:{port}"), "Connection: close"]);
    assert_eq!(status(&answer), 200);
}

#[test]
fn only_the_desks_own_page_opens_a_socket() {
    let home = Home::new();
    let desk = home.start();
    let host = format!("Host: {}", desk.own());
    for origin in [
        "Origin: http://evil.example".to_owned(),
        "Origin: null".to_owned(),
        format!("Origin: https://127.0.0.1:{}", desk.port),
        format!("Origin: http://127.0.0.1:{}", desk.port.wrapping_add(1)),
        format!("Origin: http://127.0.0.1:{}.evil.example", desk.port),
        "X-No-Origin: 1".to_owned(),
    ] {
        assert_eq!(Tab::open(desk.port, &[&host, &origin]).err(), Some(403), "{origin}");
    }
    let own = format!("Origin: http://{}", desk.own());
    let twice = [host.as_str(), own.as_str(), "Origin: http://evil.example"];
    assert_eq!(Tab::open(desk.port, &twice).err(), Some(403));
}

#[test]
fn a_word_opens_once_and_a_session_again() {
    let home = Home::new();
    let desk = home.start();
    let refused = |params: Value| {
        let mut tab = desk.socket();
        assert!(tab.ask("desk/enter", params.clone()).is_err(), "{params}");
        assert_eq!(tab.receive(), Came::Closed(Some(4003)));
    };
    refused(json!({"word": "0123456789abcdef0123456789abcdef"}));
    refused(json!({"word": "../words"}));
    refused(json!({}));
    let entered = desk.socket().ask("desk/enter", json!({"word": desk.word})).unwrap();
    refused(json!({"word": desk.word}));
    let again = desk.socket().ask("desk/enter", json!({"session": entered["session"]}));
    assert_eq!(again.unwrap()["session"], entered["session"]);
    // Anything else before that closes the line.
    let mut tab = desk.socket();
    tab.tell("initialize", json!({}));
    assert!(matches!(tab.receive(), Came::Closed(_)));
    desk.assert_alive();
}

#[test]
fn who_says_nothing_is_not_waited_for() {
    let home = Home::new();
    let desk = home.start();
    let began = Instant::now();
    assert!(matches!(desk.socket().receive(), Came::Closed(_)));
    let half = desk.ask(&["GET / HTTP/1.1\r\nHost: half"]);
    assert!(half.is_empty() || matches!(status(&half), 403 | 408), "{half}");
    assert!(began.elapsed() < Duration::from_secs(20));
    desk.assert_alive();
}

#[test]
fn the_page_may_run_nothing_but_its_own_script() {
    let home = Home::new();
    let desk = home.start();
    let page = desk.get("/").to_lowercase();
    for part in [
        "default-src 'none'",
        "script-src 'self';",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "form-action 'none'",
        "require-trusted-types-for 'script'",
        "x-frame-options: deny",
        "cache-control: no-store",
        "x-content-type-options: nosniff",
        "referrer-policy: no-referrer",
    ] {
        assert!(page.contains(part), "{part} is missing: {page}");
    }
    assert!(!page.contains("unsafe-inline") && !page.contains("unsafe-eval"));
    assert!(!page.contains("set-cookie"), "other ports would be sent it");
    let nonce = |page: &str| page.split("'nonce-").nth(1).map(|n| n[..32].to_owned()).unwrap();
    assert_ne!(nonce(&page), nonce(&desk.get("/").to_lowercase()), "a new one each time");
    for path in [
        "/desk.js",
        "/desk-chunk.js",
        "/desk-differs.js",
        "/desk.css",
        "/licences.txt",
        "/pick",
        "/pick.js",
        "/pick.css",
        "/mesh.js",
    ] {
        assert_eq!(status(&desk.get(path)), 200, "{path}");
    }
    for path in [
        "/a.spring",
        "/../a.spring",
        "/%2e%2e/a.spring",
        "/desk.js/../../Cargo.toml",
        "/print/",
        "/print/0",
        "/words",
        "//etc/passwd",
        "/desk.html",
        "/pick.html",
        "/pick/",
        "/scan.png",
    ] {
        assert_eq!(status(&desk.get(path)), 404, "{path}");
    }
}

#[test]
fn sizes_and_numbers_are_bounded() {
    let home = Home::new();
    let desk = home.start();
    let long = format!("X-Long: {}", "a".repeat(64 * 1024));
    let answer = desk.ask(&["GET / HTTP/1.1", &format!("Host: {}", desk.own()), &long]);
    assert_ne!(status(&answer), 200);
    let mut tab = desk.enter(&desk.word);
    assert!(tab.send("no json at all"));
    assert!(tab.ask("desk/nothing", json!({})).is_err(), "refused, and the line stays");
    let whole = "x".repeat(100 << 20);
    tab.send(&whole);
    assert!(matches!(tab.receive_to_end(), Came::Closed(_)));
    desk.assert_alive();
    let answer = desk.post(whole.as_bytes());
    assert!([0, 404, 405, 413].contains(&status(&answer)), "{answer}");
    drop(whole);
    desk.assert_alive();
    let mut tabs = Vec::new();
    let mut refused = 0;
    for _ in 0..1000 {
        let origin = format!("Origin: http://{}", desk.own());
        match Tab::open(desk.port, &[&format!("Host: {}", desk.own()), &origin]) {
            Ok(tab) => tabs.push(tab),
            Err(status) => {
                assert_eq!(status, 503);
                refused += 1;
            }
        }
    }
    assert!(tabs.len() <= 16 && refused >= 984, "{} open", tabs.len());
    drop(tabs);
    desk.assert_alive();
}

impl Tab {
    fn receive_to_end(&mut self) -> Came {
        loop {
            if let Came::Closed(code) = self.receive() {
                return Came::Closed(code);
            }
        }
    }
}

#[test]
fn a_page_reaches_plans_of_the_folder_alone() {
    let home = Home::new();
    fs::write(home.path().join("outside.spring"), CASE).unwrap();
    fs::write(home.plans().join("notes.txt"), "mine").unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink(
        home.path().join("outside.spring"),
        home.plans().join("link.spring"),
    )
    .unwrap();
    let desk = home.start();
    let mut tab = desk.enter(&desk.word);
    for doc in [
        "../outside.spring",
        "%2e%2e/outside.spring",
        "/etc/passwd",
        "link.spring",
        "notes.txt",
        "",
    ] {
        assert!(tab.ask("desk/attach", json!({"doc": doc})).is_err(), "{doc}");
        assert!(tab.ask("desk/save", json!({"doc": doc, "base": ""})).is_err(), "{doc}");
        assert!(tab.ask("desk/create", json!({"doc": doc, "text": "x"})).is_err(), "{doc}");
        assert!(tab.ask("desk/print", json!({"what": "visit", "doc": doc})).is_err(), "{doc}");
    }
    assert!(tab.ask("desk/create", json!({"doc": "a.spring", "text": "x"})).is_err());
    assert!(tab.ask("desk/save", json!({"doc": "a.spring", "base": ""})).is_err(), "not open here");
    let outside = format!("file://{}/outside.spring", home.path().display());
    let document = json!({"uri": outside, "languageId": "springline", "version": 1, "text": "x"});
    tab.tell("textDocument/didOpen", json!({"textDocument": document}));
    assert!(tab.ask("textDocument/hover", json!({"textDocument": {"uri": outside}})).is_err());
    for method in ["shutdown", "exit", "workspace/executeCommand", "workspace/symbol"] {
        assert!(tab.ask(method, json!({})).is_err(), "{method}");
    }
    assert_eq!(fs::read_to_string(home.path().join("outside.spring")).unwrap(), CASE);
    assert!(
        tab.ask("desk/create", json!({"doc": "new.spring", "text": "case \"SM-0001\"\n"})).is_ok()
    );
    assert!(home.plans().join("new.spring").exists());
}

#[test]
fn a_text_is_saved_unless_someone_else_has_saved_meanwhile() {
    let home = Home::new();
    let desk = home.start();
    let mut tab = desk.enter(&desk.word);
    let mut open = tab.attach("a.spring");
    assert_eq!((&open["text"], &open["writer"]), (&json!(CASE), &json!(true)));
    let mine = CASE.replace("doctor", "// mine\ndoctor");
    tab.write(&open, &mine);
    open["base"] = tab.save(&open).unwrap()["base"].clone();
    assert_eq!(fs::read_to_string(home.case()).unwrap(), mine);
    let theirs = format!("{mine}// theirs\n");
    tab.write(&open, &format!("{mine}// mine again\n"));
    fs::write(home.case(), &theirs).unwrap();
    let conflict = tab.save(&open).unwrap()["conflict"].clone();
    assert_eq!(conflict["text"], json!(theirs));
    assert_eq!(fs::read_to_string(home.case()).unwrap(), theirs);
    open["base"] = conflict["base"].clone();
    assert!(tab.save(&open).unwrap().get("base").is_some(), "decided");
    assert!(fs::read_to_string(home.case()).unwrap().ends_with("// mine again\n"));
}

#[test]
fn a_change_outside_is_told() {
    let home = Home::new();
    let desk = home.start();
    let mut tab = desk.enter(&desk.word);
    let open = tab.attach("a.spring");
    fs::write(home.case(), format!("{CASE}// outside\n")).unwrap();
    let told = tab.wait_for("desk/changed");
    assert_eq!(told["text"], json!(format!("{CASE}// outside\n")));
    tab.write(&open, "// typed before it was heard of\n");
    assert!(tab.save(&open).unwrap().get("conflict").is_some());
    fs::write(home.plans().join("b.spring"), CASE.replace("SM-0392", "SM-0393")).unwrap();
    tab.wait_for("desk/listed");
    let names = tab.ask("desk/cases", json!({})).unwrap();
    assert_eq!(names["names"], json!(["a.spring", "b.spring", "saltmarsh.spring"]));
}

#[test]
fn rows_follow_the_names() {
    let home = Home::new();
    let desk = home.start();
    let mut tab = desk.enter(&desk.word);
    tab.ask("desk/cases", json!({})).unwrap();
    let mut rows = Vec::new();
    loop {
        let told = tab.wait_for("desk/rows");
        rows.extend(told["rows"].as_array().unwrap().clone());
        if told["done"] == true {
            break;
        }
    }
    let case = rows.iter().find(|row| row["doc"] == "a.spring").unwrap();
    assert_eq!(case["chart"], "SM-0392");
    assert!(
        case["visits"].as_array().unwrap().iter().all(|v| v["minutes"].as_f64().unwrap() > 0.0)
    );
    assert!(rows.iter().any(|row| row["house"] == true));
}

#[test]
fn one_tab_writes_and_another_reads_along() {
    let home = Home::new();
    let desk = home.start();
    let mut one = desk.enter(&desk.word);
    let word = one.ask("desk/another", json!({})).unwrap()["word"].as_str().unwrap().to_owned();
    let mut two = desk.enter(&word);
    let open = one.attach("a.spring");
    let along = two.attach("a.spring");
    assert_eq!((&open["writer"], &along["writer"]), (&json!(true), &json!(false)));
    one.write(&open, "// one\n");
    assert_eq!(two.wait_for("desk/text")["text"], "// one\n");
    two.write(&along, "// two\n");
    assert!(two.save(&along).is_err());
    let taken = two.ask("desk/attach", json!({"doc": "a.spring", "take": true})).unwrap();
    assert_eq!((&taken["writer"], &taken["text"]), (&json!(true), &json!("// one\n")));
    one.wait_for("desk/taken");
    assert!(one.save(&open).is_err());
}

#[test]
fn a_paper_has_an_address_that_is_good_once() {
    let home = Home::new();
    let desk = home.start();
    let mut tab = desk.enter(&desk.word);
    let open = tab.attach("a.spring");
    tab.write(&open, &format!("{CASE}// not saved\n"));
    assert!(
        tab.ask("desk/print", json!({"what": "visit", "doc": "a.spring"})).is_err(),
        "not saved"
    );
    tab.save(&open).unwrap();
    for wanted in
        [json!({"what": "visit", "doc": "a.spring"}), json!({"what": "sheet", "doc": "a.spring"})]
    {
        let printed = tab.ask("desk/print", wanted).unwrap();
        let path = printed["address"].as_str().unwrap();
        let host = format!("Host: {}", desk.own());
        let head = desk.ask(&[&format!("HEAD {path} HTTP/1.1"), &host, "Connection: close"]);
        assert_eq!(status(&head), 404, "its head alone does not use it up");
        let first = desk.get(path);
        assert!(first.contains("application/pdf") && first.contains("%PDF-"), "a paper");
        assert_eq!(status(&desk.get(path)), 404);
    }
    let why = tab.ask("desk/print", json!({"what": "day", "day": "2026-11-22"})).unwrap_err();
    assert!(why.contains("Nobody is planned"), "{why}");
}

#[test]
fn a_second_start_finds_the_first() {
    let home = Home::new();
    let desk = home.start();
    let second = home.command().output().unwrap();
    assert!(second.status.success());
    let (port, word) =
        read_address(String::from_utf8_lossy(&second.stdout).lines().next().unwrap());
    assert_eq!(port, desk.port);
    desk.enter(&word);
}

#[cfg(unix)]
#[test]
fn ended_by_the_keyboard_it_keeps_what_is_not_saved() {
    let home = Home::new();
    let mut desk = home.start();
    let mut tab = desk.enter(&desk.word);
    let open = tab.attach("a.spring");
    let text = format!("{CASE}// not saved\n");
    tab.write(&open, &text);
    tab.ask("desk/another", json!({})).unwrap();
    let id = desk.child.id().to_string();
    assert!(std::process::Command::new("kill").args(["-INT", &id]).status().unwrap().success());
    assert_eq!(tab.receive_to_end(), Came::Closed(Some(4001)), "the page hears of it");
    assert!(desk.child.wait().unwrap().success());
    assert_eq!(fs::read_to_string(home.case()).unwrap(), CASE);
    let again = home.start();
    let mut tab = again.enter(&again.word);
    let found = tab.attach("a.spring");
    assert_eq!((&found["text"], &found["recovered"]), (&json!(text), &json!(true)));
    let state = home.path().join("state/springline");
    use std::os::unix::fs::PermissionsExt as _;
    for entry in walkdir::WalkDir::new(&state).into_iter().flatten().filter(|e| e.depth() > 0) {
        let mode = fs::metadata(entry.path()).unwrap().permissions().mode();
        let inside = entry.path().strip_prefix(&state).unwrap().components().count() > 2;
        assert!(!inside || entry.file_type().is_file() || mode & 0o077 == 0, "{:?}", entry.path());
    }
}

#[test]
fn the_page_is_that_of_its_sources() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../editors/desk");
    let mut files: Vec<String> = fs::read_dir(root.join("src"))
        .unwrap()
        .map(|entry| format!("src/{}", entry.unwrap().file_name().to_string_lossy()))
        .chain(["page.html", "pick.html", "package-lock.json"].map(str::to_owned))
        .collect();
    files.sort();
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for file in &files {
        let bytes = fs::read(root.join(file)).unwrap();
        for byte in file.bytes().chain(bytes) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3);
        }
    }
    let mark = format!("springline desk {hash:016x},");
    for made in [
        "desk.js",
        "desk-chunk.js",
        "desk-differs.js",
        "desk.css",
        "pick.js",
        "pick.css",
        "mesh.js",
    ] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/desk").join(made);
        let text = fs::read_to_string(path).unwrap();
        let first = text.lines().next().unwrap_or_default();
        assert!(
            first.contains(&mark),
            "{made} is not made of these sources; run editors/desk/build"
        );
    }
}
