//! Every fix that is offered for the examples, and for faults put into them: its finding is gone, nothing
//! else is found, no figure on the teeth it is about is worse, the plan still says all that it said, and
//! lines it does not touch are the same to the last letter; the treatment still ends, with every device and no goal
//! farther off. Looked at from outside, on plans checked anew.

use std::collections::BTreeSet;
use std::sync::Arc;

use jiff::civil::Date;
use serde_json::Value;
use springline_lang::finding::{Finding, Fix, FixKind};
use springline_lang::fixes::Budget;
use springline_lang::text::FileId;
use springline_lang::{CheckOptions, Checked, Checker};
use springline_test_support::{Practices, RULES_SALTMARSH, examples_in};
use springline_tests::faults::bases::{TODAY, bases, house};
use springline_tests::faults::run::{Draw, run};
use springline_tests::faults::sound_case::check;

/// One plan to look at.
struct Plan {
    name: String,
    text: String,
    house: Arc<str>,
    today: Date,
}

fn examples() -> Vec<Plan> {
    let mut out = Vec::new();
    for folder in ["cases", "unsafe", "year"] {
        for (name, text) in examples_in(folder) {
            out.push(Plan { name, text, house: house(), today: TODAY });
        }
    }
    out
}

fn mutants(every: usize) -> Vec<Plan> {
    let days: Vec<(String, Date)> = bases().into_iter().map(|b| (b.name, b.today)).collect();
    let results = run(Draw { each: 1, every, round: 4 });
    let plan = |r: springline_tests::faults::run::Result| {
        let (_, today) = days.iter().find(|(name, _)| *name == r.base)?;
        let house = r.mutant.house.map_or_else(house, Into::into);
        let name = format!("{}: {}", r.base, r.mutant.what);
        Some(Plan { name, text: r.mutant.text, house, today: *today })
    };
    results.into_iter().filter_map(plan).collect()
}

#[test]
fn examples_are_mended_without_harm() {
    let (fixes, wrong) = judge(&examples());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(fixes >= 20, "only {fixes} fixes looked at");
}

/// Plans that no orthodontist would sign, and plans as someone new to the language wrote them.
fn unsound() -> Vec<Plan> {
    let data = concat!(env!("CARGO_MANIFEST_DIR"), "/../lang/tests/data");
    let read = |path: &std::path::Path| std::fs::read_to_string(path).expect("a file");
    let brook: Arc<str> = read(format!("{data}/first_plans/brook.spring").as_ref()).into();
    let houses = [("silly", Arc::from(RULES_SALTMARSH)), ("first_plans/as_written", brook)];
    let mut out = Vec::new();
    for (folder, house) in houses {
        let files = std::fs::read_dir(format!("{data}/{folder}")).expect("a folder");
        let mut files: Vec<_> = files.map(|f| f.expect("a file").path()).collect();
        files.sort();
        out.extend(files.iter().map(|path| Plan {
            name: path.file_stem().expect("a name").to_string_lossy().into_owned(),
            // Whatever its name, a practice is looked up as this one.
            text: read(path).replace("use brook\n", "use saltmarsh\n"),
            house: house.clone(),
            today: jiff::civil::date(2026, 12, 1),
        }));
    }
    out
}

#[test]
fn unsound_plans_are_mended_without_harm() {
    let (fixes, wrong) = judge(&unsound());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(fixes >= 10, "only {fixes} fixes looked at");
}

#[test]
fn faults_put_into_examples_are_mended_without_harm() {
    let (fixes, wrong) = judge(&mutants(60));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(fixes >= 10, "only {fixes} fixes looked at");
}

/// Every mutant of a draw four times as large.
#[test]
#[ignore = "takes minutes"]
fn many_faults_are_mended_without_harm() {
    let (fixes, wrong) = judge(&mutants(15));
    assert!(wrong.is_empty(), "{} of {fixes}\n{}", wrong.len(), wrong.join("\n"));
}

