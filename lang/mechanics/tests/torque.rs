//! Torque of 0.019 x 0.025 in wire in 0.022 in slots against published measurements.

use springline_mechanics::closed::third_order_play;
use springline_mechanics::*;

const MIL: f64 = 0.0254;
/// Slot heights of nine bracket types, mm (Brauchli LM, Steineck M, Wichelhaus A. Angle Orthod
/// 2012;82(4):663-669), and 5 % over the name between them, which stands for a slot nobody measured.
const LEAST: f64 = 0.563;
const MOST: f64 = 0.613;
const TAKEN: f64 = 1.05 * 22.0 * MIL;
/// Radii of drawn wires, mm (value from memory, after Sebanc J et al. 1984 and Lombardo L et al. Angle Orthod
/// 2015;85(5):848-858); the smaller stands for a wire nobody measured.
const EDGES: [f64; 2] = [0.04, 0.10];

fn wire(edge: f64) -> WireSection {
    WireSection::rectangular(19.0 * MIL, 25.0 * MIL, edge)
}

fn play_deg(slot: f64, edge: f64) -> f64 {
    third_order_play(&wire(edge), slot).unwrap().to_degrees()
}

/// Passive self-ligating brackets take hold at about 14 deg (Archambault A et al. Angle Orthod
/// 2010;80(1):201-210, a review of eleven measurements); a textbook table has 9.6 (Proffit WR et al.
/// Contemporary Orthodontics; value from memory). Both lie in what published slots and edges give, the
/// nominal slot's sharp 7.2 does not.
#[test]
fn play_is_what_was_measured() {
    let (least, most) = (play_deg(LEAST, EDGES[0]), play_deg(MOST, EDGES[1]));
    for published in [14.0, 9.6] {
        assert!(least < published && published < most, "{least:.1} to {most:.1}: {published}");
    }
    let taken = play_deg(TAKEN, EDGES[0]);
    assert!((9.6..14.0).contains(&taken), "{taken}");
}

/// The wire clamped square on both sides of one slot that is turned.
fn bench(slot_mm: f64, edge: f64, free_mm: f64, turned_deg: f64) -> f64 {
    let clamp = |id, at| Slot {
        height_mm: 19.0 * MIL,
        support: Support::RIGID,
        ..Slot::bracket(id, at, 3.0)
    };
    let mut middle = Slot { height_mm: slot_mm, ..clamp(2, 0.0) };
    middle.stand.torque_rad = turned_deg.to_radians();
    let at = 3.0 + free_mm;
    let setup = Setup {
        arch: ArchLine::Straight,
        slots: vec![clamp(1, -at), middle, clamp(3, at)],
        wire: ArchWire::new(wire(edge), Law::steel()),
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    };
    solve(&setup, Start::Cold).unwrap().teeth[1].torque_nmm.abs()
}

/// Steel, one bracket: 10 N mm at 20 to 25 deg in most types, 3.1 to 22.6 N mm at 30 deg in nine (Brauchli
/// LM et al., as above). The free length of the bench is not in what could be read; it is set so that the
/// slot of 5 % gives the 10 N mm at the middle of its range. Then every slot of the published range has
/// to give its 30 deg in theirs, and 10 N mm between 18 and 27: the range for most widened by a tenth.
#[test]
fn couple_of_one_bracket_on_the_bench() {
    let (mut short, mut long) = (2.0_f64, 80.0_f64);
    for _ in 0..40 {
        let mid = 0.5 * (short + long);
        if bench(TAKEN, EDGES[0], mid, 22.5) > 10.0 { short = mid } else { long = mid }
    }
    let free = 0.5 * (short + long);
    assert!((8.0..60.0).contains(&free), "a bench of {free:.0} mm");
    for slot in [LEAST, TAKEN, MOST] {
        let at_30 = bench(slot, EDGES[0], free, 30.0);
        assert!((3.1..=22.6).contains(&at_30), "{slot}: {at_30:.1} N mm at 30 deg");
        let (below, above) = (bench(slot, EDGES[0], free, 18.0), bench(slot, EDGES[0], free, 27.0));
        assert!(below <= 10.0 && above >= 10.0, "{slot}: {below:.1} to {above:.1} N mm");
    }
}

