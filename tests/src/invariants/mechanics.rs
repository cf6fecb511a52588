//! Whatever is asked of the wire, the answer is a converged result of finite numbers or a refusal.

use springline_lang::mechanics::{
    ArchLine, ArchWire, Clip, Engagement, Housing, Law, Load, March, Setup, Slot, SlotPose,
    Solution, SolverSettings, Start, WireSection, march, solve,
};

use super::Draw;

pub fn mechanics(bytes: &[u8]) {
    let mut draw = Draw::new(bytes);
    let setup = setup(&mut draw);
    match solve(&setup, Start::Cold) {
        Ok(solution) => numbers(&setup, &solution),
        Err(refusal) => assert!(!refusal.to_string().is_empty()),
    }
    if draw.byte().is_multiple_of(8)
        && let Ok(marched) = march(&setup, &March::default())
    {
        for tooth in &marched.teeth {
            assert!(tooth.peak_n().is_finite() && tooth.sustained_n().is_finite(), "{setup:?}");
        }
    }
}

/// Converged, and every figure is a number.
fn numbers(setup: &Setup, solution: &Solution) {
    let whole = [solution.taken_in_mm, solution.held_n, solution.energy_nmm, solution.strain];
    assert!(whole.iter().all(|v| v.is_finite()), "{whole:?}\n{setup:?}");
    assert!(solution.residual_n.is_finite(), "{setup:?}");
    for tooth in &solution.teeth {
        let forces = [tooth.lingual_n, tooth.gingival_n, tooth.along_n, tooth.resultant_n];
        let couples = [tooth.rotation_nmm, tooth.tip_nmm, tooth.torque_nmm];
        let rest = [tooth.strain, tooth.strain_fraction, tooth.gap_mm, tooth.station_mm];
        let all = forces.iter().chain(&couples).chain(&rest);
        assert!(all.clone().all(|v| v.is_finite()), "{tooth:?}\n{setup:?}");
        for edge in &tooth.edges {
            let all = [edge.lingual_n, edge.gingival_n, edge.along_n, edge.torque_nmm];
            assert!(all.iter().all(|v| v.is_finite()), "{edge:?}\n{setup:?}");
        }
    }
}

fn law(draw: &mut Draw<'_>) -> Law {
    match draw.byte() % 5 {
        0 => Law::superelastic(),
        1 => Law::thermal(),
        2 => Law::steel(),
        3 => Law::beta_titanium(),
        _ => Law::cobalt_chromium(),
    }
}

fn section(draw: &mut Draw<'_>) -> WireSection {
    match draw.byte() % 4 {
        0 => WireSection::round(draw.about(0.2, 0.6)),
        1 => WireSection::square(draw.about(0.3, 0.6), draw.about(0.0, 0.1)),
        2 => WireSection::multistrand(draw.about(0.3, 0.6), draw.about(0.05, 1.0)),
        _ => WireSection::rectangular(
            draw.about(0.3, 0.6),
            draw.about(0.4, 0.7),
            draw.about(0.0, 0.1),
        ),
    }
}

fn slot(draw: &mut Draw<'_>, id: u16, at: f64) -> Slot {
    let stand = SlotPose {
        lingual_mm: draw.about(-4.0, 4.0),
        gingival_mm: draw.about(-3.0, 3.0),
        along_mm: draw.about(-1.0, 1.0),
        rotated_rad: draw.about(-0.8, 0.8),
        tipped_rad: draw.about(-0.3, 0.3),
        torque_rad: draw.about(-0.4, 0.4),
    };
    let mut slot = Slot { stand, ..Slot::bracket(id, at, draw.about(2.0, 4.0)) };
    if draw.byte().is_multiple_of(8) {
        slot.housing = Housing::Tube;
    }
    if draw.byte().is_multiple_of(8) {
        slot.engagement = Engagement::MesialWing;
    }
    if draw.byte().is_multiple_of(8) {
        slot.clip = Clip::Active { depth_left_mm: draw.about(0.3, 0.7) };
    }
    slot
}

/// On a tooth in the wire, seldom on one that is not.
fn load(draw: &mut Draw<'_>, slots: usize) -> Load {
    Load {
        id: draw.below(slots + 1) as u16,
        lingual_n: draw.about(-3.0, 3.0),
        gingival_n: draw.about(-3.0, 3.0),
        along_n: draw.about(-3.0, 3.0),
        at_mm: [draw.about(-5.0, 5.0), draw.about(-5.0, 5.0), draw.about(-12.0, 12.0)],
    }
}

fn setup(draw: &mut Draw<'_>) -> Setup {
    let arch = match draw.byte() % 3 {
        0 => ArchLine::Circle { radius_mm: draw.about(18.0, 30.0) },
        _ => ArchLine::Catenary { a_mm: draw.about(12.0, 22.0) },
    };
    let mut at = -40.0;
    let slots: Vec<Slot> = (0..draw.below(15))
        .map(|n| {
            at += draw.about(4.0, 10.0);
            slot(draw, n as u16, at)
        })
        .collect();
    let wire = ArchWire::new(section(draw), law(draw));
    let loads = (0..draw.below(4)).map(|_| load(draw, slots.len())).collect();
    Setup { arch, slots, wire, loads, settings: SolverSettings::default(), ties: Vec::new() }
}
