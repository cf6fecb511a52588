//! Uncertainty bands: how tolerances of wire, slot, alloy lot and entry propagate to every force.
//!
//! The tolerances are sampled by Latin hypercube: each is divided into as many equal shares as there are
//! samples, each share is drawn once, and the shares are paired at random by a seeded generator. Each
//! variant costs one relaxation, started from the nominal shape. The band is the 10th to 90th percentile
//! of the variants and always contains the nominal figure. With 16 samples the ends of a band are
//! themselves uncertain by about a quarter of its width: enough for two digits on a card.
//!
//! A variant may be refused because its wire cannot be inserted; it then has no figures. The number of
//! refused variants is part of the result, and when too many are refused no band is given.

use super::march::march_from;
use super::slot_edges::wire_size;
use super::{
    Components, Flag, Law, Linear, March, Marched, Refusal, SectionShape, Setup, Start, WireSection,
};

/// The tolerances that are propagated, besides the range of every slot's height
/// ([`Slot::height_range`](super::Slot)).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Half-width of a uniform spread of the wire's sizes, share. Published: up to 6 % between makers
    /// (Lombardo L et al. Angle Orthod 2015;85(5):848-858); within a lot about 2 % (common practice, no source).
    pub wire_size: f64,
    /// Standard deviation of a superelastic alloy's plateau stresses between lots, share. Published:
    /// changes of up to half between lots of one maker (Mater Res 2015;18(6)), so 0.15.
    pub plateau_sd: f64,
    /// Standard deviation of a linear alloy's modulus, share (common practice, no source).
    pub modulus_sd: f64,
    /// Half-width of the error of an entered place, mm: half a step of the entry grid.
    pub stand_mm: f64,
    /// Half-width of the error of an entered turn, rad.
    pub stand_rad: f64,
    /// Variants to compute, 4 to 256.
    pub samples: usize,
    /// Seed of the draws: same seed, same band.
    pub seed: u64,
}

impl Default for Spread {
    fn default() -> Self {
        Spread {
            wire_size: 0.02,
            plateau_sd: 0.15,
            modulus_sd: 0.05,
            stand_mm: 0.25,
            stand_rad: 2.5_f64.to_radians(),
            samples: 16,
            seed: 1,
        }
    }
}

/// A low and a high figure, about the 10th and 90th percentile.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Band {
    /// The 10th percentile, in the unit of the figure.
    pub low: f64,
    /// The 90th percentile, in the unit of the figure.
    pub high: f64,
}

/// Bands of one tooth. Components and couples are those at insertion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothBand {
    /// The tooth's [`Slot::id`](super::Slot).
    pub id: u16,
    /// Labiolingual force, N, lingual positive.
    pub lingual_n: Band,
    /// Occlusogingival force, N, gingival positive.
    pub gingival_n: Band,
    /// Force along the arch, N, towards the patient's left positive.
    pub along_n: Band,
    /// Resultant at insertion.
    pub peak_n: Band,
    /// Resultant after the worst tooth has moved 0.2 mm.
    pub delivered_n: Band,
    /// Resultant after the worst tooth has moved 0.5 mm.
    pub sustained_n: Band,
    /// Couple that rotates about the long axis, N mm; sign as in [`ToothForces`](super::ToothForces).
    pub rotation_nmm: Band,
    /// Couple that tips mesiodistally, N mm; sign as in [`ToothForces`](super::ToothForces).
    pub tip_nmm: Band,
    /// Couple that torques, N mm; sign as in [`ToothForces`](super::ToothForces).
    pub torque_nmm: Band,
}

/// Bands of every tooth and of the worst of the arch.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchBands {
    /// The relaxation with nominal values.
    pub nominal: Marched,
    /// In order of station; empty where too few variants could be solved.
    pub teeth: Vec<ToothBand>,
    /// Of the arch's largest peak, delivered and sustained force, whichever tooth has it; `None` where too
    /// few variants gave an answer.
    pub worst: Option<WorstBand>,
    /// Variants that could be solved.
    pub samples: usize,
    /// Variants that were refused: the nominal set-up is then close to the limit of what can be engaged.
    pub refused: usize,
}

/// Bands of the largest force of an arch, N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstBand {
    /// As the wire goes in.
    pub peak_n: Band,
    /// After the worst tooth has moved 0.2 mm.
    pub delivered_n: Band,
    /// After the worst tooth has moved 0.5 mm.
    pub sustained_n: Band,
}

