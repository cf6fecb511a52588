//! Unerupted teeth under traction, widened arches, deep curves, and a debond on a named day.

use jiff::civil::{Date, date};
use springline_lang::course::movement::MONTH_DAYS;
use springline_lang::course::{
    EndReason, Forecast, NOT_EXPOSED, RoomSource, ToothStatus, expander_life, forecast,
};
use springline_lang::model::Case;
use springline_lang::model::house::Task;
use springline_lang::units::tooth::{Arch, Tooth};
use springline_test_support::{Practices, example};

const TODAY: Date = date(2026, 11, 25);

fn case(text: &str) -> Case {
    Practices::saltmarsh().case(text)
}

fn lived(text: &str) -> Forecast {
    forecast(&case(text), Some(TODAY))
}

fn canine() -> String {
    example("cases/sm-0458-palatal-canine.spring")
}

fn t(code: u32) -> Tooth {
    Tooth::iso(code).unwrap()
}

fn phase<'f>(forecast: &'f Forecast, name: &str) -> &'f springline_lang::course::Phase {
    let upper = forecast.arch(Arch::Upper).unwrap();
    upper.phases.iter().find(|p| &*p.name == name).unwrap()
}

#[test]
fn a_palatal_canine_comes_in_as_fast_as_published_and_is_then_in_the_wire() {
    let forecast = lived(&canine());
    let pull = phase(&forecast, "pull");
    let band = pull.end.predicted.as_ref().unwrap();
    // From 8 mm above and 5 mm behind to 1.5 mm, at 0.70 mm a month.
    let months = (8.0_f64.hypot(5.0) - 1.5) / 0.70;
    assert!((band.median_days / MONTH_DAYS - months).abs() < 0.1, "{}", band.median_days);
    assert!(band.early_days < 0.7 * band.median_days && band.late_days > 1.5 * band.median_days);
    let course = pull.tooth(t(23)).unwrap();
    assert!(course.entry.off_mm() > 9.0 && course.exit.off_mm() < 1.6, "{:?}", course.exit);
    assert_eq!(pull.state.status(t(23)), ToothStatus::Absent);
    assert_eq!(phase(&forecast, "bring-in").state.status(t(23)), ToothStatus::Piggyback);
    assert_eq!(phase(&forecast, "realign").state.status(t(23)), ToothStatus::Engaged);
    assert_eq!(forecast.visits.last().unwrap().kind, Task::Debond);
}

#[test]
fn nothing_is_dated_beyond_an_exposure_without_a_day() {
    let forecast = lived(&canine().replace(" on 2027-07-08", ""));
    let EndReason::Never { why } = &phase(&forecast, "base").end.reason else { panic!() };
    assert!(why.starts_with("23") && why.ends_with(NOT_EXPOSED), "{why}");
    let entry = phase(&forecast, "pull").tooth(t(23)).unwrap();
    assert_eq!(entry.entry, entry.exit, "what is not exposed does not come");
    // What comes after is judged as if it had come so far: the schedule has no day for it.
    let brought = phase(&forecast, "bring-in").tooth(t(23)).unwrap().entry.off_mm();
    assert!(brought < 1.6, "{brought}");
}

#[test]
fn a_fused_tooth_stays() {
    let forecast = lived(&canine().replace("unerupted 23", "ankylosed 23"));
    let course = phase(&forecast, "pull").tooth(t(23)).unwrap();
    assert_eq!(course.entry, course.exit);
}

fn crowded(more: &str, of_case: &str) -> String {
    format!(
        "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2027-03-01\npatient growing\n{of_case}upper {{\n  bonded 15..25 with twin\n  \
         banded 16, 26 with molar\n  crowding 5 mm\n{more}  follow usual\n}}\nretain {{\n  night-time upper\n}}\n"
    )
}

#[test]
fn an_expander_gives_the_first_wire_length_and_has_its_days() {
    let text =
        crowded("  expander 16, 26 on 2026-12-07, width 6 mm, turns 1 a day, locked 5 mo\n", "");
    let case = case(&text);
    let life = expander_life(&case, case.arch(Arch::Upper).unwrap()).unwrap();
    assert_eq!(
        (life.on, life.turned, life.off),
        (date(2026, 12, 7), date(2026, 12, 31), date(2027, 5, 31))
    );
    let forecast = forecast(&case, Some(TODAY));
    let room = &forecast.arch(Arch::Upper).unwrap().phases[0].room;
    let won = room.made.iter().find(|m| m.source == RoomSource::Expansion).unwrap();
    assert!((won.at_most_mm - 0.7 * 6.0).abs() < 1e-6, "{won:?}");
    let without = lived(&crowded("", ""));
    let forward = |f: &Forecast| f.arch(Arch::Upper).unwrap().phases[0].room.incisors_forward_mm;
    assert!(forward(&forecast) < forward(&without));
}

