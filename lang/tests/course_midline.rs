//! Where the midline goes by the length of wire that leaves on one side only, and the figures of stops.

mod course_support;

use course_support::arch;
use springline_lang::course::{BiteFigure, Forecast, MidlineForecast, Phase, RoomSource, forecast};
use springline_lang::units::tooth::Arch;
use springline_test_support::{Practices, SALTMARSH, case, example};

fn upper(teeth: &str, stops: &str) -> Forecast {
    forecast(
        &case(&format!(
            "start 2026-08-17\npatient growing\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  {teeth}\n  \
             midline 2 mm to patient-right of face\n  step align, wire niti-14, ends turned-in slack 3 mm, \
             until passive, next 10..12 wk {{\n    {stops}\n  }}\n}}\n"
        )),
        None,
    )
}

const CROWDED_RIGHT: &str =
    "tooth 12 palatal 1.5 mm, rotated 15 deg mesial-in\n  tooth 13 labial 1 mm";
const CROWDED_LEFT: &str =
    "tooth 22 palatal 1.5 mm, rotated 15 deg mesial-in\n  tooth 23 labial 1 mm";

/// The midline as the last visit finds it.
fn last(course: &Forecast) -> MidlineForecast {
    let visits = course.timeline.visits();
    let found = visits.iter().rev().find_map(|v| v.bite.midlines_forecast.first());
    *found.expect("a midline")
}

#[test]
fn length_that_leaves_on_one_side_carries_the_midline_there() {
    let left = last(&upper(CROWDED_RIGHT, "stop mesial of 16"));
    let [least, median, most] = left.left_mm;
    assert!(least >= -2.0 && least < median && median < most, "{left:?}");
    assert!((0.3..1.5).contains(&left.across_mm), "{left:?}");
    // Mirrored, the same to the other side.
    let right = last(&upper(CROWDED_LEFT, "stop mesial of 26"));
    assert!((right.across_mm + left.across_mm).abs() < 0.05, "{left:?} {right:?}");
}

/// Its wire does not carry it. The crowded side makes more room than the other, and an arch that grows between molars
/// that stay carries its middle by half of the difference.
#[test]
fn a_wire_free_at_both_ends_leaves_the_midline_to_the_room_that_one_side_makes() {
    for stops in ["", "stop mesial of 11, mesial of 21", "stop mesial of 26"] {
        let free = last(&upper(CROWDED_RIGHT, stops));
        assert_eq!(free.across_mm, 0.0, "{stops}");
        assert!(free.room_mm > 0.3, "{stops} {free:?}");
        let by = free.left_mm.map(|mm| mm + 2.0);
        for (by, share) in by.into_iter().zip([0.25, 0.5, 0.75]) {
            assert!((by - share * free.room_mm).abs() < 1e-9, "{stops} {free:?}");
        }
    }
    // Crowded alike on both sides it stays; so it does where the goal holds the incisors.
    let both = last(&upper(&format!("{CROWDED_RIGHT}\n  {CROWDED_LEFT}"), ""));
    assert!(both.room_mm.abs() < 1e-9 && both.left_mm == [-2.0; 3], "{both:?}");
}

/// Elastics and wire act on one midline, and there is one figure for it.
#[test]
fn elastics_are_in_the_figure_of_the_midline() {
    let course = |elastics: &str| {
        forecast(
            &case(&format!(
                "start 2026-08-17\npatient growing\nbite {{\n  upper midline 2 mm to patient-right of face\n}}\nupper {{\n  \
                 bonded 15..25 with twin\n  tubes 16, 26 with molar\n  hook 13, 16, 23, 26\n  {CROWDED_RIGHT}\n  step \
                 align, wire niti-14, ends turned-in slack 3 mm, until passive, next 10..12 wk {{\n    stop mesial of \
                 16\n  }}\n}}\nlower {{\n  bonded 45..35 with twin\n  tubes 46, 36 with molar\n  hook 33, 36, 43, 46\n  \
                 step align, wire niti-14, ends turned-in, until passive, next 10..12 wk\n}}\n{elastics}"
            )),
            None,
        )
    };
    let bare = last(&course(""));
    let pulled =
        course("elastics diagonal {\n  right 13 to 33 with small, wear 22 h\n  from align\n}\n");
    let line = last(&pulled);
    assert!(line.elastics_mm > 0.1, "{line:?}");
    // They also press on the wire, so that a little less of it passes.
    assert!(line.left_mm[1] > bare.left_mm[1] + 0.8 * line.elastics_mm, "{line:?} {bare:?}");
    let visits = pulled.timeline.visits();
    let visit = visits.iter().rev().find(|v| !v.bite.midlines_forecast.is_empty()).unwrap();
    let figure = BiteFigure::Midline(Arch::Upper);
    let bite = visit.bite.forecast.iter().find(|b| b.figure == figure).expect("known");
    assert!((bite.value_mm - line.left_mm[1]).abs() < 1e-9, "{bite:?} {line:?}");
}

