//! The predicted course of whole cases, as a practice would meet it.

mod course_support;

use course_support::{PLAIN_UPPER, arch, course};
use jiff::civil::date;
use springline_lang::course::{
    COIL_SPENT, EndReason, FLOOR_N, PhaseCache, RoomSource, forecast, forecast_with,
};
use springline_lang::model::house::Task;
use springline_lang::units::quantity::newtons_to_grams;
use springline_lang::units::tooth::{Arch, Tooth};
use springline_test_support::case;

const CROWDED_LOWER: &str = "lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
  tooth 42 lingual 1.2 mm, rotated 12 deg mesial-in
  tooth 41 labial 0.6 mm
  tooth 31 lingual 0.8 mm
  tooth 32 labial 0.8 mm, rotated 10 deg mesial-out
  follow usual
}
";

#[test]
fn the_same_case_gives_the_same_bits() {
    let case = case(&format!("start 2026-09-14\n{PLAIN_UPPER}{CROWDED_LOWER}"));
    assert_eq!(forecast(&case, None), forecast(&case, None));
}

#[test]
fn a_crowded_arch_is_passive_in_weeks_and_the_stricter_look_comes_later() {
    let (_, forecast) = course(&format!("start 2026-09-14\n{CROWDED_LOWER}"));
    let align = &arch(&forecast, Arch::Lower).phases[0];
    let (quarter, strict) = (align.passive.quarter.unwrap(), align.passive.no_bend.unwrap());
    assert!((5.0 * 7.0..20.0 * 7.0).contains(&quarter.median_days), "{quarter:?}");
    assert!(strict.median_days > quarter.median_days);
    // Ten to ninety percent: at least as wide as the stated spread of 0.51.
    assert!(quarter.late_days / quarter.early_days > 3.6, "{quarter:?}");
    assert_eq!(align.passive.rule_of_thumb_days, 70.0);
    // What play leaves is what the next wire meets.
    let level = &arch(&forecast, Arch::Lower).phases[1];
    for (before, after) in align.teeth.iter().zip(&level.teeth) {
        assert_eq!(before.exit, after.entry);
    }
    assert!(level.passive.index_in_mm < align.passive.index_in_mm);
}

#[test]
fn growing_patients_are_faster_by_the_published_ratio() {
    let days = |patient: &str| {
        let (_, f) = course(&format!("start 2026-09-14\n{patient}{CROWDED_LOWER}"));
        arch(&f, Arch::Lower).phases[0].passive.quarter.unwrap().median_days
    };
    // 1.6: Nickel JC et al. Am J Orthod Dentofacial Orthop 2014;145(4 Suppl):S74-S81 (abstract read).
    assert!((days("patient adult\n") / days("patient growing\n") - 1.6).abs() < 0.01);
}

#[test]
fn editing_a_late_step_computes_no_earlier_one() {
    let text = |finish: &str| {
        format!(
            "start 2026-09-14\n{}{CROWDED_LOWER}",
            PLAIN_UPPER
                .replace("follow usual", &format!("follow usual\n  change finish, wire {finish}"))
        )
    };
    let mut memory = PhaseCache::default();
    forecast_with(&case(&text("beta-19x25")), None, &mut memory);
    let first = memory.counters();
    assert_eq!(first.computed + first.reused, 8);
    forecast_with(&case(&text("steel-19x25")), None, &mut memory);
    let second = memory.counters();
    assert_eq!(second.computed - first.computed, 1, "only the last step of the upper arch");
    assert_eq!(second.reused - first.reused, 7);
    // Words, dates and growth cost nothing.
    let other = text("steel-19x25").replace("2026-09-14", "2026-10-05\npatient adult");
    let with_less = memory.counters();
    forecast_with(&case(&other), None, &mut memory);
    assert!(memory.counters().computed - with_less.computed <= 6, "the first steps stay");
}

#[test]
fn a_memory_keeps_its_bound() {
    let case = case(&format!("start 2026-09-14\n{PLAIN_UPPER}{CROWDED_LOWER}"));
    let mut memory = PhaseCache::new(3);
    let small = forecast_with(&case, None, &mut memory);
    assert_eq!(memory.len(), 3);
    assert!(memory.counters().dropped > 0);
    assert_eq!(small, forecast(&case, None));
}

