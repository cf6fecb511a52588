//! Resistance of slots to a sliding wire against closed forms, worked examples and published measurements.

use crate::support::{elastic, knife, straight, strict};
use springline_mechanics::closed::{critical_contact_angle, sliding_share};
use springline_mechanics::*;

const MIL: f64 = 0.0254;
const GRAM: f64 = 0.009_806_65;

fn dry(coefficient: f64) -> Friction {
    Friction { coefficient, clip_n: 0.0 }
}

/// A rigid bracket without play.
fn tight(id: u16, station_mm: f64, lingual_mm: f64) -> Slot {
    Slot {
        stand: SlotPose { lingual_mm, ..SlotPose::default() },
        play: Play::None,
        support: Support::RIGID,
        ..Slot::bracket(id, station_mm, 3.0)
    }
}

fn three_brackets(kinematics: Kinematics) -> SlidingWire {
    let slots = vec![tight(1, 1.5, 0.0), tight(2, 9.5, 0.5), tight(3, 17.5, 0.0)];
    let wire = WireSection::round(16.0 * MIL);
    let setup = straight(slots, wire, elastic(180_000.0), strict(kinematics));
    SlidingWire::of(&setup, &solve(&setup, Start::Cold).unwrap())
}

fn both(wire: &SlidingWire, friction: &Friction, hand: Hand) -> [f64; 2] {
    [Towards::Right, Towards::Left].map(|towards| wire.shifted_n(friction, hand, towards))
}

/// Three brackets, the middle one 0.5 mm off, by hand with the three-moment equation in small slopes: edges
/// 4.147, 8.812 and 4.665 N, first order 5.29 N, pushed 5.13, pulled 5.45. Half of the last printed digit.
#[test]
fn the_example_by_hand() {
    let wire = three_brackets(Kinematics::SmallSlope);
    let friction = dry(0.15);
    let pressed: Vec<f64> = wire.slots(&friction).iter().map(|s| s.pressed_n).collect();
    for (have, want) in pressed.iter().zip([4.147 + 8.812, 2.0 * 4.665, 4.147 + 8.812]) {
        assert!((have - want).abs() < 0.001, "{have} {want}");
    }
    assert!((wire.first_order_n(&friction) - 5.287).abs() < 0.001);
    for pushed in both(&wire, &friction, Hand::Pushes) {
        assert!((pushed - 5.13).abs() < 0.006, "{pushed}");
    }
    for pulled in both(&wire, &friction, Hand::Pulls) {
        assert!((pulled - 5.45).abs() < 0.006, "{pulled}");
    }
}

/// The same with exact slopes: a rod with friction, repeated until the contacts agree with it, gives 5.228 in
/// first order, 5.062 pushed and 5.403 pulled; beams moved past penalty contacts 5.225, 5.029 and 5.437. The
/// two differ by 0.7 %; the tolerance is theirs, 2 %.
#[test]
fn the_example_with_exact_slopes() {
    let wire = three_brackets(Kinematics::Exact);
    let friction = dry(0.15);
    let near = |have: f64, want: f64| assert!((have - want).abs() < 0.02 * want, "{have} {want}");
    near(wire.first_order_n(&friction), 5.228);
    near(wire.shifted_n(&friction, Hand::Pushes, Towards::Left), 5.062);
    near(wire.shifted_n(&friction, Hand::Pulls, Towards::Left), 5.403);
}

/// A bracket tipped between knife edges `free_mm` from its own: its slot has play, they have none.
fn tipped(
    section: WireSection,
    law: Law,
    free_mm: f64,
    slot_mm: f64,
    clip: Clip,
    rad: f64,
) -> SlidingWire {
    let mut middle = Slot { support: Support::RIGID, clip, ..Slot::bracket(2, 0.0, 3.0) };
    middle.height_mm = slot_mm;
    middle.stand.tipped_rad = rad;
    let at = 1.5 + free_mm;
    // The edges hold the wire where its slot does.
    let seated = match clip {
        Clip::Passive => 0.0,
        Clip::Active { depth_left_mm } => {
            0.5 * (28.0 * MIL - depth_left_mm.max(section.depth_mm()))
        }
    };
    let slots = vec![knife(1, -at, seated), middle, knife(3, at, seated)];
    let setup = straight(slots, section, law, strict(Kinematics::SmallSlope));
    SlidingWire::of(&setup, &solve(&setup, Start::Cold).unwrap())
}

