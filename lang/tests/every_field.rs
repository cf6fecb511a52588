//! Nothing of a plan is left out of `diff`. That fixes lose nothing is held by the compiler, in
//! `fixes/losses.rs`.

use springline_emit::compare::compare;
use springline_emit::{Plan, PrintStamp};
use springline_lang::course::forecast;
use springline_test_support::case;

const PLAN: &str = r#"start 2026-09-14
upper {
  bonded 14..24 with twin
  tubes 16, 26 with molar
  crowding 2 mm
  follow usual
}
lower {
  bonded 44..34 with twin
  tubes 46, 36 with molar
  follow usual
}
elastics class-2 {
  right 13 to 46 with medium, wear 22 h
  from work
  longest 20 wk
}
"#;

#[test]
fn whatever_changes_in_a_plan_is_told() {
    let stamp = |case: &str| PrintStamp {
        case: case.into(),
        house: "house".into(),
        tool: "test".into(),
        printed: jiff::civil::date(2026, 9, 1),
    };
    let told = |from: &str, to: &str| {
        assert!(PLAN.contains(from), "{from}");
        let (before, after) = (case(PLAN), case(&PLAN.replacen(from, to, 1)));
        let courses = (forecast(&before, None), forecast(&after, None));
        let (old, new) = (stamp("old"), stamp("new"));
        let plan = |case, forecast, stamp| Plan {
            case,
            forecast,
            findings: &[],
            today: jiff::civil::date(2026, 9, 1),
            stamp,
        };
        let compared = compare(&plan(&before, &courses.0, &old), &plan(&after, &courses.1, &new));
        let changes = compared.changes.iter().map(|c| format!("{} {}", c.at, c.what));
        changes.chain(compared.also).collect::<Vec<_>>()
    };
    let crowded = told("  crowding 2 mm\n", "  crowding 3 mm\n");
    assert!(crowded.contains(&"upper crowding".to_owned()), "{crowded:?}");
    assert_eq!(told("  longest 20 wk\n", "  longest 22 wk\n"), ["Elastics class-2, right worn"]);
    let in_place =
        "start 2026-09-14\nin-place 2026-09-14 {\n  upper thermal-16 since 2026-08-20\n}\n";
    let entered = told("start 2026-09-14\n", in_place);
    assert!(entered.contains(&"what was in place".to_owned()), "{entered:?}");
}
