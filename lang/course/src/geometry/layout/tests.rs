use proptest::prelude::*;

use super::super::brackets::BRACKETS_APART_MM;
use super::super::contact_line::slot_station_mm;
use super::*;
use crate::setup::arch_setup;
use crate::testing::{arch_in_line, in_line, set_stand, stand, tooth};
use springline_mechanics::ArchLine;
use springline_model::case::Gap;
use springline_model::form::{Form, FormCurve};
use springline_test_support::nowhere;
use springline_units::anatomy::SLOT_BEFORE_CONTACTS_MM;
use springline_units::quantity::{from_mm, newtons_to_grams};
use springline_units::tooth::Arch;

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

/// Middle of a crown on the contact line.
fn crown_at(layout: &ArchLayout, code: u32) -> f64 {
    layout.tooth(tooth(code)).unwrap().crown_centre_mm
}

fn crowns_apart(layout: &ArchLayout, a: u32, b: u32) -> f64 {
    (crown_at(layout, b) - crown_at(layout, a)).abs()
}

fn with_form(mut arch: ArchCase, curve: FormCurve) -> ArchCase {
    arch.form.value = Form { name: "own".into(), curve, place: None }.into();
    arch
}

fn near(have: f64, want: f64) {
    assert!((have - want).abs() < 1e-9, "{have} for {want}");
}

/// By the crowns of `anatomy`: 8.5, 6.5, 7.5 and 7 mm.
#[test]
fn straight_neighbours_lie_the_mean_of_their_widths_apart() {
    let layout = laid_out(&arch(true));
    for (code, at) in [(11, -4.25), (21, 4.25), (22, 11.75), (13, -18.75), (14, -26.0)] {
        near(crown_at(&layout, code), at);
    }
}

/// On a circle of 25 mm the contact line is one of 22 mm: all lengths on the slot line are 25/22 as long.
#[test]
fn brackets_and_free_wire_are_on_the_slot_line() {
    let circle = FormCurve::Circle { radius: from_mm(22.0 + SLOT_BEFORE_CONTACTS_MM) };
    let upper = laid_out(&with_form(arch(true), circle));
    let longer = (22.0 + SLOT_BEFORE_CONTACTS_MM) / 22.0;
    near(upper.station_mm(tooth(13)).unwrap(), -18.75 * longer);
    near(upper.distance_mm(tooth(13), tooth(22)).unwrap(), 30.5 * longer);
    // 13 and 12: 7 mm between crowns, less two halves of 3 mm brackets.
    near(upper.free_wire_mm(tooth(13), tooth(12)).unwrap(), 7.0 * longer - 3.0);
    // Lower incisors carry narrower ones.
    let lower = laid_out(&with_form(arch(false), circle));
    near(lower.free_wire_mm(tooth(42), tooth(41)).unwrap(), 5.25 * longer - 2.5);
    // 15 and its neighbour's tube.
    near(upper.free_wire_mm(tooth(15), tooth(16)).unwrap(), 8.5 * longer - 3.5);
    assert_eq!(upper.free_wire_mm(tooth(15), tooth(18)), None);
}

/// Lower centrals of the textbook are 5 mm wide; the catenary is that of an ordinary lower arch.
#[test]
fn slots_of_lower_centrals_lie_farther_apart_than_their_crowns_are_wide() {
    let catenary = FormCurve::Catenary { a: from_mm(13.0) };
    let layout = laid_out(&with_form(arch(false), catenary));
    let apart = layout.distance_mm(tooth(41), tooth(31)).unwrap();
    assert!((6.4..6.5).contains(&apart), "{apart}");
    near(crowns_apart(&layout, 41, 31), 5.0);
}

