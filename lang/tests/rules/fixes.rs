//! Fixes are tried before they are shown: those that stay mend what was found and say what they give.

use crate::rules_common::{library, options, run};
use crate::trials::{TRIALS, Trial, trial};
use springline_lang::Checker;
use springline_lang::finding::{FixKind, Severity};
use springline_lang::fixes::{Budget, Harm, Tried};
use springline_lang::text::FileId;

/// Rules whose finding no edit of the plan can mend: only the patient, the telephone or the chair can.
const WITHOUT_FIX: &[&str] = &[
    // The tooth is too far out for any wire that spans to it; how it is brought near is a plan of its own.
    "force/far-tooth",
    // The lightest wire of the drawer is in already.
    "force/strain",
    // The short root bears little, and the drawer's lightest wire gives more.
    "force/caution-tooth",
    // A tooth turned across the arch is first turned by other means than a wire in its slot.
    "force/not-engageable",
    // Which of two sections goes into a step of its own.
    "order/two-sections",
    // What is in the mouth is a fact.
    "force/in-the-mouth",
    "order/elastics-not-worn",
    "order/closing-stalled",
    "record/steps-jumped",
    // What is to bring it about is the plan itself; its aim is not crossed out.
    "time/never-ends",
    // What is to bring it about, or whether it is given up, is the plan itself.
    "order/goal-unmet",
    "order/unusual-goal",
    "order/elastics-begin-last",
    "order/elastics-favour-the-wrong-side",
    "order/cross-elastic-inside-out",
    "order/elastics-wait-for-another",
    "space/unerupted-forgotten",
    "space/another-length-held",
    "order/reverse-overjet",
    "space/left-open",
    // Which tooth or length was meant.
    "space/gap-beside-no-tooth",
    "space/kept-for-a-tooth-in-place",
    "space/crown-out-of-range",
    "record/moved-too-fast",
    "space/gap-over-a-tooth",
    "order/anchor-misplaced",
    "record/bite-grows-worse",
    "time/true-at-once",
    "space/less-than-the-crown",
    // Which set is meant, and which of the elastics.
    "order/two-sets-on-one-hook",
    "order/pulls-the-midline-off",
    "slide/midline-wrong-way",
    "record/overdue",
    "record/earlier-than-expected",
    // Only the doctor knows which tooth, day or device was meant.
    "order/elastics-not-as-named",
    "order/elastics-without-support",
    "order/worsens-the-overbite",
    "order/retainer-holds-nothing",
    "time/extraction-after-closing",
    "order/undoes-the-other",
    "order/denies-itself",
    "order/relations-at-odds",
    // What the step is for, or what follows, is the plan itself.
    "order/same-wire-again",
    "order/ends-on-aligning-wire",
    "order/coil-before-aligned",
    "order/reposition-before-levelled",
    // What brings the measure about, or whether it is given up, is the plan itself; so is what they go on for.
    "time/past-longest",
    "record/worn-after-end",
    // Which of two figures is meant is the doctor's to say.
    "order/ends-short-of-goal",
    // Only who measures knows the space.
    "space/space-not-said",
    // Which of gap and overlap was measured, and how the tooth stands that makes it, knows who measured.
    "space/gap-and-overlap",
    "space/overlap-unlikely",
    "space/gap-out-of-range",
    // What becomes of a buried tooth, and when, is for doctor and surgeon.
    "order/traction-cannot-act",
    "time/traction-without-end",
    "record/traction-stands-still",
    // What was seen is a fact; what is done about it stands in the next record.
    "record/left-open",
    "record/repeated",
    "record/steps-jumped",
    "record/gone-the-wrong-way",
    // Whether enamel goes, a tooth is built up or the goal changes is the doctor's choice.
    "space/tooth-size",
    // Only who sees the patient knows which of the two stands in the mouth, and which slot it is.
    "order/expander-unsound",
    "order/slot-unknown",
    // The next wire reaches no tooth either.
    "force/reaches-nothing",
    // The day is the surgeon's to give.
    "time/exposed-too-early",
];

#[test]
fn every_clinical_fix_that_is_offered_has_been_tried() {
    let mut checker = Checker::new();
    let mut wrong = String::new();
    for trial in &*TRIALS {
        let code = trial.rule.code;
        // Candidates that do not help here are withdrawn; but something is left.
        if trial.mended.is_empty() && !WITHOUT_FIX.contains(&code) {
            wrong.push_str(&format!("{code}: nothing is left\n"));
            for finding in trial.checked.findings.iter().filter(|f| f.code.as_str() == code) {
                for fix in &finding.fixes {
                    let why = checker.try_fix(&trial.checked, finding, fix, &library(), &options());
                    wrong.push_str(&format!("  {}: {why:?}\n", fix.title));
                }
            }
        }
        for fix in &trial.mended {
            if fix.kind == FixKind::Clinical && fix.outcome.is_none() {
                wrong.push_str(&format!("{code}: `{}` says nothing of what it gives\n", fix.title));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn a_lighter_wire_says_its_force() {
    let finding = trial("force/sustained").own().next().unwrap();
    let outcome = finding.fixes[0].outcome.clone().unwrap();
    let figure = outcome.strip_prefix("with niti-14 instead: ").expect(&outcome);
    assert!(figure.contains(" g on "), "{outcome}");
    // The figure is the recomputed one, not the finding's.
    let said: f64 = figure.split(' ').next().unwrap().parse().unwrap();
    assert!(said < finding.figure.as_ref().unwrap().value, "{outcome}");
}

#[test]
fn a_step_can_be_split_and_the_recomputed_plan_says_what_that_gives() {
    let offered = |code: &str| -> Vec<String> {
        let own = trial(code).own().next().unwrap();
        own.fixes
            .iter()
            .filter(|f| f.title.starts_with("split the step"))
            .map(|f| format!("{}: {}", f.title, f.outcome.clone().unwrap_or_default()))
            .collect()
    };
    // Not before steel: from 0.014 to that is too steep a step.
    for code in ["force/sustained", "order/steep-step"] {
        let fixes = offered(code);
        assert_eq!(fixes.len(), 1, "{code}: {fixes:?}");
    }
}

#[test]
fn a_fix_that_mends_nothing_is_withdrawn() {
    let mut checker = Checker::new();
    let Trial { rule, checked, .. } = trial("force/sustained");
    let mut checked = checked.clone();
    let finding = checked.findings.iter_mut().find(|f| f.code.as_str() == rule.code).unwrap();
    // The same wire written once more.
    let mut useless = finding.fixes[0].clone();
    useless.edits[0].text = useless.edits[0].text.replace("niti-14", "niti-19x25");
    finding.fixes = vec![useless.clone()];
    let finding = finding.clone();
    let tried = checker.try_fix(&checked, &finding, &useless, &library(), &options());
    assert_eq!(tried, Tried::Fails(Harm::Stands));
    let tried = checker.try_fixes(checked, &library(), &options(), Budget::default());
    assert!(tried.findings.iter().find(|f| f.code.as_str() == rule.code).unwrap().fixes.is_empty());
}

#[test]
fn the_budget_bounds_the_work_and_loses_no_fix() {
    let mut checker = Checker::new();
    let checked = trial("force/sustained").checked.clone();
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
