//! Points that are picked: which files a page reaches, and what becomes of them.

use std::fs;

use serde_json::{Value, json};

use crate::client::{Home, status};

const ROWS: &str = "tooth,point,x,y\nscale,30 mm,0,0\nscale,30 mm,600,0\n";

/// A PNG of one pixel, with a note that is nobody's business.
fn picture() -> Vec<u8> {
    let part = |name: &[u8; 4], content: &[u8]| {
        [&(content.len() as u32).to_be_bytes()[..], name, content, &[0; 4]].concat()
    };
    [
        b"\x89PNG\r\n\x1a\n".to_vec(),
        part(b"IHDR", &[0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0]),
        part(b"tEXt", b"Comment\0taken at home"),
        part(b"IDAT", b"pixels"),
        part(b"IEND", b""),
    ]
    .concat()
}

fn with_picture() -> Home {
    let home = Home::new();
    fs::write(home.plans().join("scan.png"), picture()).unwrap();
    home
}

#[test]
fn a_picture_is_sent_once_and_without_its_notes() {
    let home = with_picture();
    let desk = home.start();
    let mut tab = desk.enter(&desk.word);
    let found = tab.ask("desk/sources", json!({})).unwrap();
    assert_eq!(found["sources"], json!(["scan.png"]));
    let at = tab.ask("desk/source", json!({"doc": "scan.png"})).unwrap();
    assert_eq!((&at["kind"], &at["picture"]), (&json!("png"), &json!(true)));
    let path = at["address"].as_str().unwrap();
    let sent = desk.get(path);
    assert!(sent.contains("image/png") && sent.contains("pixels") && sent.contains("nosniff"));
    assert!(!sent.contains("taken at home"));
    assert_eq!(status(&desk.get(path)), 404, "the second time there is none");
    assert_eq!(status(&desk.get("/print/0123456789abcdef0123456789abcdef")), 404);
}

#[test]
fn nothing_outside_the_folder_is_read_or_written() {
    let home = with_picture();
    fs::write(home.path().join("outside.png"), picture()).unwrap();
    fs::write(home.path().join("outside.csv"), ROWS).unwrap();
    fs::write(home.plans().join("notes.txt"), "mine").unwrap();
    #[cfg(unix)]
    for name in ["png", "csv"] {
        let from = home.path().join(format!("outside.{name}"));
        std::os::unix::fs::symlink(from, home.plans().join(format!("link.{name}"))).unwrap();
    }
    let desk = home.start();
    let mut tab = desk.enter(&desk.word);
    for doc in [
        "../outside.png",
        "%2e%2e/outside.png",
        "/etc/passwd",
        "link.png",
        "notes.txt",
        "a.spring",
        "",
    ] {
        assert!(tab.ask("desk/source", json!({"doc": doc})).is_err(), "{doc}");
    }
    for doc in ["../outside.csv", "link.csv", "notes.txt", "no/where.csv", "scan.png", ".csv"] {
        assert!(tab.ask("desk/attach", json!({"doc": doc})).is_err(), "{doc}");
        assert!(tab.ask("desk/points", json!({"doc": doc, "text": ROWS})).is_err(), "{doc}");
        assert!(tab.ask("desk/save", json!({"doc": doc, "base": "gone"})).is_err(), "{doc}");
        assert!(
            tab.ask("desk/measured", json!({"doc": doc, "case": "a.spring"})).is_err(),
            "{doc}"
        );
    }
    assert_eq!(fs::read_to_string(home.path().join("outside.csv")).unwrap(), ROWS);
    assert!(tab.ask("desk/points", json!({"doc": "scan.csv", "text": ROWS})).is_err(), "not open");
    desk.assert_alive();
}