/// A step that waits for its midline has a date where the wire carries it so far, and none where it does not.
#[test]
fn a_step_that_waits_for_its_midline_ends_where_the_wire_carries_it() {
    let waits = |teeth: &str, until: &str| {
        let course = forecast(
            &case(&format!(
                "start 2026-08-17\npatient growing\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  \
                 {teeth}\n  midline 2 mm to patient-right of face\n  step align, wire niti-14, ends turned-in slack 3 mm, \
                 until {until}, next 10 wk {{\n    stop mesial of 16\n  }}\n}}\n"
            )),
            None,
        );
        let end = arch(&course, Arch::Upper).phases[0].end.clone();
        (end.predicted.map(|p| p.median_days / 7.0), end.reason)
    };
    let half = "upper midline 1.5 mm to patient-right of face";
    let (weeks, _) = waits(CROWDED_RIGHT, half);
    assert!(weeks.is_some_and(|w| (1.0..15.0).contains(&w)), "{weeks:?}");
    let (never, reason) = waits(CROWDED_RIGHT, "upper midline 1 mm to patient-left of face");
    assert!(never.is_none(), "{reason:?}");
    // Crowded on the left instead, it goes the other way.
    assert!(waits(CROWDED_LEFT, half).0.is_none());
}

/// The invented practice's own record: stopped mesial of 16, the midline comes from 2 to 1 mm in ten weeks. The length
/// of the wire alone took it no farther than 0.45 mm; with the room that the crowded side makes the record is within
/// the range.
#[test]
fn the_recorded_midline_is_within_the_forecast() {
    let text = example("cases/sm-0436-midline.spring");
    let unseen = text.split("seen 2026-10-26").next().unwrap().to_owned();
    let course = forecast(&Practices::of(SALTMARSH.to_owned()).case(&unseen), None);
    let visits = course.timeline.visits();
    let change = visits.iter().find(|v| v.date >= jiff::civil::date(2026, 10, 1));
    let upper = change.unwrap().bite.midlines_forecast.iter().find(|m| m.arch == Arch::Upper);
    let line = upper.unwrap();
    let [least, median, most] = line.left_mm;
    println!("{} {line:?}: {}", change.unwrap().date, line.say());
    assert!(median > least && most > median);
    assert!(least <= -1.0 && most >= -1.0, "{line:?}");
}

