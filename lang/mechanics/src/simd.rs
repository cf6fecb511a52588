//! Four numbers processed at once.
//!
//! Plain arrays and loops that the compiler vectorises. Each lane is rounded as a single number would be,
//! so every machine gives the same bits. [`widely`] lets the compiler use wide registers where the
//! machine has them.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[repr(align(32))]
pub(crate) struct Four(pub [f64; 4]);

/// Runs `f`, which must be inlined all the way down, with registers of four numbers where the machine has
/// them; asked once and remembered.
#[inline(always)]
pub(crate) fn widely<R>(f: impl FnOnce() -> R) -> R {
    #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
    if let Some(wide) = fearless_simd::Level::new().as_avx2() {
        return fearless_simd::Simd::vectorize(wide, f);
    }
    f()
}

macro_rules! lanewise {
    ($($trait:ident $name:ident $op:tt),*) => {$(
        impl $trait for Four {
            type Output = Four;
            #[inline(always)]
            fn $name(self, o: Four) -> Four {
                let mut r = [0.0; 4];
                for i in 0..4 {
                    r[i] = self.0[i] $op o.0[i];
                }
                Four(r)
            }
        }
        impl $trait<f64> for Four {
            type Output = Four;
            #[inline(always)]
            fn $name(self, o: f64) -> Four {
                let mut r = [0.0; 4];
                for i in 0..4 {
                    r[i] = self.0[i] $op o;
                }
                Four(r)
            }
        }
    )*};
}
lanewise!(Add add +, Sub sub -, Mul mul *, Div div /);

impl Neg for Four {
    type Output = Four;
    #[inline(always)]
    fn neg(self) -> Four {
        self.map(|x| -x)
    }
}

impl AddAssign for Four {
    #[inline(always)]
    fn add_assign(&mut self, o: Four) {
        *self = *self + o;
    }
}

impl SubAssign for Four {
    #[inline(always)]
    fn sub_assign(&mut self, o: Four) {
        *self = *self - o;
    }
}

/// To the nearest whole number, for what is far under 2^51.
const WHOLE: f64 = 6_755_399_441_055_744.0;
/// Half of pi in three parts, so that a multiple can be taken off without loss.
const HALF_PI: [f64; 3] =
    [1.570_796_325_802_803, 9.920_935_791_635_221e-10, 5.170_182_981_794_105e-19];

impl Four {
    pub const ZERO: Four = Four([0.0; 4]);

    #[inline(always)]
    pub fn all(x: f64) -> Four {
        Four([x; 4])
    }

    #[inline(always)]
    pub fn map(self, f: impl Fn(f64) -> f64) -> Four {
        let mut r = [0.0; 4];
        for i in 0..4 {
            r[i] = f(self.0[i]);
        }
        Four(r)
    }

    #[inline(always)]
    pub fn sqrt(self) -> Four {
        self.map(f64::sqrt)
    }

    #[inline(always)]
    pub fn abs(self) -> Four {
        self.map(f64::abs)
    }

    /// This size with the sign of the other.
    #[inline(always)]
    pub fn signed(self, sign: Four) -> Four {
        let mut r = [0.0; 4];
        for i in 0..4 {
            r[i] = self.0[i].copysign(sign.0[i]);
        }
        Four(r)
    }

    #[inline(always)]
    pub fn most(self, o: Four) -> Four {
        self.where_less(o, o, self)
    }

    #[inline(always)]
    pub fn least(self, o: Four) -> Four {
        self.where_less(o, self, o)
    }

    /// `then` where this is less than `than`, `or` elsewhere.
    #[inline(always)]
    pub fn where_less(self, than: Four, then: Four, or: Four) -> Four {
        let mut r = [0.0; 4];
        for i in 0..4 {
            r[i] = if self.0[i] < than.0[i] { then.0[i] } else { or.0[i] };
        }
        Four(r)
    }

    /// Always added in the same order.
    #[inline(always)]
    pub fn sum(self) -> f64 {
        let [a, b, c, d] = self.0;
        (a + c) + (b + d)
    }

    /// Sine and cosine, to rounding, of angles under a thousand turns; the same on every machine.
    #[inline(always)]
    pub fn sin_cos(self) -> (Four, Four) {
        let quarter = (self * std::f64::consts::FRAC_2_PI + WHOLE) - WHOLE;
        let r = ((self - quarter * HALF_PI[0]) - quarter * HALF_PI[1]) - quarter * HALF_PI[2];
        let x = r * r;
        // Taylor's series on a quarter of pi: the first term left out is under 1e-17.
        let sin = [
            -1.0 / 1_307_674_368_000.0,
            1.0 / 6_227_020_800.0,
            -1.0 / 39_916_800.0,
            1.0 / 362_880.0,
            -1.0 / 5_040.0,
            1.0 / 120.0,
            -1.0 / 6.0,
        ];
        let cos = [
            1.0 / 20_922_789_888_000.0,
            -1.0 / 87_178_291_200.0,
            1.0 / 479_001_600.0,
            -1.0 / 3_628_800.0,
            1.0 / 40_320.0,
            -1.0 / 720.0,
            1.0 / 24.0,
        ];
        let horner = |c: &[f64; 7]| {
            let mut p = Four::all(c[0]);
            for i in 1..7 {
                p = p * x + c[i];
            }
            p
        };
        let s = r + r * x * horner(&sin);
        let c = Four::all(1.0) - (x * 0.5 - x * x * horner(&cos));
        let half = (quarter * 0.5 - 0.25 + WHOLE) - WHOLE;
        // Odd quarters exchange sine and cosine; the signs go round with the quarters.
        let odd = quarter - half * 2.0;
        let even = Four::all(0.5);
        let sine = odd.where_less(even, s, c);
        let cosine = odd.where_less(even, c, -s);
        let fold = (half * 0.5 - 0.25 + WHOLE) - WHOLE;
        let turned = half - fold * 2.0;
        (turned.where_less(even, sine, -sine), turned.where_less(even, cosine, -cosine))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sine_and_cosine_are_right_to_rounding() {
        for i in -4000..4000 {
            let x = 0.003_7 * f64::from(i);
            let (s, c) = Four::all(x).sin_cos();
            assert!((s.0[1] - x.sin()).abs() < 4e-16, "{x} {} {}", s.0[1], x.sin());
            assert!((c.0[2] - x.cos()).abs() < 4e-16, "{x}");
        }
    }
}