#[test]
fn points_are_kept_and_written_when_they_are_saved() {
    let home = with_picture();
    let csv = home.plans().join("scan.csv");
    let desk = home.start();
    let mut tab = desk.enter(&desk.word);
    let open = tab.ask("desk/attach", json!({"doc": "scan.csv"})).unwrap();
    assert_eq!((&open["text"], &open["base"]), (&json!(""), &json!("gone")));
    let points =
        |case: Value| json!({"doc": "scan.csv", "text": ROWS, "base": "gone", "case": case});
    let read = tab.ask("desk/points", points(json!("a.spring"))).unwrap();
    assert_eq!(read["rows"]["scale"].as_array().unwrap().len(), 2);
    assert_eq!(read["mayWrite"], false);
    assert!(tab.ask("desk/points", points(json!("../a.spring"))).is_err());
    assert!(!csv.exists(), "nobody saved");
    tab.ask("desk/save", json!({"doc": "scan.csv", "base": "gone"})).unwrap();
    assert_eq!(fs::read_to_string(&csv).unwrap(), ROWS);
    // Another table than the one that was read is not written over.
    tab.ask("desk/points", json!({"doc": "scan.csv", "text": format!("# more\n{ROWS}")})).unwrap();
    fs::write(&csv, "by hand\n").unwrap();
    let saved = tab.ask("desk/save", json!({"doc": "scan.csv", "base": open["base"]})).unwrap();
    assert_eq!(saved["conflict"]["text"], "by hand\n");
    assert_eq!(fs::read_to_string(&csv).unwrap(), "by hand\n");
}

#[test]
fn a_page_for_one_picture_reaches_no_other_file() {
    let home = with_picture();
    fs::write(home.plans().join("other.png"), picture()).unwrap();
    let desk = home.start_pick(&["scan.png", "--case", "a.spring"]);
    assert!(desk.get("/").contains("/pick.js"));
    for host in ["evil.example", "127.0.0.1"] {
        let answer = desk.ask(&["GET / HTTP/1.1", &format!("Host: {host}"), "Connection: close"]);
        assert_eq!(status(&answer), 403, "{host}");
    }
    let mut tab = desk.socket();
    assert!(tab.ask("desk/enter", json!({"word": "0123456789abcdef0123456789abcdef"})).is_err());
    let mut tab = desk.socket();
    let entered = tab.ask("desk/enter", json!({"word": desk.word})).unwrap();
    assert_eq!(
        entered["task"],
        json!({"source": "scan.png", "points": "scan.csv", "case": "a.spring"})
    );
    assert!(tab.ask("desk/source", json!({"doc": "scan.png"})).is_ok());
    for (method, params) in [
        ("desk/source", json!({"doc": "other.png"})),
        ("desk/attach", json!({"doc": "a.spring"})),
        ("desk/attach", json!({"doc": "other.csv"})),
        ("desk/cases", json!({})),
        ("desk/sources", json!({})),
        ("desk/create", json!({"doc": "new.spring", "text": "x"})),
        ("desk/print", json!({"what": "visit", "doc": "a.spring"})),
        ("springline/newForm", json!({"kind": "case"})),
        ("initialize", json!({"capabilities": {}})),
    ] {
        assert!(tab.ask(method, params.clone()).is_err(), "{method} {params}");
    }
    let mut again = desk.socket();
    assert!(again.ask("desk/enter", json!({"word": desk.word})).is_err(), "used");
}

#[test]
fn files_that_cannot_be_picked_on_are_refused_with_a_remedy() {
    let home = with_picture();
    for (arguments, said) in [
        (vec!["a.spring"], "PNG or JPEG"),
        (vec!["none.png"], "Check the spelling"),
        (vec!["scan.png", "--out", "points.txt"], "ends in .csv"),
        (vec!["scan.png", "--case", "saltmarsh.spring"], "cannot be read as a case"),
        (vec!["scan.png", "--out", "no/where.csv"], "Check the spelling"),
    ] {
        let out = assert_cmd::Command::cargo_bin("springline")
            .unwrap()
            .args(["pick", "--no-browser"])
            .args(&arguments)
            .current_dir(home.plans())
            .env("XDG_STATE_HOME", home.path().join("state"))
            .output()
            .unwrap();
        let told = String::from_utf8_lossy(&out.stderr).replace('\n', " ");
        assert_eq!(out.status.code(), Some(2), "{arguments:?}: {told}");
        let plain: String =
            told.split_whitespace().filter(|w| *w != "│").collect::<Vec<_>>().join(" ");
        assert!(plain.contains(said), "{arguments:?}: {plain}");
    }
}

#[test]
fn the_library_for_scans_stays_small() {
    let size = |name: &str| {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/desk").join(name);
        fs::metadata(path).unwrap().len()
    };
    let sizes = ["desk.js", "desk-chunk.js", "pick.js", "mesh.js"].map(size);
    println!("bytes of desk.js, desk-chunk.js, pick.js, mesh.js: {sizes:?}");
    assert!(sizes[2] < 60_000 && sizes[3] < 700_000, "{sizes:?}");
}
