//! The banded system of a Newton step: blocks along the chain of nodes, with one extra coupling
//! between the two edges of each slot (the tooth that gives moves both).
//!
//! The nodes inside a slot are eliminated first; what is left is block-tridiagonal.

use nalgebra::{SMatrix, SVector};

pub(crate) type Block = SMatrix<f64, 5, 5>;
pub(crate) type Column = SVector<f64, 5>;

/// Symmetric system: diagonal blocks, blocks to the next node, and for each slot its edge nodes with
/// the block that couples the first to the last.
#[derive(Debug, Clone, Default)]
pub(crate) struct Chain {
    pub diagonal: Vec<Block>,
    pub next: Vec<Block>,
    pub ties: Vec<(usize, usize, Block)>,
}

/// Lower Cholesky factor; `None` unless positive definite.
#[inline]
fn cholesky(a: &Block) -> Option<Block> {
    let mut l = Block::zeros();
    for j in 0..5 {
        let mut d = a[(j, j)];
        for k in 0..j {
            d -= l[(j, k)] * l[(j, k)];
        }
        if !(d > 0.0 && d.is_finite()) {
            return None;
        }
        let root = d.sqrt();
        l[(j, j)] = root;
        let inverse = 1.0 / root;
        for i in j + 1..5 {
            let mut v = a[(i, j)];
            for k in 0..j {
                v -= l[(i, k)] * l[(j, k)];
            }
            l[(i, j)] = v * inverse;
        }
    }
    Some(l)
}

/// `L^-1 B` in place, column by column.
#[inline]
fn forward<const N: usize>(l: &Block, b: &mut SMatrix<f64, 5, N>) {
    for i in 0..5 {
        let inverse = 1.0 / l[(i, i)];
        for c in 0..N {
            let mut v = b[(i, c)];
            for k in 0..i {
                v -= l[(i, k)] * b[(k, c)];
            }
            b[(i, c)] = v * inverse;
        }
    }
}

/// `L^-T b` in place.
#[inline]
fn backward(l: &Block, b: &mut Column) {
    for i in (0..5).rev() {
        let mut v = b[i];
        for k in i + 1..5 {
            v -= l[(k, i)] * b[k];
        }
        b[i] = v / l[(i, i)];
    }
}

/// A factored chain, ready to solve.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    /// Per node its Cholesky factor.
    lower: Vec<Block>,
    /// Per node `L^-1` times the block to the node eliminated after it.
    next: Vec<Block>,
    /// Per node inside a slot, `L^-1` times the block to the slot's first edge.
    edge: Vec<Option<(usize, Block)>>,
    /// Nodes in the order of elimination with the node that follows each.
    order: Vec<(usize, Option<usize>)>,
}

impl Chain {
    /// Factors the system with `shift` times `scale` added to the diagonal; `None` unless positive
    /// definite.
    pub fn factor(&self, shift: f64, scale: &[[f64; 5]]) -> Option<Factor> {
        let n = self.diagonal.len();
        let mut diagonal = self.diagonal.clone();
        if shift > 0.0 {
            for (block, s) in diagonal.iter_mut().zip(scale) {
                for i in 0..5 {
                    block[(i, i)] += shift * s[i];
                }
            }
        }
        let mut next = self.next.clone();
        let mut lower = vec![Block::zeros(); n];
        let mut edge = vec![None; n];
        let mut order = Vec::with_capacity(n);
        let mut inside = vec![false; n];
        let mut main_next: Vec<Option<usize>> = (1..=n).map(|i| (i < n).then_some(i)).collect();

        for &(first, last, tie) in &self.ties {
            if last == first {
                continue;
            }
            if last == first + 1 {
                next[first] += tie;
                continue;
            }
            // Block (first, j): starts as the element's, fills in as the nodes between go out.
            let mut reach = next[first];
            for j in first + 1..last {
                inside[j] = true;
                let l = cholesky(&diagonal[j])?;
                let mut to_first = reach.transpose();
                forward(&l, &mut to_first);
                let mut to_next = next[j];
                forward(&l, &mut to_next);
                diagonal[first] -= to_first.tr_mul(&to_first);
                diagonal[j + 1] -= to_next.tr_mul(&to_next);
                reach = -to_first.tr_mul(&to_next);
                lower[j] = l;
                next[j] = to_next;
                edge[j] = Some((first, to_first));
                order.push((j, Some(j + 1)));
            }
            next[first] = reach + tie;
            main_next[first] = Some(last);
        }
        let mut at = Some(0);
        while let Some(i) = at {
            let l = cholesky(&diagonal[i])?;
            let after = main_next[i];
            if let Some(j) = after {
                let mut block = next[i];
                forward(&l, &mut block);
                diagonal[j] -= block.tr_mul(&block);
                next[i] = block;
            }
            lower[i] = l;
            order.push((i, after));
            at = after;
        }
        debug_assert_eq!(order.len(), n);
        Some(Factor { lower, next, edge, order })
    }
}

