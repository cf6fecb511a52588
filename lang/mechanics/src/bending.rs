//! Moment and curvature of a cross-section, integrated over fibres.

use super::closed::{area, bending_inertia, torsional_rigidity};
use super::fibre::{FibreLaw, ReadyFour};
use super::quadrature;
use super::simd::Four;
use super::{SectionShape, Stock};
use std::f64::consts::PI;

/// Fibres are worked through this many at a time; sections are padded with empty ones.
const LANES: usize = 4;

/// Response of a section to curvature: energy per length, moments, tangent (11, 12, 22).
///
/// Direction 1 bends the depth (labiolingual), direction 2 the height (occlusogingival).
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Moments {
    pub energy: f64,
    pub moment: [f64; 2],
    pub tangent: [f64; 3],
}

/// One wire of the section. Laws are odd in strain and sections symmetric, so half of the fibres
/// carry twice their area and the neutral axis stays at the centre.
#[derive(Debug, Clone)]
struct Layer {
    law: FibreLaw,
    depth: Vec<Four>,
    height: Vec<Four>,
    area: Vec<Four>,
    /// EI for the two directions.
    rigidity: [f64; 2],
    outline: Outline,
    /// Strain up to which a fresh section is simply elastic.
    elastic_strain: f64,
}

#[derive(Debug, Clone, Copy)]
enum Outline {
    Round(f64),
    /// Half the depth and half the height up to where the edge's rounding begins, and its radius.
    Rectangle(f64, f64, f64),
}

impl Outline {
    /// Largest fibre strain under a curvature.
    fn strain(self, k: [f64; 2]) -> f64 {
        match self {
            Outline::Round(radius) => radius * (k[0] * k[0] + k[1] * k[1]).sqrt(),
            Outline::Rectangle(depth, height, edge) => {
                let across = depth * k[0].abs() + height * k[1].abs();
                if edge > 0.0 { across + edge * (k[0] * k[0] + k[1] * k[1]).sqrt() } else { across }
            }
        }
    }
}

/// Prepared fibre states of a whole wire, stored only for section points with a history.
#[derive(Debug, Clone, Default)]
pub(crate) struct MomentMemo {
    /// Per section point where its fibres begin, in fours.
    from: Vec<Option<u32>>,
    fours: Vec<ReadyFour>,
    /// Fours a section point.
    each: usize,
}

impl MomentMemo {
    /// Fibre states of section point `n`; empty for a point without history.
    #[inline(always)]
    pub fn at(&self, n: usize) -> &[ReadyFour] {
        match self.from.get(n) {
            Some(Some(from)) => &self.fours[*from as usize..*from as usize + self.each],
            _ => &[],
        }
    }
}

/// The section of a wire, or of two in one slot: they share the curvature and add their moments.
#[derive(Debug, Clone)]
pub(crate) struct Bending {
    layers: Vec<Layer>,
    /// GJ, N mm^2; linear for every law.
    pub torsion: f64,
}

impl Bending {
    /// `across` fibres over the height; `None` for a section that has no stiffness.
    pub fn new(stocks: &[Stock], across: usize) -> Option<Bending> {
        let mut layers = Vec::new();
        let mut torsion = 0.0;
        for stock in stocks {
            layers.push(Layer::new(stock, across)?);
            torsion += torsional_rigidity(&stock.section, &stock.law)?;
        }
        Some(Bending { layers, torsion })
    }

    /// State values that one section point carries.
    pub fn fibres(&self) -> usize {
        self.layers.iter().map(|l| LANES * l.area.len()).sum()
    }

    /// EI of the elastic section in the two directions, N mm^2.
    pub fn rigidity(&self) -> [f64; 2] {
        self.layers.iter().fold([0.0; 2], |sum, l| [sum[0] + l.rigidity[0], sum[1] + l.rigidity[1]])
    }

    /// Largest fibre strain under a curvature.
    pub fn strain(&self, k: [f64; 2]) -> f64 {
        self.layers.iter().map(|l| l.outline.strain(k)).fold(0.0, f64::max)
    }

    /// States prepared for [`Bending::answer`].
    pub fn ready(&self, states: &[f64]) -> MomentMemo {
        let (each, fibres) = (self.fibres() / LANES, self.fibres());
        let mut all = MomentMemo { each, ..MomentMemo::default() };
        if states.iter().all(|&s| s == 0.0) {
            return all;
        }
        for point in states.chunks_exact(fibres.max(1)) {
            if point.iter().all(|&s| s == 0.0) {
                all.from.push(None);
                continue;
            }
            all.from.push(u32::try_from(all.fours.len()).ok());
            let mut rest = point;
            for layer in &self.layers {
                let (own, others) = rest.split_at(LANES * layer.area.len());
                rest = others;
                let ready = |s: f64| layer.law.ready(s);
                let four =
                    |s: &[f64]| ReadyFour::of([ready(s[0]), ready(s[1]), ready(s[2]), ready(s[3])]);
                all.fours.extend(own.chunks_exact(LANES).map(four));
            }
        }
        all
    }

