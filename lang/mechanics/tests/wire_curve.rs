//! The wire as it is drawn: through the slots that hold it, one curve whichever line it was solved over.

use springline_mechanics::*;

fn arch(settings: SolverSettings) -> Setup {
    let mut slots: Vec<Slot> = [-24.0, -17.0, -10.0, -3.5, 3.5, 10.0, 17.0, 24.0]
        .into_iter()
        .enumerate()
        .map(|(i, station)| Slot::bracket(i as u16 + 1, station, 3.0))
        .collect();
    slots[2].stand = SlotPose { lingual_mm: 1.0, rotated_rad: 0.2, ..SlotPose::default() };
    slots[5].stand = SlotPose { gingival_mm: 1.0, ..SlotPose::default() };
    Setup {
        arch: ArchLine::Catenary { a_mm: 13.0 },
        slots,
        wire: ArchWire::new(WireSection::round(0.3556), Law::superelastic()),
        loads: Vec::new(),
        settings,
        ties: Vec::new(),
    }
}

fn curve(setup: &Setup) -> (Solution, Vec<WirePoint>) {
    let solved = solve(setup, Start::Cold).unwrap();
    let points = wire_curve(setup, &solved, 0.25).unwrap();
    (solved, points)
}

#[test]
fn the_curve_passes_every_held_edge_where_the_solver_has_the_wire() {
    let setup = arch(SolverSettings::quick());
    let (solved, points) = curve(&setup);
    for edge in solved.teeth.iter().flat_map(|t| &t.edges) {
        let near = points.iter().min_by(|a, b| {
            (a.along_mm - edge.station_mm).abs().total_cmp(&(b.along_mm - edge.station_mm).abs())
        });
        let near = near.unwrap();
        assert!((near.along_mm - edge.station_mm).abs() < 1e-9);
        assert!((near.gingival_mm - edge.wire_gingival_mm).abs() < 1e-9);
        let ([x, y], turn) = setup.arch.place(edge.station_mm);
        let (in_x, in_y) = (-turn.sin(), turn.cos());
        let off = edge.wire_lingual_mm;
        assert!((near.at_mm[0] - x - off * in_x).abs() < 1e-9);
        assert!((near.at_mm[1] - y - off * in_y).abs() < 1e-9);
    }
    let apart = points.windows(2).map(|w| w[1].along_mm - w[0].along_mm);
    assert!(apart.clone().all(|d| d > 0.0 && d <= 0.25 + 1e-9));
}

/// Rigid slots and edges on normals differ by what a turned slot is shortened: hundredths of a millimetre here.
#[test]
fn both_base_lines_draw_the_same_wire() {
    let settings = SolverSettings::quick();
    let (_, over_arch) = curve(&arch(settings));
    let (_, over_slots) = curve(&arch(settings.over_the_slots()));
    for p in over_arch.iter().step_by(7) {
        let away = |q: &WirePoint| {
            (p.at_mm[0] - q.at_mm[0])
                .hypot(p.at_mm[1] - q.at_mm[1])
                .hypot(p.gingival_mm - q.gingival_mm)
        };
        let nearest = over_slots.iter().map(away).fold(f64::INFINITY, f64::min);
        assert!(nearest < 0.2, "{nearest} at {p:?}");
    }
}