fn held_by_bracket(wire: &SlidingWire, friction: &Friction) -> f64 {
    wire.slots(friction)[1].resistance_n
}

const SLOT: f64 = 22.0 * MIL;

/// Without a ligature, 18x25 steel slides without resistance until both corners touch (Thorstenson GA, Kusy RP. Am
/// J Orthod Dentofacial Orthop 2001;120(4):361-370: "exhibited no friction"); an active clip adds at most 50 g there
/// (2002;121(5):472-482, read second-hand).
#[test]
fn nothing_holds_below_the_critical_angle() {
    let section = WireSection::rectangular(18.0 * MIL, 25.0 * MIL, 0.0);
    let critical = critical_contact_angle(18.0 * MIL, 3.0, SLOT).unwrap();
    let friction = Friction { coefficient: Surface::Steel.on_steel().value, clip_n: CLIP_N.value };
    let hold = |clip, share: f64| {
        let wire = tipped(section, Law::steel(), 5.0, SLOT, clip, share * critical);
        held_by_bracket(&wire, &friction)
    };
    for share in [-0.95, -0.4, 0.0, 0.5, 0.95] {
        assert_eq!(hold(Clip::Passive, share), 0.0);
        let clipped = hold(Clip::Active { depth_left_mm: 18.0 * MIL }, share);
        assert!(clipped > 0.0 && clipped <= 50.0 * GRAM, "{clipped}");
    }
    assert!(hold(Clip::Passive, 1.1) > 0.0);
}

/// `N = 3 EI (theta - theta_c) (a + L) / (a L^2)` at each edge, `a = w / 2` (two-span beam), and 0.656 N a degree of
/// 0.016 steel with w 3, L 5, mu 0.15 (computed from it).
#[test]
fn binding_is_that_of_the_two_span_beam() {
    let section = WireSection::round(16.0 * MIL);
    let law = elastic(180_000.0);
    let stiffness = closed::flexural_rigidity(&section, &law).unwrap().0;
    let (a, free) = (1.5, 5.0);
    // The line of the wire's middle: its room is that of a slot seen at the angle.
    let critical = 0.5 * (2.0 * (SLOT - 16.0 * MIL) / 3.0).asin();
    let held = |rad: f64| {
        held_by_bracket(&tipped(section, law, free, SLOT, Clip::Passive, rad), &dry(0.15))
    };
    for over in [0.5_f64, 1.0, 3.0] {
        let over = over.to_radians();
        let edge = 3.0 * stiffness * over * (a + free) / (a * free * free);
        let (have, want) = (held(critical + over), 0.15 * 2.0 * edge);
        assert!((have - want).abs() < 0.01 * want, "{have} {want}");
    }
    let degree = 1_f64.to_radians();
    let slope = held(critical + 2.0 * degree) - held(critical + degree);
    assert!((slope - 0.656).abs() < 0.002, "{slope}");
}

/// Binding grows with the stiffness of the wire and with a shorter span, not with the size of the slot once the
/// play is corrected for (Kusy RP, Whitley JQ. J Biomed Mater Res 2000;52(4):797-811); round less than rectangular,
/// more with the angle (Pizzoni L, Ravnholt G, Melsen B. Eur J Orthod 1998;20(3):283-291). Signs.
#[test]
fn binding_goes_the_published_ways() {
    let round = WireSection::round(16.0 * MIL);
    let held = |section: WireSection, law, free, slot: f64, past_deg: f64| {
        let play = (slot - section.height_mm()) / 3.0;
        let wire = tipped(section, law, free, slot, Clip::Passive, play + past_deg.to_radians());
        held_by_bracket(&wire, &dry(0.15))
    };
    let usual = held(round, Law::steel(), 5.0, SLOT, 2.0);
    assert!(held(WireSection::round(18.0 * MIL), Law::steel(), 5.0, SLOT, 2.0) > usual);
    assert!(
        held(WireSection::rectangular(16.0 * MIL, 22.0 * MIL, 0.0), Law::steel(), 5.0, SLOT, 2.0)
            > usual
    );
    assert!(held(round, Law::superelastic(), 5.0, SLOT, 2.0) < usual);
    assert!(held(round, Law::steel(), 4.0, SLOT, 2.0) > usual);
    assert!(held(round, Law::steel(), 5.0, SLOT, 3.0) > usual);
    let narrow = held(round, Law::steel(), 5.0, 18.0 * MIL, 2.0);
    assert!((narrow - usual).abs() < 0.01 * usual, "{narrow} {usual}");
}