    /// The response to a curvature on the current branch; `state` is empty for fresh material.
    #[inline(always)]
    pub fn answer(&self, k: [f64; 2], state: &[ReadyFour]) -> Moments {
        let mut sum = Moments::default();
        let mut from = 0;
        for layer in &self.layers {
            let count = layer.area.len();
            let own = if state.is_empty() { state } else { &state[from..from + count] };
            layer.add(k, own, &mut sum);
            from += count;
        }
        sum
    }

    /// Strain up to which a fresh wire is simply elastic.
    pub fn elastic_strain(&self) -> f64 {
        self.layers.iter().map(|l| l.elastic_strain).fold(f64::INFINITY, f64::min)
    }

    /// True when fresh material is simply elastic under a curvature.
    pub fn elastic(&self, k: [f64; 2]) -> bool {
        self.layers.iter().all(|l| l.outline.strain(k) <= l.elastic_strain)
    }

    /// Writes the states after an increment has ended at this curvature; `after` comes in zeroed.
    pub fn next_state(&self, k: [f64; 2], before: &[f64], after: &mut [f64]) {
        let mut at = 0;
        for layer in &self.layers {
            for i in 0..LANES * layer.area.len() {
                let (four, lane) = (i / LANES, i % LANES);
                let strain = layer.depth[four].0[lane] * k[0] + layer.height[four].0[lane] * k[1];
                let state = before.get(at).copied().unwrap_or(0.0);
                after[at] = layer.law.next_state(strain, state);
                at += 1;
            }
        }
    }
}

impl Layer {
    fn new(stock: &Stock, across: usize) -> Option<Layer> {
        let section = &stock.section;
        let (vertical, horizontal) = bending_inertia(section)?;
        let law = FibreLaw::new(&stock.law);
        let points = match section.shape {
            SectionShape::Round { diameter_mm } => disc(diameter_mm / 2.0, across),
            SectionShape::Rectangular { height_mm, depth_mm, edge_radius_mm } => {
                let mut points = rectangle(depth_mm, height_mm, edge_radius_mm, across);
                let fill = area(section) / points.iter().map(|p| p[2]).sum::<f64>();
                points.iter_mut().for_each(|p| p[2] *= fill);
                points
            }
        };
        let outline = match section.shape {
            SectionShape::Round { diameter_mm } => Outline::Round(diameter_mm / 2.0),
            SectionShape::Rectangular { height_mm, depth_mm, edge_radius_mm: r } => {
                Outline::Rectangle(depth_mm / 2.0 - r, height_mm / 2.0 - r, r)
            }
        };
        // Places are stretched so that the fibres' inertia is the section's to rounding: the elastic
        // short cut and the fibres then agree.
        let inertia =
            |f: fn(&[f64; 3]) -> f64| points.iter().map(|p| f(p).powi(2) * p[2]).sum::<f64>();
        let ratio = section.stiffness_ratio;
        let stretch_depth = (horizontal / ratio / inertia(|p| p[0])).sqrt();
        let stretch_height = (vertical / ratio / inertia(|p| p[1])).sqrt();
        let padded = points.len().div_ceil(LANES) * LANES;
        let column = |f: &dyn Fn(&[f64; 3]) -> f64| {
            let mut v: Vec<f64> = points.iter().map(f).collect();
            v.resize(padded, 0.0);
            v.chunks_exact(LANES).map(|c| Four([c[0], c[1], c[2], c[3]])).collect::<Vec<Four>>()
        };
        Some(Layer {
            law,
            depth: column(&|p| stretch_depth * p[0]),
            height: column(&|p| stretch_height * p[1]),
            area: column(&|p| ratio * p[2]),
            rigidity: [law.modulus() * horizontal, law.modulus() * vertical],
            outline,
            elastic_strain: law.elastic_strain(),
        })
    }