/// Crown widths of the upper arch 1 to 7 (textbook values from memory) and widths of its brackets.
const CROWNS: [f64; 6] = [8.5, 6.5, 7.5, 7.0, 7.0, 10.0];

/// A whole upper arch on a rigid model, one central turned by 15 deg; its neighbours' slots hold the wire
/// with the play of their height.
fn model(own_mm: f64, neighbours_mm: f64, law: Law) -> f64 {
    let mut slots = Vec::new();
    for side in [-1.0, 1.0] {
        let mut at = 0.0;
        for (i, crown) in CROWNS.iter().enumerate() {
            let id = if side < 0.0 { 11 } else { 21 } + i as u16;
            let mut slot =
                Slot::bracket(id, side * (at + crown / 2.0), if i == 5 { 4.0 } else { 3.0 });
            slot.support = Support::RIGID;
            slot.height_mm = neighbours_mm;
            if id == 11 {
                slot.height_mm = own_mm;
                slot.stand.torque_rad = 15_f64.to_radians();
            }
            slots.push(slot);
            at += crown;
        }
    }
    let setup = Setup {
        arch: ArchLine::Catenary { a_mm: 18.0 },
        slots,
        wire: ArchWire::new(wire(EDGES[0]), law),
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    };
    solve(&setup, Start::Cold).unwrap().tooth(11).unwrap().torque_nmm.abs()
}

/// 15 deg of root torque at a central in a full upper arch: 9.3 N mm of steel and 6.6 of beta-titanium
/// (Sifakakis I et al. Angle Orthod 2014;84(1):149-154, conventional brackets with ligatures). What the
/// neighbours' slots leave the wire decides: with all their play it rolls along and little comes (3.7
/// and 1.4), held without play more comes than was measured (21 and 7.4): a ligature presses the wire to the
/// slot's base and takes part of the play. What was measured lies between.
#[test]
fn couple_of_one_tooth_in_the_arch() {
    for (law, measured) in [(Law::steel(), 9.3), (Law::beta_titanium(), 6.6)] {
        let free = model(TAKEN, TAKEN, law);
        let held = model(TAKEN, 19.0 * MIL, law);
        assert!(free < measured && measured < held, "{free:.1} to {held:.1}: {measured}");
    }
}

/// The bands of a torqued tooth run over the heights that its slot may have, and hold the figure.
#[test]
fn a_band_runs_over_the_slots_range() {
    let torque = |range: [f64; 2]| {
        let slots = [(1, -7.0), (2, 0.0), (3, 7.0)].map(|(id, at)| {
            let mut slot =
                Slot { height_mm: TAKEN, height_range: range, ..Slot::bracket(id, at, 3.0) };
            slot.prescription_rad = if id == 2 { 40_f64.to_radians() } else { 0.0 };
            slot
        });
        let setup = Setup {
            arch: ArchLine::Straight,
            slots: slots.to_vec(),
            wire: ArchWire::new(wire(EDGES[0]), Law::beta_titanium()),
            loads: Vec::new(),
            settings: SolverSettings::default(),
            ties: Vec::new(),
        };
        let spread = Spread {
            wire_size: 0.0,
            plateau_sd: 0.0,
            modulus_sd: 0.0,
            stand_mm: 0.0,
            stand_rad: 0.0,
            ..Spread::default()
        };
        let all = banded(&setup, &March::default(), &spread).unwrap();
        let (value, band) = (all.nominal.inserted.teeth[1].torque_nmm, all.teeth[1].torque_nmm);
        assert!(band.low <= value && value <= band.high, "{value} in {band:?}");
        band.high - band.low
    };
    let (known, unknown) = (torque([1.0, 1.0]), torque([LEAST / TAKEN, MOST / TAKEN]));
    assert!(known < 0.1 && unknown > 5.0, "{known} {unknown}");
}