/// Beta-titanium resists more than steel (Pizzoni L et al., as above, tied brackets). In the coefficient, as in
/// any contact under a given force; where the wire binds the force falls with its modulus, and the dry
/// coefficients (0.46 and 0.14, Kusy RP et al. 1991) still give more. With the defaults, which take the dry
/// 0.46 as the upper end, binding beta-titanium holds 0.9 of what steel does: not the published sign.
#[test]
fn beta_titanium_against_steel() {
    let [steel, beta] = [Surface::Steel, Surface::BetaTitanium].map(Surface::on_steel);
    assert!(beta.value > steel.value && beta.low > steel.low && beta.high > steel.high);
    let past = (SLOT - 16.0 * MIL) / 3.0 + 2_f64.to_radians();
    let held = |law, mu| {
        let wire = tipped(WireSection::round(16.0 * MIL), law, 5.0, SLOT, Clip::Passive, past);
        held_by_bracket(&wire, &dry(mu))
    };
    assert!(held(Law::beta_titanium(), 0.46) > held(Law::steel(), 0.14));
    let ratio = held(Law::beta_titanium(), beta.value) / held(Law::steel(), steel.value);
    assert!((0.85..1.0).contains(&ratio), "{ratio}");
}

/// Coefficients stand in the order of the alloys, which is sure (Kusy RP, Whitley JQ. Am J Orthod Dentofacial
/// Orthop 1990;98(4):300-312): steel, cobalt-chromium, nickel-titanium, beta-titanium.
#[test]
fn alloys_stand_in_the_published_order() {
    use Surface::*;
    let all = [Steel, CobaltChromium, NickelTitanium, BetaTitanium].map(Surface::on_steel);
    assert!(all.windows(2).all(|w| w[0].value < w[1].value));
    assert!(all.iter().all(|c| 0.0 < c.low && c.low < c.value && c.value < c.high));
    // 0.14 dry and up to 0.19 wet; 0.21 on another rig.
    assert!(all[0].low <= 0.14 && 0.21 <= all[0].high);
}

/// 0.524 and 0.398 at mu 0.15 and 0.25, d 10, w 3.3 (closed form; printed digits).
#[test]
fn share_of_a_tooth_that_slides_upright() {
    for (mu, want) in [(0.15, 0.524), (0.25, 0.398)] {
        let share = sliding_share(mu, 10.0, 3.3).unwrap();
        assert!((share - want).abs() < 0.0006, "{share}");
    }
    assert_eq!(sliding_share(0.15, 10.0, 0.0), None);
}

/// Lost on the way in archwire-guided movement: 33.7 % on steel 16x22, 72.1 % on beta-titanium (J Orofac Orthop
/// 2021, PMC8233268). The rig's lever and width were not read: 8 to 10 mm over 3 to 3.3 are taken. Both
/// lie in what the coefficients' ranges leave; steel at its very edge (the closed form fits it with 0.085 at
/// a ratio of 3). The third wire measured, a low-friction beta-titanium with 48.8 %, is no alloy of the table.
#[test]
fn losses_measured_in_guided_movement() {
    for (surface, lost) in [(Surface::Steel, 33.7), (Surface::BetaTitanium, 72.1)] {
        let c = surface.on_steel();
        let least = 100.0 * (1.0 - sliding_share(c.low, 8.0, 3.3).unwrap());
        let most = 100.0 * (1.0 - sliding_share(c.high, 10.0, 3.0).unwrap());
        assert!(least < lost && lost < most, "{surface:?}: {least:.1} to {most:.1}: {lost}");
    }
}

/// A lower arch of radius 20 mm, ten teeth, 42 off: rigid, or giving 0.1 mm/N.
fn lower(section: WireSection, law: Law, off_mm: f64, give: f64) -> SlidingWire {
    let half = [(2.5, 2.5), (7.75, 2.5), (14.0, 3.0), (21.0, 3.0), (28.0, 3.0)];
    let mut slots = Vec::new();
    for (side, row) in [(-1.0, 40), (1.0, 30)] {
        for (i, (at, width)) in half.into_iter().enumerate() {
            let mut slot = Slot::bracket(row + i as u16 + 1, side * at, width);
            slot.support = Support::mobility(give);
            if slot.id == 42 {
                slot.stand.lingual_mm = off_mm;
            }
            slots.push(slot);
        }
    }
    let setup = Setup {
        arch: ArchLine::Circle { radius_mm: 20.0 },
        slots,
        wire: ArchWire { shear: Shear::Off, ..ArchWire::new(section, law) },
        loads: Vec::new(),
        settings: SolverSettings { edges: Edges::Rigid, ..SolverSettings::default() },
        ties: Vec::new(),
    };
    SlidingWire::of(&setup, &solve(&setup, Start::Cold).unwrap())
}

