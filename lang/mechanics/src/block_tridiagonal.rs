//! Block-tridiagonal solver for the linear system of a Newton step.
//!
//! Nodes couple to their neighbours along the wire. The two edges of one slot couple as well, because
//! both move with the same tooth. Nodes are eliminated in order; inside a slot each carries one extra
//! block that couples it to the slot's last edge.

use super::simd::widely;

pub(crate) type FiveByFive = [[f64; 5]; 5];
pub(crate) type Column = [f64; 5];

const NONE: usize = usize::MAX;

/// A system that is factored in place: `A = L D L^T`, block by block.
#[derive(Debug, Clone, Default)]
pub(crate) struct BlockTridiagonal {
    /// Symmetric blocks of which only the upper triangle is read; after the factor the strictly lower
    /// part holds the unit triangle.
    pub diagonal: Vec<FiveByFive>,
    /// Rows of a node, columns of the next; after the factor, `L^-1` times that.
    pub next: Vec<FiveByFive>,
    /// The block to a slot's last edge and that edge's node, `NONE` for most.
    far: Vec<(usize, FiveByFive)>,
    /// Inverse pivots.
    inverse: Vec<Column>,
}

/// `a -= x^T diag(w) y`.
#[inline(always)]
fn take(a: &mut FiveByFive, x: &FiveByFive, w: &Column, y: &FiveByFive) {
    for k in 0..5 {
        for r in 0..5 {
            let f = x[k][r] * w[k];
            for c in 0..5 {
                a[r][c] -= f * y[k][c];
            }
        }
    }
}

/// `b -= x^T v`.
#[inline(always)]
fn take_column(b: &mut Column, x: &FiveByFive, v: &Column) {
    for k in 0..5 {
        for r in 0..5 {
            b[r] -= x[k][r] * v[k];
        }
    }
}

/// `v -= x b`.
#[inline(always)]
fn take_row(v: &mut Column, x: &FiveByFive, b: &Column) {
    for k in 0..5 {
        for c in 0..5 {
            v[k] -= x[k][c] * b[c];
        }
    }
}

/// Eliminates inside a node, carrying its other blocks along. Counts negative pivots; false where one is none
/// or not finite.
#[inline(always)]
fn reduce<const N: usize>(
    a: &mut FiveByFive,
    rest: &mut [&mut FiveByFive; N],
    inverse: &mut Column,
    negative: &mut usize,
) -> bool {
    let mut sound = true;
    for k in 0..5 {
        let pivot = a[k][k];
        *negative += usize::from(pivot < 0.0);
        sound &= pivot != 0.0 && pivot.abs() < f64::INFINITY;
        let over = 1.0 / pivot;
        inverse[k] = over;
        for i in k + 1..5 {
            let f = a[k][i] * over;
            for j in k + 1..5 {
                a[i][j] -= f * a[k][j];
            }
            a[i][k] = f;
            for block in rest.iter_mut() {
                for j in 0..5 {
                    block[i][j] -= f * block[k][j];
                }
            }
        }
    }
    sound
}

impl BlockTridiagonal {
    /// Takes over a system; buffers are used again.
    pub fn load(&mut self, diagonal: &[FiveByFive], next: &[FiveByFive]) {
        self.diagonal.clear();
        self.diagonal.extend_from_slice(diagonal);
        self.next.clear();
        self.next.extend_from_slice(next);
        self.far.resize(diagonal.len(), (NONE, [[0.0; 5]; 5]));
        for far in &mut self.far {
            far.0 = NONE;
        }
        self.inverse.resize(diagonal.len(), [0.0; 5]);
    }

    /// Couples two nodes of a slot, once: rows of the first, columns of the last.
    pub fn tie(&mut self, first: usize, last: usize, block: &FiveByFive) {
        if last == first {
            return;
        }
        if last > first + 1 {
            self.far[first] = (last, *block);
            return;
        }
        for (row, own) in self.next[first].iter_mut().zip(block) {
            for (sum, own) in row.iter_mut().zip(own) {
                *sum += own;
            }
        }
    }

    /// Factors the system with `shift` times `scale` added to the diagonal, and counts its negative
    /// directions; `None` where there are more than `most`.
    pub fn factor(&mut self, shift: f64, scale: &[[f64; 5]], most: usize) -> Option<usize> {
        if shift > 0.0 {
            for (block, s) in self.diagonal.iter_mut().zip(scale) {
                for i in 0..5 {
                    block[i][i] += shift * s[i];
                }
            }
        }
        widely(
            #[inline(always)]
            || self.eliminate(most),
        )
    }

