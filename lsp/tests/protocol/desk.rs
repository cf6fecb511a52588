//! The requests of a page beside the text.

use serde_json::{Value, json};

use crate::client::{Client, pulling};
use crate::examples;
use crate::features::opened;
use crate::writing::after;

const LATERAL: &str = "cases/sm-0417-lateral-blocked-out.spring";

pub async fn ask(client: &mut Client, method: &str, uri: &str, mut params: Value) -> Value {
    params["textDocument"] = json!({"uri": uri});
    // What nobody knows is no obstacle.
    params["somethingNew"] = json!({"a": [1]});
    client.request(method, params).await
}

fn frame<'v>(picture: &'v Value, tooth: &str) -> &'v Value {
    let frames = picture["frames"].as_array().expect("frames");
    frames.iter().find(|f| f["tooth"] == tooth).unwrap_or_else(|| panic!("no {tooth}"))
}

#[tokio::test(flavor = "multi_thread")]
async fn the_moments_of_a_course_are_named_in_order() {
    let (mut client, uri, _) = opened(LATERAL).await;
    let answer = ask(&mut client, "springline/moments", &uri, json!({})).await;
    assert_eq!(answer["version"], 1);
    assert_eq!(answer["chart"], "SM-0417");
    assert_eq!(answer["held"], false);
    assert_eq!(answer["today"], "2026-11-24");
    let moments = answer["moments"].as_array().unwrap();
    assert_eq!(moments[0]["id"], "entered");
    assert_eq!(answer["now"], "2026-11-16");
    let now = moments.iter().find(|m| m["id"] == "2026-11-16").unwrap();
    assert_eq!(now["standing"], "recorded");
    assert_eq!(now["arches"][0]["step"], "make-space");
    assert_eq!(now["arches"][0]["wire"], "niti-18");
    let coming: Vec<&Value> = moments.iter().filter(|m| m["standing"] == "predicted").collect();
    assert!(coming.len() > 3, "{moments:?}");
    for moment in &coming {
        assert!(moment["earliest"].as_str() <= moment["latest"].as_str(), "{moment}");
    }
    assert!(answer["findings"]["errors"].is_number(), "{answer}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_picture_names_every_tooth_and_where_it_lies() {
    let (mut client, uri, _) = opened(LATERAL).await;
    for (view, arch) in
        [("occlusal", Value::Null), ("occlusal", json!("lower")), ("frontal", Value::Null)]
    {
        let params = json!({"moment": "entered", "view": view, "arch": arch});
        let picture = ask(&mut client, "springline/picture", &uri, params).await;
        assert_eq!(picture["version"], 1);
        assert_eq!(picture["edits"], json!({"as": "plan"}));
        let svg = picture["svg"].as_str().unwrap();
        assert!(svg.starts_with("<svg") && !svg.contains("<script") && !svg.contains("style="));
        let frames = picture["frames"].as_array().unwrap();
        assert!(frames.len() >= 12, "{}", frames.len());
        let (width, height) =
            (picture["width"].as_f64().unwrap(), picture["height"].as_f64().unwrap());
        for one in frames {
            let tooth = one["tooth"].as_str().unwrap();
            assert!(svg.contains(&format!("data-tooth=\"{tooth}\"")), "{tooth}");
            let at = &one["frame"]["slot"];
            let (x, y) = (at["x"].as_f64().unwrap(), at["y"].as_f64().unwrap());
            assert!((0.0..width).contains(&x) && (0.0..height).contains(&y), "{one}");
            assert_eq!(one["editable"], true, "{one}");
        }
    }
    let params = json!({"moment": "entered", "view": "occlusal"});
    let picture = ask(&mut client, "springline/picture", &uri, params).await;
    let mut lateral = frame(&picture, "12").clone();
    // Along: what is between it and its mesial neighbour.
    assert_eq!(lateral["mesial"], "11");
    assert!(lateral["stand"].as_object_mut().unwrap().remove("mesialGap").unwrap().is_f64());
    assert_eq!(
        lateral["stand"],
        json!({
            "inOut": 2.5, "height": 0.0, "rotated": 20.0, "tipped": 0.0, "torque": 0.0, "width": 6.5, "space": 4.0
        })
    );
    assert_eq!(lateral["written"], json!(["inOut", "rotated", "width", "space"]));
    assert_eq!(lateral["known"], "entered");
    assert_eq!(lateral["says"], "12: 2.5 mm palatal, rotated 20 deg, mesial edge in");
    // It lies 2.5 mm inward of its place.
    let of = |key: &str, axis: &str| lateral["frame"][key][axis].as_f64().unwrap();
    let scale = lateral["frame"]["scale"].as_f64().unwrap();
    for axis in ["x", "y"] {
        let moved = of("slot", axis) - of("rest", axis);
        assert!((moved - 2.5 * scale * of("inward", axis)).abs() < 0.01, "{lateral}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_picture_says_what_cannot_be_moved_and_why() {
    let (mut client, uri, text) = opened(LATERAL).await;
    let picture = |moment: &str| json!({"moment": moment, "view": "occlusal"});
    let past = ask(&mut client, "springline/picture", &uri, picture("2027-03-01")).await;
    assert_eq!(past["edits"]["as"], "none");
    assert!(past["edits"]["why"].as_str().unwrap().contains("prediction"), "{}", past["edits"]);
    assert_eq!(frame(&past, "12")["editable"], false);
    let seen = ask(&mut client, "springline/picture", &uri, picture("2026-11-16")).await;
    assert_eq!(seen["edits"], json!({"as": "visit", "visit": "2026-11-16", "written": true}));
    let none = json!({"textDocument": {"uri": uri}, "moment": "some day"});
    assert_eq!(client.error("springline/picture", none).await, -32602);
    let missing = json!({"textDocument": {"uri": "file:///none.spring"}, "moment": "entered"});
    assert_eq!(client.request("springline/picture", missing).await, Value::Null);
    // While a line cannot be read, the text before it is drawn.
    let broken = text.replace("  tooth 12 palatal", "  tooth 12 palatl");
    client.change(&uri, 2, json!([{"text": broken}])).await;
    let held = ask(&mut client, "springline/picture", &uri, picture("entered")).await;
    assert_eq!((&held["held"], &held["version"]), (&json!(true), &json!(2)));
    assert_eq!(frame(&held, "12")["stand"]["inOut"], 2.5);
    assert_eq!(frame(&held, "12")["editable"], false);
}

async fn moved(client: &mut Client, uri: &str, tooth: &str, params: Value) -> Value {
    let mut params = params;
    params["tooth"] = json!(tooth);
    ask(client, "springline/stand", uri, params).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_moved_tooth_changes_its_clause_and_nothing_else() {
    let (mut client, uri, text) = opened(LATERAL).await;
    let entered =
        json!({"moment": "entered", "version": 1, "stand": {"inOut": 1.8, "unknown": "x"}});
    let answer = moved(&mut client, &uri, "12", entered).await;
    assert_eq!(answer["says"], "12: 1.8 mm palatal, rotated 20 deg, mesial edge in");
    let now = after(&text, &answer["edit"], &uri);
    assert_eq!(now, text.replace("palatal 2.5 mm, rotated 20", "palatal 1.8 mm, rotated 20"));
    let edits = answer["edit"]["documentChanges"][0]["edits"].as_array().unwrap();
    assert!(edits.iter().all(|e| e["newText"].as_str().unwrap().len() <= 3), "{edits:?}");
    let new = json!({"moment": "entered", "stand": {"rotated": -4.0}});
    let answer = moved(&mut client, &uri, "21", new).await;
    let now = after(&text, &answer["edit"], &uri);
    assert!(
        now.contains("\n  tooth 21 rotated 4 deg mesial-out\n  tooth 22 rotated 15 deg"),
        "{now}"
    );
    let same = json!({"moment": "entered", "stand": {"inOut": 2.5}});
    assert_eq!(moved(&mut client, &uri, "12", same).await["unchanged"], true);
}

/// The check of the text that an edit leads to begins before the client has it.
#[tokio::test(flavor = "multi_thread")]
async fn what_was_foreseen_of_an_edit_changes_no_finding() {
    let (mut client, uri, text) = opened(LATERAL).await;
    let entered = json!({"moment": "entered", "stand": {"inOut": 4.5}});
    let answer = moved(&mut client, &uri, "12", entered).await;
    let moved_text = after(&text, &answer["edit"], &uri);
    let elsewhere = text.replace("palatal 2.5 mm", "palatal 0.8 mm");
    for (version, text) in [(2, &elsewhere), (3, &moved_text)] {
        let (mut fresh, other, _) = opened(LATERAL).await;
        client.change(&uri, version, json!([{"text": text}])).await;
        fresh.change(&other, 2, json!([{"text": text}])).await;
        for (client, uri) in [(&mut client, &uri), (&mut fresh, &other)] {
            // A picture waits for the whole check.
            ask(client, "springline/picture", uri, json!({"moment": "entered"})).await;
        }
        assert_eq!(client.pull(&uri).await, fresh.pull(&other).await);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tooth_moved_along_changes_both_its_contacts() {
    let (mut client, uri, text) = opened(LATERAL).await;
    let along = |mm: f64| json!({"moment": "entered", "stand": {"mesialGap": mm}});
    let answer = moved(&mut client, &uri, "24", along(0.4)).await;
    assert_eq!(answer["says"], "24: gap to 23 0.4 mm, overlap with 25 0.4 mm");
    let now = after(&text, &answer["edit"], &uri);
    assert!(
        now.contains("\n  gap 0.4 mm between 23 and 24\n  overlap 0.4 mm between 24 and 25\n"),
        "{now}"
    );
    assert_eq!(moved(&mut client, &uri, "24", along(0.0)).await["unchanged"], true);
    for (params, kind) in [
        (along(40.0), "implausible"),
        (json!({"moment": "2026-11-16", "stand": {"mesialGap": 1}}), "moment"),
        (json!({"moment": "entered", "stand": {"mesialGap": 1, "inOut": 1}}), "moment"),
    ] {
        let refused = moved(&mut client, &uri, "24", params.clone()).await;
        assert_eq!(refused["refused"]["kind"], kind, "{params}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn before_treatment_begins_the_teeth_of_today_are_those_entered() {
    let (mut client, uri, text) = opened("cases/sm-0392-mild-crowding.spring").await;
    let early = text.replace("start 2026-11-23", "start 2026-11-30");
    client.change(&uri, 2, json!([{"text": early}])).await;
    let today = json!({"moment": "today", "stand": {"inOut": 1.5}});
    let answer = moved(&mut client, &uri, "12", today).await;
    assert!(answer["edit"].is_object(), "{answer}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_visit_is_written_into_and_what_is_no_record_is_refused() {
    let (mut client, uri, text) = opened(LATERAL).await;
    let stand = |moment: &str, visit: Value| json!({"moment": moment, "visit": visit, "stand": {"inOut": 1.0}});
    let seen = moved(&mut client, &uri, "12", stand("2026-11-16", Value::Null)).await;
    let now = after(&text, &seen["edit"], &uri);
    assert_eq!(now, text.replace("tooth 12 space 4.5 mm", "tooth 12 space 4.5 mm, palatal 1 mm"));
    let form = moved(&mut client, &uri, "12", stand("today", json!("2026-11-24"))).await;
    assert_eq!(form["line"], "tooth 12 palatal 1 mm", "{form}");
    let refused = |answer: Value| answer["refused"]["kind"].as_str().unwrap_or_default().to_owned();
    for (params, kind) in [
        (stand("today", Value::Null), "visit"),
        (stand("2027-05-03", Value::Null), "moment"),
        (stand("undated-1", Value::Null), "moment"),
        (stand("today", json!("soon")), "visit"),
        (json!({"moment": "entered", "version": 7, "stand": {"inOut": 1}}), "version"),
        (json!({"moment": "entered", "stand": {"inOut": "far"}}), "implausible"),
        (json!({"moment": "entered", "stand": {"inOut": 70}}), "implausible"),
    ] {
        assert_eq!(refused(moved(&mut client, &uri, "12", params.clone()).await), kind, "{params}");
    }
    let twice = text.replace("  tooth 13 labial", "  tooth 12 labial 1 mm\n  tooth 13 labial");
    client.change(&uri, 2, json!([{"text": twice}])).await;
    let answer = moved(&mut client, &uri, "12", stand("entered", Value::Null)).await;
    assert_eq!(answer["refused"]["kind"], "twice");
    assert!(answer["refused"]["range"]["start"]["line"].as_u64() > Some(20), "{answer}");
}

#[tokio::test(flavor = "multi_thread")]
async fn no_example_and_no_unsafe_text_stops_a_request() {
    let root = examples();
    let mut client = Client::start_in(pulling(), Some(&root)).await;
    for folder in ["cases", "unsafe"] {
        let mut files: Vec<_> = std::fs::read_dir(root.join(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|e| e == "spring"))
            .collect();
        files.sort();
        for path in files {
            let uri = format!("file://{}", path.display());
            client.open(&uri, 1, &std::fs::read_to_string(&path).unwrap()).await;
            let mut answer = Value::Null;
            // On a machine that has other things to do the mechanics may take too long the first time.
            while answer.is_null() {
                answer = ask(&mut client, "springline/moments", &uri, json!({})).await;
            }
            let ids: Vec<Value> =
                answer["moments"].as_array().unwrap().iter().map(|m| m["id"].clone()).collect();
            let some = [ids.first(), ids.last()].into_iter().flatten().cloned();
            for id in some.chain([json!("today"), json!("2027-01-31")]) {
                for view in ["occlusal", "frontal"] {
                    let params = json!({"moment": id, "view": view});
                    let picture = ask(&mut client, "springline/picture", &uri, params).await;
                    assert!(picture.is_null() || picture["svg"].is_string(), "{uri} {id}");
                }
            }
            client.close(&uri).await;
        }
    }
}
