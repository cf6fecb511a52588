//! An arch line of two numbers: its curvature over arc length is `(f + g u^2) / (1 + u^4)`, `u = s / b`. Flat or tight
//! in front, square or tapered at the canines, straight behind; all derivatives are continuous.
//!
//! The turn of its tangent is a closed form; the place is an integral over that, by Gauss-Legendre.

use super::simd::Four;

/// Half the abscissae and weights of the rule of sixteen points on -1 to 1.
const AT: [f64; 8] = [
    0.095_012_509_837_637_44,
    0.281_603_550_779_258_9,
    0.458_016_777_657_227_4,
    0.617_876_244_402_643_8,
    0.755_404_408_355_003,
    0.865_631_202_387_831_7,
    0.944_575_023_073_232_6,
    0.989_400_934_991_649_9,
];
const WEIGHT: [f64; 8] = [
    0.189_450_610_455_068_5,
    0.182_603_415_044_923_6,
    0.169_156_519_395_002_5,
    0.149_595_988_816_576_73,
    0.124_628_971_255_533_87,
    0.095_158_511_682_492_78,
    0.062_253_523_938_647_89,
    0.027_152_459_411_754_095,
];
/// Longest stretch under one rule, as a share of `b`.
const PANEL: f64 = 1.2;

/// The parameters of such a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuarticLine {
    /// `f`: curvature at the midline, 1/mm.
    pub front_per_mm: f64,
    /// `g`, 1/mm.
    pub sides_per_mm: f64,
    /// `b`, mm, above zero.
    pub reach_mm: f64,
}

/// A place on such a line, and how it moves as the line's two curvatures change while its reach stays.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct QuarticPlace {
    /// Along the line from its middle, mm.
    pub station_mm: f64,
    /// In the plane of the arch from the middle of the line, mm.
    pub at_mm: [f64; 2],
    /// Turn of the tangent since the midline.
    pub turn_rad: f64,
    /// Of the place by [`QuarticLine::front_per_mm`] and [`QuarticLine::sides_per_mm`], mm per 1/mm.
    pub at_by: [[f64; 2]; 2],
    /// Of the turn by the same, rad per 1/mm.
    pub turn_by: [f64; 2],
}

/// A Gauss-Legendre rule: half its abscissae on -1 to 1, and their weights.
struct GaussRule {
    at: &'static [f64],
    weight: &'static [f64],
}

/// Eight points, for stretches of at most [`STEP`] of `b`.
const EIGHT: GaussRule = GaussRule {
    at: &[
        0.183_434_642_495_649_8,
        0.525_532_409_916_329,
        0.796_666_477_413_626_7,
        0.960_289_856_497_536_3,
    ],
    weight: &[
        0.362_683_783_378_362,
        0.313_706_645_877_887_3,
        0.222_381_034_453_374_5,
        0.101_228_536_290_376_3,
    ],
};
const STEP: f64 = 0.6;
/// Three points, for stretches of at most [`SHORT`] of `b`.
const THREE: GaussRule = GaussRule {
    at: &[0.0, 0.774_596_669_241_483],
    weight: &[0.888_888_888_888_889, 0.555_555_555_555_555_6],
};
const SHORT: f64 = 0.02;

impl QuarticLine {
    /// Turn of the tangent between the midline and a station, rad.
    pub(crate) fn turn_rad(&self, s: f64) -> f64 {
        let [by_front, by_sides] = self.turn_by(s);
        self.front_per_mm * by_front + self.sides_per_mm * by_sides
    }

    /// How that turn changes with `f` and `g`, on which it depends linearly.
    fn turn_by(&self, s: f64) -> [f64; 2] {
        let u = s / self.reach_mm;
        let (root, square) = (std::f64::consts::SQRT_2 * u.abs(), u * u);
        let wide = root.atan2(1.0 - square);
        let tall = (root / (1.0 + square)).atanh();
        let scale = self.reach_mm * u.signum() / (2.0 * std::f64::consts::SQRT_2);
        [scale * (wide + tall), scale * (wide - tall)]
    }

    /// The place at a station, from one that is known: the midline is `QuarticPlace::default()`.
    pub fn place_from(&self, known: &QuarticPlace, station_mm: f64) -> QuarticPlace {
        let way = station_mm - known.station_mm;
        let rule = if way.abs() <= SHORT * self.reach_mm { THREE } else { EIGHT };
        let panels = (way.abs() / (STEP * self.reach_mm)).ceil().clamp(1.0, 64.0);
        let half = 0.5 * way / panels;
        let mut out = QuarticPlace { station_mm, ..*known };
        for panel in 0..panels as usize {
            let middle = known.station_mm + half * (2 * panel + 1) as f64;
            for (at, weight) in rule.at.iter().zip(rule.weight) {
                for side in if *at == 0.0 { &[1.0][..] } else { &[-1.0, 1.0] } {
                    self.add(middle + side * at * half, weight * half, &mut out);
                }
            }
        }
        out.turn_by = self.turn_by(station_mm);
        out.turn_rad = self.front_per_mm * out.turn_by[0] + self.sides_per_mm * out.turn_by[1];
        out
    }

    /// Adds a short stretch about a station.
    fn add(&self, s: f64, length: f64, out: &mut QuarticPlace) {
        let by = self.turn_by(s);
        let (sin, cos) = (self.front_per_mm * by[0] + self.sides_per_mm * by[1]).sin_cos();
        out.at_mm[0] += length * cos;
        out.at_mm[1] += length * sin;
        for (at_by, turn_by) in out.at_by.iter_mut().zip(by) {
            at_by[0] -= length * sin * turn_by;
            at_by[1] += length * cos * turn_by;
        }
    }

    /// Curvature and its derivative along the line.
    pub(crate) fn curvature(&self, s: f64) -> (f64, f64) {
        let (k, dk) = self.curvatures(Four::all(s));
        (k.0[0], dk.0[0])
    }

    /// The same at four stations.
    #[inline(always)]
    pub(crate) fn curvatures(&self, s: Four) -> (Four, Four) {
        let one = Four::all(1.0);
        let u = s * (1.0 / self.reach_mm);
        let square = u * u;
        let over = one / (square * square + 1.0);
        let k = (square * self.sides_per_mm + self.front_per_mm) * over;
        let dk = (Four::all(self.sides_per_mm) - k * square * 2.0) * u * over;
        (k, dk * (2.0 / self.reach_mm))
    }

    /// From one station to another in the plane of the arch, mm.
    pub(crate) fn way(&self, from: f64, to: f64) -> [f64; 2] {
        let panels = ((to - from).abs() / (PANEL * self.reach_mm)).ceil().clamp(1.0, 64.0);
        let half = 0.5 * (to - from) / panels;
        let mut way = [0.0; 2];
        for panel in 0..panels as usize {
            let middle = from + half * (2 * panel + 1) as f64;
            for (at, weight) in AT.iter().zip(WEIGHT) {
                for side in [-1.0, 1.0] {
                    let (sin, cos) = self.turn_rad(middle + side * at * half).sin_cos();
                    way[0] += weight * half * cos;
                    way[1] += weight * half * sin;
                }
            }
        }
        way
    }
}
