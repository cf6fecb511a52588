//! Moment against curvature of a section, by fibres.

use super::closed::{bending_inertia, torsional_rigidity};
use super::fibre::{FibreLaw, Ready};
use super::quadrature;
use super::{Shape, Stock};
use std::f64::consts::PI;

/// Fibres are worked through this many at a time; sections are padded with empty ones.
const LANES: usize = 4;

/// Answer of a section to curvature: energy per length, moments, tangent (11, 12, 22).
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
    depth: Vec<f64>,
    height: Vec<f64>,
    area: Vec<f64>,
    /// EI for the two directions.
    rigidity: [f64; 2],
    outline: Outline,
}

#[derive(Debug, Clone, Copy)]
enum Outline {
    Round(f64),
    Rectangle(f64, f64),
}

impl Outline {
    /// Largest fibre strain under a curvature.
    fn strain(self, k: [f64; 2]) -> f64 {
        match self {
            Outline::Round(radius) => radius * k[0].hypot(k[1]),
            Outline::Rectangle(depth, height) => depth * k[0].abs() + height * k[1].abs(),
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
        self.layers.iter().map(|l| l.area.len()).sum()
    }

    /// EI of the elastic section in the two directions, N mm^2.
    pub fn rigidity(&self) -> [f64; 2] {
        self.layers.iter().fold([0.0; 2], |sum, l| [sum[0] + l.rigidity[0], sum[1] + l.rigidity[1]])
    }

    /// Largest fibre strain under a curvature.
    pub fn strain(&self, k: [f64; 2]) -> f64 {
        self.layers.iter().map(|l| l.outline.strain(k)).fold(0.0, f64::max)
    }

    /// States made ready for [`Bending::answer`], section point by section point.
    pub fn ready(&self, states: &[f64]) -> Vec<Ready> {
        let laws: Vec<&FibreLaw> =
            self.layers.iter().flat_map(|l| std::iter::repeat_n(&l.law, l.area.len())).collect();
        let mut all = Vec::with_capacity(states.len());
        for point in states.chunks_exact(laws.len().max(1)) {
            all.extend(point.iter().zip(&laws).map(|(&state, law)| law.ready(state)));
        }
        all
    }

    /// The answer to a curvature on the current branch; `state` is empty for fresh material.
    pub fn answer(&self, k: [f64; 2], state: &[Ready]) -> Moments {
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

    /// Writes the states after an increment has ended at this curvature.
    pub fn next_state(&self, k: [f64; 2], before: &[f64], after: &mut [f64]) {
        let mut at = 0;
        for layer in &self.layers {
            for i in 0..layer.area.len() {
                let strain = layer.depth[i] * k[0] + layer.height[i] * k[1];
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
            Shape::Round { diameter_mm } => disc(diameter_mm / 2.0, across),
            Shape::Rectangular { height_mm, depth_mm, .. } => {
                rectangle(depth_mm, height_mm, across)
            }
        };
        let outline = match section.shape {
            Shape::Round { diameter_mm } => Outline::Round(diameter_mm / 2.0),
            Shape::Rectangular { height_mm, depth_mm, .. } => {
                Outline::Rectangle(depth_mm / 2.0, height_mm / 2.0)
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
            v
        };
        Some(Layer {
            law,
            depth: column(&|p| stretch_depth * p[0]),
            height: column(&|p| stretch_height * p[1]),
            area: column(&|p| ratio * p[2]),
            rigidity: [law.modulus() * horizontal, law.modulus() * vertical],
            outline,
        })
    }

    #[inline]
    fn add(&self, k: [f64; 2], state: &[Ready], sum: &mut Moments) {
        let fresh = state.is_empty() || state.iter().all(|r| r.state == 0.0);
        if fresh && self.outline.strain(k) <= self.law.elastic_strain() {
            let [a, b] = self.rigidity;
            sum.energy += 0.5 * (a * k[0] * k[0] + b * k[1] * k[1]);
            sum.moment[0] += a * k[0];
            sum.moment[1] += b * k[1];
            sum.tangent[0] += a;
            sum.tangent[2] += b;
            return;
        }
        let mut lanes = [[0.0_f64; LANES]; 6];
        let chunks = self.depth.chunks_exact(LANES);
        let heights = self.height.chunks_exact(LANES);
        let areas = self.area.chunks_exact(LANES);
        for (n, ((depth, height), area)) in chunks.zip(heights).zip(areas).enumerate() {
            for lane in 0..LANES {
                let (d, h, a) = (depth[lane], height[lane], area[lane]);
                let strain = d * k[0] + h * k[1];
                let answer = if fresh {
                    self.law.fresh(strain)
                } else {
                    self.law.answer(strain, &state[n * LANES + lane])
                };
                let (force, stiff) = (a * answer.stress, a * answer.tangent);
                lanes[0][lane] += a * answer.potential;
                lanes[1][lane] += force * d;
                lanes[2][lane] += force * h;
                lanes[3][lane] += stiff * d * d;
                lanes[4][lane] += stiff * d * h;
                lanes[5][lane] += stiff * h * h;
            }
        }
        let total = |i: usize| lanes[i].iter().sum::<f64>();
        sum.energy += total(0);
        sum.moment[0] += total(1);
        sum.moment[1] += total(2);
        sum.tangent[0] += total(3);
        sum.tangent[1] += total(4);
        sum.tangent[2] += total(5);
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
/// quarter, so that the neutral axis of a plain bend lies between them.
fn rectangle(depth: f64, height: f64, across: usize) -> Vec<[f64; 3]> {
    let line = quadrature::unit(across.div_ceil(2).max(2));
    let mut points = Vec::new();
    for &(row, row_weight) in &line {
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
                let moment = bending.answer(both, &bending.ready(&state)).moment[plane];
                bending.next_state(both, &state, &mut next);
                std::mem::swap(&mut state, &mut next);
                moment
            })
            .collect(),
    )
}
