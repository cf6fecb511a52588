//! The merging of both arches' visits against trying every choice of days.

use proptest::prelude::*;
use springline_lang::course::visit_optimizer::{PhaseDemand, VISIT_COST, VisitProblem};

/// Tries every allowed day for every visit, with the costs written out anew from their statement.
fn try_everything(
    problem: &VisitProblem<'_>,
    day: i64,
    at: &[(usize, i64)],
    visits: usize,
) -> Option<i64> {
    let needs: Vec<Option<PhaseDemand>> =
        at.iter().enumerate().map(|(a, (i, _))| problem.arches[a].get(*i).copied()).collect();
    if needs.iter().all(Option::is_none) {
        return Some(0);
    }
    if visits == 0 {
        return None;
    }
    let mut latest = day + problem.longest;
    let (mut fixed, mut stated) = (None, i64::MIN);
    let last = |a: usize| at[a].0 + 1 >= problem.arches[a].len();
    let holds: Vec<bool> = (needs.iter().zip(at))
        .map(|(need, (_, since))| need.is_none_or(|n| n.rests.is_some_and(|r| since + r <= day)))
        .collect();
    for (a, (need, (_, since))) in needs.iter().zip(at).enumerate() {
        let Some(need) = need else { continue };
        if let Some(f) = need.fixed.filter(|f| *f > day && *f >= problem.not_before) {
            fixed = Some(fixed.map_or(f, |g: i64| g.min(f)));
        }
        if holds[a] && holds.contains(&false) {
            continue;
        }
        stated = stated.max(since + need.earliest);
        if last(a) && since + need.ready <= day {
            continue;
        }
        let look = if *since == day { need.look.min(need.first_look) } else { need.look };
        latest = latest.min(day + look);
    }
    let first = (day + problem.shortest).max(stated.min(latest)).max(problem.not_before);
    let mut choices: Vec<i64> = match fixed {
        Some(f) => vec![f],
        None => (first..=latest).filter(|d| (problem.open)(*d)).collect(),
    };
    if choices.is_empty() {
        let late = first.max(latest + 1);
        choices = vec![(late..).find(|d| (problem.open)(*d)).unwrap()];
    }
    let mut best = None;
    for visit in choices {
        let (mut cost, mut next, mut changed) = (VISIT_COST * 100, at.to_vec(), false);
        let waits: Vec<i64> =
            needs.iter().zip(at).filter_map(|(n, at)| Some(visit - at.1 - (*n)?.ready)).collect();
        if (0..at.len()).all(last) && waits.iter().all(|w| *w >= 0) {
            cost += waits.iter().min().unwrap() * 100;
            next = problem.arches.iter().map(|a| (a.len(), visit)).collect();
            changed = true;
        } else {
            for (a, need) in needs.iter().enumerate() {
                let Some(need) = need.filter(|_| !last(a)) else { continue };
                let waited = visit - at[a].1 - need.ready;
                if waited >= 0 {
                    cost += waited * 100;
                    next[a] = (at[a].0 + 1, visit);
                    changed = true;
                }
            }
        }
        if !changed {
            cost += (latest - visit).max(0);
        }
        cost += (visit - latest).max(0) * 100_000;
        if let Some(rest) = try_everything(problem, visit, &next, visits - 1) {
            best = Some(best.map_or(cost + rest, |b: i64| b.min(cost + rest)));
        }
    }
    best
}

