use proptest::prelude::*;

use super::*;
use crate::testing::{arch_in_line, set_stand, stand, tooth};
use springline_model::case::Gap;
use springline_test_support::nowhere;
use springline_units::quantity::from_mm;

fn arch(upper: bool) -> ArchCase {
    arch_in_line(if upper { Arch::Upper } else { Arch::Lower })
}

fn absent(arch: &mut ArchCase, code: u32, how: ToothState) {
    arch.bonded.remove(&tooth(code));
    arch.states.insert(tooth(code), (how, nowhere()));
}

fn gap(arch: &mut ArchCase, length: f64, a: u32, b: u32) {
    let (first, second) = (tooth(a), tooth(b));
    arch.gaps.push(Gap { length: from_mm(length), first, second, place: nowhere() });
}

fn laid_out(arch: &ArchCase) -> ArchLayout {
    ArchLayout::entered(arch).unwrap()
}

/// By the crowns of `anatomy`: 8.5, 6.5, 7.5 and 7 mm.
#[test]
fn straight_neighbours_lie_the_mean_of_their_widths_apart() {
    let layout = laid_out(&arch(true));
    for (code, at) in [(11, -4.25), (21, 4.25), (22, 11.75), (13, -18.75), (14, -26.0)] {
        assert_eq!(layout.station_mm(tooth(code)), Some(at), "{code}");
    }
    // 13 and 12: 7 mm between centres, less two halves of 3 mm brackets.
    assert_eq!(layout.free_wire_mm(tooth(13), tooth(12)), Some(4.0));
    // Lower incisors carry narrower ones: 5.25 mm less 2.5.
    assert_eq!(laid_out(&arch(false)).free_wire_mm(tooth(42), tooth(41)), Some(2.75));
    // 15 and its neighbour's tube: 8.5 mm less 1.5 and 2.
    assert_eq!(layout.free_wire_mm(tooth(15), tooth(16)), Some(5.0));
    assert_eq!(layout.free_wire_mm(tooth(15), tooth(18)), None);
}

#[test]
fn what_an_absent_tooth_leaves_goes_by_its_kind_unless_it_is_known() {
    // 13 and 11: half of 7.5 and of 8.5.
    let apart = |arch: &ArchCase| laid_out(arch).distance_mm(tooth(13), tooth(11)).unwrap();
    let with = |how| {
        let mut arch = arch(true);
        absent(&mut arch, 12, how);
        arch
    };
    assert_eq!(apart(&with(ToothState::Missing)), 8.0);
    assert_eq!(apart(&with(ToothState::Unerupted)), 14.5);
    assert_eq!(apart(&with(ToothState::Extracted { on: None })), 14.5);
    let mut measured = with(ToothState::Missing);
    gap(&mut measured, 4.5, 13, 11);
    assert_eq!(apart(&measured), 12.5);
    let room = laid_out(&measured).room_of_absent_mm(tooth(12)).unwrap();
    assert!((room - 4.5).abs() < 1e-9, "{room}");
    // A space entered for the tooth goes before its kind.
    let mut space = with(ToothState::Extracted { on: None });
    let four = springline_model::stand::Stand { space: Some(from_mm(4.0)), ..Default::default() };
    set_stand(&mut space, 12, four);
    assert_eq!(apart(&space), 12.0);
    assert_eq!(laid_out(&arch(true)).room_of_absent_mm(tooth(12)), None);
}

/// 11 taken out: its place lies on its own side, and 21 where it always was.
#[test]
fn the_place_of_an_absent_central_lies_on_its_own_side() {
    let mut arch = arch(true);
    absent(&mut arch, 11, ToothState::Extracted { on: None });
    assert_eq!(laid_out(&arch).station_mm(tooth(21)), Some(4.25));
    assert_eq!(laid_out(&arch).station_mm(tooth(12)), Some(-11.75));
}

#[test]
fn absent_teeth_share_the_gap_that_they_lie_in() {
    let mut arch = arch(true);
    for code in [15, 14, 13] {
        absent(&mut arch, code, ToothState::Unerupted);
    }
    gap(&mut arch, 20.0, 16, 12);
    let layout = laid_out(&arch);
    let room = |code| layout.room_of_absent_mm(tooth(code)).unwrap();
    assert!((room(15) + room(14) + room(13) - 20.0).abs() < 1e-9);
    assert!((room(13) / room(14) - 7.5 / 7.0).abs() < 1e-9);
    assert_eq!(layout.distance_mm(tooth(16), tooth(12)), Some(5.0 + 20.0 + 3.25));
}

