//! What holds of every draft: tighter limits and longer intervals never gain, names do not matter, and nothing is
//! computed once a search is told to stop.

use super::*;

fn cheapest(house: &str) -> CostKey {
    let [best, _] = both(&case(Arch::Lower, CROWDED), Arch::Lower, house);
    best[0].0
}

#[test]
fn a_tighter_limit_never_lowers_errors_and_excess_nor_a_longer_interval_time() {
    let wires = ["niti-12", "niti-14", "niti-14x25"];
    let house = practice(&wires);
    let free = cheapest(&house);
    let tight = cheapest(&house.replace("limit bench", "limit peak 120 g\nlimit bench"));
    assert!(tight[..2] >= free[..2], "{tight:?} {free:?}");
    // The order of wires: what the tighter one allows, the looser one allows as well, at no higher cost.
    for (tighter, looser) in [
        ("first-round 0.012 in", "first-round 0.014 in"),
        ("misfit-light 0.6 mm", "misfit-light 1.5 mm"),
        ("rotation-light 6 deg", "rotation-light 15 deg"),
        ("levelling 16 wk", "levelling 6 wk"),
    ] {
        let with = |limit: &str| {
            cheapest(&house.replace("limit bench", &format!("limit {limit}\nlimit bench")))
        };
        let (tight, loose) = (with(tighter), with(looser));
        assert!(tight[..3] >= loose[..3], "{tighter}: {tight:?}; {looser}: {loose:?}");
    }
    let rare = cheapest(&house.replace("interval 4..12 wk", "interval 6..12 wk"));
    assert!(rare[..3] >= free[..3], "{rare:?} {free:?}");
}

#[test]
fn names_of_wires_do_not_matter() {
    let wires = ["niti-12", "niti-14", "niti-14x25"];
    let house = practice(&wires);
    let renamed = house.replace("niti-12", "zebra").replace("niti-14x25", "aardvark");
    let [a, _] = both(&case(Arch::Lower, CROWDED), Arch::Lower, &house);
    let [b, _] = both(&case(Arch::Lower, CROWDED), Arch::Lower, &renamed);
    let named = |(key, steps): &(CostKey, String)| {
        (*key, steps.replace("zebra", "niti-12").replace("aardvark", "niti-14x25"))
    };
    assert_eq!(a, b.iter().map(named).collect::<Vec<_>>());
}

#[test]
fn two_drafts_at_a_time_come_out_as_one_alone() {
    let wires = ["niti-12", "niti-14x25", "niti-16x22"];
    let draft = || {
        let draft = drafted(&case(Arch::Lower, CROWDED), Arch::Lower, &practice(&wires));
        let draft = draft.expect("a draft");
        (draft.text, draft.drafted.cost, draft.rejected, draft.steadiness)
    };
    let alone = draft();
    let both = std::thread::scope(|scope| {
        let threads = [scope.spawn(draft), scope.spawn(draft)];
        threads.map(|t| t.join().expect("a draft"))
    });
    assert!(both.iter().all(|b| *b == alone));
}

#[test]
fn nothing_is_computed_after_a_no() {
    let library = Practices::of(practice(&SMALL));
    let source = case(Arch::Lower, CROWDED);
    for most in [1, 3, 9, 30] {
        let mut last = None;
        let mut go_on = |_: DraftStage, judged: usize| {
            if last.is_none() && judged >= most {
                last = Some(judged);
            }
            last.is_none()
        };
        let request = DraftRequest::of(Arch::Lower);
        let draft =
            Checker::new().draft_as(&source, &request, &library, &options(), &mut go_on).unwrap();
        assert_eq!(Some(draft.judged), last);
    }
}

#[test]
fn a_silly_drawer_gets_a_sentence() {
    let source = case(Arch::Lower, CROWDED);
    let refusal = |house: &str| drafted(&source, Arch::Lower, house).map(|d| d.text).unwrap_err();
    let soft = |line: &&str| !(line.starts_with("wire ") && line.contains("-niti,"));
    let all = springline_test_support::SALTMARSH;
    let only_steel: String = all.lines().filter(soft).map(|l| format!("{l}\n")).collect();
    let only_steel = only_steel
        .replace("wire thermal-16,", "wire steel-18,")
        .replace("wire niti-16x22,", "wire steel-18,")
        .replace("wire niti-18x25,", "wire steel-18,");
    assert!(matches!(refusal(&only_steel), NotDrafted::DrawerLacks(_)));
    assert!(matches!(refusal(&practice(&["niti-14"])), NotDrafted::DrawerLacks(_)));
    // Without sequences the line that follows one cannot be read.
    let bare = refusal("springline 1\npractice \"Bare\"\n");
    assert_eq!(bare, NotDrafted::Unread(Arch::Lower));
    // A drawer of sixty is cut, and the draft says so.
    let many: String = (0..50)
        .map(|n| format!("wire soft-{n} superelastic-niti, round 0.{:04} in\n", 120 + n))
        .collect();
    let library =
        Practices::of(practice(&SMALL).replace("wire niti-12 ", &format!("{many}wire niti-12 ")));
    let mut left = 4;
    let mut go_on = |_: DraftStage, _: usize| {
        left -= 1;
        left > 0
    };
    let request = DraftRequest::of(Arch::Lower);
    let draft =
        Checker::new().draft_as(&source, &request, &library, &options(), &mut go_on).unwrap();
    assert!(
        draft.remarks.iter().any(|r| r.contains("more wires than are tried")),
        "{:?}",
        draft.remarks
    );
}