impl Factor {
    /// Solves in place.
    pub fn solve(&self, b: &mut [Column]) {
        for &(i, after) in &self.order {
            let mut v = b[i];
            forward(&self.lower[i], &mut v);
            b[i] = v;
            if let Some((first, block)) = &self.edge[i] {
                let change = block.tr_mul(&v);
                b[*first] -= change;
            }
            if let Some(j) = after {
                let change = self.next[i].tr_mul(&v);
                b[j] -= change;
            }
        }
        for &(i, after) in self.order.iter().rev() {
            let mut v = b[i];
            if let Some(j) = after {
                v -= self.next[i] * b[j];
            }
            if let Some((first, block)) = &self.edge[i] {
                v -= block * b[*first];
            }
            backward(&self.lower[i], &mut v);
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
        let n = 11;
        let mut seed = 7_u64;
        let mut random = || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) as f64 / f64::from(1_u32 << 31) - 0.5
        };
        let mut chain = Chain::default();
        for _ in 0..n {
            let a = Block::from_fn(|_, _| random());
            chain.diagonal.push(a * a.transpose() + Block::identity() * 6.0);
        }
        for _ in 1..n {
            chain.next.push(Block::from_fn(|_, _| random()));
        }
        for (a, b) in [(0, 3), (4, 5), (6, 6), (8, 10)] {
            chain.ties.push((
                a,
                b,
                if a == b { Block::zeros() } else { Block::from_fn(|_, _| random()) },
            ));
        }
        let mut dense = DMatrix::<f64>::zeros(5 * n, 5 * n);
        let mut put = |i: usize, j: usize, b: &Block| {
            for r in 0..5 {
                for c in 0..5 {
                    dense[(5 * i + r, 5 * j + c)] += b[(r, c)];
                    if i != j {
                        dense[(5 * j + c, 5 * i + r)] += b[(r, c)];
                    }
                }
            }
        };
        for i in 0..n {
            put(i, i, &chain.diagonal[i]);
            if i + 1 < n {
                put(i, i + 1, &chain.next[i]);
            }
        }
        for (a, b, tie) in &chain.ties {
            if a != b {
                put(*a, *b, tie);
            }
        }
        let right = DVector::from_fn(5 * n, |i, _| (i as f64).sin());
        let want = dense.lu().solve(&right).unwrap();
        let mut have: Vec<Column> =
            (0..n).map(|i| Column::from_fn(|r, _| right[5 * i + r])).collect();
        chain.factor(0.0, &[]).unwrap().solve(&mut have);
        for i in 0..n {
            for r in 0..5 {
                assert!((have[i][r] - want[5 * i + r]).abs() < 1e-10);
            }
        }
    }

    #[test]
    fn an_indefinite_system_is_noticed_and_a_shift_mends_it() {
        let mut chain = Chain {
            diagonal: vec![Block::identity(); 2],
            next: vec![Block::zeros()],
            ties: vec![],
        };
        chain.diagonal[1][(2, 2)] = -0.5;
        assert!(chain.factor(0.0, &[]).is_none());
        assert!(chain.factor(1.0, &[[1.0; 5]; 2]).is_some());
    }
}
