//! Forms of visits, new files and force tables over the wire.

use serde_json::{Value, json};

use crate::client::{Client, pulling};
use crate::desk::ask;
use crate::examples;
use crate::features::opened;
use crate::writing::after;

const LATERAL: &str = "cases/sm-0417-lateral-blocked-out.spring";

fn ids(form: &Value, part: &str) -> Vec<String> {
    let lines = form["lines"].as_array().expect("lines").iter();
    let parts = lines.flat_map(|line| line["parts"].as_array().expect("parts"));
    let of_kind = parts.filter(|p| p["part"] == part);
    of_kind.map(|p| p["id"].as_str().expect("an id").to_owned()).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn the_form_of_a_visit_comes_as_data_with_nothing_filled_in() {
    let (mut client, uri, _) = opened(LATERAL).await;
    let form = ask(&mut client, "springline/visitForm", &uri, json!({"on": "2026-11-24"})).await;
    assert_eq!((&form["version"], &form["kind"]), (&json!(1), &json!("wire-change")));
    assert_eq!(form["planned"], "2027-01-04");
    let ticks = ids(&form, "tick");
    assert!(ticks.contains(&"upper: passive".to_owned()), "{ticks:?}");
    let writes = ids(&form, "write");
    assert!(writes.contains(&"tooth 12 space: mm".to_owned()), "{writes:?}");
    let mut all = [ticks, writes].concat();
    let count = all.len();
    all.sort();
    all.dedup();
    assert_eq!(all.len(), count, "every name is there once");
    let found = form["groups"].as_array().unwrap().iter().find(|g| g["id"] == "upper: found");
    assert_eq!(found.unwrap()["members"].as_array().unwrap().len(), 4, "{form}");
    assert!(
        form["questions"][0]["choices"][0]["line"].as_str().unwrap().starts_with("upper passive")
    );
    let repair = json!({"on": "2026-11-24", "kind": "repair"});
    let repair = ask(&mut client, "springline/visitForm", &uri, repair).await;
    assert_eq!(repair["questions"], json!([]));
    assert!(!ids(&repair, "tick").contains(&"upper: passive".to_owned()));
    let missed = json!({"on": "2026-11-24", "kind": "missed"});
    let missed = ask(&mut client, "springline/visitForm", &uri, missed).await;
    assert_eq!(missed["lines"][0]["parts"][0]["text"], "missed 2026-11-24");
    for params in [json!({"on": "soon"}), json!({"on": "2026-11-24", "kind": "party"})] {
        let told = ask(&mut client, "springline/visitForm", &uri, params).await;
        assert_eq!(told["refused"]["kind"], "visit", "{told}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn answers_become_a_block_with_what_it_would_bring() {
    let (mut client, uri, text) = opened(LATERAL).await;
    let params = json!({
        "on": "2026-11-24", "by": "KM",
        "answers": {
            "upper: active": true, "upper: kept": true, "lower: passive": false,
            "tooth 12 space: mm": 4.8, "loose: brackets": ["12", "22"], "pain of 10": "2",
            "note: long": "wire \"pokes\""
        },
        "lines": ["tooth 12 palatal 2.1 mm"]
    });
    let answer = ask(&mut client, "springline/visit", &uri, params).await;
    let block = "seen 2026-11-24 by KM as wire-change {\n  upper active, kept\n  tooth 12 space 4.8 mm\n  \
                 loose 12, 22\n  pain 2 of 10\n  note \"wire 'pokes'\"\n  tooth 12 palatal 2.1 mm\n}";
    assert_eq!(answer["block"], block, "{answer}");
    let now = after(&text, &answer["edit"], &uri);
    assert_eq!(now, format!("{text}{block}\n"));
    let findings = answer["findings"].as_array().unwrap();
    assert!(findings.iter().all(|f| f["message"].is_string() && f["inBlock"].is_boolean()));
    assert!(answer["says"].as_str().unwrap().starts_with("The plan gets"), "{answer}");
    let asked = json!({"on": "2026-11-24", "answers": {"question 1": 1}});
    let answer = ask(&mut client, "springline/visit", &uri, asked).await;
    assert!(answer["block"].as_str().unwrap().contains("upper passive, kept"), "{answer}");
    let asked = json!({"on": "2026-11-24", "answers": {"question 1": "upper active, kept"}});
    let answer = ask(&mut client, "springline/visit", &uri, asked).await;
    assert!(answer["block"].as_str().unwrap().contains("upper active, kept"), "{answer}");
    let missed = json!({"on": "2026-11-24", "kind": "missed"});
    let answer = ask(&mut client, "springline/visit", &uri, missed).await;
    assert_eq!(after(&text, &answer["edit"], &uri), format!("{text}missed 2026-11-24\n"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_visit_that_cannot_be_written_is_refused_at_its_field() {
    let (mut client, uri, text) = opened(LATERAL).await;
    let on = |day: &str, answers: Value| json!({"on": day, "by": "KM", "answers": answers});
    for (params, kind, id) in [
        (
            on("2026-11-24", json!({"upper: passive": true, "upper: active": true})),
            "answer",
            Some("upper: active"),
        ),
        (on("2026-11-24", json!({"pain of 10": 11})), "answer", Some("pain of 10")),
        (on("2026-11-24", json!({"nobody": true})), "answer", Some("nobody")),
        (on("2026-11-24", json!({"upper: kept": "yes"})), "answer", Some("upper: kept")),
        (
            on("2026-11-24", json!({"upper: kept": true, "question 1": 1})),
            "answer",
            Some("question 1"),
        ),
        (on("2026-11-24", json!({})), "empty", None),
        (on("2026-11-16", json!({"upper: kept": true})), "same-day", None),
        (on("2026-12-24", json!({"upper: kept": true})), "future", None),
        (json!({"on": "2026-11-24", "lines": ["upper kept }", "note {"]}), "lines", None),
    ] {
        let told = ask(&mut client, "springline/visit", &uri, params.clone()).await;
        assert_eq!(told["refused"]["kind"], kind, "{params}: {told}");
        assert_eq!(told["refused"]["id"].as_str(), id, "{params}: {told}");
        assert!(!told["refused"]["why"].as_str().unwrap().is_empty());
    }
    client.change(&uri, 2, json!([{"text": text.replacen("upper {", "upper", 1)}])).await;
    let told = ask(&mut client, "springline/visit", &uri, on("2026-11-24", json!({}))).await;
    assert!(told["refused"].is_object(), "{told}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_new_case_and_a_new_practice_come_from_their_questions() {
    let root = examples();
    let mut client = Client::start_in(pulling(), Some(&root)).await;
    let form = client.request("springline/newForm", json!({"kind": "case"})).await;
    assert_eq!(form["practices"], json!(["saltmarsh"]));
    assert_eq!(form["questions"][0]["id"], "chart");
    assert!(form["questions"][0]["text"].as_str().unwrap().contains("SM-####"), "{form}");
    let answers = json!({"chart": "SM-0999", "patient": "growing", "arches": "upper"});
    let made = client.request("springline/new", json!({"kind": "case", "answers": answers})).await;
    assert_eq!(made["name"], "SM-0999.spring");
    assert!(made["uri"].as_str().unwrap().ends_with("/examples/SM-0999.spring"), "{made}");
    let text = made["text"].as_str().unwrap();
    assert!(text.contains("use saltmarsh\n") && text.contains("follow usual"), "{text}");
    for (answers, id) in [
        (json!({"chart": "Miller"}), "chart"),
        (json!({}), "chart"),
        (json!({"chart": "SM-0999", "start": "soon"}), "start"),
        (json!({"chart": "SM-0999", "colour": "red"}), "colour"),
    ] {
        let told =
            client.request("springline/new", json!({"kind": "case", "answers": answers})).await;
        assert_eq!(told["refused"]["id"], id, "{told}");
    }
    let there = json!({"kind": "practice", "answers": {
        "name": "saltmarsh", "slot": "0.022", "brackets": "passive",
        "wires": "thermal-14, thermal-14x25, steel-19x25"
    }});
    let told = client.request("springline/new", there.clone()).await;
    assert_eq!(told["refused"]["kind"], "exists", "{told}");
    let mut new = there;
    new["answers"]["name"] = json!("Fenland");
    let made = client.request("springline/new", new.clone()).await;
    assert!(made["text"].as_str().unwrap().contains("practice \"Fenland\""), "{made}");
    let form = client.request("springline/newForm", new).await;
    let wires = form["questions"].as_array().unwrap().iter().find(|q| q["id"] == "wires").unwrap();
    assert_eq!(wires["type"], "several");
    assert!(!wires["remark"].as_array().unwrap().is_empty(), "{wires}");
    let lacking = json!({"kind": "practice", "answers": {"name": "Fenland"}});
    let told = client.request("springline/new", lacking).await;
    assert_eq!(told["refused"]["id"], "slot", "{told}");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_forces_of_a_moment_come_as_rows() {
    let (mut client, uri, _) = opened(LATERAL).await;
    let moment = json!({"moment": "2026-11-16"});
    let answer = ask(&mut client, "springline/forces", &uri, moment).await;
    assert_eq!((&answer["version"], &answer["held"]), (&json!(1), &json!(false)));
    let upper = &answer["arches"][0];
    assert_eq!((&upper["arch"], &upper["step"]), (&json!("upper"), &json!("make-space")));
    let rows = upper["rows"].as_array().unwrap();
    assert!(rows.len() > 8, "{upper}");
    for row in rows {
        assert!(row["tooth"].is_string() && row["peakG"].is_number(), "{row}");
    }
    assert!(answer["note"].as_str().unwrap().len() > 40);
    let none = json!({"textDocument": {"uri": uri}, "moment": "never"});
    assert_eq!(client.error("springline/forces", none).await, -32602);
    let entered = ask(&mut client, "springline/forces", &uri, json!({"moment": "entered"})).await;
    assert_eq!(entered["arches"][0]["step"], "align", "with the first wires");
}

/// A page shows what a fix would do before it is done.
#[tokio::test(flavor = "multi_thread")]
async fn a_fix_carries_its_edit_with_it() {
    let (mut client, uri, text) = opened(LATERAL).await;
    let broken = text.replace("follow firm\n  change", "folow firm\n  change");
    client.change(&uri, 2, json!([{"text": broken}])).await;
    let found = client.settled(&uri, 2).await;
    let first = found.iter().find(|d| d["message"].as_str().unwrap().contains("folow")).unwrap();
    let params = json!({
        "textDocument": {"uri": uri}, "range": first["range"], "context": {"diagnostics": [first]}
    });
    let actions = client.request("textDocument/codeAction", params).await;
    let fix = actions.as_array().unwrap().iter().find(|a| a["kind"] == "quickfix").unwrap();
    assert_eq!(after(&broken, &fix["edit"], &uri), text);
}
