//! Every rule finds its own failing example at the marked line, leaves its passing one in peace, and
//! offers no fix that does not mend what it found.

mod rules_common;

use rules_common::{library, line_of, options, run, tell};
use springline_lang::Checker;
use springline_lang::finding::{FileId, Severity};
use springline_lang::fixes::Budget;
use springline_lang::rules::register::RULES;
use springline_lang::rules::testing::marked_line;

/// Rules whose examples cannot be judged yet.
const AWAITING: &[&str] = &[];

fn judged_here() -> impl Iterator<Item = &'static springline_lang::rules::Rule> {
    let only = std::env::var("RULE").ok();
    RULES
        .iter()
        .copied()
        .filter(|r| !AWAITING.contains(&r.code))
        .filter(move |r| only.as_deref().is_none_or(|o| r.code.contains(o)))
}

#[test]
fn the_failing_example_is_found_at_its_mark() {
    let mut wrong = String::new();
    for rule in judged_here() {
        let checked = run(rule.failing);
        let mark = marked_line(rule.failing);
        let own: Vec<_> = checked.findings.iter().filter(|f| f.code.0 == rule.code).collect();
        let at_mark = own.len() == 1 && Some(line_of(rule.failing, own[0])) == mark;
        if !at_mark {
            wrong.push_str(&format!(
                "{}: marked at line {mark:?}, found\n{}",
                rule.code,
                tell(rule.failing, &checked.findings)
            ));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn the_failing_example_stops_nothing_but_its_own_family() {
    let mut wrong = String::new();
    for rule in judged_here() {
        let checked = run(rule.failing);
        let mark = marked_line(rule.failing);
        let others: Vec<_> = checked
            .findings
            .iter()
            .filter(|f| f.code.family() != rule.family() && f.severity == Severity::Error)
            .filter(|f| Some(line_of(rule.failing, f)) != mark)
            .cloned()
            .collect();
        if !others.is_empty() {
            wrong.push_str(&format!("{}:\n{}", rule.code, tell(rule.failing, &others)));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn the_passing_example_is_left_in_peace() {
    let mut wrong = String::new();
    for rule in judged_here() {
        let checked = run(rule.passing);
        let bad: Vec<_> = checked
            .findings
            .iter()
            .filter(|f| f.code.0 == rule.code || f.severity == Severity::Error)
            .cloned()
            .collect();
        if !bad.is_empty() || checked.case.is_none() {
            wrong.push_str(&format!("{}:\n{}", rule.code, tell(rule.passing, &bad)));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn an_offered_fix_removes_what_it_was_offered_for() {
    let mut wrong = String::new();
    for rule in judged_here() {
        // Fixes are candidates until they have been tried; what is shown is what is left.
        let checked = Checker::new().try_fixes(
            run(rule.failing),
            &library(),
            &options(),
            Budget { tries: 1000 },
        );
        for finding in checked.findings.iter().filter(|f| f.code.0 == rule.code) {
            for fix in &finding.fixes {
                let Some(mended) = fix.apply(FileId(0), rule.failing) else {
                    wrong.push_str(&format!("{}: `{}` does not apply\n", rule.code, fix.title));
                    continue;
                };
                let after = run(&mended);
                let bad: Vec<_> = after
                    .findings
                    .iter()
                    .filter(|f| f.code == finding.code || f.severity == Severity::Error)
                    .cloned()
                    .collect();
                if !bad.is_empty() || after.case.is_none() {
                    wrong.push_str(&format!(
                        "{}: after `{}`\n{}{mended}\n",
                        rule.code,
                        fix.title,
                        tell(&mended, &bad)
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn every_rule_says_what_it_must() {
    for rule in RULES {
        assert!(rule.code.split_once('/').is_some_and(|(f, n)| !f.is_empty() && !n.is_empty()));
        for (what, text) in [
            ("title", rule.title),
            ("finds", rule.finds),
            ("why", rule.why),
            ("what to do", rule.what_to_do),
            ("source", rule.source),
            ("accept when", rule.accept_when),
        ] {
            assert!(!text.trim().is_empty(), "{}: no {what}", rule.code);
            assert!(!text.contains("  "), "{}: double blank in {what}", rule.code);
        }
        assert!(marked_line(rule.failing).is_some(), "{}: failing example has no mark", rule.code);
        assert!(marked_line(rule.passing).is_none(), "{}: passing example has a mark", rule.code);
    }
    let mut codes: Vec<_> = RULES.iter().map(|r| r.code).collect();
    codes.sort_unstable();
    codes.dedup();
    assert_eq!(codes.len(), RULES.len(), "a code stands twice");
}