#[test]
fn a_recorded_visit_invalidates_only_what_follows_it() {
    let plan = format!("start 2026-09-14\n{PLAIN_UPPER}{CROWDED_LOWER}");
    let seen = format!(
        "{plan}seen 2026-12-14 {{\n  upper passive, now level with niti-14x25\n  lower binds at 42, kept\n}}\n"
    );
    let mut memory = PhaseCache::default();
    let before = forecast_with(&case(&plan), None, &mut memory);
    let computed = memory.counters().computed;
    let after = forecast_with(&case(&seen), None, &mut memory);
    // The first wires of both arches, at least, are as they were.
    assert!(memory.counters().computed - computed <= 6);
    let (b, a) = (arch(&before, Arch::Lower), arch(&after, Arch::Lower));
    assert_eq!(b.phases[0].insertion, a.phases[0].insertion);
    // Found active, it is passive later than that; the record is kept with the prediction.
    assert!(a.phases[0].end.date.unwrap() > date(2026, 12, 14));
    assert!(a.phases[0].seen[0].expected_passive.is_some());
    let recorded = &after.visits[0];
    assert_eq!((recorded.date, recorded.recorded), (date(2026, 12, 14), Some(0)));
    assert!(recorded.was_planned_for.is_some());
}

#[test]
fn visits_keep_clinic_days_and_intervals_and_never_change_an_active_wire() {
    let (case, forecast) = course(&format!("start 2026-09-14\n{PLAIN_UPPER}{CROWDED_LOWER}"));
    let mut last = None;
    for visit in &forecast.visits {
        assert!(case.house.is_open(visit.date), "{}", visit.date);
        if let Some(last) = last {
            let days = springline_days(last, visit.date);
            assert!((28..=84).contains(&days), "{last} to {}", visit.date);
        }
        last = Some(visit.date);
        for row in visit.arches.iter().filter(|a| a.change_expected) {
            if let Some(phase) = row.phase {
                let phase = &arch(&forecast, row.arch).phases[phase];
                let days = springline_days(phase.date_in.unwrap(), visit.date);
                assert!(days as f64 >= phase.booked_days - 0.02, "{} {}", row.arch, phase.name);
            }
        }
        assert!(visit.minutes > 0.0);
    }
    let keys: std::collections::BTreeSet<_> = forecast.visits.iter().map(|v| &v.key).collect();
    assert_eq!(keys.len(), forecast.visits.len(), "every visit keeps its own key");
}

#[test]
fn a_next_step_on_the_same_untouched_wire_takes_the_time_of_a_look() {
    let (case, forecast) = course(&format!("start 2026-09-14\n{PLAIN_UPPER}"));
    let begins_finish = |v: &&springline_lang::course::PlannedVisit| {
        v.arches.iter().any(|a| a.change_expected && a.next_name.as_deref() == Some("finish"))
    };
    let visit = forecast.visits.iter().find(begins_finish).expect("a step that keeps its wire");
    assert_eq!(visit.kind, Task::Review);
    assert_eq!(visit.tasks, [(Task::Review, case.house.minutes_for(Task::Review))]);
    assert_eq!(visit.minutes, case.house.minutes_for(Task::Review));
}

fn springline_days(from: jiff::civil::Date, to: jiff::civil::Date) -> i32 {
    from.until(to).unwrap().get_days()
}

#[test]
fn a_start_is_a_plan_until_a_visit_says_otherwise() {
    let plan = format!("start 2026-09-14\n{CROWDED_LOWER}");
    let (_, planned) = course(&plan);
    assert!(!arch(&planned, Arch::Lower).phases[0].begun);
    assert_eq!(planned.next_visit().unwrap().kind, Task::BondUp);
    let seen = format!("{plan}seen 2026-09-15 as emergency {{\n  poking 46\n}}\n");
    let (_, begun) = course(&seen);
    assert!(arch(&begun, Arch::Lower).phases[0].begun);
    assert!(begun.next_visit().unwrap().date > date(2026, 9, 15));
}