    #[inline(always)]
    fn eliminate(&mut self, most: usize) -> Option<usize> {
        let n = self.diagonal.len();
        let mut negative = 0;
        for i in 0..n {
            let (done, rest) = self.diagonal.split_at_mut(i + 1);
            let a = &mut done[i];
            let w = &mut self.inverse[i];
            let Some(block) = self.next.get_mut(i) else {
                let sound = reduce(a, &mut [], w, &mut negative);
                return (sound && negative <= most).then_some(negative);
            };
            let (far_done, far_rest) = self.far.split_at_mut(i + 1);
            let (to, far) = &mut far_done[i];
            if *to == NONE {
                if !reduce(a, &mut [block], w, &mut negative) || negative > most {
                    return None;
                }
                take(&mut rest[0], block, w, block);
                continue;
            }
            if !reduce(a, &mut [block, far], w, &mut negative) || negative > most {
                return None;
            }
            take(&mut rest[0], block, w, block);
            take(&mut rest[*to - i - 1], far, w, far);
            // What is left couples the next node to that edge.
            if *to == i + 2 {
                let block = *block;
                take(&mut self.next[i + 1], &block, w, far);
            } else {
                far_rest[0] = (*to, [[0.0; 5]; 5]);
                take(&mut far_rest[0].1, block, w, far);
            }
        }
        Some(negative)
    }

    /// Solves in place.
    pub fn solve(&self, b: &mut [Column]) {
        widely(
            #[inline(always)]
            || self.substitute(b),
        );
    }

    #[inline(always)]
    fn substitute(&self, b: &mut [Column]) {
        let n = self.diagonal.len();
        for i in 0..n {
            let l = &self.diagonal[i];
            let mut v = b[i];
            for k in 0..4 {
                for r in k + 1..5 {
                    v[r] -= l[r][k] * v[k];
                }
            }
            b[i] = v;
            if i + 1 < n {
                let mut scaled = v;
                for k in 0..5 {
                    scaled[k] *= self.inverse[i][k];
                }
                take_column(&mut b[i + 1], &self.next[i], &scaled);
                let (to, far) = &self.far[i];
                if *to != NONE {
                    take_column(&mut b[*to], far, &scaled);
                }
            }
        }
        for i in (0..n).rev() {
            let mut v = b[i];
            if i + 1 < n {
                take_row(&mut v, &self.next[i], &b[i + 1]);
                let (to, far) = &self.far[i];
                if *to != NONE {
                    take_row(&mut v, far, &b[*to]);
                }
            }
            let l = &self.diagonal[i];
            for k in 0..5 {
                v[k] *= self.inverse[i][k];
            }
            for k in (1..5).rev() {
                for r in 0..k {
                    v[r] -= l[k][r] * v[k];
                }
            }
            b[i] = v;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{DMatrix, DVector};

    /// Against a dense solve of the same system.
    #[test]
    fn solves_what_a_dense_solver_solves() {
        let n = 14;
        let mut seed = 7_u64;
        let mut random = || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) as f64 / f64::from(1_u32 << 31) - 0.5
        };
        let mut block =
            || -> FiveByFive { std::array::from_fn(|_| std::array::from_fn(|_| random())) };
        let (mut diagonal, mut next) = (Vec::new(), Vec::new());
        for i in 0..n {
            let a = block();
            diagonal.push(std::array::from_fn(|r| {
                std::array::from_fn(|c| {
                    let product: f64 = (0..5).map(|k| a[r][k] * a[c][k]).sum();
                    product + if r == c { 6.0 } else { 0.0 }
                })
            }));
            if i > 0 {
                next.push(block());
            }
        }
        let mut chain = BlockTridiagonal::default();
        chain.load(&diagonal, &next);
        let mut dense = DMatrix::<f64>::zeros(5 * n, 5 * n);
        let mut put = |i: usize, j: usize, b: &FiveByFive| {
            for r in 0..5 {
                for c in 0..5 {
                    dense[(5 * i + r, 5 * j + c)] += b[r][c];
                    if i != j {
                        dense[(5 * j + c, 5 * i + r)] += b[r][c];
                    }
                }
            }
        };
        for i in 0..n {
            put(i, i, &diagonal[i]);
            if i + 1 < n {
                put(i, i + 1, &next[i]);
            }
        }
        for (a, b) in [(0, 3), (4, 5), (6, 6), (7, 9), (9, 13)] {
            let tie = block();
            chain.tie(a, b, &tie);
            if a != b {
                put(a, b, &tie);
            }
        }
        let right = DVector::from_fn(5 * n, |i, _| (i as f64).sin());
        let want = dense.lu().solve(&right).unwrap();
        let mut have: Vec<Column> =
            (0..n).map(|i| std::array::from_fn(|r| right[5 * i + r])).collect();
        assert_eq!(chain.factor(0.0, &[], 0), Some(0));
        chain.solve(&mut have);
        for i in 0..n {
            for r in 0..5 {
                assert!((have[i][r] - want[5 * i + r]).abs() < 1e-10);
            }
        }
    }

    #[test]
    fn an_indefinite_system_is_noticed_and_a_shift_mends_it() {
        let mut unit = [[0.0; 5]; 5];
        for i in 0..5 {
            unit[i][i] = 1.0;
        }
        let mut other = unit;
        other[2][2] = -0.5;
        let mut chain = BlockTridiagonal::default();
        chain.load(&[unit, other], &[[[0.0; 5]; 5]]);
        assert_eq!(chain.factor(0.0, &[], 0), None);
        chain.load(&[unit, other], &[[[0.0; 5]; 5]]);
        assert_eq!(chain.factor(0.0, &[], 1), Some(1));
        chain.load(&[unit, other], &[[[0.0; 5]; 5]]);
        assert_eq!(chain.factor(1.0, &[[1.0; 5]; 2], 0), Some(0));
    }
}
