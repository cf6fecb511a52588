//! Fixes are tried before they are shown: those that stay mend what was found and say what they give.

mod rules_common;

use std::sync::Arc;

use rules_common::{library, options, run};
use springline_lang::finding::{FileId, FixKind, Severity};
use springline_lang::fixes::{Budget, Tried};
use springline_lang::rules::register::RULES;
use springline_lang::{Checker, Source};

fn source(text: &str) -> Source {
    Source { name: "example.spring".into(), text: Arc::from(text) }
}

#[test]
fn every_clinical_fix_that_is_offered_has_been_tried() {
    let mut checker = Checker::new();
    let mut wrong = String::new();
    for rule in RULES {
        let checked = checker.check(&source(rule.failing), &library(), &options());
        let offered = checked
            .findings
            .iter()
            .filter(|f| f.code.0 == rule.code)
            .map(|f| f.fixes.len())
            .sum::<usize>();
        let tried = checker.try_fixes(checked, &library(), &options(), Budget { tries: 1000 });
        let own = tried.findings.iter().filter(|f| f.code.0 == rule.code);
        let kept: Vec<_> = own.flat_map(|f| &f.fixes).collect();
        if kept.len() < offered {
            wrong.push_str(&format!(
                "{}: {} of {offered} fixes were withdrawn\n",
                rule.code,
                offered - kept.len()
            ));
        }
        for fix in kept {
            if fix.kind == FixKind::Clinical && fix.outcome.is_none() {
                wrong.push_str(&format!(
                    "{}: `{}` says nothing of what it gives\n",
                    rule.code, fix.title
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn a_lighter_wire_says_its_force() {
    let mut checker = Checker::new();
    let rule = springline_lang::rules::rule("force/sustained").unwrap();
    let checked = checker.check(&source(rule.failing), &library(), &options());
    let tried = checker.try_fixes(checked, &library(), &options(), Budget::default());
    let finding = tried.findings.iter().find(|f| f.code.0 == rule.code).unwrap();
    let outcome = finding.fixes[0].outcome.clone().unwrap();
    assert!(outcome.starts_with("then ") && outcome.contains(" g on "), "{outcome}");
    // The figure is the recomputed one, not the finding's.
    let said: f64 = outcome.split(' ').nth(1).unwrap().parse().unwrap();
    assert!(said < finding.figure.as_ref().unwrap().value, "{outcome}");
}

#[test]
fn a_fix_that_mends_nothing_is_withdrawn() {
    let mut checker = Checker::new();
    let rule = springline_lang::rules::rule("force/sustained").unwrap();
    let mut checked = checker.check(&source(rule.failing), &library(), &options());
    let finding = checked.findings.iter_mut().find(|f| f.code.0 == rule.code).unwrap();
    // The same wire written once more.
    let mut useless = finding.fixes[0].clone();
    useless.edits[0].text = useless.edits[0].text.replace("niti-14", "niti-19x25");
    finding.fixes = vec![useless.clone()];
    let finding = finding.clone();
    assert_eq!(checker.try_fix(&checked, &finding, &useless, &library(), &options()), Tried::Fails);
    let tried = checker.try_fixes(checked, &library(), &options(), Budget::default());
    assert!(tried.findings.iter().find(|f| f.code.0 == rule.code).unwrap().fixes.is_empty());
}

#[test]
fn the_budget_bounds_the_work_and_loses_no_fix() {
    let mut checker = Checker::new();
    let rule = springline_lang::rules::rule("force/sustained").unwrap();
    let checked = checker.check(&source(rule.failing), &library(), &options());
    let offered: usize = checked.findings.iter().map(|f| f.fixes.len()).sum();
    let tried = checker.try_fixes(checked, &library(), &options(), Budget { tries: 0 });
    assert_eq!(tried.findings.iter().map(|f| f.fixes.len()).sum::<usize>(), offered);
}

#[test]
fn what_is_only_about_the_text_is_safe_and_not_tried() {
    let text = "springline 1\ncase \"SM-9901\"\nuse saltmarsh\nstart 2026-11-23\nupper {\n  bonded 15..25 with twin\n  tooth 12 palatal 1,5 mm\n  follow usual\n}\n";
    let checked = run(text);
    let finding =
        checked.findings.iter().find(|f| f.code.is_language() && !f.fixes.is_empty()).unwrap();
    assert_eq!(finding.severity, Severity::Error);
    assert!(finding.fixes.iter().any(|f| f.kind == FixKind::Safe));
    assert!(finding.fixes[0].apply(FileId(0), text).unwrap().contains("1.5 mm"));
}
