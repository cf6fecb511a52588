//! A case from nothing, through the public interface alone:
//!
//! ```sh
//! cargo run -p springline-mechanics --example own_case
//! ```
//!
//! Six upper front teeth and their neighbours on a circle of 24 mm; a lateral 1.5 mm inside and turned, a
//! canine high, a central missing. A house's own thermally active wire, at 35 C, with an open coil pushing
//! two teeth apart; then the same wire after the teeth have moved, and how far the tolerances carry it.

use springline_mechanics::*;

/// ISO number, station of the bracket's centre (mm, patient's left positive), width of the bracket (mm).
const TEETH: [(u16, f64, f64); 9] = [
    (15, -29.5, 3.0),
    (14, -22.5, 3.0),
    (13, -15.3, 3.2),
    (12, -8.4, 2.8),
    (21, 4.2, 3.4),
    (22, 11.6, 2.8),
    (23, 18.5, 3.2),
    (24, 25.8, 3.0),
    (25, 32.8, 3.0),
];

fn own_wire() -> ArchWire {
    // Any law: here a flag from a data sheet at 37 C, MPa, taken to 35 C by its own slope.
    let law = Law::Flag(Flag {
        austenite_mpa: 48_000.0,
        martensite_mpa: 23_000.0,
        loading_start_mpa: 350.0,
        loading_end_mpa: 400.0,
        unloading_start_mpa: 165.0,
        unloading_end_mpa: 125.0,
        transformation_strain: 0.05,
        shear_modulus_mpa: 20_000.0,
        temperature_c: 37.0,
        slope_mpa_per_c: 6.5,
        strain_limit: 0.08,
    })
    .at_temperature(35.0);
    // 0.016 x 0.022 in, edges rounded to 0.03 mm: height first, then depth.
    let mut wire = ArchWire::new(WireSection::rectangular(0.4064, 0.5588, 0.03), law);
    // Two stops, one at each facing edge of 12 and 21, hold 6 mm of wire between them.
    let edge = |id, side| SlotEdge { id, side };
    wire.bounds = vec![LengthBound {
        from: edge(12, EdgeSide::Left),
        to: edge(21, EdgeSide::Right),
        length: LengthLimit::AtLeast(6.0),
    }];
    wire
}

fn set_up() -> Setup {
    let mut slots: Vec<Slot> =
        TEETH.iter().map(|&(id, station, width)| Slot::bracket(id, station, width)).collect();
    for slot in &mut slots {
        // 0.018 x 0.025 in slots; teeth that give by 0.1 mm/N.
        (slot.height_mm, slot.depth_mm) = (0.4572, 0.635);
        slot.support = Support::mobility(0.1);
        match slot.id {
            12 => {
                slot.stand.lingual_mm = 1.5;
                slot.stand.rotated_rad = 12_f64.to_radians();
            }
            // Gingival is up in the upper jaw and positive in both.
            13 => slot.stand.gingival_mm = 0.8,
            _ => {}
        }
    }
    // An open coil between 12 and 21 pushes both away from the gap: 0.8 N, at the height of the slot.
    let push = |id, along_n| Load { id, lingual_n: 0.0, gingival_n: 0.0, along_n, at_mm: [0.0; 3] };
    Setup {
        arch: ArchLine::Circle { radius_mm: 24.0 },
        slots,
        wire: own_wire(),
        loads: vec![push(12, -0.8), push(21, 0.8)],
        settings: SolverSettings::default(),
        ties: Vec::new(),
    }
}

fn show(title: &str, solution: &Solution) {
    println!("{title} (forces on the teeth, N and N mm; strain {:.1} %)", 100.0 * solution.strain);
    println!("tooth  lingual gingival    along | rotation      tip   torque");
    for t in &solution.teeth {
        println!(
            "{:5} {:8.2} {:8.2} {:8.2} | {:8.1} {:8.1} {:8.1}{}",
            t.id,
            t.lingual_n,
            t.gingival_n,
            t.along_n,
            t.rotation_nmm,
            t.tip_nmm,
            t.torque_nmm,
            if t.passive { "  passive" } else { "" }
        );
    }
    println!();
}

fn main() -> Result<(), Refusal> {
    let mut setup = set_up();
    let first = solve(&setup, Start::Cold)?;
    show("Wire in", &first);

    // The lateral has come half a millimetre: the same wire, its history carried, so that it answers from
    // its unloading branch.
    if let Some(slot) = setup.slots.iter_mut().find(|s| s.id == 12) {
        slot.stand.lingual_mm -= 0.5;
    }
    show("After the lateral has come 0.5 mm", &solve(&setup, Start::Carry(&first))?);

    // Peak, delivered and sustained force with the band that tolerances of wire, slot and entry leave.
    let set = banded(&set_up(), &March::default(), &Spread::default())?;
    println!("tooth   peak (10th to 90th percentile)   sustained");
    for (tooth, band) in set.nominal.teeth.iter().zip(&set.teeth) {
        println!(
            "{:5} {:6.2} ({:.2} to {:.2}) {:18.2} ({:.2} to {:.2})",
            tooth.id,
            tooth.peak_n(),
            band.peak_n.low,
            band.peak_n.high,
            tooth.sustained_n(),
            band.sustained_n.low,
            band.sustained_n.high
        );
    }

    // What cannot be answered is a refusal with the tooth, the figure and the limit.
    let mut turned = set_up();
    turned.slots[4].stand.rotated_rad = 70_f64.to_radians();
    if let Err(refusal) = solve(&turned, Start::Cold) {
        println!("\nTurned by 70 degrees: {refusal}");
    }
    Ok(())
}
