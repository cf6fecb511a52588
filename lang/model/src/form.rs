//! Arch forms: the line on which the slots lie when all teeth are in place.

use serde::Serialize;
use springline_text::Place;
use springline_units::quantity::{Length, mm};

use super::stock::Name;

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "curve")]
pub enum FormCurve {
    /// `Y = a (cosh(X / a) - 1)`; `a` is the radius at the midline.
    Catenary {
        a: Length,
    },
    Circle {
        radius: Length,
    },
    TwoWidths(TwoWidths),
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Form {
    pub name: Name,
    pub curve: FormCurve,
    pub place: Option<Place>,
}

/// Width of a form from side to side, and how far behind its foremost point it is measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FormWidth {
    pub width: Length,
    pub depth: Length,
}

impl FormWidth {
    /// Half the width, and the depth, mm.
    pub fn point_mm(self) -> [f64; 2] {
        [0.5 * mm(self.width), mm(self.depth)]
    }
}

/// A form by its widths at the canines and at the first molars.
///
/// Its curvature over the arc length `s` from the midline is `(f + g u^2) / (1 + u^4)`, `u = s / b`, with `b` 1.2 times
/// the distance from the midline to the canine: flat or tight in front by `f`, square or tapered at the canines by
/// `g`, and straight behind. All derivatives are continuous. Within 0.8 mm, on ovoid forms within 0.3 mm, it is the
/// curve `Y = A X^6 + B X^2` through the same two points, which fits arches better than any form of one number
/// (Noroozi H et al. Angle Orthod 2001;71:386-389); that one is not used itself, as its curvature over arc length
/// has no closed form.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TwoWidths {
    pub canines: FormWidth,
    pub molars: FormWidth,
    /// `f`, 1/mm: curvature at the midline.
    #[serde(skip)]
    pub front_per_mm: f64,
    /// `g`, 1/mm.
    #[serde(skip)]
    pub sides_per_mm: f64,
    /// `b`, mm.
    #[serde(skip)]
    pub reach_mm: f64,
}

/// Why no form passes through two widths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoForm {
    /// The molars must be wider apart and farther back than the canines.
    NotBehind,
    /// It would have to be curved more tightly than [`LEAST_RADIUS_MM`] somewhere, or back on itself.
    Bend { radius_mm: f64 },
    /// No curve of this kind passes through both.
    None,
}

/// Ratio of `b` to the distance of the canine.
const REACH: f64 = 1.2;
/// Wires of the trade are nowhere bent more tightly; real arches have 10 mm and more (common practice, no source).
pub const LEAST_RADIUS_MM: f64 = 7.0;
/// A form may open outwards again behind by no more than this radius.
const LEAST_OUTWARD_RADIUS_MM: f64 = 60.0;
/// Arc length up to which a form is held to that, mm: behind the second molars.
const LONGEST_MM: f64 = 60.0;

impl TwoWidths {
    /// The form through both.
    ///
    /// # Errors
    /// Where there is none.
    pub fn through(canines: FormWidth, molars: FormWidth) -> Result<TwoWidths, NoForm> {
        let targets = [canines.point_mm(), molars.point_mm()];
        if targets[1][0] <= targets[0][0] || targets[1][1] <= targets[0][1] || targets[0][1] <= 0.0
        {
            return Err(NoForm::NotBehind);
        }
        let chord = targets.map(|[x, y]| x.hypot(y));
        let reach_mm = REACH * chord[0];
        // From the circle through the canine, somewhat square.
        let circle = 2.0 * targets[0][1] / (chord[0] * chord[0]);
        let mut shape = [circle, 0.5 * circle];
        let mut at = [1.03 * chord[0], 1.07 * chord[1]];
        let mut off = f64::INFINITY;
        for _ in 0..60 {
            let [a, b] = [0, 1].map(|i| EndOfShape::at(shape, reach_mm, at[i]).towards(targets[i]));
            off = a.off.max(b.off);
            let pivot = a.across[0] * b.across[1] - a.across[1] * b.across[0];
            if off < 1e-10 || pivot.abs() < 1e-12 {
                break;
            }
            let by = [
                (a.miss * b.across[1] - a.across[1] * b.miss) / pivot,
                (a.across[0] * b.miss - a.miss * b.across[0]) / pivot,
            ];
            // Far from the answer a full step may run away.
            let largest = by[0].abs().max(by[1].abs());
            let part = (0.02 / largest.max(1e-12)).min(1.0);
            for (i, reached) in [&a, &b].into_iter().enumerate() {
                let ahead =
                    reached.ahead - part * (reached.along[0] * by[0] + reached.along[1] * by[1]);
                at[i] = (at[i] + ahead.clamp(-4.0, 4.0)).clamp(0.5 * chord[i], 2.0 * chord[i]);
            }
            shape = [shape[0] + part * by[0], shape[1] + part * by[1]];
        }
        if off.is_nan() || off > 1e-6 {
            return Err(NoForm::None);
        }
        let [front_per_mm, sides_per_mm] = shape;
        let form = TwoWidths { canines, molars, front_per_mm, sides_per_mm, reach_mm };
        match form.tightest() {
            Some(radius_mm) => Err(NoForm::Bend { radius_mm }),
            None => Ok(form),
        }
    }

