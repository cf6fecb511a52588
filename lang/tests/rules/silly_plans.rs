//! Plans that no orthodontist would sign and that once passed without a word, found by a search over sequences of wires.
//! The second line of each names the finding that it must have.

use crate::rules_common::run;

#[test]
fn every_silly_plan_is_found_for_its_reason() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/silly");
    let mut plans: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    plans.sort();
    assert_eq!(plans.len(), 27);
    let mut silent = String::new();
    for path in plans {
        let text = std::fs::read_to_string(&path).unwrap();
        let named = text.lines().nth(1).and_then(|l| l.strip_prefix("// ")?.split_once(": "));
        let (code, _) = named.unwrap_or_else(|| panic!("{}: names no finding", path.display()));
        let found = run(&text).findings;
        if !found.iter().any(|f| f.code.as_str() == code) {
            let codes: Vec<&str> = found.iter().map(|f| f.code.as_str()).collect();
            silent.push_str(&format!("{}: {code}, but {codes:?}\n", path.display()));
        }
    }
    assert!(silent.is_empty(), "\n{silent}");
}
