//! A plane through heights over the plan of an arch.

/// Beyond it a height counts less, mm: few teeth stand high, a curve of Spee lifts many a little.
const BEND_MM: f64 = 0.5;

/// `[a, b, c]` of `a + b x + c y` through heights by Huber's loss; zero where they do not span a plane.
///
/// A redescending loss has two answers on a curve of Spee.
pub(crate) fn plane(points: &[([f64; 2], f64)]) -> [f64; 3] {
    let mut out = [0.0; 3];
    for _ in 0..40 {
        let mut matrix = [[0.0; 3]; 3];
        let mut right = [0.0; 3];
        for (at, z) in points {
            let row = [1.0, at[0], at[1]];
            let off = (z - height(&out, *at)).abs();
            let weight = if off <= BEND_MM { 1.0 } else { BEND_MM / off };
            for i in 0..3 {
                right[i] += weight * row[i] * z;
                (0..3).for_each(|j| matrix[i][j] += weight * row[i] * row[j]);
            }
        }
        let Some(next) = solved(matrix, right) else { return out };
        let moved = (0..3).map(|i| (next[i] - out[i]).abs()).fold(0.0, f64::max);
        out = next;
        if moved < 1e-9 {
            break;
        }
    }
    out
}

pub(crate) fn height(plane: &[f64; 3], at: [f64; 2]) -> f64 {
    plane[0] + plane[1] * at[0] + plane[2] * at[1]
}

fn solved(m: [[f64; 3]; 3], r: [f64; 3]) -> Option<[f64; 3]> {
    let of = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
            - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = of(m);
    if whole.abs() < 1e-6 {
        return None;
    }
    Some(std::array::from_fn(|column| {
        let mut with = m;
        (0..3).for_each(|row| with[row][column] = r[row]);
        of(with) / whole
    }))
}
