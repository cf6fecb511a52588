//! Axes of an arch, found from its own points: to the patient's left, to the back, to the gum.

use crate::picks::{ArchPicks, CrownPicks};
use springline_units::tooth::{Arch, Side};

type Triple = [f64; 3];

fn dot(a: Triple, b: Triple) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn minus(a: Triple, b: Triple) -> Triple {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn cross(a: Triple, b: Triple) -> Triple {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn unit(a: Triple) -> Option<Triple> {
    let length = dot(a, a).sqrt();
    (length > 1e-9).then(|| a.map(|x| x / length))
}

/// `a` without its part along the unit vector `axis`.
fn across(a: Triple, axis: Triple) -> Triple {
    let along = dot(a, axis);
    [a[0] - along * axis[0], a[1] - along * axis[1], a[2] - along * axis[2]]
}

fn mean(points: impl Iterator<Item = Triple>) -> Option<Triple> {
    let (mut sum, mut count) = ([0.0; 3], 0.0);
    for p in points {
        sum = [sum[0] + p[0], sum[1] + p[1], sum[2] + p[2]];
        count += 1.0;
    }
    (count > 0.0).then(|| sum.map(|x| x / count))
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
        let middles = |side: Side| {
            picks.crowns.iter().filter(move |c| c.tooth.side() == side).map(CrownPicks::middle)
        };
        let origin = mean(picks.crowns.iter().flat_map(|c| [c.right, c.left]))?;
        let left = minus(mean(middles(Side::Left))?, mean(middles(Side::Right))?);
        let back = backwards(picks, origin);
        if picks.is_flat {
            let left = unit(left)?;
            let back = unit(across(back, left))?;
            return Some(ArchFrame { origin, axes: [left, back, [0.0; 3]], other_hand: false });
        }
        let normal = normal(picks, origin)?;
        let left = unit(across(left, normal))?;
        let back = unit(across(across(back, normal), left))?;
        let expected = match picks.arch {
            Arch::Upper => cross(left, back),
            Arch::Lower => cross(back, left),
        };
        let seen = gumwards(picks);
        let gum = match seen {
            Some(gum) if dot(gum, normal) < 0.0 => normal.map(|x| -x),
            Some(_) => normal,
            None => expected,
        };
        let other_hand = dot(gum, expected) < 0.0;
        Some(ArchFrame { origin, axes: [left, back, gum], other_hand })
    }

    /// The same with its plane tilted by what it rises to the left and to the back.
    pub fn levelled(&self, rise: [f64; 2]) -> ArchFrame {
        let [left, back, gum] = self.axes;
        let tilted: Triple =
            std::array::from_fn(|i| gum[i] - rise[0] * left[i] - rise[1] * back[i]);
        let Some(gum) = unit(tilted) else { return *self };
        let Some(left) = unit(across(left, gum)) else { return *self };
        let Some(back) = unit(across(across(back, gum), left)) else { return *self };
        ArchFrame { axes: [left, back, gum], ..*self }
    }

    pub fn put(&self, point: Triple) -> Triple {
        let from = minus(point, self.origin);
        self.axes.map(|axis| dot(from, axis))
    }

    /// A point of this frame on the axes that the points came on.
    pub fn take_back(&self, point: Triple) -> Triple {
        let [left, back, gum] = self.axes;
        std::array::from_fn(|i| {
            self.origin[i] + point[0] * left[i] + point[1] * back[i] + point[2] * gum[i]
        })
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

/// Teeth farther from the midline lie farther back.
fn backwards(picks: &ArchPicks, origin: Triple) -> Triple {
    let count = picks.crowns.len().max(1) as f64;
    let of = |c: &CrownPicks| f64::from(c.tooth.position());
    let middle = picks.crowns.iter().map(of).sum::<f64>() / count;
    picks.crowns.iter().fold([0.0; 3], |sum, c| {
        let (by, at) = (of(c) - middle, minus(c.middle(), origin));
        [sum[0] + by * at[0], sum[1] + by * at[1], sum[2] + by * at[2]]
    })
}

fn gumwards(picks: &ArchPicks) -> Option<Triple> {
    let of = |c: &CrownPicks| {
        let cusp = mean(c.cusps.iter().copied())?;
        Some(minus(c.gum.or(c.facial)?, cusp))
    };
    mean(picks.crowns.iter().filter_map(of))
}

/// Normal of the plane nearest to all contacts: the axis about which their second moments are largest.
fn normal(picks: &ArchPicks, origin: Triple) -> Option<Triple> {
    let mut moments = [[0.0; 3]; 3];
    for p in picks.crowns.iter().flat_map(|c| [c.right, c.left]) {
        let at = minus(p, origin);
        for (i, row) in moments.iter_mut().enumerate() {
            for (j, cell) in row.iter_mut().enumerate() {
                *cell += at[i] * at[j];
            }
        }
    }
    // The plane is spanned by the two axes of largest moments; a few dozen steps of the power method find each.
    let first = largest_axis(&moments, None)?;
    let second = largest_axis(&moments, Some(first))?;
    unit(cross(first, second))
}

fn largest_axis(moments: &[[f64; 3]; 3], but: Option<Triple>) -> Option<Triple> {
    let clean = |v: Triple| but.map_or(v, |axis| across(v, axis));
    let starts = [[1.0, 0.3, 0.2], [0.2, 1.0, 0.3], [0.3, 0.2, 1.0]];
    let grown = |start: Triple| {
        let mut axis = unit(clean(start))?;
        let mut size = 0.0;
        for _ in 0..200 {
            let next = clean(std::array::from_fn(|i| dot(moments[i], axis)));
            size = dot(next, next).sqrt();
            axis = unit(next)?;
        }
        Some((size, axis))
    };
    let all = starts.into_iter().filter_map(grown);
    all.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, axis)| axis)
}