    #[inline(always)]
    fn add(&self, k: [f64; 2], state: &[ReadyFour], sum: &mut Moments) {
        let fresh = state.is_empty();
        if fresh && self.outline.strain(k) <= self.elastic_strain {
            let [a, b] = self.rigidity;
            sum.energy += 0.5 * (a * k[0] * k[0] + b * k[1] * k[1]);
            sum.moment[0] += a * k[0];
            sum.moment[1] += b * k[1];
            sum.tangent[0] += a;
            sum.tangent[2] += b;
            return;
        }
        let mut total = [Four::ZERO; 6];
        for (n, ((&d, &h), &a)) in self.depth.iter().zip(&self.height).zip(&self.area).enumerate() {
            let strain = d * k[0] + h * k[1];
            let answer = if fresh {
                self.law.fresh_four(strain)
            } else {
                self.law.answer_four(strain, &state[n])
            };
            let (force, stiff) = (a * answer.stress, a * answer.tangent);
            let lever = stiff * d;
            total[0] += a * answer.potential;
            total[1] += force * d;
            total[2] += force * h;
            total[3] += lever * d;
            total[4] += lever * h;
            total[5] += stiff * h * h;
        }
        sum.energy += total[0].sum();
        sum.moment[0] += total[1].sum();
        sum.moment[1] += total[2].sum();
        sum.tangent[0] += total[3].sum();
        sum.tangent[1] += total[4].sum();
        sum.tangent[2] += total[5].sum();
    }
}

/// Half of a disc as (depth, height, doubled area): Gauss rings, their directions staggered so that no
/// direction of bending is preferred. 4 rings of 8 are right to 0.4 % (rms over curvature and direction).
fn disc(radius: f64, across: usize) -> Vec<[f64; 3]> {
    let directions = across.max(4);
    let mut points = Vec::new();
    for (ring, (at, weight)) in quadrature::rings(across.div_ceil(2).max(2)).into_iter().enumerate()
    {
        let area = 2.0 * PI * radius * radius * weight;
        let offset = if ring % 2 == 0 { 0.5 } else { 0.0 };
        for direction in 0..directions {
            let angle = PI * (direction as f64 + offset) / directions as f64;
            points.push([
                radius * at * angle.cos(),
                radius * at * angle.sin(),
                area / directions as f64,
            ]);
        }
    }
    points
}

/// Half of a rectangle (one side of its height) as (depth, height, doubled area): Gauss points in each
/// quarter, so that the neutral axis of a plain bend lies between them. A row is as deep as the section
/// is at its height, less where the edges are rounded.
fn rectangle(depth: f64, height: f64, edge: f64, across: usize) -> Vec<[f64; 3]> {
    let line = quadrature::unit(across.div_ceil(2).max(2));
    let mut points = Vec::new();
    for &(row, row_weight) in &line {
        let into_edge = (0.5 * height * row - (0.5 * height - edge)).max(0.0);
        let depth = depth - 2.0 * (edge - (edge * edge - into_edge * into_edge).max(0.0).sqrt());
        for side in [-0.5, 0.5] {
            for &(column, weight) in &line {
                let area = depth * height * row_weight * weight;
                points.push([side * depth * column, 0.5 * height * row, 0.5 * area]);
            }
        }
    }
    points
}

/// Moment of a stock wire bent in one plane along a path of curvatures, N mm.
pub(crate) fn moment_path(
    stock: &Stock,
    labiolingual: bool,
    curvatures: &[f64],
) -> Option<Vec<f64>> {
    let bending = Bending::new(&[*stock], 64)?;
    let mut state = vec![0.0; bending.fibres()];
    let mut next = state.clone();
    let plane = usize::from(!labiolingual);
    Some(
        curvatures
            .iter()
            .map(|&k| {
                let mut both = [0.0; 2];
                both[plane] = k;
                let moment = bending.answer(both, bending.ready(&state).at(0)).moment[plane];
                bending.next_state(both, &state, &mut next);
                std::mem::swap(&mut state, &mut next);
                moment
            })
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::super::{Law, WireSection};
    use super::*;

    /// Against the outline walked point by point.
    #[test]
    fn the_outermost_fibre_lies_on_the_rounded_outline() {
        let (height, depth, r) = (0.4826, 0.635, 0.08);
        let stock =
            Stock { section: WireSection::rectangular(height, depth, r), law: Law::steel() };
        let bending = Bending::new(&[stock], 8).unwrap();
        for k in [[0.1, 0.0], [0.0, 0.1], [0.1, 0.1], [0.02, -0.1]] {
            let walked = (0..=2000)
                .map(|i| f64::from(i) * PI / 4000.0)
                .map(|t| {
                    let (y, z) = (depth / 2.0 - r + r * t.cos(), height / 2.0 - r + r * t.sin());
                    (y * k[0]).abs() + (z * k[1]).abs()
                })
                .fold(0.0, f64::max);
            assert!((bending.strain(k) / walked - 1.0).abs() < 1e-6, "{k:?}");
        }
    }
}
