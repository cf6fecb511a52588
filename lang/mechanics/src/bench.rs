//! Three-point bending: the test of ISO 15841, and the same test over any other span.

use super::{
    ArchLine, ArchWire, Edges, Kinematics, Law, Play, Refusal, Setup, Slot, SlotPose, Solution,
    SolverSettings, Start, Steep, Stock, Support, solve,
};

/// A three-point test: frictionless knife edges, wire free to slide.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreePoint {
    /// Distance of the two supports, mm, above zero.
    pub span_mm: f64,
    /// Deflection to which the wire is loaded, mm.
    pub to_mm: f64,
    /// Points on each branch.
    pub points: usize,
    /// True bends a rectangular wire in the labiolingual plane (its depth), false in its height.
    pub edgewise: bool,
}

impl ThreePoint {
    /// The standard's test (ISO 15841): 10 mm between the fulcrums, to 3.1 mm and back.
    pub const fn standard() -> ThreePoint {
        ThreePoint { span_mm: 10.0, to_mm: 3.1, points: 31, edgewise: false }
    }
}

/// Force against deflection at mid-span.
#[derive(Debug, Clone, PartialEq)]
pub struct BendCurve {
    /// (deflection mm, force N), deflection growing.
    pub loading: Vec<(f64, f64)>,
    /// (deflection mm, force N), deflection falling.
    pub unloading: Vec<(f64, f64)>,
    /// Largest fibre strain reached.
    pub strain: f64,
    /// Deflection left when the force is gone, mm.
    pub permanent_set_mm: f64,
}

impl BendCurve {
    /// Force on the unloading branch at a deflection, N, between the points by straight line.
    pub fn unloading_at(&self, deflection_mm: f64) -> Option<f64> {
        between(&self.unloading, deflection_mm)
    }

    /// Force on the loading branch at a deflection, N.
    pub fn loading_at(&self, deflection_mm: f64) -> Option<f64> {
        between(&self.loading, deflection_mm)
    }
}

fn between(points: &[(f64, f64)], at: f64) -> Option<f64> {
    points.windows(2).find_map(|w| {
        let ((x0, y0), (x1, y1)) = (w[0], w[1]);
        let inside = (x0 <= at && at <= x1) || (x1 <= at && at <= x0);
        inside.then(|| if x1 == x0 { y0 } else { y0 + (y1 - y0) * (at - x0) / (x1 - x0) })
    })
}

/// Runs the test on a fresh wire: loads in equal steps, unloads in equal steps, history kept.
///
/// # Errors
/// As [`solve`], and for a test that is no test (span, deflection, points).
pub fn three_point(stock: &Stock, test: &ThreePoint) -> Result<BendCurve, Refusal> {
    let must = |ok: bool, what, value| {
        if ok { Ok(()) } else { Err(Refusal::Input { id: None, what, value }) }
    };
    must((0.5..=100.0).contains(&test.span_mm), "the span of the test", test.span_mm)?;
    must(
        test.to_mm > 0.0 && test.to_mm <= 0.45 * test.span_mm,
        "the deflection of the test",
        test.to_mm,
    )?;
    must((2..=2000).contains(&test.points), "the number of points", test.points as f64)?;
    let steps = test.points - 1;
    let at = |i: usize| test.to_mm * i as f64 / steps as f64;
    let mut curve = BendCurve {
        loading: vec![(0.0, 0.0)],
        unloading: Vec::new(),
        strain: 0.0,
        permanent_set_mm: 0.0,
    };
    let mut last = None;
    for i in 1..=steps {
        let (force, solution) = pushed(stock, test, at(i), last.as_ref())?;
        curve.loading.push((at(i), force));
        curve.strain = curve.strain.max(solution.strain);
        last = Some(solution);
    }
    curve.unloading.extend(curve.loading.last());
    for i in (0..steps).rev() {
        let (force, solution) = pushed(stock, test, at(i), last.as_ref())?;
        if force < -1e-6 {
            // The wire lifts off: it has taken a set between this point and the last.
            let (x, f) = *curve.unloading.last().unwrap_or(&(test.to_mm, 0.0));
            curve.permanent_set_mm = at(i) + (x - at(i)) * force / (force - f);
            curve.unloading.push((curve.permanent_set_mm, 0.0));
            break;
        }
        curve.unloading.push((at(i), force.max(0.0)));
        last = Some(solution);
    }
    Ok(curve)
}

