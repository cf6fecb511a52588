//! Lays the line of an arch form through slots.
//!
//! Three numbers, two shifts and a turn, and where the form is fitted too its one or two numbers, minimise the sum of a
//! loss of the distances. The loss is Cauchy's with 0.5 mm, started from least squares: in 120 made arches it misread the in-out of
//! an arch with two teeth far out by half as much as least squares, and least squares is never much better. A soft term
//! holds the middle of paired teeth near the middle of the form, as a circle may turn about its centre and a catenary
//! nearly so; another holds a fitted size to what arches have; both are counted in scales of the loss.

use crate::along_line::{AlongLine, PointByLine};
use crate::laid_line::{LaidLine, LinePose};
use nalgebra::{SMatrix, SVector};
use springline_mechanics::{ArchLine, QuarticLine};

/// Two shifts, a turn, and two of the form.
const NUMBERS: usize = 5;
type Numbers = SVector<f64, NUMBERS>;

/// Scale of the loss, mm.
const LOSS_MM: f64 = 0.5;
/// How far the middle of paired teeth lies beside the middle of the form, mm (robust standard deviation of 60 arches:
/// 1.7; an estimate).
const MIDDLE_MM: f64 = 1.5;
/// Sizes of catenaries fitted to arches, mm (an estimate; medians of real arches 13.9 and 12.7).
const SIZE_MM: f64 = 16.0;
const SIZE_SPREAD_MM: f64 = 4.0;
const SIZES_MM: (f64, f64) = (6.0, 60.0);
/// Curvatures of a form by two widths, 1/m: at the midline, and what makes it square or tapered at the canines. Between
/// those of catenaries of 13 to 16 mm (62 to 77, and 20 to 30 below nothing) and of a lower arch that is square at the
/// canines (44 and 38); held as tightly, so that crowding is not taken for a form (an estimate).
const CURVATURES: [f64; 2] = [60.0, 5.0];
const CURVATURE_SPREADS: [f64; 2] = [10.0, 20.0];
/// No form is bent more tightly than 7 mm, nor much the other way, 1/m.
const CURVATURE_BOUNDS: [(f64, f64); 2] = [(5.0, 143.0), (-60.0, 143.0)];
/// Length over which such a form changes, of the distance from its middle to the canine: as plans have it.
pub(crate) const REACH: f64 = 1.2;
/// Far beyond what is needed; a fit that has not settled by then is as good as one that has.
const STEPS: usize = 60;
/// A fit has settled when a step is no longer than that, mm.
const SETTLED: f64 = 1e-7;
/// Where only the scatter of figures is asked for: a fortieth of what points err by, mm.
const NEAR: f64 = 5e-3;

/// What is minimised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FitLoss {
    LeastSquares,
    Cauchy,
}

/// The form that is laid through the teeth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FormToLay {
    Given(ArchLine),
    /// A catenary of any size.
    FittedCatenary,
    /// A form by its widths at canines and molars, whatever they are; a catenary where these teeth are missing.
    FittedWidths,
}

/// A slot that the line is laid through; pairs are those whose mirror image is there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SlotToFit {
    pub at: [f64; 2],
    pub paired: bool,
}

/// A line after a step of its numbers.
fn stepped(laid: &LaidLine, step: &Numbers) -> LaidLine {
    let pose = LinePose {
        at_mm: [laid.pose.at_mm[0] + step[0], laid.pose.at_mm[1] + step[1]],
        turn_rad: laid.pose.turn_rad + step[2],
    };
    let line = match laid.line {
        ArchLine::Catenary { a_mm } => {
            ArchLine::Catenary { a_mm: (a_mm + step[3]).clamp(SIZES_MM.0, SIZES_MM.1) }
        }
        ArchLine::TwoWidths(form) => {
            let within = |i: usize, now: f64| {
                let (least, most) = CURVATURE_BOUNDS[i];
                (1000.0 * now + step[3 + i]).clamp(least, most) / 1000.0
            };
            ArchLine::TwoWidths(QuarticLine {
                front_per_mm: within(0, form.front_per_mm),
                sides_per_mm: within(1, form.sides_per_mm),
                ..form
            })
        }
        other => other,
    };
    LaidLine { line, pose }
}

