//! The points of one arch as numbers, so that they can be picked again with another error.

use std::collections::BTreeSet;

use crate::point_table::{PickedPoint, PointTable};
use springline_units::tooth::{Arch, Side, Tooth};

/// Points of one crown that has both its contacts, mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CrownPicks {
    pub tooth: Tooth,
    /// The contact towards the patient's right, and that towards the left.
    pub right: [f64; 3],
    pub left: [f64; 3],
    pub facial: Option<[f64; 3]>,
    pub cusps: Vec<[f64; 3]>,
    pub gum: Option<[f64; 3]>,
}

/// Points of one arch, from the patient's right to left.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ArchPicks {
    pub arch: Arch,
    pub crowns: Vec<CrownPicks>,
    pub shared: BTreeSet<(Tooth, Tooth)>,
    pub is_flat: bool,
}

impl CrownPicks {
    pub fn middle(&self) -> [f64; 3] {
        std::array::from_fn(|i| 0.5 * (self.right[i] + self.left[i]))
    }

    pub fn width_mm(&self) -> f64 {
        distance(self.right, self.left)
    }
}

pub(crate) fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt()
}

impl ArchPicks {
    pub fn of(table: &PointTable, arch: Arch) -> ArchPicks {
        let own = table.teeth.iter().filter(|(t, _)| t.arch() == arch);
        let crowns = own.filter_map(|(tooth, picked)| {
            let at = |p: Option<PickedPoint>| p.map(|p| p.at);
            let (mesial, distal) = (at(picked.mesial)?, at(picked.distal)?);
            let (right, left) = match tooth.side() {
                Side::Right => (distal, mesial),
                Side::Left => (mesial, distal),
            };
            Some(CrownPicks {
                tooth: *tooth,
                right,
                left,
                facial: at(picked.facial),
                cusps: picked.cusps.iter().map(|c| c.at).collect(),
                gum: at(picked.gum),
            })
        });
        let shared = table.shared.iter().filter(|(a, _)| a.arch() == arch).copied().collect();
        ArchPicks { arch, crowns: crowns.collect(), shared, is_flat: table.is_flat }
    }

    pub fn crown(&self, tooth: Tooth) -> Option<&CrownPicks> {
        self.crowns.iter().find(|c| c.tooth == tooth)
    }

    /// How many numbers were picked.
    pub fn coordinates(&mut self) -> usize {
        let mut count = 0;
        self.each(|_| count += 1);
        count
    }

    /// Every coordinate that was picked, in a fixed order; the second of a shared contact follows the first.
    pub fn each(&mut self, mut change: impl FnMut(&mut f64)) {
        let axes = if self.is_flat { 2 } else { 3 };
        let mut all = |p: &mut [f64; 3]| p.iter_mut().take(axes).for_each(&mut change);
        for i in 0..self.crowns.len() {
            let before = i.checked_sub(1).map(|b| (self.crowns[b].tooth, self.crowns[b].left));
            let crown = &mut self.crowns[i];
            match before {
                Some((tooth, at)) if self.shared.contains(&(tooth, crown.tooth)) => {
                    crown.right = at
                }
                _ => all(&mut crown.right),
            }
            all(&mut crown.left);
            crown.facial.iter_mut().for_each(&mut all);
            crown.cusps.iter_mut().for_each(&mut all);
            crown.gum.iter_mut().for_each(&mut all);
        }
    }
}