fn judge(plans: &[Plan]) -> (usize, Vec<String>) {
    let (mut fixes, mut wrong) = (0, Vec::new());
    for plan in plans {
        let mut checker = Checker::new();
        let options = CheckOptions { today: Some(plan.today) };
        let library = Practices::of(plan.house.clone());
        let before = check(&mut checker, &plan.name, &plan.text, &plan.house, plan.today);
        let tried = checker.try_fixes(before.clone(), &library, &options, Budget { tries: 1000 });
        for finding in tried.findings.iter().filter(|f| f.accepted.is_none()) {
            let clinical = |f: &&Fix| f.kind == FixKind::Clinical && !finding.code.is_language();
            for fix in finding.fixes.iter().filter(clinical) {
                fixes += 1;
                let Some(text) = fix.apply(FileId(0), &plan.text) else {
                    wrong.push(format!("{}: {}: does not fit", plan.name, fix.title));
                    continue;
                };
                let mut anew = Checker::new();
                let after = check(&mut anew, &plan.name, &text, &plan.house, plan.today);
                let faults = [
                    mended(&before, &after, finding),
                    figures(&before, &after, finding),
                    said(&before, &after),
                    treatment(&before, &after, finding, &plan.text),
                    lines(&plan.text, &text, fix),
                ];
                for fault in faults.into_iter().flatten() {
                    let (code, title) = (&finding.code, &fix.title);
                    wrong.push(format!("{}: {code}: {title}: {fault}", plan.name));
                }
            }
        }
    }
    (fixes, wrong)
}

fn open(checked: &Checked) -> impl Iterator<Item = &Finding> {
    checked.findings.iter().filter(|f| f.accepted.is_none())
}

/// It stood before, unsaid: its rule is silent beside the finding that is mended.
fn was_silent(now: &Finding, mended: &Finding) -> bool {
    let rule = springline_lang::rules::rule(now.code.as_str());
    let same_tooth = now.teeth.iter().any(|t| mended.teeth.contains(t));
    same_tooth && rule.is_some_and(|r| r.yields_to.contains(&mended.code.as_str()))
}

/// One finding fewer of its kind, and of no kind more.
fn mended(before: &Checked, after: &Checked, finding: &Finding) -> Option<String> {
    let kind = |f: &Finding| (f.code.clone(), f.teeth.first().map(|t| t.arch().word()));
    let count = |of: &Checked, k: &_| open(of).filter(|f| kind(f) == *k).count();
    if count(after, &kind(finding)) >= count(before, &kind(finding)) {
        return Some("the finding stands".to_owned());
    }
    let kinds: BTreeSet<_> = open(after).filter(|f| !was_silent(f, finding)).map(kind).collect();
    let more = kinds.into_iter().find(|k| count(after, k) > count(before, k))?;
    Some(format!("{} is new", more.0))
}

/// Findings of a kind that stood before, on the teeth it is about: none is farther past its limit.
fn figures(before: &Checked, after: &Checked, finding: &Finding) -> Option<String> {
    let times = |f: &Finding| {
        let figure = f.figure.as_ref()?;
        let (value, limit) = (figure.value.abs().max(1e-9), figure.limit.abs().max(1e-9));
        Some((value / limit).max(limit / value))
    };
    let touches = |f: &&Finding| f.teeth.iter().any(|t| finding.teeth.contains(t));
    open(after).filter(touches).filter(|now| !was_silent(now, finding)).find_map(|now| {
        let is = times(now)?;
        let had = open(before)
            .filter(|f| f.code == now.code && f.teeth.iter().any(|t| now.teeth.contains(t)));
        let was = had.filter_map(times).fold(0.0, f64::max);
        (is > was * 1.05 + 1e-9)
            .then(|| format!("{}: {was:.2} times before, {is:.2} after", now.code))
    })
}

