//! Every rule finds its own failing examples at the marked line, leaves their passing forms in peace, and
//! offers no fix that does not mend what it found.

use crate::rules_common::{line_of, tell};
use crate::trials::TRIALS;
use springline_lang::finding::Severity;

#[test]
fn the_failing_example_is_found_at_its_mark() {
    let mut wrong = String::new();
    for trial in &*TRIALS {
        let (rule, text) = (trial.rule, trial.example.failing);
        let mark = trial.example.marked_line();
        let findings = &trial.checked.findings;
        let own: Vec<_> = findings.iter().filter(|f| f.code.as_str() == rule.code).collect();
        let at_mark = own.len() == 1 && Some(line_of(text, own[0])) == mark;
        if !at_mark {
            wrong.push_str(&format!(
                "{}: marked at line {mark:?}, found\n{}",
                rule.code,
                tell(text, findings)
            ));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn the_failing_example_stops_nothing_but_its_own_family() {
    let mut wrong = String::new();
    for trial in &*TRIALS {
        let (rule, text) = (trial.rule, trial.example.failing);
        let mark = trial.example.marked_line();
        let findings = trial.checked.findings.iter();
        let others: Vec<_> = findings
            .filter(|f| f.code.family() != rule.family() && f.severity == Severity::Error)
            .filter(|f| Some(line_of(text, f)) != mark)
            .cloned()
            .collect();
        if !others.is_empty() {
            wrong.push_str(&format!("{}:\n{}", rule.code, tell(text, &others)));
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn the_passing_example_is_left_in_peace() {
    let mut wrong = String::new();
    for trial in &*TRIALS {
        let code = trial.rule.code;
        for changed in &trial.changed {
            let (text, checked) = match changed {
                Ok(changed) => changed,
                Err(missing) => {
                    wrong.push_str(&format!("{code}: {missing}\n"));
                    continue;
                }
            };
            let found = checked.findings.iter();
            let bad: Vec<_> = found
                .filter(|f| f.code.as_str() == code || f.severity == Severity::Error)
                .cloned()
                .collect();
            if !bad.is_empty() || checked.case.is_none() {
                wrong.push_str(&format!("{code}:\n{}", tell(text, &bad)));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// Fixes are candidates until they have been tried; what is shown is what is left.
#[test]
fn an_offered_fix_removes_what_it_was_offered_for() {
    let mut wrong = String::new();
    for trial in &*TRIALS {
        let code = trial.rule.code;
        for fix in &trial.mended {
            let Some((text, after)) = &fix.after else {
                wrong.push_str(&format!("{code}: `{}` does not apply\n", fix.title));
                continue;
            };
            let found = after.findings.iter();
            let bad: Vec<_> = found
                .filter(|f| f.code.as_str() == code || f.severity == Severity::Error)
                .cloned()
                .collect();
            if !bad.is_empty() || after.case.is_none() {
                wrong.push_str(&format!(
                    "{code}: after `{}`\n{}{text}\n",
                    fix.title,
                    tell(text, &bad)
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}
