//! Gauss points over cross-sections, so that few fibres represent a section.

/// Legendre's P_n and its derivative.
fn legendre(n: usize, x: f64) -> (f64, f64) {
    let (mut before, mut now) = (1.0, x);
    if n == 0 {
        return (1.0, 0.0);
    }
    for k in 1..n {
        let k = k as f64;
        let next = ((2.0 * k + 1.0) * x * now - k * before) / (k + 1.0);
        (before, now) = (now, next);
    }
    (now, n as f64 * (before - x * now) / (1.0 - x * x))
}

/// Roots inside (-1, 1) that change the sign of `f`, which gives value and slope: bracketed between
/// `cuts` points, then Newton's.
fn roots(f: impl Fn(f64) -> (f64, f64), cuts: usize) -> Vec<f64> {
    let at = |i: usize| -(std::f64::consts::PI * (i as f64 + 0.5) / cuts as f64).cos();
    let mut found = Vec::new();
    let mut low = f(at(0)).0;
    for i in 0..cuts - 1 {
        let high = f(at(i + 1)).0;
        if (low < 0.0) != (high < 0.0) {
            let (a, b) = (at(i), at(i + 1));
            let mut x = a + (b - a) * low / (low - high);
            for _ in 0..6 {
                let (value, slope) = f(x);
                x = (x - value / slope).clamp(a, b);
            }
            found.push(x);
        }
        low = high;
    }
    found
}

/// Points and weights of `integral of f(t) dt` on (0, 1).
pub(crate) fn unit(n: usize) -> Vec<(f64, f64)> {
    roots(|x| legendre(n, x), 10 * n)
        .into_iter()
        .map(|x| {
            let slope = legendre(n, x).1;
            (0.5 * (1.0 + x), 1.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// Points and weights of `integral of f(r) r dr` on (0, 1): the rings of a disc.
pub(crate) fn rings(n: usize) -> Vec<(f64, f64)> {
    // (1 + x) times Jacobi's polynomial of weight 1 + x is P_n + P_(n+1).
    let jacobi = |x: f64| {
        let ((a, da), (b, db)) = (legendre(n, x), legendre(n + 1, x));
        let value = (a + b) / (1.0 + x);
        (value, (da + db - value) / (1.0 + x))
    };
    roots(jacobi, 10 * n)
        .into_iter()
        .map(|x| {
            let slope = jacobi(x).1;
            (0.5 * (1.0 + x), 1.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_up_to_twice_the_points_are_exact() {
        for n in [2, 4, 8, 16] {
            let (line, disc) = (unit(n), rings(n));
            assert_eq!((line.len(), disc.len()), (n, n));
            for power in 0..2 * n as i32 {
                let sum: f64 = line.iter().map(|(t, w)| w * t.powi(power)).sum();
                assert!((sum - 1.0 / f64::from(power + 1)).abs() < 1e-12);
                let sum: f64 = disc.iter().map(|(r, w)| w * r.powi(power)).sum();
                assert!((sum - 1.0 / f64::from(power + 2)).abs() < 1e-12);
            }
        }
    }
}