/// The appliance still comes off, no goal is farther off on that day, and every kind of device is there that the finding
/// is not about.
fn treatment(before: &Checked, after: &Checked, finding: &Finding, text: &str) -> Option<String> {
    let ((was, had), (is, has)) = (before.course()?, after.course()?);
    if had.timeline.debond().is_some() && has.timeline.debond().is_none() {
        return Some("the debond is not foreseen any more".to_owned());
    }
    let goals = |case, course: &springline_lang::course::Forecast| {
        course.timeline.goals_at_end(case).map_or_else(Vec::new, |(_, goals)| goals)
    };
    let now = goals(is, has);
    let farther = goals(was, had).into_iter().find(|goal| {
        let then = now.iter().find(|g| g.figure == goal.figure);
        then.is_some_and(|then| then.left_mm() > goal.left_mm() + 0.25)
    });
    if let Some(goal) = farther {
        return Some(format!("the goal of {:?} is farther off", goal.figure));
    }
    let marked: Vec<&str> = finding
        .related
        .iter()
        .map(|r| r.place)
        .chain([finding.place])
        .filter(|place| place.file == FileId(0))
        .filter_map(|place| text.get(place.span.range()))
        .collect();
    let kinds = |case: &springline_lang::model::Case| -> BTreeSet<(String, &'static str)> {
        let acts = |a: &springline_lang::model::case::ArchCase| {
            let word = a.arch.word().to_owned();
            let acts = a.steps.iter().flat_map(|s| &s.acts).map(|act| act.kind.keyword());
            acts.map(|kind| (word.clone(), kind)).collect::<Vec<_>>()
        };
        case.arches.iter().flat_map(acts).collect()
    };
    let devices = [
        "piggyback",
        "traction",
        "open-coil",
        "passive-coil",
        "closing-spring",
        "chain",
        "tie",
        "laceback",
        "sleeve",
        "bite-raisers",
        "stop",
        "post",
        "power-arm",
        "reverse-curve",
        "torque",
        "pick-up",
    ];
    let (is, was) = (kinds(is), kinds(was));
    let lost = was
        .difference(&is)
        .find(|(_, kind)| devices.contains(kind) && !marked.iter().any(|text| text.contains(kind)));
    lost.map(|(arch, kind)| format!("lost: {kind} in the {arch} arch"))
}

/// Steps, what they wait for, the goal, extractions, how elastics end, the record: all that was said is said.
fn said(before: &Checked, after: &Checked) -> Option<String> {
    let words = |checked: &Checked| -> BTreeSet<String> {
        let case = serde_json::to_value(checked.case.as_deref()).unwrap_or_default();
        let mut out = BTreeSet::new();
        for arch in case["arches"].as_array().into_iter().flatten() {
            let name = &arch["arch"];
            for step in arch["steps"].as_array().into_iter().flatten() {
                out.insert(format!("{name} step {}", step["name"]));
                for term in terms(&step["until"]) {
                    out.insert(format!("{name} step {} waits for {term}", step["name"]));
                }
            }
            for (tooth, state) in arch["states"].as_object().into_iter().flatten() {
                out.insert(format!("{tooth} {}", state[0]["state"]));
            }
        }
        for (part, value) in case["goal"].as_object().into_iter().flatten() {
            let empty = value.is_null()
                || *value == Value::Bool(false)
                || value == &Value::Array(Vec::new());
            if part != "place" && part != "bite" && !empty {
                out.insert(format!("goal {part} {value}"));
            }
        }
        for elastics in case["elastics"].as_array().into_iter().flatten() {
            for term in terms(&elastics["until"][0]) {
                out.insert(format!("elastics end with {term}"));
            }
        }
        for visit in case["visits"].as_array().into_iter().flatten() {
            out.insert(format!("seen {}", visit["on"]));
        }
        out
    };
    words(before).difference(&words(after)).next().map(|lost| format!("lost: {lost}"))
}

/// Kinds of term, without their figures; a stated time is no aim.
fn terms(condition: &Value) -> Vec<String> {
    let condition = if condition["terms"].is_null() { &condition["value"] } else { condition };
    let all = condition["terms"].as_array().into_iter().flatten();
    let kinds = all.filter_map(|t| t["term"].as_str()).map(str::to_owned);
    kinds.filter(|kind| !matches!(kind.as_str(), "time" | "settled")).collect()
}

/// The line itself, or the line with braces opened behind it.
fn same_but_for_braces(new: &str, line: &str) -> bool {
    let new = new.trim_end_matches(['\r', '\n']);
    new.strip_prefix(line).is_some_and(|rest| rest.is_empty() || rest == " {")
}

/// Lines that no edit reaches stand in the new text as they stood in the old, in their order.
fn lines(before: &str, after: &str, fix: &Fix) -> Option<String> {
    let mut at = 0;
    let mut rest = after.split_inclusive('\n');
    for line in before.split_inclusive('\n') {
        let span = at..at + line.len();
        at = span.end;
        // An insertion at a line's very start or end leaves the line itself alone.
        let body = span.start..span.start + line.trim_end_matches(['\r', '\n']).len();
        let touched = fix.edits.iter().any(|e| {
            let e = e.place.span.range();
            e.start < body.end && body.start < e.end
                || (e.is_empty() && body.start < e.start && e.start < body.end)
        });
        if !touched
            && !body.is_empty()
            && !rest.any(|new| same_but_for_braces(new, &line[..body.len()]))
        {
            return Some(format!("a line that it does not touch is gone: {line:?}"));
        }
    }
    None
}
