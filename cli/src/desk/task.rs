//! One picture or mesh whose points are picked, where that is all that the page is for.

use serde::Serialize;
use serde_json::Value;

/// Names below the folder that is served; the page reaches no other file of it.
#[derive(Debug, Clone, Serialize)]
pub struct PickTask {
    /// The picture or mesh.
    pub source: String,
    /// The table of points that is written.
    pub points: String,
    /// The plan that the points belong to.
    pub case: Option<String>,
}

impl PickTask {
    /// Whether a message of the page keeps to these files.
    pub fn allows(&self, asked: &str, params: &Value) -> bool {
        let names = |field: &str| params.get(field).and_then(Value::as_str);
        let is_case = names("case").is_none_or(|case| Some(case) == self.case.as_deref());
        match asked {
            "another" => true,
            "source" => names("doc") == Some(&self.source),
            "attach" | "detach" | "save" | "keep" => names("doc") == Some(&self.points),
            "points" | "measured" => names("doc") == Some(&self.points) && is_case,
            _ => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn other_files_are_out_of_reach() {
        let task = PickTask {
            source: "a.png".to_owned(),
            points: "a.csv".to_owned(),
            case: Some("a.spring".to_owned()),
        };
        assert!(task.allows("attach", &json!({"doc": "a.csv"})));
        assert!(task.allows("points", &json!({"doc": "a.csv", "case": "a.spring"})));
        assert!(task.allows("points", &json!({"doc": "a.csv", "case": null})));
        for (asked, params) in [
            ("attach", json!({"doc": "a.spring"})),
            ("save", json!({"doc": "a.spring"})),
            ("source", json!({"doc": "b.png"})),
            ("measured", json!({"doc": "a.csv", "case": "b.spring"})),
            ("cases", json!({})),
            ("sources", json!({})),
            ("create", json!({"doc": "a.csv"})),
            ("print", json!({"what": "visit", "doc": "a.spring"})),
        ] {
            assert!(!task.allows(asked, &params), "{asked} {params}");
        }
    }
}
