//! Lays the line of an arch form through slots.
//!
//! Three numbers, two shifts and a turn, and where the form is fitted too its size, minimise the sum of a loss of the
//! distances. The loss is Cauchy's with 0.5 mm, started from least squares: in 120 made arches it misread the in-out of
//! an arch with two teeth far out by half as much as least squares, and least squares is never much better. A soft term
//! holds the middle of paired teeth near the middle of the form, as a circle may turn about its centre and a catenary
//! nearly so; another holds a fitted size to what arches have; both are counted in scales of the loss.

use springline_mechanics::ArchLine;

/// Scale of the loss, mm.
const LOSS_MM: f64 = 0.5;
/// How far the middle of paired teeth lies beside the middle of the form, mm (robust standard deviation of 60 arches:
/// 1.7; an estimate).
const MIDDLE_MM: f64 = 1.5;
/// Sizes of catenaries fitted to arches, mm (an estimate; medians of real arches 13.9 and 12.7).
const SIZE_MM: f64 = 16.0;
const SIZE_SPREAD_MM: f64 = 4.0;
const SIZES_MM: (f64, f64) = (6.0, 60.0);
/// Far beyond what is needed; a fit that has not settled by then is as good as one that has.
const STEPS: usize = 60;

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
}

/// Where the middle of a form lies in the frame of an arch, and how it is turned there.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LinePose {
    pub at_mm: [f64; 2],
    pub turn_rad: f64,
}

impl LinePose {
    /// A point of the arch's frame in that of the form.
    pub fn in_form(&self, p: [f64; 2]) -> [f64; 2] {
        self.turned([p[0] - self.at_mm[0], p[1] - self.at_mm[1]])
    }

    /// A point of the form in the frame of the arch.
    pub fn in_arch(&self, q: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = self.turn_rad.sin_cos();
        [self.at_mm[0] + cos * q[0] - sin * q[1], self.at_mm[1] + sin * q[0] + cos * q[1]]
    }

    /// A direction of the arch's frame in that of the form.
    pub fn turned(&self, v: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = self.turn_rad.sin_cos();
        [cos * v[0] + sin * v[1], cos * v[1] - sin * v[0]]
    }
}

/// A form where it was laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LaidLine {
    pub line: ArchLine,
    pub pose: LinePose,
}

/// A slot that the line is laid through; pairs are those whose mirror image is there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SlotToFit {
    pub at: [f64; 2],
    pub paired: bool,
}

impl LaidLine {
    /// The point of the arch's frame at a station.
    pub fn point_at(&self, station_mm: f64) -> [f64; 2] {
        self.pose.in_arch(self.line.place(station_mm).0)
    }

    /// Station on the line and distance inward of a point of the arch's frame.
    pub fn project(&self, p: [f64; 2]) -> (f64, f64) {
        let q = self.pose.in_form(p);
        self.line.project(q, start_station(&self.line, q))
    }

    fn with(self, step: [f64; 4]) -> LaidLine {
        let pose = LinePose {
            at_mm: [self.pose.at_mm[0] + step[0], self.pose.at_mm[1] + step[1]],
            turn_rad: self.pose.turn_rad + step[2],
        };
        let line = match self.line {
            ArchLine::Catenary { a_mm } => {
                ArchLine::Catenary { a_mm: (a_mm + step[3]).clamp(SIZES_MM.0, SIZES_MM.1) }
            }
            other => other,
        };
        LaidLine { line, pose }
    }
}

/// Near the station of a point: by its direction from inside the arch.
fn start_station(line: &ArchLine, q: [f64; 2]) -> f64 {
    match *line {
        ArchLine::Straight => q[0],
        ArchLine::Circle { radius_mm: r } => r * q[0].atan2(r - q[1]),
        ArchLine::Catenary { a_mm } => {
            let s = a_mm * (q[0] / a_mm).clamp(-3.0, 3.0).sinh();
            s.clamp(-80.0, 80.0)
        }
        ArchLine::TwoWidths(_) => q[0].signum() * q[0].hypot(q[1].max(0.0)),
    }
}

/// The line through the slots; from `start`, or from the foremost slot.
pub(crate) fn lay_line(
    slots: &[SlotToFit],
    choice: FormToLay,
    loss: FitLoss,
    start: Option<LaidLine>,
) -> LaidLine {
    let (line, fitted) = match choice {
        FormToLay::Given(line) => (line, false),
        FormToLay::FittedCatenary => (ArchLine::Catenary { a_mm: SIZE_MM }, true),
    };
    let foremost = slots.iter().map(|s| s.at[1]).fold(f64::INFINITY, f64::min);
    let first = LaidLine { line, pose: LinePose { at_mm: [0.0, foremost], turn_rad: 0.0 } };
    let mut laid = start.unwrap_or(first);
    if start.is_none() {
        laid = settle(slots, laid, fitted, FitLoss::LeastSquares);
    }
    match loss {
        FitLoss::LeastSquares if start.is_none() => laid,
        _ => settle(slots, laid, fitted, loss),
    }
}