#[test]
fn the_screw_read_at_a_visit_moves_the_days() {
    let seen = "seen 2027-01-11 by MT {\n  expanded 16, 26 3 mm\n}\n";
    let text =
        crowded("  expander 16, 26 on 2026-12-07, width 6 mm, turns 1 a day, locked 5 mo\n", "")
            + seen;
    let case = case(&text);
    let life = expander_life(&case, case.arch(Arch::Upper).unwrap()).unwrap();
    assert_eq!(life.turned, date(2027, 1, 23));
    assert!(!life.turned_recorded);
}

#[test]
fn a_named_debond_ends_the_schedule_and_tells_what_is_undone() {
    let whole = lived(&crowded("", ""));
    let ends = whole.visits.iter().find(|v| v.kind == Task::Debond).unwrap().date;
    let day = date(2027, 9, 6);
    assert!(day < ends && whole.undone.is_empty());
    let cut = lived(&crowded("", "debond 2027-09-06 because \"moves abroad\"\n"));
    let last = cut.visits.last().unwrap();
    assert_eq!((last.date, last.kind), (day, Task::Debond));
    assert!(!cut.undone.is_empty() && cut.undone.iter().all(|u| u.would_begin >= day));
    let upper = cut.arch(Arch::Upper).unwrap();
    assert!(upper.phases.iter().all(|p| p.date_in.is_none_or(|d| d < day)));
    assert!(upper.phases.iter().filter_map(|p| p.end.date).all(|d| d <= day));
}

#[test]
fn a_deep_curve_presses_more_and_a_flat_one_less() {
    let bite = |curve: &str| {
        format!(
            "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nstart 2027-03-01\npatient adult\nbite {{\n  overbite 6 mm\n{curve}}}\n\
             lower {{\n  bonded 45..35 with twin\n  tubes 47, 46, 36, 37 with molar\n  step work, wire steel-19x25, until overbite 3 mm, next 6 wk\n}}\n\
             retain {{\n  night-time lower\n}}\n"
        )
    };
    let days = |curve: &str| {
        let forecast = lived(&bite(curve));
        forecast.arch(Arch::Lower).unwrap().phases[0].end.predicted.as_ref().map(|b| b.median_days)
    };
    let (flat, unsaid, deep) = (
        days("  curve-of-spee 1.5 mm\n"),
        days("").unwrap(),
        days("  curve-of-spee 4 mm\n").unwrap(),
    );
    assert!(flat.is_none_or(|flat| flat > unsaid) && deep < unsaid, "{flat:?} {unsaid} {deep}");
}

/// What one coil makes over two teeth is room for both: neither has all of it.
#[test]
fn two_teeth_share_what_one_coil_makes() {
    let plan = |teeth: &str, lines: &str, until: &str, coil: &str| {
        let text = format!(
            "springline 1\ncase \"SM-9811\"\nuse saltmarsh\nstart 2026-11-23\npatient adult\nupper {{\n  \
             bonded 15..25 with twin\n  tubes 16, 26 with molar\n{teeth}  follow usual\n  \
             change align {{\n{lines}  }}\n  step open as align after align, wire niti-18, until {until}, next 6 wk {{\n    \
             open-coil between {coil} with open-100, activated 4 mm each visit\n  }}\n}}\n"
        );
        lived(&text)
    };
    let canine = "  tooth 13 width 7.5 mm, space 5.5 mm\n";
    let both = format!("{canine}  tooth 12 width 6.5 mm, space 5.5 mm\n");
    let one = plan(canine, "    bypass 13 until space 7.5 mm\n", "space 7.5 mm at 13", "14 and 12");
    let two = plan(
        &both,
        "    bypass 13 until space 7.5 mm\n    bypass 12 until space 6.5 mm\n",
        "space 7.5 mm at 13 and space 6.5 mm at 12",
        "14 and 11",
    );
    let site = |forecast: &Forecast, tooth: u32| {
        let open = phase(forecast, "open");
        open.room.site(t(tooth)).cloned().expect("an account")
    };
    let days = |f: &Forecast, tooth: u32| site(f, tooth).ready.expect("a day").median_days;
    // 2 mm and 1 mm: both are there on the day on which 3 mm are made.
    assert!((days(&two, 13) - days(&two, 12)).abs() < 1e-6);
    assert!(days(&two, 13) > 1.2 * days(&one, 13), "{} {}", days(&two, 13), days(&one, 13));
    let gained = |tooth: u32| site(&two, tooth).space_out_mm - site(&two, tooth).space_in_mm;
    assert!((gained(13) - 2.0 * gained(12)).abs() < 1e-6, "{} {}", gained(13), gained(12));
    let made: f64 = [13, 12].iter().flat_map(|n| site(&two, *n).made).map(|m| m.made_mm).sum();
    let coil = phase(&two, "open").coils.first().expect("the coil").room_mm;
    assert!(made <= coil + 1e-6, "{made} of {coil}");
}