#[test]
fn crowded_centres_move_together_but_their_brackets_stay_apart() {
    let mut arch = arch(false);
    set_stand(&mut arch, 41, stand(2.0, 0.0, 0.0));
    let layout = laid_out(&arch);
    // 0.35 of 2 mm.
    assert!((layout.distance_mm(tooth(42), tooth(41)).unwrap() - (5.25 - 0.7)).abs() < 1e-9);
    set_stand(&mut arch, 41, stand(6.0, 0.0, 0.0));
    let free = laid_out(&arch).free_wire_mm(tooth(42), tooth(41)).unwrap();
    assert!((free - (5.25 - CROWDING_MOST_MM - 2.5)).abs() < 1e-9);
}

/// What one draw does to a tooth of the right side or the left.
#[derive(Debug, Clone)]
enum Done {
    Stands(f64, f64),
    Absent(bool),
    Gap(f64),
}

fn done() -> impl Strategy<Value = (u32, Done)> {
    let how = prop_oneof![
        (-4.0..4.0, -40.0..40.0).prop_map(|(mm, deg)| Done::Stands(mm, deg)),
        any::<bool>().prop_map(Done::Absent),
        (0.0..8.0).prop_map(Done::Gap),
    ];
    (prop::sample::select(vec![11, 12, 13, 14, 15, 21, 22, 23, 24, 25]), how)
}

/// The arch of these draws, or its image in a mirror.
fn drawn(upper: bool, all: &[(u32, Done)], mirrored: bool) -> ArchCase {
    let mut out = arch(upper);
    for (code, done) in all {
        let own = tooth(if upper { *code } else { code + 20 });
        let own = if mirrored { own.mirror() } else { own };
        let distal = own.code() + 1;
        match done {
            Done::Stands(mm, deg) => set_stand(&mut out, own.code(), stand(*mm, 0.0, *deg)),
            Done::Absent(true) => absent(&mut out, own.code(), ToothState::Unerupted),
            Done::Absent(false) => absent(&mut out, own.code(), ToothState::Missing),
            Done::Gap(length) => gap(&mut out, *length, own.code(), distal),
        }
    }
    out
}

proptest! {
    #[test]
    fn stations_rise_and_free_wire_is_distance_less_half_widths(
        upper: bool, all in prop::collection::vec(done(), 0..8),
    ) {
        let layout = laid_out(&drawn(upper, &all, false));
        for w in layout.teeth().windows(2) {
            let (a, b) = (&w[0], &w[1]);
            prop_assert!(a.tooth.place() < b.tooth.place() && a.centre_mm < b.centre_mm);
            let apart = layout.distance_mm(a.tooth, b.tooth).unwrap();
            let free = layout.free_wire_mm(b.tooth, a.tooth).unwrap();
            prop_assert!((free - (apart - 0.5 * (a.width_mm + b.width_mm)).max(0.0)).abs() < 1e-9);
            if a.width_mm > 0.0 && b.width_mm > 0.0 {
                prop_assert!(free >= BRACKETS_APART_MM - 1e-9);
            }
        }
        for t in layout.teeth() {
            let outward = if t.tooth.side() == Side::Left { t.centre_mm } else { -t.centre_mm };
            prop_assert!(outward > 0.0, "{t:?}");
        }
    }

    #[test]
    fn a_mirrored_arch_has_mirrored_stations(
        upper: bool, all in prop::collection::vec(done(), 0..8),
    ) {
        let own = laid_out(&drawn(upper, &all, false));
        let image = laid_out(&drawn(upper, &all, true));
        for t in own.teeth() {
            let there = image.station_mm(t.tooth.mirror()).unwrap();
            prop_assert!((t.centre_mm + there).abs() < 1e-9, "{t:?} {there}");
        }
    }

    /// Room that is added between two teeth parts what lies beyond them by so much, and nothing else.
    #[test]
    fn a_wider_gap_parts_the_teeth_by_so_much(more in 0.0..5.0, between in 1_u32..5) {
        let mut arch = arch(true);
        gap(&mut arch, 1.0, 20 + between, 21 + between);
        let before = laid_out(&arch);
        arch.gaps[0].length = from_mm(1.0 + more);
        let after = laid_out(&arch);
        for t in before.teeth() {
            let by = if t.tooth.side() == Side::Left && u32::from(t.tooth.position()) > between { more } else { 0.0 };
            let moved = after.station_mm(t.tooth).unwrap() - t.centre_mm;
            prop_assert!((moved - by).abs() < 1e-9, "{t:?} by {moved}");
        }
    }
}
