//! What is published while somebody types, and after a pause in typing.

use std::time::Duration;

use serde_json::{Value, json};

use crate::client::{Client, pulling, pushing};
use crate::examples;
use crate::features::place;

const NAME: &str = "cases/sm-0417-lateral-blocked-out.spring";

/// Longer than a busy machine takes to answer a key, so that what is held back is seen held back.
const PAUSE_MS: u64 = 5000;

/// Looks after the pause, however busy the machine is.
const LOOKS: u32 = 60;

/// The hand rests for longer than the pause.
async fn pause() {
    tokio::time::sleep(Duration::from_millis(PAUSE_MS + 500)).await;
}

async fn rest() {
    tokio::time::sleep(Duration::from_millis(500)).await;
}

async fn opened(capabilities: Value) -> (Client, String, String) {
    let root = examples();
    let text = std::fs::read_to_string(root.join(NAME)).unwrap();
    let uri = format!("file://{}/{NAME}", root.display());
    let options = json!({"today": "2026-11-24", "typingPause": PAUSE_MS});
    let mut client = Client::start_with(capabilities, Some(&root), options).await;
    client.open(&uri, 1, &text).await;
    (client, uri, text)
}

fn key(at: &Value, typed: &str) -> Value {
    json!([{"range": {"start": at, "end": at}, "text": typed}])
}

fn codes(list: &[Value]) -> Vec<&str> {
    let mut out: Vec<&str> = list.iter().filter_map(|d| d["code"].as_str()).collect();
    out.sort();
    out
}

#[tokio::test(flavor = "multi_thread")]
async fn a_line_is_told_of_when_the_hand_rests() {
    let (mut client, uri, text) = opened(pushing()).await;
    let before = client.settled(&uri, 1).await;
    let at = place(&text, "  follow firm\n  change");
    client.change(&uri, 2, key(&at, "  tooth 1\n")).await;
    // Findings about pasted text are published at once; those about the next key are held back.
    let pasted = client.settled(&uri, 2).await;
    assert_ne!(codes(&pasted), codes(&before));
    let behind = json!({"line": at["line"], "character": 9});
    client.change(&uri, 3, key(&behind, "4")).await;
    let held = client.settled(&uri, 3).await;
    assert!(!held.iter().any(|d| d["code"] == "unit/missing"), "{held:?}");
    pause().await;
    let mut rested = client.settled(&uri, 3).await;
    for _ in 0..LOOKS {
        if rested.iter().any(|d| d["severity"] == 1) {
            break;
        }
        rest().await;
        rested = client.settled(&uri, 3).await;
    }
    let errors = rested.iter().filter(|d| d["severity"] == 1).count();
    assert!(errors > 0, "{rested:?}");
    // One mistake, one mark: that the arch is not judged is said by the error.
    assert!(!rested.iter().any(|d| d["code"] == "syntax/not-judged"), "{rested:?}");
    let reason = rested.iter().find(|d| d["severity"] == 1).unwrap();
    assert!(reason["relatedInformation"].to_string().contains("not checked"), "{reason}");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_last_verdict_stays_and_says_that_it_is_of_before() {
    let (mut client, uri, text) = opened(pushing()).await;
    let before = client.settled(&uri, 1).await;
    let clinical = |list: &[Value]| {
        list.iter()
            .filter_map(|d| d["code"].as_str())
            .filter(|c| !["syntax", "name", "unit"].contains(&c.split('/').next().unwrap()))
            .count()
    };
    let told = clinical(&before);
    let at = place(&text, "  follow firm\n  change");
    client.change(&uri, 2, key(&at, "\n")).await;
    client.settled(&uri, 2).await;
    for (n, typed) in ["t", "o", "o"].into_iter().enumerate() {
        let here = json!({"line": at["line"], "character": n});
        client.change(&uri, 3 + n as i64, key(&here, typed)).await;
    }
    let now = client.settled(&uri, 5).await;
    assert_eq!(clinical(&now), told, "{now:?}");
    assert!(now.iter().all(|d| d["severity"] != 1 || d["data"]["asOf"] == "before"), "{now:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_client_that_asks_is_told_to_ask_again() {
    let (mut client, uri, text) = opened(pulling()).await;
    let before = client.pull(&uri).await;
    let at = place(&text, "  follow firm\n  change");
    client.change(&uri, 2, key(&at, "x")).await;
    let held = client.pull(&uri).await;
    assert_eq!(codes(&held), codes(&before));
    let asked = client.asked.len();
    pause().await;
    let mut rested = client.pull(&uri).await;
    for _ in 0..LOOKS {
        if rested.iter().any(|d| d["severity"] == 1) {
            break;
        }
        rest().await;
        rested = client.pull(&uri).await;
    }
    assert!(rested.iter().any(|d| d["severity"] == 1), "{rested:?}");
    let again = &client.asked[asked..];
    assert!(again.iter().any(|m| m == "workspace/diagnostic/refresh"), "{again:?}");
}