impl ArchBands {
    /// Variants computed.
    pub fn variants(&self) -> usize {
        self.samples + self.refused
    }
}

/// Propagates the tolerances of wire, slot, lot and entry to every force.
///
/// # Errors
/// As [`march`](super::march) of the set-up itself, and for an impossible spread.
pub fn banded(setup: &Setup, how: &March, spread: &Spread) -> Result<ArchBands, Refusal> {
    check(spread)?;
    let nominal = march_from(setup, how, Start::Cold)?;
    let mut draws = Draws::new(spread, setup.slots.len());
    let mut marched = Vec::new();
    for sample in 0..spread.samples {
        let variant = vary(setup, spread, &mut draws, sample);
        marched.extend(march_from(&variant, how, Start::Warm(&nominal.inserted)));
    }
    let refused = spread.samples - marched.len();
    let known = marched.len() >= LEAST_KNOWN * spread.samples / 4;
    let of = |get: &dyn Fn(&Marched) -> f64| {
        let all: Vec<f64> = marched.iter().map(get).collect();
        percentiles(all, get(&nominal))
    };
    let worst = known.then(|| WorstBand {
        peak_n: of(&|m| m.peak().1),
        delivered_n: of(&|m| m.delivered().1),
        sustained_n: of(&|m| m.sustained().1),
    });
    let teeth = match known {
        true => (0..nominal.teeth.len()).map(|i| tooth_band(&nominal, i, &of)).collect(),
        false => Vec::new(),
    };
    Ok(ArchBands { teeth, worst, samples: marched.len(), refused, nominal })
}

/// A band wants three variants in four: the refused ones lie beyond one end of it, and with more of them
/// that end is a guess.
const LEAST_KNOWN: usize = 3;

fn tooth_band(
    nominal: &Marched,
    i: usize,
    of: &dyn Fn(&dyn Fn(&Marched) -> f64) -> Band,
) -> ToothBand {
    let at = |f: fn(&Components) -> f64| of(&|m: &Marched| f(&m.teeth[i].inserted));
    ToothBand {
        id: nominal.teeth[i].id,
        lingual_n: at(|t| t.lingual_n),
        gingival_n: at(|t| t.gingival_n),
        along_n: at(|t| t.along_n),
        peak_n: of(&|m| m.teeth[i].peak_n()),
        delivered_n: of(&|m| m.teeth[i].delivered_n()),
        sustained_n: of(&|m| m.teeth[i].sustained_n()),
        rotation_nmm: at(|t| t.rotation_nmm),
        tip_nmm: at(|t| t.tip_nmm),
        torque_nmm: at(|t| t.torque_nmm),
    }
}

fn check(spread: &Spread) -> Result<(), Refusal> {
    for (what, value, most) in [
        ("the spread of the wire's size", spread.wire_size, 0.2),
        ("the scatter of plateaus", spread.plateau_sd, 0.5),
        ("the scatter of the modulus", spread.modulus_sd, 0.5),
        ("the error of an entered place", spread.stand_mm, 5.0),
        ("the error of an entered turn", spread.stand_rad, 1.0),
    ] {
        if !(0.0..=most).contains(&value) {
            return Err(Refusal::Input { id: None, what, value });
        }
    }
    if !(4..=256).contains(&spread.samples) {
        let value = spread.samples as f64;
        return Err(Refusal::Input { id: None, what: "the number of samples", value });
    }
    Ok(())
}

fn percentiles(mut all: Vec<f64>, nominal: f64) -> Band {
    all.sort_by(f64::total_cmp);
    let (Some(least), Some(most)) = (all.first(), all.last()) else {
        return Band { low: nominal, high: nominal };
    };
    let at = |share: f64| {
        let place = share * (all.len() - 1) as f64;
        let below = place.floor() as usize;
        let a = all.get(below).unwrap_or(least);
        let b = all.get(below + 1).unwrap_or(most);
        a + (b - a) * (place - below as f64)
    };
    Band { low: at(0.1).min(nominal), high: at(0.9).max(nominal) }
}