/// A lateral between two stops that face away from it: what it releases cannot leave, and presses them apart.
#[test]
fn a_locked_wire_presses_the_teeth_at_its_stops_apart() {
    let plan = |more: &str| {
        case(&format!(
            "start 2026-11-23\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 12 palatal 2 mm\n  \
             step align, wire niti-14, ends turned-in, until passive {{\n    stop mesial of 14, mesial of 21{more}\n  \
             }}\n}}\n"
        ))
    };
    let stopped = |more: &str| forecast(&plan(more), None);
    let (text, course) = (plan(""), stopped(""));
    let phase = &arch(&course, Arch::Upper).phases[0];
    let (blocked, force) = phase.blocked(&text.house).unwrap();
    let force = force.unwrap();
    // No more than the give of the two teeth would take if the wire did not bow at all.
    assert!(force > 0.2 && force <= blocked.excess_mm / 0.1, "{blocked:?} {force}");
    assert!(phase.stops_do(&text.house)[0].contains("presses them apart with about"));
    // In the course the two teeth go apart, and what they make is room.
    let stops = phase.room.made.iter().find(|m| m.source == RoomSource::Stops).expect("room");
    println!("{stops:?} {:?}", phase.passive.by_rule());
    assert!(stops.made_mm > 0.1 && stops.made_mm < blocked.excess_mm + 0.3, "{stops:?}");
    // Tied together they stay, and the wire bows between them for good.
    let tied = stopped("\n    tie 14..21 figure-eight");
    let phase_tied = &arch(&tied, Arch::Upper).phases[0];
    let made = phase_tied.room.made.iter().find(|m| m.source == RoomSource::Stops);
    assert!(made.is_none_or(|m| m.made_mm < 1e-6), "{made:?}");
    let drawn = phase.drawn_forward_n(0.0).unwrap();
    assert!((0.0..10.0).contains(&drawn));
    assert_eq!(phase.drawn_forward_n(5.0), Some(0.0));
}

/// Blocked wires of any stiffness are followed to rest: no run breaks off, and none pushes its teeth farther apart than the
/// wire is too long (by geometry, which misses what the turns of the slots add: 0.3 mm here) nor together.
#[test]
fn blocked_wires_are_followed_to_the_end() {
    for wire in ["niti-14", "niti-16x22", "beta-18x25", "steel-19x25"] {
        for (off, stops) in [
            (0.4, "mesial of 14, mesial of 21"),
            (0.8, "mesial of 14, mesial of 21"),
            (0.8, "mesial of 13, mesial of 11"),
            (1.2, "mesial of 15, mesial of 23"),
        ] {
            let plan = case(&format!(
                "start 2026-11-23\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 12 palatal {off} \
                 mm, rotated 10 deg mesial-in\n  step work as work, wire {wire}, ends turned-in, until 30 wk {{\n    stop \
                 {stops}\n  }}\n}}\n"
            ));
            let course = forecast(&plan, None);
            let phase = &arch(&course, Arch::Upper).phases[0];
            let what = format!("{wire}, {off} mm, {stops}: {:?}", phase.passive.never);
            if phase.insertion.refused.is_some() {
                continue;
            }
            assert!(!what.contains("cannot be computed"), "{what}");
            let excess_mm =
                phase.blocked(&plan.house).map_or(0.0, |(blocked, _)| blocked.excess_mm);
            for made in phase.room.made.iter().filter(|m| m.source == RoomSource::Stops) {
                println!("{what} {:.2} for {excess_mm:.2} mm too much", made.made_mm);
                assert!((0.0..excess_mm + 0.3).contains(&made.made_mm), "{what} {made:?}");
            }
        }
    }
}

