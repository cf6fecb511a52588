//! The chair test as it is forecast, and what reaches a canine that is slid along its wire.

use springline_lang::course::learn::{ChairObservation, Logistic, chair_line, fit_chair};
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

/// `1 - 1 / (1 + 2 mu d / w)` of the force is lost, over the range of steel (half at 0.15 with d 10 and w 3). In line the canine tips first; tipped as far as its slot lets it, it moves at once.
#[test]
fn a_canine_slid_along_steel_tips_and_then_loses_by_the_closed_form() {
    let close = |canine: &str| {
        let (_, forecast) = read(&format!(
            "  extracted 14, 24 on 2026-08-20\n{canine}  follow usual\n  change work, wire steel-19x25, until gap 0 \
             mm between 15 and 13 {{\n    closing-spring 15 to 13 with closing-150\n  }}\n"
        ));
        let work = phase(&forecast, "work");
        let slot = *work.setup.base.slots.iter().find(|s| s.id == 13).unwrap();
        let [slid] = work.slid[..] else { panic!("one canine") };
        (slid, slot)
    };
    let (slid, slot) = close("");
    assert_eq!(slid.tooth.code(), 13);
    let near = |have: f64, want: f64| assert!((have - want).abs() < 0.005, "{have} {want}");
    let lever = match slot.support.centre_mm[1].abs() {
        lever if lever > 0.0 => lever,
        _ => 10.0,
    };
    let lost = |mu: f64| 1.0 - 1.0 / (1.0 + 2.0 * mu * lever / slot.width_mm);
    near(slid.lost, lost(0.15));
    near(slid.lost_range[0], lost(0.10));
    near(slid.lost_range[1], lost(0.25));
    let CanineSliding::TipsFreely { over_mm } = slid.state else { panic!("{slid:?}") };
    // The room of the slot over its width, by the lever.
    near(over_mm, lever * (slot.height_mm - 0.019 * 25.4) / slot.width_mm);
    let said = slid.say_at_chair(Notation::Iso);
    assert!(said.starts_with("13 will tip by up to 0.") && said.contains("first; after"), "{said}");
    let (tipped, _) = close("  tooth 13 tipped 15 deg distal\n");
    println!("{}", tipped.say(Notation::Iso));
    assert!(!matches!(tipped.state, CanineSliding::TipsFreely { .. }), "{tipped:?}");
}

/// An arm of seven millimetres leaves three of the ten to the wire: `1 - 1 / (1 + 2 mu 3 / w)` of the force is lost.
/// The spring acts at its tip and the canine goes as much slower as was published; its other end is as before.
#[test]
fn a_canine_pulled_at_a_power_arm_is_pulled_nearer_its_centre() {
    let close = |arm: &str| {
        let (_, forecast) = read(&format!(
            "  extracted 14, 24 on 2026-08-20\n  follow usual\n  change work, wire steel-19x25, until gap 0 mm \
             between 15 and 13 {{\n    closing-spring 15 to 13 with closing-150\n{arm}  }}\n"
        ));
        phase(&forecast, "work").clone()
    };
    let (bare, armed) = (close(""), close("    power-arm 13 7 mm\n"));
    assert!(bare.tooth_pulls().iter().all(|p| p.arm_mm == 0.0));
    let load = |phase: &Phase, id| {
        let loads = &phase.setup.base.loads;
        *loads.iter().find(|l| l.id == id).expect("the spring")
    };
    assert_eq!(load(&armed, 13).at_mm, [0.0, 7.0, 0.0]);
    assert_eq!(load(&armed, 13).along_n, load(&bare, 13).along_n);
    assert_eq!(load(&armed, 15), load(&bare, 15));
    let pulls = armed.tooth_pulls();
    let [pull] = pulls.iter().filter(|p| p.arm_mm > 0.0).collect::<Vec<_>>()[..] else {
        panic!("one arm")
    };
    let width = armed.setup.base.slots.iter().find(|s| s.id == 13).unwrap().width_mm;
    let lost = 1.0 - 1.0 / (1.0 + 2.0 * 0.15 * (pull.bodily_at_mm - 7.0) / width);
    assert!((armed.slid[0].lost - lost).abs() < 0.005, "{:?} {lost}", armed.slid);
    let said = pull.say(Notation::Iso).expect("a pull along the arch");
    assert!(said.contains("moment to force 7 mm at the bracket"), "{said}");
    // Prog Orthod 2021, split mouth: 1.57 against 2.09 mm in three months.
    let days = |phase: &Phase| phase.end.predicted.expect("it closes").median_days;
    assert!((days(&bare) / days(&armed) - 1.57 / 2.09).abs() < 0.03);
}