#[test]
fn an_overdue_visit_is_booked_from_today_and_its_old_day_kept() {
    let case = case(&format!("start 2026-09-14\n{CROWDED_LOWER}"));
    let today = date(2027, 6, 2);
    let forecast = forecast(&case, Some(today));
    let next = forecast.next_visit().unwrap();
    assert!(next.date >= today && springline_days(today, next.date) < 7, "{}", next.date);
    assert!(next.was_planned_for.unwrap() < today);
}

#[test]
fn a_case_entered_under_way_has_no_bond_up() {
    let text =
        format!("in-place 2026-09-14 {{\n  lower niti-14 since 2026-06-08\n}}\n{CROWDED_LOWER}");
    let (_, forecast) = course(&text);
    assert!(forecast.visits.iter().all(|v| v.kind != Task::BondUp));
    assert!(arch(&forecast, Arch::Lower).phases[0].begun);
}

const BLOCKED: &str = "upper {
  bonded 15..13, 11..25 with twin
  tubes 16, 26 with molar
  tooth 12 palatal 2 mm, width 6.5 mm, space 4 mm
  follow usual
  change align, wire niti-18 {
    bypass 12 unbonded until space 7 mm
    tie 11..22 figure-eight
    open-coil between 13 and 11 with open-100, activated 3 mm each visit
  }
}
";

#[test]
fn a_coil_makes_the_space_and_the_bypass_ends() {
    let (_, forecast) = course(&format!("start 2026-09-14\n{BLOCKED}"));
    let upper = arch(&forecast, Arch::Upper);
    let site = upper.phases[0].room.site(Tooth::iso(12).unwrap()).unwrap();
    assert_eq!((site.space_in_mm, site.wanted_mm, site.assumed), (4.0, 7.0, false));
    let coil = site.made.iter().find(|m| m.source == RoomSource::OpenCoil).unwrap();
    // About 1 mm a month, 0.5 to 1.5 (common practice, no source).
    assert!((0.5..=1.5).contains(&coil.mm_per_month), "{coil:?}");
    let ready = site.ready.unwrap();
    assert!((8.0 * 7.0..26.0 * 7.0).contains(&ready.median_days), "{ready:?}");
}

#[test]
fn a_coil_that_made_less_than_predicted_goes_on() {
    let seen = "seen 2026-11-16 {\n  upper binds at 13, kept\n  tooth 12 space 4.5 mm\n}\n";
    let once = BLOCKED.replace(" each visit", "");
    let (_, forecast) = course(&format!("start 2026-09-14\n{once}{seen}"));
    let site = arch(&forecast, Arch::Upper).phases[0].room.site(Tooth::iso(12).unwrap()).unwrap();
    // 25 g a millimetre: of 2.5 mm left the last 15 g move nothing.
    let spent_mm = newtons_to_grams(FLOOR_N) / 25.0;
    assert!((site.made[0].at_most_mm - (2.5 - spent_mm)).abs() < 1e-6, "{site:?}");
    assert!(site.ready.is_none(), "half a millimetre short of what it waits for");
    assert_eq!(site.space_in_mm, 4.0);
    // Pressed again at that visit it is as good as new.
    let (_, forecast) = course(&format!("start 2026-09-14\n{BLOCKED}{seen}"));
    let site = arch(&forecast, Arch::Upper).phases[0].room.site(Tooth::iso(12).unwrap()).unwrap();
    assert!(site.ready.is_some() && site.made[0].at_most_mm > 10.0, "{site:?}");
}

#[test]
fn a_coil_pushes_as_far_as_it_is_pressed_and_less_as_the_space_opens() {
    let coil = |by: &str| {
        let text = BLOCKED.replace("3 mm each visit", by);
        let (_, forecast) = course(&format!("start 2026-09-14\n{text}"));
        let phase = &arch(&forecast, Arch::Upper).phases[0];
        (phase.coils[0].clone(), phase.room.site(Tooth::iso(12).unwrap()).unwrap().clone())
    };
    let (one, _) = coil("1 mm");
    let (three, site) = coil("3 mm");
    let (far, _) = coil("7.5 mm");
    for (coil, grams) in [(&one, 25.0), (&three, 75.0), (&far, 187.5)] {
        assert!((newtons_to_grams(coil.force_n) - grams).abs() < 1e-6, "{coil:?}");
        assert!(coil.force_next_n < coil.force_n);
    }
    // Three millimetres of squeeze are not three of space.
    assert!(site.ready.is_none() && three.room_mm < 2.5, "{three:?}");
    let (again, site) = coil("3 mm each visit");
    assert!(again.each_visit && site.ready.is_some());
    assert_eq!(again.force_next_n, three.force_next_n);
}