/// Force of the indenter at a deflection, N.
fn pushed(
    stock: &Stock,
    test: &ThreePoint,
    deflection_mm: f64,
    before: Option<&Solution>,
) -> Result<(f64, Solution), Refusal> {
    let knife = |id, station_mm, mm: f64| {
        let stand = if test.edgewise {
            SlotPose { lingual_mm: mm, ..SlotPose::default() }
        } else {
            SlotPose { gingival_mm: mm, ..SlotPose::default() }
        };
        Slot {
            stand,
            play: Play::None,
            support: Support::RIGID,
            ..Slot::bracket(id, station_mm, 0.0)
        }
    };
    let half = 0.5 * test.span_mm;
    let setup = Setup {
        arch: ArchLine::Straight,
        slots: vec![knife(1, -half, 0.0), knife(2, 0.0, deflection_mm), knife(3, half, 0.0)],
        wire: ArchWire::new(stock.section, stock.law),
        loads: Vec::new(),
        settings: BENCH,
        ties: Vec::new(),
    };
    let solution = solve(&setup, before.map_or(Start::Cold, Start::Carry))?;
    let middle = &solution.teeth[1];
    let force = -if test.edgewise { middle.lingual_n } else { middle.gingival_n };
    Ok((force, solution))
}

/// Finer than an arch: one span, and figures to compare with closed forms. The bench bends wires far
/// past what a mouth may, so nothing is refused for strain.
const BENCH: SolverSettings = SolverSettings {
    kinematics: Kinematics::Exact,
    edges: Edges::OnNormals,
    steep: Steep::Refused,
    force_tolerance_n: 1e-6,
    barrier_nmm: 1e-6,
    max_iterations: 200,
    turn_limit_rad: 1.4,
    wire_turn_limit_rad: 1.4,
    flag_strain_refused: 1.0,
    linear_strain_refused: 1.0,
    fibres_across: 16,
    refinement: 2,
};

/// Largest deflection, mm, up to which the test stays at or below `ceiling_n`: the reading that a
/// practice takes from a bending chart. For a superelastic wire the unloading branch counts, the force
/// it delivers; an elastic one delivers what it was bent with, so the loading branch counts (its way
/// back after yielding meets the ceiling only where it has taken a set). `None` when it
/// is above it all the way.
///
/// # Errors
/// As [`three_point`].
pub fn largest_deflection_under(
    stock: &Stock,
    test: &ThreePoint,
    ceiling_n: f64,
) -> Result<Option<f64>, Refusal> {
    if ceiling_n.is_nan() || ceiling_n < 0.0 {
        return Err(Refusal::Input { id: None, what: "the ceiling", value: ceiling_n });
    }
    let curve = three_point(stock, test)?;
    let mut under = None;
    let mut before: Option<(f64, f64)> = None;
    let rising: Vec<(f64, f64)> = match stock.law {
        Law::Flag(_) => curve.unloading.iter().rev().copied().collect(),
        Law::Linear(_) => curve.loading,
    };
    for (x, f) in rising {
        if f > ceiling_n {
            if let Some((x0, f0)) = before {
                under = Some(x0 + (x - x0) * (ceiling_n - f0) / (f - f0));
            }
            break;
        }
        under = Some(x);
        before = Some((x, f));
    }
    // Nothing but the unbent wire under the ceiling is no reading.
    Ok(under.filter(|x| *x > 0.0))
}

/// Moment of a stock wire along a path of curvatures (1/mm), N mm, from a fresh wire; `None` for an
/// impossible section. `labiolingual` bends the depth, else the height.
pub fn moment_curvature(stock: &Stock, labiolingual: bool, curvatures: &[f64]) -> Option<Vec<f64>> {
    super::check::stock(stock).ok()?;
    super::bending::moment_path(stock, labiolingual, curvatures)
}