/// 3 mm times the sine of 25 deg: 1.27 mm towards the mesial where the mesial edge is in.
#[test]
fn the_bracket_of_a_turned_crown_lies_on_the_side_it_faces() {
    let mut arch = arch(true);
    let before = laid_out(&arch);
    set_stand(&mut arch, 13, stand(0.0, 0.0, 25.0));
    let after = laid_out(&arch);
    let by = SLOT_BEFORE_CONTACTS_MM * f64::to_radians(25.0).sin();
    // Against the place beside its own crown, which comes nearer its crowded neighbours.
    let beside = |layout: &ArchLayout| {
        let line = ArchLine::Catenary { a_mm: 13.9 };
        layout.station_mm(tooth(13)).unwrap() - slot_station_mm(&line, crown_at(layout, 13))
    };
    near(beside(&before), 0.0);
    near(beside(&after), by);
    set_stand(&mut arch, 13, stand(0.0, 0.0, -25.0));
    near(beside(&laid_out(&arch)), -by);
    // The next bracket is never run over.
    for deg in [60.0, 90.0, 150.0] {
        set_stand(&mut arch, 13, stand(0.0, 0.0, deg));
        set_stand(&mut arch, 12, stand(0.0, 0.0, -deg));
        let free = laid_out(&arch).free_wire_mm(tooth(13), tooth(12)).unwrap();
        assert!(free >= BRACKETS_APART_MM - 1e-9, "{deg}: {free}");
    }
}

#[test]
fn what_an_absent_tooth_leaves_goes_by_its_kind_unless_it_is_known() {
    // 13 and 11: half of 7.5 and of 8.5.
    let apart = |arch: &ArchCase| crowns_apart(&laid_out(arch), 13, 11);
    let with = |how| {
        let mut arch = arch(true);
        absent(&mut arch, 12, how);
        arch
    };
    near(apart(&with(ToothState::Missing)), 8.0);
    near(apart(&with(ToothState::Unerupted)), 14.5);
    near(apart(&with(ToothState::Extracted { on: None })), 14.5);
    let mut measured = with(ToothState::Missing);
    gap(&mut measured, 4.5, 13, 11);
    near(apart(&measured), 12.5);
    let room = laid_out(&measured).room_of_absent_mm(tooth(12)).unwrap();
    assert!((room - 4.5).abs() < 1e-9, "{room}");
    // A space entered for the tooth goes before its kind.
    let mut space = with(ToothState::Extracted { on: None });
    let four = springline_model::stand::Stand { space: Some(from_mm(4.0)), ..Default::default() };
    set_stand(&mut space, 12, four);
    near(apart(&space), 12.0);
    assert_eq!(laid_out(&arch(true)).room_of_absent_mm(tooth(12)), None);
}

/// 11 taken out: its place lies on its own side, and 21 where it always was.
#[test]
fn the_place_of_an_absent_central_lies_on_its_own_side() {
    let mut arch = arch(true);
    absent(&mut arch, 11, ToothState::Extracted { on: None });
    near(crown_at(&laid_out(&arch), 21), 4.25);
    near(crown_at(&laid_out(&arch), 12), -11.75);
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
    near(crowns_apart(&layout, 16, 12), 5.0 + 20.0 + 3.25);
}

#[test]
fn crowded_centres_move_together_but_their_brackets_stay_apart() {
    let mut arch = arch(false);
    set_stand(&mut arch, 41, stand(2.0, 0.0, 0.0));
    let layout = laid_out(&arch);
    // 0.35 of 2 mm.
    near(crowns_apart(&layout, 42, 41), 5.25 - 0.7);
    set_stand(&mut arch, 41, stand(6.0, 0.0, 0.0));
    near(crowns_apart(&laid_out(&arch), 42, 41), 5.25 - 1.2);
    // Where crowns are narrower than their brackets these push them apart.
    let narrow = springline_model::stand::Stand { width: Some(from_mm(2.0)), ..Default::default() };
    for code in [42, 41, 31, 32] {
        set_stand(&mut arch, code, narrow);
    }
    let free = laid_out(&arch).free_wire_mm(tooth(42), tooth(41)).unwrap();
    near(free, BRACKETS_APART_MM);
    near(laid_out(&arch).free_wire_mm(tooth(41), tooth(31)).unwrap(), BRACKETS_APART_MM);
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
        let line = arch_line(drawn(upper, &all, false).form.value.curve);
        for t in layout.teeth() {
            // Brackets lie beside their crowns, but for those of turned ones.
            let turned = (t.centre_mm - slot_station_mm(&line, t.crown_centre_mm)).abs();
            prop_assert!(turned <= SLOT_BEFORE_CONTACTS_MM * f64::to_radians(40.0).sin() + 1e-9);
            let outward = if t.tooth.side() == Side::Left { t.centre_mm } else { -t.centre_mm };
            prop_assert!(outward > 0.0 || turned > 0.0, "{t:?}");
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
            let moved = after.tooth(t.tooth).unwrap().crown_centre_mm - t.crown_centre_mm;
            prop_assert!((moved - by).abs() < 1e-9, "{t:?} by {moved}");
        }
    }
}