fn need() -> impl Strategy<Value = PhaseDemand> {
    let rests = prop::option::weighted(0.4, 0_i64..9);
    let fixed = prop::option::weighted(0.1, 3_i64..9);
    (1_i64..12, 4_i64..8, 3_i64..8, 0_i64..6, rests, fixed).prop_map(
        |(ready, look, first_look, earliest, rests, fixed)| PhaseDemand {
            ready,
            look,
            first_look,
            earliest,
            rests,
            fixed,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn the_search_finds_the_cheapest_plan(
        upper in prop::collection::vec(need(), 1..3),
        lower in prop::collection::vec(need(), 0..3),
        week in prop::collection::vec(any::<bool>(), 5),
        ahead in 0_i64..4,
        today in 0_i64..10,
    ) {
        let open = |d: i64| week[d.rem_euclid(5) as usize] || d.rem_euclid(5) == 2;
        let problem = VisitProblem {
            repair_by: None,
            arches: vec![upper, lower],
            inserted: vec![-ahead, 0],
            last_visit: 0,
            not_before: today,
            shortest: 3,
            longest: 7,
            open: &open,
        };
        let solution = problem.solve();
        let want = try_everything(&problem, 0, &[(0, -ahead), (0, 0)], 12).unwrap();
        prop_assert!(!solution.cut_short);
        prop_assert_eq!(solution.cost, want, "{:?}", solution);
        // The plan is allowed, and changes every wire in its turn and not before it is ready.
        let mut at = [(0_usize, -ahead), (0, 0)];
        let mut last = 0;
        for visit in &solution.visits {
            prop_assert!(visit.day > last);
            last = visit.day;
            for (a, place) in at.iter_mut().enumerate() {
                if visit.changed[a] {
                    prop_assert!(visit.day >= place.1 + problem.arches[a][place.0].ready);
                    *place = (place.0 + 1, visit.day);
                }
            }
        }
        prop_assert_eq!(at[0].0, problem.arches[0].len());
        prop_assert_eq!(at[1].0, problem.arches[1].len());
    }
}

/// Two arches that are ready a week apart are seen once for both; six weeks apart, once for each.
#[test]
fn a_visit_is_worth_three_weeks_of_waiting() {
    let need = |ready| PhaseDemand {
        ready,
        look: 84,
        first_look: 84,
        earliest: 0,
        rests: None,
        fixed: None,
    };
    let plan = |upper, lower| {
        VisitProblem {
            repair_by: None,
            arches: vec![vec![need(upper), need(84)], vec![need(lower), need(84)]],
            inserted: vec![0, 0],
            last_visit: 0,
            not_before: 0,
            shortest: 28,
            longest: 84,
            open: &|_| true,
        }
        .solve()
        .visits
        .len()
    };
    // And one more at which the last wires come out together.
    assert_eq!(plan(49, 56), 2);
    assert_eq!(plan(42, 84), 3);
}

/// A two-arch case of four steps each, three clinic days a week: solved whole, not cut short.
#[test]
fn a_whole_case_is_solved_exactly() {
    let need = |ready| PhaseDemand {
        ready,
        look: 84,
        first_look: 56,
        earliest: 0,
        rests: None,
        fixed: None,
    };
    let problem = VisitProblem {
        repair_by: None,
        arches: vec![[75, 56, 61, 84].map(need).to_vec(), [93, 57, 42, 84].map(need).to_vec()],
        inserted: vec![0, 0],
        last_visit: 0,
        not_before: 0,
        shortest: 28,
        longest: 84,
        open: &|d| [0, 1, 3].contains(&d.rem_euclid(7)),
    };
    let solution = problem.solve();
    assert!(!solution.cut_short);
    assert!(solution.visits.len() >= 4);
    assert_eq!(solution, problem.solve());
}

/// A wire that only holds is not looked at on its own: the arch that is worked on sets the visits.
#[test]
fn a_wire_that_only_holds_sets_no_visit() {
    let visits = |rests| {
        let works = PhaseDemand {
            ready: 84,
            look: 56,
            first_look: 56,
            earliest: 56,
            rests: None,
            fixed: None,
        };
        let holds =
            PhaseDemand { ready: 84, look: 35, first_look: 35, earliest: 35, rests, ..works };
        let problem = VisitProblem {
            repair_by: None,
            arches: vec![vec![works], vec![holds]],
            inserted: vec![0, 0],
            last_visit: 0,
            not_before: 0,
            shortest: 28,
            longest: 84,
            open: &|_| true,
        };
        problem.solve().visits.iter().map(|v| v.day).collect::<Vec<_>>()
    };
    assert_eq!(visits(Some(0)), [56, 84]);
    assert_eq!(visits(None).len(), 3);
}