/// A set-up with one share of every tolerance.
fn vary(setup: &Setup, spread: &Spread, draws: &mut Draws, sample: usize) -> Setup {
    let mut varied = setup.clone();
    let mut next = draws.of(sample);
    let size = 1.0 + spread.wire_size * (2.0 * next() - 1.0);
    let lot = normal_deviate(next());
    // One lot of brackets: all its slots lie at the same place of their ranges.
    let slots = next();
    for stock in std::iter::once(&mut varied.wire.stock).chain(&mut varied.wire.tandem) {
        stock.section = sized(stock.section, size);
        stock.law = of_lot(stock.law, lot, spread);
    }
    let (height_mm, depth_mm) = wire_size(&varied.wire);
    for slot in &mut varied.slots {
        let [least, most] = slot.height_range;
        // A wire that goes in by its nominal size goes in by its true one. Nothing is published about
        // depths.
        slot.height_mm = (slot.height_mm * (least + slots * (most - least))).max(height_mm);
        slot.depth_mm = slot.depth_mm.max(depth_mm);
        let (stand, own, most) = (&mut slot.stand, slot.stand_error, slot.stand_error_most);
        for (place, error, of_all, most) in [
            (&mut stand.lingual_mm, own.lingual_mm, spread.stand_mm, most.lingual_mm),
            (&mut stand.gingival_mm, own.gingival_mm, spread.stand_mm, most.gingival_mm),
            (&mut stand.rotated_rad, own.rotated_rad, spread.stand_rad, most.rotated_rad),
            (&mut stand.tipped_rad, own.tipped_rad, spread.stand_rad, most.tipped_rad),
            (&mut stand.torque_rad, own.torque_rad, spread.stand_rad, most.torque_rad),
        ] {
            let error = error.max(of_all).min(most);
            *place += error * (2.0 * next() - 1.0);
        }
    }
    varied
}

fn sized(section: WireSection, by: f64) -> WireSection {
    let shape = match section.shape {
        SectionShape::Round { diameter_mm } => {
            SectionShape::Round { diameter_mm: by * diameter_mm }
        }
        SectionShape::Rectangular { height_mm, depth_mm, edge_radius_mm } => {
            SectionShape::Rectangular {
                height_mm: by * height_mm,
                depth_mm: by * depth_mm,
                edge_radius_mm: by * edge_radius_mm,
            }
        }
    };
    WireSection { shape, ..section }
}

fn of_lot(law: Law, lot: f64, spread: &Spread) -> Law {
    match law {
        Law::Linear(l) => {
            let by = (1.0 + spread.modulus_sd * lot).max(0.3);
            Law::Linear(Linear {
                modulus_mpa: by * l.modulus_mpa,
                shear_modulus_mpa: by * l.shear_modulus_mpa,
                ..l
            })
        }
        Law::Flag(f) => {
            let by = (1.0 + spread.plateau_sd * lot).max(0.3);
            Law::Flag(Flag {
                loading_start_mpa: by * f.loading_start_mpa,
                loading_end_mpa: by * f.loading_end_mpa,
                unloading_start_mpa: by * f.unloading_start_mpa,
                unloading_end_mpa: by * f.unloading_end_mpa,
                ..f
            })
        }
    }
}

/// Standard normal deviate at a probability inside (0, 1): a rational fit good to 5e-4 (Abramowitz M, Stegun IA. Handbook
/// of Mathematical Functions, 1964, 26.2.23), which is finer than any scatter is known.
pub fn normal_deviate(p: f64) -> f64 {
    let tail = p.min(1.0 - p).max(1e-9);
    let t = (-2.0 * tail.ln()).sqrt();
    let z = t
        - (2.515_517 + t * (0.802_853 + t * 0.010_328))
            / (1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308)));
    if p < 0.5 { -z } else { z }
}

/// The shares of every tolerance, one column a tolerance.
struct Draws {
    columns: Vec<Vec<f64>>,
}

impl Draws {
    fn new(spread: &Spread, slots: usize) -> Draws {
        let mut seed = spread.seed ^ 0x9e37_79b9_7f4a_7c15;
        let mut random = move || {
            // SplitMix64: small, and the same on every machine.
            seed = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = seed;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
        };
        let n = spread.samples;
        let columns = (0..3 + 5 * slots)
            .map(|_| {
                let mut shares: Vec<usize> = (0..n).collect();
                for i in (1..n).rev() {
                    shares.swap(i, (random() * (i + 1) as f64) as usize);
                }
                shares.into_iter().map(|s| (s as f64 + random()) / n as f64).collect()
            })
            .collect();
        Draws { columns }
    }

    fn of(&self, sample: usize) -> impl FnMut() -> f64 {
        let mut columns = self.columns.iter();
        move || columns.next().map_or(0.5, |c| c[sample])
    }
}