/// A lower lateral 1.5 mm in, 0.014 in superelastic, everything else in line, on a catenary of 13 mm, every tooth giving
/// 0.1 mm/N: on it as the wire goes in 290 g, and 420 g where slots lie as close as the crowns are wide.
///
/// Source: a study of the two lines made for this program, with another implementation of the same mechanics;
/// two digits, so 5 %.
#[test]
fn a_lateral_reads_a_third_less_with_slots_before_its_contacts() {
    let mut case = in_line();
    let own = case.arches.iter_mut().find(|a| a.arch == Arch::Lower).unwrap();
    *own = with_form(arch(false), FormCurve::Catenary { a: from_mm(13.0) });
    set_stand(own, 42, stand(1.5, 0.0, 0.0));
    let own = own.clone();
    let (layout, mouth) = (laid_out(&own), Mouth::entered(&own));
    let state = arch_state(&own, 0, &BTreeSet::new()).unwrap();
    let mut setup = arch_setup(&case, &own, &state, &mouth, &[]).base;
    let mut grams = |along_contacts: bool| {
        for slot in &mut setup.slots {
            slot.support = springline_mechanics::Support::default();
            if along_contacts {
                slot.station_mm = crown_at(&layout, u32::from(slot.id));
            }
        }
        let solved =
            springline_mechanics::solve(&setup, springline_mechanics::Start::Cold).unwrap();
        newtons_to_grams(solved.tooth(42).unwrap().resultant_n)
    };
    let (here, before) = (grams(false), grams(true));
    assert!((here / 290.0 - 1.0).abs() < 0.05, "{here}");
    assert!((before / 420.0 - 1.0).abs() < 0.05, "{before}");
}

/// An arch as it stands, and what a measured plan says of it.
struct MeasuredArch {
    /// The front of the arch: stations of the slots where they are.
    stations: Vec<(Tooth, f64)>,
    text: String,
}

/// Two brackets of 3 mm and 0.9 mm between them, and a tenth for each rounded width.
const NEAREST_MM: f64 = 4.2;
const FRONT: [u32; 8] = [14, 13, 12, 11, 21, 22, 23, 24];

/// From the middle of the first crown to the contact of the centrals, an overlap there halved.
fn to_midline(draw: &[(f64, f64, f64, f64)]) -> f64 {
    let width = |i: usize| {
        let crown = springline_units::anatomy::crown_width_mm(tooth(FRONT[i])) + draw[i].3;
        (crown * 10.0).round() / 10.0
    };
    let between = |i: usize| 0.5 * (width(i - 1) + width(i)) - draw[i].0;
    between(1) + between(2) + between(3) + 0.5 * (width(3) - draw[4].0)
}

/// Crowns along the contact line as far apart as the draw has them, in or out and turned; measured from their slots, in
/// tenths and whole degrees, an overlap or gap wherever the program would take another by 0.15 mm.
fn measured_arch(draw: &[(f64, f64, f64, f64)], midline_mm: f64) -> MeasuredArch {
    let line = ArchLine::Catenary { a_mm: 13.9 };
    let tenth = |x: f64| (x * 10.0).round() / 10.0;
    let mut text = String::new();
    let mut stations = Vec::new();
    let mut crowns: Vec<(Tooth, f64, f64, crate::law::irregularity::Crown)> = Vec::new();
    // The contact of the centrals lies half a millimetre or less beside the middle of the form.
    let mut at = midline_mm.clamp(-0.5, 0.5) - to_midline(draw);
    for (i, (code, (overlap, inward, deg, wider))) in FRONT.iter().zip(draw).enumerate() {
        let own = tooth(*code);
        let width = tenth(springline_units::anatomy::crown_width_mm(own) + wider);
        if let Some((_, before, ..)) = crowns.last() {
            at += 0.5 * (width + before) - overlap;
        }
        let is_front = (1..7).contains(&i);
        let (inward, deg) = if is_front { (tenth(*inward), deg.round()) } else { (0.0, 0.0) };
        let turn = if own.side() == Side::Right { deg } else { -deg };
        let station =
            slot_station_mm(&line, at) + SLOT_BEFORE_CONTACTS_MM * turn.to_radians().sin();
        stations.push((own, station));
        crowns.push((own, width, at, crown_of(own, width, inward, turn)));
        let (way, way_deg) =
            (if inward < 0.0 { "labial" } else { "palatal" }, if deg < 0.0 { "out" } else { "in" });
        text += &format!(
            "  tooth {code} {way} {} mm, rotated {} deg mesial-{way_deg}, width {width} mm\n",
            inward.abs(),
            deg.abs()
        );
    }
    for pair in crowns.windows(2) {
        let ((a, wa, at_a, crown_a), (b, wb, at_b, crown_b)) = (&pair[0], &pair[1]);
        let overlap = 0.5 * (wa + wb) - (at_b - at_a);
        if (overlap - taken_overlap_mm(crown_a, crown_b)).abs() >= 0.15 {
            let word = if tenth(overlap) < 0.0 { "gap" } else { "overlap" };
            text += &format!("  {word} {} mm between {a} and {b}\n", tenth(overlap.abs()));
        }
    }
    MeasuredArch { stations, text }
}