/// A practice's own coefficient, with its range: friction is in proportion to it. Without one the built-in range stands,
/// as wide by factors.
#[test]
fn the_chair_test_follows_the_friction_of_the_practice() {
    let tested = |line: &str| {
        let text = "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-11-23\nupper {\n  bonded 15..25 with twin\n  \
                    tubes 16, 26 with molar\n  tooth 12 palatal 2 mm\n  follow usual\n}\n";
        let case = Practices::of(format!("{SALTMARSH}\n{line}\n")).case(text);
        forecast(&case, None).arches[0].phases[0].chair_test(0.0).expect("figures")
    };
    let built_in = tested("");
    let own = tested("friction niti 0.5 times, between 0.4 times and 0.6 times");
    // Pulled, the wire is pressed onto the slots by its own tension: more than in proportion.
    assert!(own.force_n > 1.8 * built_in.force_n, "{own:?} {built_in:?}");
    let width = |t: &springline_lang::course::ChairTest| t.range_n[0] / t.force_n;
    assert!(width(&own) > width(&built_in), "{own:?} {built_in:?}");
    let as_wide = tested("friction niti 0.25 times");
    assert_eq!(as_wide, built_in);
    assert_eq!(tested("friction steel 0.5 times"), built_in);
}

/// Tests of an invented practice (grams predicted, bound or not).
fn tests() -> Vec<(f64, bool)> {
    let rows = include_str!("data/chair.csv").lines().skip(1);
    rows.map(|line| {
        let cells: Vec<&str> = line.split(',').collect();
        (cells[1].parse().unwrap(), cells[2] == "1")
    })
    .collect()
}

/// Against statsmodels 0.15.0 (`Logit`, without a prior) and scipy 1.17.1 (maximum of the same likelihood under the
/// prior, Hessian by differences), as `data/chair_threshold.py` prints them. Tolerances: 1e-5 on estimates, a
/// hundredth on standard errors.
#[test]
fn the_line_is_that_of_the_packages() {
    let same = |got: Logistic, line: f64, slope: f64, se: [f64; 2]| {
        assert!(
            (got.ln_line - line).abs() < 1e-5 && (got.ln_slope - slope).abs() < 1e-5,
            "{got:?}"
        );
        for (got, want) in [got.se_ln_line, got.se_ln_slope].into_iter().zip(se) {
            assert!((got - want).abs() < 0.01 * want, "{got} {want}");
        }
    };
    let all = tests();
    let plain = fit_chair(&all, false).unwrap();
    same(plain, -0.112_347_21, 1.551_547_56, [0.137_624_29, 0.387_640_33]);
    let held = fit_chair(&all, true).unwrap();
    same(held, -0.113_671_17, 1.454_715_50, [0.143_375_86, 0.308_841_05]);
    let four = [(20.0, false), (40.0, false), (60.0, true), (120.0, true)];
    assert_eq!(fit_chair(&four, false), None, "they separate: any steep line fits");
    let four = fit_chair(&four, true).unwrap();
    same(four, -0.099_814_54, 1.462_838_53, [0.324_710_97, 0.485_417_14]);
}

/// The line goes into the practice file as a row of `learned`, and from then on grams are told by it.
#[test]
fn a_learned_line_decides_the_word_and_grams_are_told() {
    let seen: Vec<ChairObservation> = tests()
        .into_iter()
        .map(|(predicted_g, bound)| ChairObservation {
            case: "SM-0001".to_owned(),
            wire: "niti-14".into(),
            predicted_g,
            bound,
        })
        .collect();
    assert_eq!(chair_line(&seen[..3]).unwrap_err().bound, 2);
    let line = chair_line(&seen).unwrap();
    assert!((line.half_g - 48.887).abs() < 0.01, "{line:?}");
    assert!(line.half_90_g.0 < line.half_g && line.half_g < line.half_90_g.1);
    let learned = "\nlearned 2026-11-20 {\n  active practice 1 times, spread 1.5 times, cases 9\n  binds-from 48.9 g, \
                   between 38.6 g and 61.9 g, spread 1.6 times, visits 40\n}\n";
    let case = Practices::of(format!("{SALTMARSH}{learned}")).case(
        "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2026-11-23\nupper {\n  bonded 15..25 with twin\n  tubes \
         16, 26 with molar\n  tooth 12 palatal 2 mm\n  follow usual\n}\n",
    );
    let limits = ChairLimits::of(&case.house);
    assert!(limits.learned && (limits.slides_n / 0.009_806_65 - 48.9 / 1.6).abs() < 0.01);
    let align = &forecast(&case, None).arches[0].phases[0];
    let said = align.chair_test(0.0).unwrap().say(&limits, Notation::Iso);
    assert!(said.starts_with("binds at 1") && said.contains(" (about "), "{said}");
}