/// A lateral that was left out comes into the wire whose ends were bent without it: the wire has no more to give it,
/// and draws the molars forward, if there is room before them. With turned-in ends it lets the lateral have what it needs.
///
/// By hand: what the wire then takes in between the molars' tubes comes from the molars alone, which give 0.05 to 0.06 mm/N
/// each along the arch under their first newton and a fifth of that beyond (`mechanics.md`). The lateral goes without the rest.
#[test]
fn ends_bent_without_a_tooth_draw_the_molars_when_it_comes_in() {
    let course = |ends: &str, space: &str| {
        let plan = case(&format!(
            "start 2026-11-23\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 12 palatal 3.5 mm\n{space}  \
             step align, wire niti-14, ends {ends}, until 4 wk {{\n    bypass 12\n  }}\n  \
             step bring-in as align, wire keep, ends {ends}, until passive {{\n    engage 12\n  }}\n}}\n"
        ));
        let course = forecast(&plan, None);
        arch(&course, Arch::Upper).phases.clone()
    };
    let along = |phase: &Phase| {
        [16, 26].map(|tooth| {
            let teeth = &phase.insertion.teeth;
            teeth.iter().find(|t| t.tooth.code() == tooth).unwrap().at_insertion.along_n
        })
    };
    let moved = |phase: &Phase| {
        [16, 26].map(|tooth| {
            let tooth = phase.teeth.iter().find(|t| t.tooth.code() == tooth).unwrap();
            tooth.exit.along_mm - tooth.entry.along_mm
        })
    };
    let (bent, free) = (course("cinched", ""), course("turned-in slack 3 mm", ""));
    let [right, left] = along(&bent[1]);
    let (took, needs) = (bent[1].insertion.taken_in_mm, free[1].insertion.taken_in_mm);
    println!("{right} {left} N, {took} of {needs} mm, moved {:?}", moved(&bent[1]));
    // To the left on the right molar, to the right on the left one, and alike: one wire.
    assert!(right > 0.0 && (right + left).abs() < 0.05 * right, "{right} {left}");
    let [least, most] = [0.05, 0.06].map(|give| 2.0 * give * (1.0 + (right - 1.0) / 5.0));
    assert!(right > 1.0 && (least..most).contains(&took), "{least} to {most}, took {took}");
    assert!(took < 0.5 * needs, "{took} of {needs}");
    // Turned in, or bent after the teeth are tied in, the ends hold nothing back.
    for phase in [&free[0], &free[1], &bent[0]] {
        assert!(along(phase).iter().all(|n| n.abs() < 1e-3), "{:?}", along(phase));
    }
    // Teeth in contact between them do not let the molars come.
    assert!(moved(&bent[1]).iter().all(|mm| mm.abs() < 0.02), "{:?}", moved(&bent[1]));
    let open = course("cinched", "  gap 1 mm between 16 and 15\n  gap 1 mm between 25 and 26\n");
    println!("with room {:?} N, {:?} mm", along(&open[1]), moved(&open[1]));
    let [right, left] = moved(&open[1]);
    assert!(right > 0.02 && left < -0.02, "{right} {left}");
}

/// The same lateral, one end only bent tight and the wire stopped on the far side of the left central: between them it has no
/// more to give, so it draws the right molar forward and the central to the right, alike. The left molar, behind an end that
/// lets wire in, feels nothing; without the stop, or with it on the side where the wire may slide, nobody is drawn.
///
/// By hand: the two give what the wire takes in between them, a molar 0.05 to 0.06 and an incisor 0.07 mm/N under the first
/// newton, a fifth of that beyond.
#[test]
fn one_bent_end_against_a_stop_draws_the_two_together() {
    let second = |stop: &str| {
        let ends = "cinched on right, turned-in slack 3 mm on left";
        let plan = case(&format!(
            "start 2026-11-23\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 12 palatal 3.5 mm\n  \
             step align, wire niti-14, ends {ends}, until 4 wk {{\n    bypass 12{stop}\n  }}\n  \
             step bring-in as align, wire keep, ends {ends}, until passive {{\n    engage 12{stop}\n  }}\n}}\n"
        ));
        arch(&forecast(&plan, None), Arch::Upper).phases[1].clone()
    };
    let along = |phase: &Phase, tooth: u32| {
        let teeth = &phase.insertion.teeth;
        teeth.iter().find(|t| t.tooth.code() == tooth).unwrap().at_insertion.along_n
    };
    let (held, free) = (second("\n    stop distal of 21"), second(""));
    let [molar, central, left] = [16, 21, 26].map(|tooth| along(&held, tooth));
    let (took, needs) = (held.insertion.taken_in_mm, free.insertion.taken_in_mm);
    println!("{molar} {central} {left} N, {took} of {needs} mm");
    assert!(molar > 1.0 && left.abs() < 0.02 * molar, "{molar} {left}");
    assert!((molar + central).abs() < 0.1 * molar, "{molar} {central}");
    let [least, most] = [0.12, 0.13].map(|give| give * (1.0 + (molar - 1.0) / 5.0));
    assert!((0.8 * least..1.2 * most).contains(&took), "{least} to {most}, took {took}");
    for other in [&free, &second("\n    stop mesial of 21")] {
        assert!(along(other, 16).abs() < 1e-3, "{}", along(other, 16));
    }
}