/// The line through the slots; from `start`, or from the foremost slot. `canine_mm` is the distance of the canines from
/// the middle of the front, where a form by widths can be fitted.
pub(crate) fn lay_line(
    slots: &[SlotToFit],
    choice: FormToLay,
    canine_mm: Option<f64>,
    loss: FitLoss,
    start: Option<LaidLine>,
) -> LaidLine {
    let (line, fitted) = match choice {
        FormToLay::Given(line) => (line, 0),
        FormToLay::FittedWidths if canine_mm.is_some() => {
            let [front, sides] = CURVATURES.map(|k| k / 1000.0);
            let reach_mm = REACH * canine_mm.unwrap_or_default();
            (
                ArchLine::TwoWidths(QuarticLine {
                    front_per_mm: front,
                    sides_per_mm: sides,
                    reach_mm,
                }),
                2,
            )
        }
        FormToLay::FittedCatenary | FormToLay::FittedWidths => {
            (ArchLine::Catenary { a_mm: SIZE_MM }, 1)
        }
    };
    let foremost = slots.iter().map(|s| s.at[1]).fold(f64::INFINITY, f64::min);
    let first = LaidLine { line, pose: LinePose { at_mm: [0.0, foremost], turn_rad: 0.0 } };
    let mut laid = start.unwrap_or(first);
    if start.is_none() {
        laid = settle(slots, laid, fitted, FitLoss::LeastSquares, SETTLED);
    }
    // Points picked again only tell how far figures scatter.
    let within = if start.is_none() { SETTLED } else { NEAR };
    match loss {
        FitLoss::LeastSquares if start.is_none() => laid,
        _ => settle(slots, laid, fitted, loss, within),
    }
}

fn settle(
    slots: &[SlotToFit],
    mut laid: LaidLine,
    fitted: usize,
    loss: FitLoss,
    within: f64,
) -> LaidLine {
    let mut stations = vec![None; slots.len()];
    for _ in 0..STEPS {
        let Some(step) = gauss_newton_step(slots, &mut stations, &laid, fitted, loss) else {
            break;
        };
        laid = stepped(&laid, &step);
        if step.amax() < within && step[2].abs() < 0.1 * within {
            break;
        }
    }
    laid
}

/// The largest step of each number: a few mm, a sixth of a right angle, and a part of the form's own size.
const LARGEST: [f64; NUMBERS] = [4.0, 4.0, 0.26, 2.0, 20.0];

/// One weighted step; `stations` are where the slots lay along the line at the last one.
fn gauss_newton_step(
    slots: &[SlotToFit],
    stations: &mut [Option<f64>],
    laid: &LaidLine,
    fitted: usize,
    loss: FitLoss,
) -> Option<Numbers> {
    let mut system = NormalEquations::default();
    let (mut middle, mut middle_by, mut pairs) = (0.0, Numbers::zeros(), 0.0);
    let mut along = AlongLine::new(laid);
    for (slot, station) in slots.iter().zip(stations) {
        let beside = along.beside(slot.at, *station);
        let (s, r) = (beside.station_mm, beside.inward_mm);
        *station = Some(s);
        let by = distance_by(laid, slot.at, &beside, fitted);
        let weight = match loss {
            FitLoss::LeastSquares => 1.0,
            FitLoss::Cauchy => 1.0 / (1.0 + (r / LOSS_MM).powi(2)),
        };
        system.add(r, by.inward, weight);
        if slot.paired {
            middle += s;
            pairs += 1.0;
            middle_by += by.ahead;
        }
    }
    if pairs > 0.0 {
        let scale = LOSS_MM / (pairs * MIDDLE_MM);
        system.add(middle * scale, middle_by * scale, 1.0);
    }
    for (number, off, spread) in usual(laid, fitted) {
        let scale = LOSS_MM / spread;
        let mut by = Numbers::zeros();
        by[number] = scale;
        system.add(off * scale, by, 1.0);
    }
    let step = system.solve()?;
    let most = |i: usize| match (i, laid.line) {
        (3, ArchLine::TwoWidths(_)) => LARGEST[4],
        _ => LARGEST[i],
    };
    let part = (0..NUMBERS).map(|i| most(i) / step[i].abs().max(1e-12)).fold(1.0, f64::min);
    Some(step * part)
}

