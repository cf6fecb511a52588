//! The search against brute force, and what a draft promises.

use super::best_first::{exhaustive, search};
use super::tried_plan::PlanJudge;
use super::*;
use springline_test_support::Practices;

const TODAY: jiff::civil::Date = jiff::civil::date(2026, 11, 25);

fn options() -> CheckOptions {
    CheckOptions { today: Some(TODAY) }
}

fn case(arch: Arch, teeth: &str) -> SourceText {
    let (name, bonded, tubes) = match arch {
        Arch::Upper => ("upper", "15..25", "16, 26"),
        Arch::Lower => ("lower", "45..35", "46, 36"),
    };
    let text = format!(
        "springline 1\ncase \"SM-9800\"\nuse saltmarsh\nstart 2026-11-23\npatient adult\n{name} {{\n  \
         bonded {bonded} with twin\n  tubes {tubes} with molar\n{teeth}  follow usual\n}}\n"
    );
    SourceText { name: "case.spring".to_owned(), text: text.into() }
}

/// Saltmarsh with these wires of its own drawer alone, and its usual sequence on them.
fn practice(wires: &[&str]) -> String {
    let kept = |line: &&str| {
        let name = line.strip_prefix("wire ").and_then(|l| l.split(' ').next());
        let soft = line.contains("superelastic-niti") || line.contains("thermal-niti");
        name.is_none_or(|n| !soft || wires.contains(&n))
    };
    let round = wires.iter().find(|w| !w.contains('x')).unwrap_or(&wires[0]);
    let flat = wires.iter().find(|w| w.contains('x')).unwrap_or(&wires[0]);
    let text: Vec<&str> = springline_test_support::SALTMARSH.lines().filter(kept).collect();
    text.join("\n")
        .replace("wire thermal-16,", &format!("wire {round},"))
        .replace("wire niti-16x22,", &format!("wire {flat},"))
}

/// Both ways of searching one arch.
fn both(source: &SourceText, arch: Arch, practice: &str) -> [Vec<(CostKey, String)>; 2] {
    let library = Practices::of(practice);
    [false, true].map(|all| {
        let mut checker = Checker::new();
        let options = options();
        let Checker { texts, judgements } = &mut checker;
        let mut read = |source: &SourceText| texts.read_trial(source, &library);
        let mut trial = Trial { read: &mut read, judgements, options: &options };
        let frame = frame_of(&mut trial, source, arch).expect("a frame");
        let mut judge = PlanJudge::new(&frame, &mut trial);
        let ranked = match all {
            true => exhaustive(&mut judge),
            false => search(&mut judge, &mut |_| true),
        };
        assert!(ranked.proven);
        eprintln!("{} judged", judge.judged);
        ranked.plans.iter().map(|p| (p.cost.key(), draft_step::say_steps(&p.steps))).collect()
    })
}

#[test]
fn the_search_finds_what_brute_force_finds() {
    let drawer = practice(&["niti-12", "niti-14", "niti-14x25", "niti-18x25"]);
    let teeth = "  tooth 42 lingual 2 mm, rotated 15 deg mesial-in\n  tooth 33 labial 1 mm\n";
    let [best, all] = both(&case(Arch::Lower, teeth), Arch::Lower, &drawer);
    assert!(!best.is_empty());
    assert_eq!(best, all);
}
