//! Insertion of a wire: the forces at once, after 0.2 mm and after 0.5 mm of movement, with their bands.
//! Findings, tables, hovers, drawings and fixes all take their figures from here.

use crate::run::figures::{Insertion, LoadedTie, NoFigures, ToothLoad};
use crate::run::lightest_wire::LightestWire;
use crate::setup::arch_setup::ArchSetup;
use crate::setup::arch_setup::base_under;
use springline_mechanics as mechanics;
use springline_mechanics::{
    March, Marched, Refusal, Setup, Solution, Spread, Start, ToothBand, ToothTie, Unloading,
    march_from,
};
use springline_units::tooth::Tooth;

/// Figures of a wire at insertion, and the solutions to continue from.
pub(crate) struct Inserted {
    pub insertion: Insertion,
    pub base: Option<Solution>,
    pub overlay: Option<Solution>,
    /// The first relaxation step of the base wire.
    pub given: Option<Unloading>,
    pub solves: usize,
}

/// The figures of a wire going in, overlay and loads counted: what a step's [`Insertion`] would be with
/// this set-up.
pub fn put_in(setup: &ArchSetup) -> Insertion {
    insert(setup).insertion
}

pub(crate) fn insert(setup: &ArchSetup) -> Inserted {
    if !setup.held.is_empty() {
        let mut out = insert(&setup.bounded(setup));
        out.solves += setup.held.len();
        return out;
    }
    let mut solves = 0;
    let (mut teeth, mut lightest) = (Vec::new(), Vec::new());
    let mut over: Option<Marched> = None;
    let mut refused = None;
    match setup.overlay.as_ref().map(put) {
        Some(Ok(marched)) => {
            solves += marched.solves;
            let alone = |id| !setup.base.slots.iter().any(|s| s.id == id);
            let wire = setup.overlay.as_ref();
            lightest.extend(wire.and_then(|o| LightestWire::instead_of(o, &marched, alone)));
            let loads = loads_of(&marched, None);
            teeth.extend(loads.into_iter().filter(|t| !setup.is_in_base(t.tooth)));
            over = Some(marched);
        }
        Some(Err(refusal)) => refused = Some(NoFigures::new(refusal)),
        None => {}
    }
    let base_setup = base_under(setup, over.as_ref().map(|o| &o.inserted));
    let based = put(&base_setup);
    if let Ok(marched) = &based {
        solves += marched.solves;
        lightest.extend(LightestWire::instead_of(&base_setup, marched, |_| true));
        teeth.extend(loads_of(marched, over.as_ref()));
        teeth.sort_by_key(|t: &ToothLoad| t.tooth);
    }
    let overlay = over.map(|o| o.inserted);
    match based {
        Ok(marched) => {
            let given = marched.steps.into_iter().next();
            let first = marched.inserted;
            let (taken_in_mm, held_n) = (first.taken_in_mm, first.held_n);
            let ties = loaded_ties(&base_setup, &first);
            let tie_loads = base_setup.tie_loads(&first.ties_n);
            let insertion =
                Insertion { teeth, refused, taken_in_mm, held_n, ties, tie_loads, lightest };
            Inserted { insertion, base: Some(first), overlay, given, solves }
        }
        Err(refusal) => {
            let refused = Some(NoFigures::new(refusal));
            let insertion = Insertion { teeth, refused, lightest, ..Insertion::default() };
            let solves = solves + 1;
            Inserted { insertion, base: None, overlay, given: None, solves }
        }
    }
}

/// A tie under less than this counts as slack, N: a gram is as fine as forces are told.
const SLACK_N: f64 = 0.01;

fn loaded_ties(setup: &Setup, solution: &Solution) -> Vec<LoadedTie> {
    let tooth = |id: u16| Tooth::iso(u32::from(id));
    let loaded = setup.ties.iter().zip(&solution.ties_n).filter(|(_, n)| **n >= SLACK_N);
    let of = |(tie, n): (&ToothTie, &f64)| {
        let (right, left) = (tooth(tie.from)?, tooth(tie.to)?);
        Some(LoadedTie { right, left, tension_n: *n })
    };
    loaded.filter_map(of).collect()
}

fn put(setup: &Setup) -> Result<Marched, Refusal> {
    march_from(setup, &March::default(), Start::Cold)
}

/// Bands of every figure of [`put_in`], by the same march: `None` where too few variants of the wire can
/// be put in for a band to mean anything.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct InsertionBands {
    /// In order along the arch.
    pub teeth: Vec<ToothBand>,
    /// Variants computed, and how many of them the mechanics refused.
    pub variants: usize,
    pub refused: usize,
}

/// Propagates tolerances and entry errors; `None` where the wire itself has no figures.
pub fn bands(setup: &ArchSetup, spread: &Spread) -> Option<InsertionBands> {
    if !setup.held.is_empty() {
        return bands(&setup.bounded(setup), spread);
    }
    let how = March::default();
    let mut out = InsertionBands::default();
    let mut over = None;
    if let Some(overlay) = &setup.overlay {
        let banded = mechanics::banded(overlay, &how, spread).ok()?;
        out.add(&banded, |id| !setup.base.slots.iter().any(|s| s.id == id));
        over = Some(banded.nominal.inserted);
    }
    let base = base_under(setup, over.as_ref());
    // A tooth that both wires hold carries the sum of two forces that vary together: it has no band.
    let alone = |id| over.as_ref().is_none_or(|o| o.tooth(id).is_none());
    out.add(&mechanics::banded(&base, &how, spread).ok()?, alone);
    Some(out)
}

impl InsertionBands {
    fn add(&mut self, banded: &mechanics::ArchBands, keep: impl Fn(u16) -> bool) {
        self.teeth.extend(banded.teeth.iter().filter(|t| keep(t.id)).copied());
        self.variants = self.variants.max(banded.variants());
        self.refused = self.refused.max(banded.refused);
    }

    /// The bands of one tooth.
    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothBand> {
        self.teeth.iter().find(|b| u32::from(b.id) == tooth.code())
    }
}

/// The figures of every tooth of a wire; where a light wire laid over it holds the tooth too, what the root
/// carries is the sum of both.
fn loads_of(marched: &Marched, over: Option<&Marched>) -> Vec<ToothLoad> {
    marched
        .inserted
        .teeth
        .iter()
        .zip(&marched.teeth)
        .filter_map(|(forces, given)| {
            let tooth = Tooth::iso(u32::from(forces.id))?;
            let also = over.and_then(|o| o.tooth(forces.id));
            let given = also.map_or(*given, |also| given.and(also));
            Some(ToothLoad {
                tooth,
                peak_n: given.peak_n(),
                delivered_n: given.delivered_n(),
                sustained_n: given.sustained_n(),
                at_insertion: given.inserted,
                delivered: given.delivered,
                strain: forces.strain,
                strain_fraction: forces.strain_fraction,
                gap_mm: forces.gap_mm,
                passive: forces.passive && also.is_none_or(|o| o.peak_n() == 0.0),
            })
        })
        .collect()
}