    fn curvature(&self, s: f64) -> f64 {
        let u = s / self.reach_mm;
        (self.front_per_mm + self.sides_per_mm * u * u) / (1.0 + u.powi(4))
    }

    /// The radius where it is bent beyond what a form may be.
    fn tightest(&self) -> Option<f64> {
        let at = |i: u32| self.curvature(LONGEST_MM * f64::from(i) / 240.0);
        let bends = (0..=240).map(at);
        let (least, most) =
            bends.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), k| (l.min(k), m.max(k)));
        if most > 1.0 / LEAST_RADIUS_MM {
            return Some(1.0 / most);
        }
        // No arch is hollow in front.
        if self.front_per_mm < 0.0 {
            return Some(1.0 / self.front_per_mm);
        }
        (least < -1.0 / LEAST_OUTWARD_RADIUS_MM).then(|| 1.0 / least)
    }
}

/// Integrals over `[0, u]` of `1 / (1 + v^4)` and `v^2 / (1 + v^4)`: with a form's `f`, `g` and `b` its turn.
pub fn turn_parts(u: f64) -> [f64; 2] {
    let (root, square) = (std::f64::consts::SQRT_2 * u.abs(), u * u);
    let wide = root.atan2(1.0 - square);
    let tall = (root / (1.0 + square)).atanh();
    let scale = u.signum() / (2.0 * std::f64::consts::SQRT_2);
    [scale * (wide + tall), scale * (wide - tall)]
}

/// Where a shape leads to after some length, and how that changes with the shape.
struct EndOfShape {
    at: [f64; 2],
    turn: f64,
    /// By `f` and by `g`.
    by_shape: [[f64; 2]; 2],
}

/// A point that is aimed at, seen from there along the line and across it.
struct Aim {
    off: f64,
    ahead: f64,
    miss: f64,
    along: [f64; 2],
    across: [f64; 2],
}

impl EndOfShape {
    fn at([f, g]: [f64; 2], b: f64, s: f64) -> EndOfShape {
        const PANELS: usize = 12;
        // Gauss-Legendre, four points.
        const AT: [f64; 2] = [0.339_981_043_584_856_26, 0.861_136_311_594_052_6];
        const WEIGHT: [f64; 2] = [0.652_145_154_862_546_1, 0.347_854_845_137_453_85];
        let turn = |s: f64| {
            let parts = turn_parts(s / b);
            (b * (f * parts[0] + g * parts[1]), [b * parts[0], b * parts[1]])
        };
        let (mut at, mut by_shape) = ([0.0; 2], [[0.0; 2]; 2]);
        let half = 0.5 * s / PANELS as f64;
        for panel in 0..PANELS {
            let middle = half * (2 * panel + 1) as f64;
            for (node, weight) in AT.iter().zip(WEIGHT) {
                for side in [-1.0, 1.0] {
                    let (theta, by) = turn(middle + side * node * half);
                    let (sin, cos) = theta.sin_cos();
                    let w = weight * half;
                    at[0] += w * cos;
                    at[1] += w * sin;
                    for (sum, by) in by_shape.iter_mut().zip(by) {
                        sum[0] -= w * sin * by;
                        sum[1] += w * cos * by;
                    }
                }
            }
        }
        EndOfShape { at, turn: turn(s).0, by_shape }
    }