/// The load on the teeth beside it is the coil's own as the wire goes in, not its label's, whatever a later
/// visit measures.
#[test]
fn what_the_coil_loads_is_what_it_pushes_with() {
    let seen = "seen 2026-11-16 {\n  upper binds at 13, kept\n  tooth 12 space 5 mm\n}\n";
    let once = BLOCKED.replace(" each visit", "");
    for text in [once.clone(), format!("{once}{seen}")] {
        let (_, forecast) = course(&format!("start 2026-09-14\n{text}"));
        let setup = &arch(&forecast, Arch::Upper).phases[0].setup.base;
        let load = setup.loads.iter().find(|l| l.id == 13).unwrap();
        let first = &arch(&forecast, Arch::Upper).phases[0].coils[0];
        assert!((newtons_to_grams(first.force_n) - 75.0).abs() < 1e-6);
        assert!((newtons_to_grams(load.along_n.abs()) - 75.0).abs() < 1e-6, "{load:?}");
    }
}

#[test]
fn a_coil_opens_a_gap_where_no_tooth_waits() {
    let text = |by: &str| {
        format!(
            "start 2026-09-14\nupper {{\n  missing 12\n  bonded 15..13, 11..25 with twin\n  tubes 16, 26 with molar\n  \
             gap 4.5 mm between 13 and 11\n  step make-space as level, wire niti-18x25, \
             until gap 6.5 mm between 13 and 11, next 6 wk {{\n    tie 11..22 figure-eight\n    \
             open-coil between 13 and 11 with open-100, activated {by}\n  }}\n}}\n"
        )
    };
    let end = |by: &str| {
        let (_, forecast) = course(&text(by));
        arch(&forecast, Arch::Upper).phases[0].end.clone()
    };
    let end_again = end("2.5 mm each visit");
    let weeks = end_again.predicted.unwrap().median_days / 7.0;
    assert!((8.0..26.0).contains(&weeks), "{weeks}");
    assert!(matches!(end("2 mm").reason, EndReason::Never { why } if why == COIL_SPENT));
}

/// A section of wire touches its own teeth only: it does what it does where the others have no bracket.
#[test]
fn a_section_is_computed_over_its_own_teeth() {
    let text = |bonded: &str, section: &str| {
        format!(
            "start 2026-09-14\nupper {{\n  bonded {bonded} with twin\n  tubes 16 with molar\n  \
             tooth 14 gingival 0.5 mm\n  tooth 11 gingival 1 mm\n  \
             step one as align, wire niti-16, until passive, next 6 wk {{\n{section}  }}\n}}\n"
        )
    };
    let insertion = |text: &str| {
        let (_, forecast) = course(text);
        let phase = arch(&forecast, Arch::Upper).phases[0].clone();
        (phase.insertion.teeth.clone(), phase.passive.quarter.unwrap().median_days, phase)
    };
    let (section, days, phase) = insertion(&text("15..23", "    sectional 13..16\n"));
    let (alone, days_alone, _) = insertion(&text("15..13", ""));
    assert_eq!(section, alone);
    assert_eq!(days, days_alone);
    let (whole, ..) = insertion(&text("15..23", ""));
    assert_ne!(section, whole);
    let outside = phase.tooth(Tooth::iso(11).unwrap()).unwrap();
    assert_eq!(outside.entry, outside.exit);
}

#[test]
fn room_without_a_source_gives_no_date_and_says_why() {
    let text = format!("start 2026-09-14\ngoal {{\n  incisors held\n}}\n{CROWDED_LOWER}");
    let case = case(&text);
    assert_eq!(case.goal.as_ref().unwrap().incisors_forward, Some(false));
    let forecast = forecast(&case, None);
    let align = &arch(&forecast, Arch::Lower).phases[0];
    assert!(align.passive.quarter.is_none());
    assert!(align.room.uncovered_mm > 0.5);
    assert!(matches!(align.end.reason, EndReason::Never { .. }));
}