fn settle(slots: &[SlotToFit], mut laid: LaidLine, fitted: bool, loss: FitLoss) -> LaidLine {
    for _ in 0..STEPS {
        let Some(step) = gauss_newton_step(slots, &laid, fitted, loss) else { break };
        laid = laid.with(step);
        if step[0].abs().max(step[1].abs()).max(step[3].abs()) < 1e-7 && step[2].abs() < 1e-8 {
            break;
        }
    }
    laid
}

/// One weighted step of at most a few mm and a sixth of a right angle.
fn gauss_newton_step(
    slots: &[SlotToFit],
    laid: &LaidLine,
    fitted: bool,
    loss: FitLoss,
) -> Option<[f64; 4]> {
    let count = if fitted { 4 } else { 3 };
    let mut system = NormalEquations::default();
    let (mut middle, mut middle_by, mut pairs) = (0.0, [0.0; 4], 0.0);
    for slot in slots {
        let (s, r) = laid.project(slot.at);
        let by = distance_by(laid, slot.at, s, fitted);
        let weight = match loss {
            FitLoss::LeastSquares => 1.0,
            FitLoss::Cauchy => 1.0 / (1.0 + (r / LOSS_MM).powi(2)),
        };
        system.add(r, by.inward, weight);
        if slot.paired {
            middle += s;
            pairs += 1.0;
            (0..4).for_each(|i| middle_by[i] += by.ahead[i]);
        }
    }
    if pairs > 0.0 {
        let scale = LOSS_MM / (pairs * MIDDLE_MM);
        system.add(middle * scale, middle_by.map(|x| x * scale), 1.0);
    }
    if let (true, ArchLine::Catenary { a_mm }) = (fitted, laid.line) {
        let scale = LOSS_MM / SIZE_SPREAD_MM;
        system.add((a_mm - SIZE_MM) * scale, [0.0, 0.0, 0.0, scale], 1.0);
    }
    let step = system.solve(count)?;
    let largest = [4.0, 4.0, 0.26, 2.0];
    let part = (0..4).map(|i| largest[i] / step[i].abs().max(1e-12)).fold(1.0, f64::min);
    Some(step.map(|x| x * part))
}

/// How distance and station of a point change with the two shifts, the turn and the size.
struct DistanceBy {
    inward: [f64; 4],
    ahead: [f64; 4],
}

fn distance_by(laid: &LaidLine, at: [f64; 2], s: f64, fitted: bool) -> DistanceBy {
    let ([x, y], turn) = laid.line.place(s);
    let (sin, cos) = turn.sin_cos();
    let q = laid.pose.in_form(at);
    let inward = |v: [f64; 2]| cos * v[1] - sin * v[0];
    let r = inward([q[0] - x, q[1] - y]);
    let stretch = (1.0 - laid.line.curvature_per_mm(s) * r).max(0.1);
    let ahead = |v: [f64; 2]| (cos * v[0] + sin * v[1]) / stretch;
    // The point moves against the form's own shift and turn.
    let moves = [laid.pose.turned([-1.0, 0.0]), laid.pose.turned([0.0, -1.0]), [q[1], -q[0]]];
    let mut out = DistanceBy { inward: [0.0; 4], ahead: [0.0; 4] };
    for (i, v) in moves.into_iter().enumerate() {
        (out.inward[i], out.ahead[i]) = (inward(v), ahead(v));
    }
    if fitted {
        let by = 1e-4;
        let (further, moved) = laid.with([0.0, 0.0, 0.0, by]).project(at);
        (out.inward[3], out.ahead[3]) = ((moved - r) / by, (further - s) / by);
    }
    out
}

#[derive(Default)]
struct NormalEquations {
    matrix: [[f64; 4]; 4],
    right: [f64; 4],
}

impl NormalEquations {
    fn add(&mut self, residual: f64, by: [f64; 4], weight: f64) {
        for i in 0..4 {
            self.right[i] -= weight * residual * by[i];
            for j in 0..4 {
                self.matrix[i][j] += weight * by[i] * by[j];
            }
        }
    }

    /// Elimination without exchanges: the matrix is symmetric and positive, a little is added to its diagonal.
    fn solve(mut self, count: usize) -> Option<[f64; 4]> {
        for i in 0..count {
            self.matrix[i][i] += 1e-9;
        }
        for i in 0..count {
            let pivot = self.matrix[i][i];
            if !pivot.is_finite() || pivot <= 0.0 {
                return None;
            }
            for j in i + 1..count {
                let part = self.matrix[j][i] / pivot;
                for k in i..count {
                    self.matrix[j][k] -= part * self.matrix[i][k];
                }
                self.right[j] -= part * self.right[i];
            }
        }
        let mut out = [0.0; 4];
        for i in (0..count).rev() {
            let known: f64 = (i + 1..count).map(|k| self.matrix[i][k] * out[k]).sum();
            out[i] = (self.right[i] - known) / self.matrix[i][i];
        }
        out.iter().all(|x| x.is_finite()).then_some(out)
    }
}
