//! Axes of an arch, found from its own points: to the patient's left, to the back, to the gum.

use nalgebra::{Matrix3, Vector3};

use crate::picks::{ArchPicks, CrownPicks};
use springline_units::tooth::{Arch, Side};

type Triple = Vector3<f64>;

fn unit(a: Triple) -> Option<Triple> {
    a.try_normalize(1e-9)
}

/// `a` without its part along the unit vector `axis`.
fn across(a: Triple, axis: Triple) -> Triple {
    a - a.dot(&axis) * axis
}

fn mean(points: impl Iterator<Item = Triple>) -> Option<Triple> {
    let (sum, count) = points.fold((Triple::zeros(), 0.0), |(sum, n), p| (sum + p, n + 1.0));
    (count > 0.0).then(|| sum / count)
}

/// The frame of one arch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ArchFrame {
    origin: Triple,
    /// To the patient's left, to the back, to the gum: unit vectors.
    axes: [Triple; 3],
    /// The three do not have the hand that they have in this jaw: mirrored, or the other jaw.
    pub other_hand: bool,
}

impl ArchFrame {
    /// Left from the numbers of the teeth, back from their order, the gum from where faces and gum points lie against
    /// edges and cusps; where none of these was picked the hand is taken to be right.
    ///
    /// `None` where the teeth of one side are missing, or all points fall together.
    pub fn of(picks: &ArchPicks) -> Option<ArchFrame> {
        let middles =
            |side: Side| picks.crowns.iter().filter(move |c| c.tooth.side() == side).map(middle);
        let origin = mean(contacts(picks))?;
        let left = mean(middles(Side::Left))? - mean(middles(Side::Right))?;
        let back = backwards(picks, origin);
        if picks.is_flat {
            let left = unit(left)?;
            let back = unit(across(back, left))?;
            return Some(ArchFrame {
                origin,
                axes: [left, back, Triple::zeros()],
                other_hand: false,
            });
        }
        let normal = normal(picks, origin)?;
        let left = unit(across(left, normal))?;
        let back = unit(across(across(back, normal), left))?;
        let expected = match picks.arch {
            Arch::Upper => left.cross(&back),
            Arch::Lower => back.cross(&left),
        };
        let seen = gumwards(picks);
        let gum = match seen {
            Some(gum) if gum.dot(&normal) < 0.0 => -normal,
            Some(_) => normal,
            None => expected,
        };
        let other_hand = gum.dot(&expected) < 0.0;
        Some(ArchFrame { origin, axes: [left, back, gum], other_hand })
    }

    /// The same with its plane tilted by what it rises to the left and to the back.
    pub fn levelled(&self, rise: [f64; 2]) -> ArchFrame {
        let [left, back, gum] = self.axes;
        let Some(gum) = unit(gum - rise[0] * left - rise[1] * back) else { return *self };
        let Some(left) = unit(across(left, gum)) else { return *self };
        let Some(back) = unit(across(across(back, gum), left)) else { return *self };
        ArchFrame { axes: [left, back, gum], ..*self }
    }

    pub fn put(&self, point: [f64; 3]) -> [f64; 3] {
        let from = Triple::from(point) - self.origin;
        self.axes.map(|axis| axis.dot(&from))
    }

    /// A point of this frame on the axes that the points came on.
    pub fn take_back(&self, point: [f64; 3]) -> [f64; 3] {
        let [left, back, gum] = self.axes;
        (self.origin + point[0] * left + point[1] * back + point[2] * gum).into()
    }

    pub fn put_all(&self, picks: &ArchPicks) -> ArchPicks {
        let crown = |c: &CrownPicks| CrownPicks {
            tooth: c.tooth,
            right: self.put(c.right),
            left: self.put(c.left),
            facial: c.facial.map(|p| self.put(p)),
            cusps: c.cusps.iter().map(|p| self.put(*p)).collect(),
            gum: c.gum.map(|p| self.put(p)),
        };
        ArchPicks { crowns: picks.crowns.iter().map(crown).collect(), ..picks.clone() }
    }
}

fn middle(crown: &CrownPicks) -> Triple {
    crown.middle().into()
}

fn contacts(picks: &ArchPicks) -> impl Iterator<Item = Triple> {
    picks.crowns.iter().flat_map(|c| [c.right.into(), c.left.into()])
}

/// Teeth farther from the midline lie farther back.
fn backwards(picks: &ArchPicks, origin: Triple) -> Triple {
    let count = picks.crowns.len().max(1) as f64;
    let of = |c: &CrownPicks| f64::from(c.tooth.position());
    let mean = picks.crowns.iter().map(of).sum::<f64>() / count;
    picks.crowns.iter().map(|c| (of(c) - mean) * (middle(c) - origin)).sum()
}

fn gumwards(picks: &ArchPicks) -> Option<Triple> {
    let of = |c: &CrownPicks| {
        let cusp = mean(c.cusps.iter().map(|p| Triple::from(*p)))?;
        Some(Triple::from(c.gum.or(c.facial)?) - cusp)
    };
    mean(picks.crowns.iter().filter_map(of))
}

/// Normal of the plane nearest to all contacts: the axis about which they are spread least.
///
/// `None` where they all lie on one line.
fn normal(picks: &ArchPicks, origin: Triple) -> Option<Triple> {
    let from = contacts(picks).map(|p| p - origin);
    let moments: Matrix3<f64> = from.map(|at| at * at.transpose()).sum();
    let eigen = moments.symmetric_eigen();
    let mut order = [0, 1, 2];
    order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
    // The plane is spanned where the second largest spread is more than nothing, mm^2.
    (eigen.eigenvalues[order[1]] > 1e-6).then(|| eigen.eigenvectors.column(order[0]).into_owned())
}
