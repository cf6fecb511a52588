//! Where the midline goes by the length of wire that leaves on one side only, and the figures of stops.

mod course_support;

use course_support::arch;
use springline_lang::course::{Forecast, MidlineForecast, forecast};
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
    assert!(least == -2.0 && least < median && median < most, "{left:?}");
    assert!((0.3..1.5).contains(&left.across_mm), "{left:?}");
    // Mirrored, the same to the other side.
    let right = last(&upper(CROWDED_LEFT, "stop mesial of 26"));
    assert!((right.across_mm + left.across_mm).abs() < 0.05, "{left:?} {right:?}");
}

#[test]
fn a_wire_free_at_both_ends_leaves_the_midline_where_it_is() {
    for stops in ["", "stop mesial of 11, mesial of 21", "stop mesial of 26"] {
        let free = last(&upper(CROWDED_RIGHT, stops));
        assert_eq!((free.across_mm, free.left_mm), (0.0, [-2.0; 3]), "{stops}");
    }
}

/// The invented practice's own record: stopped mesial of 16, the midline comes from 2 to 1 mm in ten weeks. The
/// length of the wire takes it that way and does not take it so far: that the crowded side makes room against
/// the molars more than against the incisors is not in this figure.
#[test]
fn the_recorded_midline_goes_the_way_of_the_forecast_and_farther() {
    let text = example("cases/sm-0436-midline.spring");
    let unseen = text.split("seen 2026-10-26").next().unwrap().to_owned();
    let course = forecast(&Practices::of(SALTMARSH.to_owned()).case(&unseen), None);
    let visits = course.timeline.visits();
    let change = visits.iter().find(|v| v.date >= jiff::civil::date(2026, 10, 1));
    let upper = change.unwrap().bite.midlines_forecast.iter().find(|m| m.arch == Arch::Upper);
    let [least, median, most] = upper.unwrap().left_mm;
    println!("{} {least} {median} {most}", change.unwrap().date);
    assert!(least == -2.0 && median > least && most > median);
    assert!(most < -1.0, "the record is met: say so");
}

/// A lateral between two stops that face away from it: what it releases cannot leave, and presses them apart.
#[test]
fn a_locked_wire_presses_the_teeth_at_its_stops_apart() {
    let text = case(
        "start 2026-11-23\nupper {\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 12 palatal 2 mm\n  step \
         align, wire niti-14, ends turned-in, until passive {\n    stop mesial of 14, mesial of 21\n  }\n}\n",
    );
    let course = forecast(&text, None);
    let phase = &arch(&course, Arch::Upper).phases[0];
    let (blocked, force) = phase.blocked(&text.house).unwrap();
    let force = force.unwrap();
    // No more than the give of the two teeth would take if the wire did not bow at all.
    assert!(force > 0.2 && force <= blocked.excess_mm / 0.1, "{blocked:?} {force}");
    assert!(phase.stops_do(&text.house)[0].contains("presses them apart with about"));
    let drawn = phase.drawn_forward_n(0.0).unwrap();
    assert!((0.0..10.0).contains(&drawn));
    assert_eq!(phase.drawn_forward_n(5.0), Some(0.0));
}