    fn towards(&self, [x, y]: [f64; 2]) -> Aim {
        let (sin, cos) = self.turn.sin_cos();
        let along = |v: [f64; 2]| cos * v[0] + sin * v[1];
        let across = |v: [f64; 2]| cos * v[1] - sin * v[0];
        let gap = [x - self.at[0], y - self.at[1]];
        Aim {
            off: gap[0].hypot(gap[1]),
            ahead: along(gap),
            miss: across(gap),
            along: self.by_shape.map(along),
            across: self.by_shape.map(across),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_units::quantity::from_mm;

    fn width(width: f64, depth: f64) -> FormWidth {
        FormWidth { width: from_mm(width), depth: from_mm(depth) }
    }

    /// Widths and depths from tapered to square, lower and upper, and of a wire that is wide at the canines.
    #[test]
    fn ordinary_widths_have_a_form() {
        for (canines, molars) in [
            ((29.0, 5.5), (51.0, 26.5)),
            ((38.0, 8.0), (59.0, 31.0)),
            ((27.0, 5.0), (48.0, 23.0)),
            ((33.0, 5.5), (52.5, 26.5)),
            ((31.0, 5.0), (51.0, 26.0)),
            ((27.0, 6.5), (50.0, 27.5)),
            ((26.0, 7.0), (51.0, 28.0)),
        ] {
            let (a, b) = (width(canines.0, canines.1), width(molars.0, molars.1));
            let form = TwoWidths::through(a, b).unwrap();
            for (target, from) in [(a, 10.0), (b, 30.0)] {
                let [x, y] = target.point_mm();
                let near = (0..4000).map(|i| {
                    let s = from + 0.005 * f64::from(i);
                    let at =
                        EndOfShape::at([form.front_per_mm, form.sides_per_mm], form.reach_mm, s).at;
                    (at[0] - x).hypot(at[1] - y)
                });
                assert!(near.fold(f64::INFINITY, f64::min) < 0.003, "{canines:?} {molars:?}");
            }
        }
    }

    /// `Y = A X^6 + B X^2` through both, which was fitted to arches.
    #[test]
    fn it_is_the_published_curve_within_a_third_of_a_millimetre() {
        for (canines, molars) in [((29.0, 5.5), (51.0, 26.5)), ((38.0, 8.0), (59.0, 31.0))] {
            let form =
                TwoWidths::through(width(canines.0, canines.1), width(molars.0, molars.1)).unwrap();
            let ([x1, y1], [x2, y2]) = (form.canines.point_mm(), form.molars.point_mm());
            let pivot = x1.powi(6) * x2 * x2 - x2.powi(6) * x1 * x1;
            let a = (y1 * x2 * x2 - y2 * x1 * x1) / pivot;
            let b = (x1.powi(6) * y2 - x2.powi(6) * y1) / pivot;
            let published: Vec<[f64; 2]> = (0..=2000)
                .map(|i| x2 * f64::from(i) / 2000.0)
                .map(|x| [x, a * x.powi(6) + b * x * x])
                .collect();
            for i in 0..38 {
                let at = EndOfShape::at(
                    [form.front_per_mm, form.sides_per_mm],
                    form.reach_mm,
                    f64::from(i),
                )
                .at;
                let near = published.iter().map(|p| (p[0] - at[0]).hypot(p[1] - at[1]));
                let near = near.fold(f64::INFINITY, f64::min);
                assert!(near < 0.33, "{canines:?} at {i}: {near}");
            }
        }
    }

    #[test]
    fn impossible_pairs_are_refused() {
        let refused = |a: (f64, f64), b: (f64, f64)| {
            TwoWidths::through(width(a.0, a.1), width(b.0, b.1)).unwrap_err()
        };
        assert_eq!(refused((52.0, 28.0), (30.0, 6.5)), NoForm::NotBehind);
        assert_eq!(refused((30.0, 0.0), (52.0, 28.0)), NoForm::NotBehind);
        assert_eq!(refused((30.0, 6.5), (30.0, 28.0)), NoForm::NotBehind);
        for (a, b) in
            [((10.0, 9.0), (52.0, 12.0)), ((30.0, 1.0), (31.0, 60.0)), ((12.0, 25.0), (60.0, 30.0))]
        {
            let no = refused(a, b);
            assert!(no == NoForm::None || matches!(no, NoForm::Bend { .. }), "{a:?} {b:?} {no:?}");
        }
    }

    #[test]
    fn the_parts_of_a_turn_are_integrals() {
        for u in [-2.2, -0.3, 0.0, 0.4, 0.999_999, 1.0, 1.000_001, 1.7, 3.0] {
            let h = 1e-6;
            let slope = |i: usize| (turn_parts(u + h)[i] - turn_parts(u - h)[i]) / (2.0 * h);
            let whole = 1.0 + f64::powi(u, 4);
            assert!((slope(0) - 1.0 / whole).abs() < 1e-8, "{u}");
            assert!((slope(1) - u * u / whole).abs() < 1e-8, "{u}");
        }
        assert_eq!(turn_parts(0.0), [0.0; 2]);
    }
}
