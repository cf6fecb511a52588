//! `examples/cluster`: many workers make the table that the program makes alone, also when one of them is killed.

use std::path::Path;
use std::process::{Command, Stdio};

const SPRINGLINE: &str = env!("CARGO_BIN_EXE_springline");

/// A Python that has what `examples/cluster/requirements.txt` names: `SPRINGLINE_CLUSTER`, else `python3`.
fn python() -> Option<String> {
    let python = std::env::var("SPRINGLINE_CLUSTER").unwrap_or("python3".to_owned());
    let knows = Command::new(&python)
        .args(["-c", "import distributed, duckdb, pyarrow"])
        .stderr(Stdio::null())
        .status();
    if knows.is_ok_and(|status| status.success()) {
        return Some(python);
    }
    assert!(
        std::env::var_os("SPRINGLINE_DEMAND_TOOLS").is_none(),
        "{python} does not have Dask, DuckDB and PyArrow, and SPRINGLINE_DEMAND_TOOLS says that it must"
    );
    eprintln!("skipped: the Python packages distributed, duckdb and pyarrow are not installed");
    None
}

/// `SPRINGLINE_CASES` sets another number of cases than CI has time for.
#[test]
fn a_killed_worker_changes_nothing_in_the_table() {
    let Some(python) = python() else { return };
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let given = std::env::var("SPRINGLINE_CASES").ok();
    let (practices, cases, batch) = match &given {
        Some(cases) => ("1", cases.as_str(), "50"),
        None => ("2", "60", "5"),
    };
    let out = Command::new(python)
        .arg(here.join("tests/cluster/disturbed.py"))
        .arg(here.join("../examples/cluster/steps.py"))
        .arg(SPRINGLINE)
        .args(["--practices", practices, "--cases", cases, "--batch", batch])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success(), "{said}");
    let told: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    eprintln!("{told:#}");
    assert_eq!(
        told["disturbed"]["killed"], true,
        "no worker was at work when one was to be killed"
    );
    for same in ["same_files", "same_rows_alone", "same_answers_alone"] {
        assert_eq!(told[same], true, "{same}: {told:#}");
    }
    let count = |value: &serde_json::Value| value.as_u64().expect("a number");
    assert!(count(&told["disturbed"]["tasks_given_out_again"]) > 0);
    assert!(count(&told["disturbed"]["parts_by_a_worker_started_anew"]) > 0);
    assert!(count(&told["rows"]) > count(&told["cases"]), "every case has a step");
    assert_eq!(told["undisturbed"]["rows"], told["rows"]);
    let unreadable = &told["unreadable"];
    assert_eq!((&unreadable["code"], &unreadable["told"]), (&1.into(), &true.into()));
}
