//! The chair test as it is forecast, and what reaches a canine that is slid along its wire.

use springline_lang::course::{
    CanineSliding, ChairLimits, ChairWord, Forecast, PassiveBy, Phase, forecast,
};
use springline_lang::model::Case;
use springline_lang::units::tooth::Notation;
use springline_test_support::{Practices, SALTMARSH};

fn read(body: &str) -> (Case, Forecast) {
    let text = format!(
        "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-11-23\nupper {{\n  bonded 15, 13..23, 25 with \
         twin\n  tubes 16, 26 with molar\n{body}}}\n"
    );
    let case = Practices::of(SALTMARSH).case(&text);
    let forecast = forecast(&case, None);
    (case, forecast)
}

fn phase<'f>(forecast: &'f Forecast, name: &str) -> &'f Phase {
    let phases = &forecast.arches[0].phases;
    phases.iter().find(|p| &*p.name == name).expect("the step")
}

fn says(phase: &Phase, case: &Case) -> Option<String> {
    phase.chair_says(&case.house, phase.end.date.unwrap(), &phase.state.acts)
}

/// A wire that goes in binds where the tooth stands out; as the teeth come in it lets go.
#[test]
fn the_wire_binds_at_the_tooth_that_is_off_and_then_lets_go() {
    let (case, forecast) = read("  tooth 12 palatal 2 mm\n  follow usual\n");
    let align = phase(&forecast, "align");
    let limits = ChairLimits::of(&case.house);
    assert!(!limits.learned);
    let at_first = align.chair_test(0.0).expect("figures");
    assert_eq!(at_first.word(&limits), ChairWord::Binds);
    // Its own bracket or the neighbour, which has the couple too.
    let tightest = at_first.tightest.map(|(t, _)| t.code()).expect("a bracket");
    assert!([11, 12, 13].contains(&tightest), "{tightest}");
    let [low, high] = at_first.range_n;
    assert!(low < at_first.force_n && at_first.force_n < high, "{at_first:?}");
    assert_eq!(at_first.say(&limits, Notation::Iso), format!("binds at {tightest}"));
    let last = align.chair_test(1.0e4).expect("figures");
    assert!(last.word(&limits) < ChairWord::MayBind, "{last:?}");
    let from = align.slides_from(&case.house).expect("it slides in the end");
    assert!(from > 7.0, "{from}");
    let said = says(align, &case).expect("a forecast");
    assert!(said.starts_with("passive (") && said.contains("; the wire "), "{said}");
    assert!(!said.contains(" g"), "no grams before the practice's limit is learned: {said}");
    assert_ne!(align.passive.decided_by, PassiveBy::NoBend);
}

/// An arch in line holds no wire, and nothing is forecast of one that something else holds.
#[test]
fn an_arch_in_line_lets_the_wire_slide_freely_and_a_held_wire_is_not_tested() {
    let (case, forecast) = read("  follow usual\n");
    let align = phase(&forecast, "align");
    let said = says(align, &case);
    assert_eq!(said.as_deref(), Some("passive (hardly any force left); the wire slides freely"));
    let held = "  tooth 12 palatal 2 mm\n  follow usual\n  change align {\n    stop mesial of 11, mesial of 21\n  }\n";
    let (case, forecast) = read(held);
    let align = phase(&forecast, "align");
    assert_eq!(says(align, &case), None);
}

/// Half of the force is lost at 0.15 on a bracket 3 mm wide with a lever of 10 (closed form; 40 and 62 % at the
/// ends of the range of steel). In line the canine tips first; tipped as far as its slot lets it, it moves at once.
#[test]
fn a_canine_slid_along_steel_loses_half_of_the_force() {
    let close = |canine: &str| {
        let (_, forecast) = read(&format!(
            "  extracted 14, 24 on 2026-08-20\n{canine}  follow usual\n  change work, wire steel-19x25, until gap 0 \
             mm between 15 and 13 {{\n    closing-spring 15 to 13 with closing-150\n  }}\n"
        ));
        phase(&forecast, "work").slid.clone()
    };
    let [slid] = close("")[..] else { panic!("one canine") };
    assert_eq!(slid.tooth.code(), 13);
    let near = |have: f64, want: f64| assert!((have - want).abs() < 0.005, "{have} {want}");
    near(slid.lost, 0.5);
    near(slid.lost_range[0], 0.4);
    near(slid.lost_range[1], 0.625);
    let CanineSliding::TipsFreely { over_mm } = slid.state else { panic!("{slid:?}") };
    // A slot 5 % over its name leaves 0.104 mm over its width of 3.
    near(over_mm, 0.35);
    let said = "13 will tip by up to 0.3 mm first; after that about 50 % of the force reaches it";
    assert_eq!(slid.say_at_chair(Notation::Iso), said);
    let [tipped] = close("  tooth 13 tipped 15 deg distal\n")[..] else { panic!("one canine") };
    println!("{}", tipped.say(Notation::Iso));
    assert!(!matches!(tipped.state, CanineSliding::TipsFreely { .. }), "{tipped:?}");
}
