//! What must hold of the course of any case at all.

use jiff::ToSpan;
use jiff::civil::{Date, date};
use proptest::prelude::*;
use springline_lang::course::{Forecast, PhaseCache, TimeBand, forecast_with};
use springline_lang::model::Case;
use springline_test_support::case;

const START: Date = date(2026, 9, 14);

/// One tooth out of line, in the words of the language.
fn tooth(code: u32) -> impl Strategy<Value = String> {
    let side = prop::sample::select(vec!["lingual", "labial"]);
    let turn = prop::sample::select(vec!["mesial-in", "mesial-out"]);
    (side, 0_u32..4, turn, 0_u32..5).prop_map(move |(side, halves, turn, fives)| {
        let way = f64::from(halves) * 0.5;
        let mut parts = Vec::new();
        if halves > 0 {
            parts.push(format!("{side} {way} mm"));
        }
        if fives > 0 {
            parts.push(format!("rotated {} deg {turn}", 5 * fives));
        }
        match parts.is_empty() {
            true => String::new(),
            false => format!("  tooth {code} {}\n", parts.join(", ")),
        }
    })
}

fn arch(upper: bool) -> impl Strategy<Value = String> {
    let (q, p, codes) = match upper {
        true => (1, 2, [12, 11, 21, 22]),
        false => (4, 3, [42, 41, 31, 32]),
    };
    let teeth = codes.map(tooth);
    let wires =
        prop::sample::subsequence(vec!["niti-14", "niti-16", "niti-14x25", "niti-18x25"], 1..3);
    (teeth, wires).prop_map(move |(teeth, wires)| {
        let mut out = format!("{} {{\n", if upper { "upper" } else { "lower" });
        out += &format!("  bonded {q}5..{p}5 with twin\n  tubes {q}6, {p}6 with molar\n");
        out += &teeth.concat().replace("lingual", if upper { "palatal" } else { "lingual" });
        for (i, wire) in wires.iter().enumerate() {
            out +=
                &format!("  step wire-{i} as align, wire {wire}, until passive, next computed\n");
        }
        out + "}\n"
    })
}

/// Visits some weeks apart, each with something found.
fn visits() -> impl Strategy<Value = Vec<String>> {
    let found =
        prop::sample::select(vec!["active, kept", "passive, kept", "kept", "not-tested, kept"]);
    let kind = prop::sample::select(vec!["", " as emergency", " as review"]);
    prop::collection::vec((10_i64..80, found, kind), 0..4).prop_map(|all| {
        let mut on = START;
        all.into_iter()
            .map(|(after, found, kind)| {
                on = on.checked_add(after.days()).unwrap();
                format!("seen {on} by MT{kind} {{\n  lower {found}\n}}\n")
            })
            .collect()
    })
}

fn any_case() -> impl Strategy<Value = (String, Vec<String>)> {
    (prop::option::of(arch(true)), arch(false), visits())
        .prop_map(|(upper, lower, visits)| (upper.unwrap_or_default() + &lower, visits))
}

fn read(patient: &str, arches: &str, visits: &[String]) -> Case {
    case(&format!("start {START}\n{patient}{arches}{}", visits.concat()))
}

fn ordered(band: &TimeBand) -> bool {
    let dates = band.dates.is_none_or(|[a, b, c]| START <= a && a <= b && b <= c);
    dates
        && 0.0 <= band.early_days
        && band.early_days <= band.median_days
        && band.median_days <= band.late_days
}

fn days(forecast: &Forecast) -> Vec<Date> {
    let phases = forecast.arches.iter().flat_map(|a| &a.phases);
    let visits = forecast.visits.iter().flat_map(|v| [v.date, v.window.0, v.window.1]);
    phases.flat_map(|p| [p.date_in, p.end.date]).flatten().chain(visits).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn the_course_of_any_case_keeps_its_order((arches, visits) in any_case()) {
        let mut memory = PhaseCache::default();
        let case = read("", &arches, &visits);
        let forecast = forecast_with(&case, None, &mut memory);
        // Nothing is dated before the start.
        prop_assert!(days(&forecast).iter().all(|d| *d >= START), "{:?}", days(&forecast));
        for arch in &forecast.arches {
            let mut last = START;
            for phase in &arch.phases {
                let passive = &phase.passive;
                let bands = [&passive.quarter, &passive.no_bend, &phase.end.predicted];
                prop_assert!(bands.into_iter().flatten().all(ordered), "{bands:?}");
                // One wire after the other.
                if let Some(on) = phase.date_in {
                    prop_assert!(on >= last);
                    last = on;
                }
                prop_assert!(phase.end.date.is_none_or(|d| d >= last));
            }
        }
        // Every visit that was recorded is there, once, on its day.
        let recorded: Vec<(usize, Date)> =
            forecast.visits.iter().filter_map(|v| Some((v.recorded?, v.date))).collect();
        let written: Vec<(usize, Date)> =
            case.visits.iter().enumerate().map(|(i, v)| (i, v.on)).collect();
        prop_assert_eq!(recorded, written);
        // And none to come lies before the last of them.
        let last = case.visits.iter().map(|v| v.on).max().unwrap_or(START);
        let coming = forecast.visits.iter().filter(|v| v.recorded.is_none());
        prop_assert!(coming.clone().all(|v| v.date >= last));
        prop_assert!(coming.map(|v| v.date).is_sorted());
    }

    #[test]
    fn faster_patients_are_passive_sooner((arches, _) in any_case()) {
        let mut memory = PhaseCache::default();
        let mut medians = Vec::new();
        for patient in ["patient growing\n", "", "patient adult\n"] {
            let forecast = forecast_with(&read(patient, &arches, &[]), None, &mut memory);
            let first = forecast.arches.iter().filter_map(|a| a.phases.first());
            medians.push(first.map(|p| p.passive.quarter.map(|q| q.median_days)).collect::<Vec<_>>());
        }
        for (i, growing) in medians[0].iter().enumerate() {
            let (Some(growing), Some(unknown), Some(adult)) = (growing, medians[1][i], medians[2][i])
            else {
                prop_assert!(growing.is_none() && medians[2][i].is_none());
                continue;
            };
            prop_assert!(*growing <= unknown && unknown <= adult);
            prop_assert!(*growing < adult || adult == 0.0);
        }
    }

    #[test]
    fn a_visit_that_finds_the_wire_active_never_brings_the_day_nearer((arches, _) in any_case()) {
        let mut memory = PhaseCache::default();
        let plain = forecast_with(&read("", &arches, &[]), None, &mut memory);
        let seen = format!("seen {} by MT {{\n  lower active, kept\n}}\n", START.checked_add(49.days()).unwrap());
        let later = forecast_with(&read("", &arches, &[seen]), None, &mut memory);
        let of = |f: &Forecast| f.arches.last().and_then(|a| a.phases.first()?.passive.quarter);
        if let (Some(before), Some(after)) = (of(&plain), of(&later)) {
            prop_assert!(after.early_days >= before.early_days.min(49.0));
            prop_assert!(after.median_days >= before.median_days - 1e-9);
            prop_assert!(after.median_days >= 49.0);
        }
    }
}