/// The fitted numbers of a form: which, how far each is off what is usual, and how far it may be.
fn usual(laid: &LaidLine, fitted: usize) -> Vec<(usize, f64, f64)> {
    match laid.line {
        _ if fitted == 0 => Vec::new(),
        ArchLine::Catenary { a_mm } => vec![(3, a_mm - SIZE_MM, SIZE_SPREAD_MM)],
        ArchLine::TwoWidths(form) => {
            let now = [form.front_per_mm, form.sides_per_mm].map(|k| 1000.0 * k);
            (0..2).map(|i| (3 + i, now[i] - CURVATURES[i], CURVATURE_SPREADS[i])).collect()
        }
        _ => Vec::new(),
    }
}

/// How distance and station of a point change with the two shifts, the turn and the form's numbers.
struct DistanceBy {
    inward: Numbers,
    ahead: Numbers,
}

fn distance_by(laid: &LaidLine, at: [f64; 2], beside: &PointByLine, fitted: usize) -> DistanceBy {
    let (s, r) = (beside.station_mm, beside.inward_mm);
    let (sin, cos) = laid.line.turn_rad(s).sin_cos();
    let q = laid.pose.in_form(at);
    let inward = |v: [f64; 2]| cos * v[1] - sin * v[0];
    let stretch = (1.0 - laid.line.curvature_per_mm(s) * r).max(0.1);
    let ahead = |v: [f64; 2]| (cos * v[0] + sin * v[1]) / stretch;
    // The point moves against the form's own shift and turn.
    let moves = [laid.pose.turned([-1.0, 0.0]), laid.pose.turned([0.0, -1.0]), [q[1], -q[0]]];
    let mut out = DistanceBy { inward: Numbers::zeros(), ahead: Numbers::zeros() };
    for (i, v) in moves.into_iter().enumerate() {
        (out.inward[i], out.ahead[i]) = (inward(v), ahead(v));
    }
    if fitted == 0 {
        return out;
    }
    match (laid.line, beside.place) {
        (ArchLine::TwoWidths(form), Some(place)) => {
            for (i, curvature) in [form.front_per_mm, form.sides_per_mm].into_iter().enumerate() {
                let (least, most) = CURVATURE_BOUNDS[i];
                // At its bound a curvature goes no farther.
                if (least..most).contains(&(1000.0 * curvature)) {
                    let [x, y] = place.at_by[i].map(|by| -by / 1000.0);
                    out.inward[3 + i] = inward([x, y]);
                    out.ahead[3 + i] = ahead([x, y]) + r * place.turn_by[i] / 1000.0 / stretch;
                }
            }
        }
        _ => {
            let mut step = Numbers::zeros();
            step[3] = 1e-3;
            let (further, moved) = stepped(laid, &step).line.project(q, s);
            (out.inward[3], out.ahead[3]) = ((moved - r) / step[3], (further - s) / step[3]);
        }
    }
    out
}

#[derive(Default)]
struct NormalEquations {
    matrix: SMatrix<f64, NUMBERS, NUMBERS>,
    right: Numbers,
}

impl NormalEquations {
    fn add(&mut self, residual: f64, by: Numbers, weight: f64) {
        self.right -= weight * residual * by;
        self.matrix += weight * by * by.transpose();
    }

    /// A number that nothing depends on stays as it is: a little is added to the diagonal.
    fn solve(self) -> Option<Numbers> {
        let matrix = self.matrix + SMatrix::identity() * 1e-9;
        let out = matrix.cholesky()?.solve(&self.right);
        out.iter().all(|x| x.is_finite()).then_some(out)
    }
}