fn crown_of(
    tooth: Tooth,
    width_mm: f64,
    lingual_mm: f64,
    deg: f64,
) -> crate::law::irregularity::Crown {
    crate::law::irregularity::Crown { tooth, width_mm, lingual_mm, rotated_rad: deg.to_radians() }
}

fn read_arch(lines: &str) -> ArchCase {
    let bonded = "  bonded 15..25 with twin\n  tubes 16, 26 with molar\n";
    let step = "  step align, wire niti-14, ends turned-in, until passive, next computed\n";
    let text = format!("start 2026-09-14\nupper {{\n{bonded}{lines}{step}}}\n");
    let read = springline_test_support::case(&text).arches[0].clone();
    with_form(read, FormCurve::Catenary { a: from_mm(13.9) })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]
    /// What was measured comes back from the text: distances of front brackets within 0.15 mm rms.
    #[test]
    fn measured_front_distances_come_back_from_the_text(
        draw in prop::collection::vec((-1.5..2.2, -1.5..2.5, -25.0..35.0, -0.6..0.6), 8),
        midline_mm in -0.5..0.5,
    ) {
        let draw: Vec<(f64, f64, f64, f64)> = draw;
        let measured = measured_arch(&draw, midline_mm);
        let layout = laid_out(&read_arch(&measured.text));
        let mut squares = Vec::new();
        let near_next: Vec<bool> =
            measured.stations.windows(2).map(|p| p[1].1 - p[0].1 < NEAREST_MM).collect();
        for (i, pair) in measured.stations.windows(2).enumerate() {
            let ((a, at_a), (b, at_b)) = (pair[0], pair[1]);
            // Brackets that would stand nearer than any can be bonded are moved apart, and so nearer to those beside.
            if near_next[i.saturating_sub(1)..near_next.len().min(i + 2)].contains(&true) {
                continue;
            }
            let back = layout.station_mm(b).unwrap() - layout.station_mm(a).unwrap();
            squares.push((back - (at_b - at_a)).powi(2));
        }
        // Of two or three distances nothing is a mean.
        prop_assume!(squares.len() > 3);
        let rms = (squares.iter().sum::<f64>() / squares.len() as f64).sqrt();
        prop_assert!(rms < 0.15, "{rms}\n{}", measured.text);
    }
}

/// An overlap goes as its contact comes into line; measured in line it stays.
#[test]
fn an_overlap_lessens_as_the_crowns_come_into_line() {
    let read = read_arch("  tooth 12 palatal 2 mm\n  overlap 1.2 mm between 13 and 12\n");
    let apart = |mouth: &Mouth| {
        let state = arch_state(&read, 0, &BTreeSet::new()).unwrap();
        let layout = ArchLayout::of(&read, &state, mouth);
        (crown_at(&layout, 12) - crown_at(&layout, 13)).abs()
    };
    let mut mouth = Mouth::entered(&read);
    let touching = 0.5 * (mouth.width_mm(tooth(13)) + mouth.width_mm(tooth(12)));
    near(apart(&mouth), touching - 1.2);
    let mut pose = mouth.pose(tooth(12));
    pose.lingual_mm = 0.5;
    mouth.move_to([(tooth(12), pose)].into());
    near(apart(&mouth), touching - 0.3);
    pose.lingual_mm = 0.0;
    mouth.move_to([(tooth(12), pose)].into());
    near(apart(&mouth), touching);
}