/// Off, mm; grams in first order; pushed towards smaller and larger stations; pulled the same.
type Row = (f64, f64, [f64; 2], [f64; 2]);
const LIGHT: [Row; 4] = [
    (0.4, 5.0, [4.0, 4.0], [7.0, 8.0]),
    (0.6, 31.0, [36.0, 31.0], [39.0, 47.0]),
    (0.8, 60.0, [74.0, 63.0], [75.0, 87.0]),
    (1.0, 90.0, [116.0, 98.0], [111.0, 131.0]),
];
const HEAVY: [Row; 4] = [
    (0.1, 7.0, [7.0, 6.0], [7.0, 8.0]),
    (0.2, 27.0, [28.0, 26.0], [31.0, 35.0]),
    (0.3, 48.0, [50.0, 47.0], [55.0, 61.0]),
    (0.4, 71.0, [75.0, 68.0], [79.0, 90.0]),
];

/// The chair test on teeth that give, against a rod whose contacts and friction were repeated until they agreed
/// (another code; grams): the contacts alone within 3 g, the whole within 15 % or 3 g, the gentler way the same
/// and the tightest bracket the one that is off. In 0.1 mm of the walls nothing holds. This is the
/// accuracy of leaving the shape of the wire as it was. The narrowest range of a coefficient, two thirds to 1.43 times of
/// what is taken, holds the coupled answer in every row.
#[test]
fn chair_test_of_a_whole_arch() {
    let light = (WireSection::round(14.0 * MIL), Law::superelastic(), 0.20, LIGHT);
    let heavy = (WireSection::rectangular(19.0 * MIL, 25.0 * MIL, 0.0), Law::steel(), 0.15, HEAVY);
    for (section, law, mu, rows) in [light, heavy] {
        let friction = dry(mu);
        assert_eq!(lower(section, law, 0.02, 0.1).first_order_n(&friction), 0.0);
        for (off, first, pushed, pulled) in rows {
            let wire = lower(section, law, off, 0.1);
            let have = wire.first_order_n(&friction) / GRAM;
            assert!((have - first).abs() < 3.0, "{off}: {have} {first}");
            assert_eq!(wire.tightest(&friction).unwrap().0, 42);
            for (hand, want) in [(Hand::Pushes, pushed), (Hand::Pulls, pulled)] {
                let have = both(&wire, &friction, hand).map(|n| n / GRAM);
                for (have, want) in have.into_iter().zip(want) {
                    let apart = (have - want).abs();
                    assert!(apart < 3.0 || apart < 0.15 * want, "{off}: {have} {want}");
                }
                // What the product reads with the least and the greatest coefficient of a range holds the coupled answer.
                let [least, most] = [0.67, 1.43].map(|share| both(&wire, &dry(share * mu), hand));
                for k in 0..2 {
                    let (low, high) = (least[k] / GRAM - 1.0, most[k] / GRAM + 1.0);
                    assert!(low < want[k] && want[k] < high, "{off}: {low} to {high}: {}", want[k]);
                }
                if want[0] != want[1] {
                    assert_eq!(have[0] < have[1], want[0] < want[1], "{off}: {have:?} {want:?}");
                }
            }
        }
    }
}

/// A light round wire is drawn through, a heavy one pushed: a tail of 10 mm of 0.014 superelastic buckles under
/// about 1 N (Euler).
#[test]
fn light_round_wires_are_pulled() {
    let pulled = |section, law| is_pulled(&ArchWire::new(section, law));
    assert!(pulled(WireSection::round(14.0 * MIL), Law::superelastic()));
    assert!(pulled(WireSection::round(16.0 * MIL), Law::superelastic()));
    assert!(!pulled(WireSection::round(18.0 * MIL), Law::steel()));
    assert!(!pulled(WireSection::rectangular(14.0 * MIL, 25.0 * MIL, 0.0), Law::superelastic()));
    let section = WireSection::round(14.0 * MIL);
    let stiffness = closed::flexural_rigidity(&section, &Law::superelastic()).unwrap().0;
    assert!((closed::tail_buckles_n(stiffness, 10.0).unwrap() - 1.06).abs() < 0.02);
}