#[test]
fn an_implant_does_not_move() {
    let text = CROWDED_LOWER.replace("  follow usual", "  ankylosed 31\n  follow usual");
    let (_, forecast) = course(&format!("start 2026-09-14\n{text}"));
    for phase in &arch(&forecast, Arch::Lower).phases {
        let tooth = phase.tooth(Tooth::iso(31).unwrap()).unwrap();
        assert!(tooth.fixed);
        assert_eq!(tooth.entry, tooth.exit);
    }
}

/// A reverse curve in a lower wire, an accentuated one in an upper: incisors to the gum, premolars to the
/// bite, whether all teeth are in the wire or only incisors and first molars.
#[test]
fn a_reverse_curve_intrudes_the_incisors() {
    let forces = |text: &str, jaw: Arch| {
        let (_, forecast) = course(&format!("start 2026-09-14\n{text}"));
        let teeth = arch(&forecast, jaw).phases[0].insertion.teeth.clone();
        move |code: u32| {
            let tooth = Tooth::iso(code).unwrap();
            let load = teeth.iter().find(|t| t.tooth == tooth).expect("in the wire");
            newtons_to_grams(load.at_insertion.gingival_n)
        }
    };
    let step = "step one as work, wire steel-19x25, until 8 wk, next 8 wk {\n    reverse-curve 2 mm\n  }\n}\n";
    for (jaw, name, q) in [(Arch::Upper, "upper", 1), (Arch::Lower, "lower", 4)] {
        let (own, other) = (10 * q, 10 * (if q == 1 { 2 } else { 3 }));
        let molars = format!("tubes {}, {} with molar\n  ", own + 6, other + 6);
        let text = |to: u32| {
            format!("{name} {{\n  bonded {}..{} with twin\n  {molars}{step}", own + to, other + to)
        };
        let all = forces(&text(5), jaw);
        assert!(all(own + 1) > 15.0 && all(other + 1) > 15.0, "{} g", all(own + 1));
        assert!(all(own + 4) + all(own + 5) < -15.0, "{} {}", all(own + 4), all(own + 5));
        assert!(all(own + 6) > 5.0, "{} g", all(own + 6));
        // The molars alone stand against the incisors: they are pushed the other way.
        let few = forces(&text(2), jaw);
        let incisors: f64 = [own + 1, own + 2, other + 1, other + 2].map(&few).iter().sum();
        assert!(incisors > 20.0, "{incisors} g");
        assert!((few(own + 6) + few(other + 6) + incisors).abs() < 1.0);
    }
}

/// What the vocabulary calls printed only changes no figure.
#[test]
fn what_is_only_printed_changes_no_figure() {
    use springline_lang::syntax::context::Context;
    use springline_lang::syntax::vocabulary::{ROWS, SupportLevel};
    let figures = |line: &str| {
        let (case, forecast) = course(&format!(
            "start 2026-09-14\nupper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  \
             tooth 12 palatal 1 mm\n  step one as align, wire niti-14, until passive, next 8 wk {{\n    \
             {line}\n  }}\n}}\n"
        ));
        let phase = arch(&forecast, Arch::Upper).phases[0].clone();
        let acts = case.arches[0].steps[0].acts.len();
        let (insertion, passive, end, teeth) =
            (phase.insertion, phase.passive, phase.end, phase.teeth);
        (acts, format!("{insertion:?} {passive:?} {end:?} {teeth:?} {:?}", phase.booked_days))
    };
    let (_, plain) = figures("");
    let printed: Vec<_> = ROWS
        .iter()
        .filter(|r| r.stage == SupportLevel::Printed && r.inside.contains(&Context::Step))
        .collect();
    assert!(printed.len() >= 5);
    for row in printed {
        let (acts, with) = figures(row.example);
        assert_eq!(acts, 1, "{}", row.example);
        assert!(with == plain, "{} changes figures", row.example);
    }
    let (_, section) = figures("sectional 13..16");
    assert!(section != plain);
}
