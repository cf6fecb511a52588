//! The arch line: the curve through the slots of an aligned arch, given by its curvature over arc length.

use super::quartic_line::QuarticLine;
use super::simd::Four;

/// The arch line, given by its curvature over the arc length from the midline.
///
/// A zero [`SlotPose`](super::SlotPose) in every slot is an arch in which a preformed wire is passive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ArchLine {
    /// No curvature: bench tests and unrolled arches.
    Straight,
    /// A circle, mm; positive. The inside (lingual) is the side of the centre.
    Circle {
        /// Radius, mm, above zero.
        radius_mm: f64,
    },
    /// `Y = a (cosh(X/a) - 1)`, curvature `a / (a^2 + s^2)`; `a_mm` is the radius at the midline, positive.
    Catenary {
        /// Radius at the midline, mm, above zero.
        a_mm: f64,
    },
    /// A form by its widths at canines and molars.
    TwoWidths(QuarticLine),
}

/// A place on the line: where it is in the plane of the arch, and where it heads.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Station {
    /// Left of the patient and towards the inside at the midline, mm.
    pub at: [f64; 2],
    /// Unit tangent; the inward normal is `[-tangent[1], tangent[0]]`.
    pub tangent: [f64; 2],
}

impl Station {
    /// Components along the line and inward of a vector in the plane of the arch.
    pub fn resolve(&self, v: [f64; 2]) -> (f64, f64) {
        let [c, s] = self.tangent;
        (c * v[0] + s * v[1], c * v[1] - s * v[0])
    }

    /// The vector in the plane of the arch with these components.
    pub fn compose(&self, along: f64, inward: f64) -> [f64; 2] {
        let [c, s] = self.tangent;
        [c * along - s * inward, s * along + c * inward]
    }
}

impl ArchLine {
    /// Place of a station in the plane of the arch, mm, and the direction there, rad: first axis towards
    /// the patient's left, second inward at the midline, where both are zero.
    pub fn place(&self, station_mm: f64) -> ([f64; 2], f64) {
        let here = self.station(station_mm);
        (here.at, here.tangent[1].atan2(here.tangent[0]))
    }

    /// How far the line has turned inward between the midline and a station, rad; odd in the station.
    pub fn turn_rad(&self, station_mm: f64) -> f64 {
        match *self {
            ArchLine::Straight => 0.0,
            ArchLine::Circle { radius_mm } => station_mm / radius_mm,
            ArchLine::Catenary { a_mm } => (station_mm / a_mm).atan(),
            ArchLine::TwoWidths(form) => form.turn_rad(station_mm),
        }
    }

    /// Length from the midline to the place beside a station, mm, along the parallel that lies `inside_mm` within the
    /// line.
    pub fn parallel_mm(&self, station_mm: f64, inside_mm: f64) -> f64 {
        station_mm - inside_mm * self.turn_rad(station_mm)
    }

    /// Curvature at a station, 1/mm.
    pub fn curvature_per_mm(&self, station_mm: f64) -> f64 {
        self.curvature(station_mm).0
    }

    /// Curvature, 1/mm, and its derivative along the line, 1/mm^2.
    pub(crate) fn curvature(&self, s: f64) -> (f64, f64) {
        match *self {
            ArchLine::Straight => (0.0, 0.0),
            ArchLine::Circle { radius_mm } => (1.0 / radius_mm, 0.0),
            ArchLine::Catenary { a_mm: a } => {
                let d = a * a + s * s;
                (a / d, -2.0 * a * s / (d * d))
            }
            ArchLine::TwoWidths(form) => form.curvature(s),
        }
    }

    /// Whether its curvature changes along it, so that it matters where the wire slides to.
    pub(crate) fn slides(&self) -> bool {
        match self {
            ArchLine::Catenary { .. } | ArchLine::TwoWidths(_) => true,
            ArchLine::Straight | ArchLine::Circle { .. } => false,
        }
    }

    /// Curvature and its derivative at four stations.
    #[inline(always)]
    pub(crate) fn curvatures(&self, s: Four) -> (Four, Four) {
        match *self {
            ArchLine::Straight => (Four::ZERO, Four::ZERO),
            ArchLine::Circle { radius_mm } => (Four::all(1.0 / radius_mm), Four::ZERO),
            ArchLine::Catenary { a_mm: a } => {
                let over = Four::all(1.0) / (s * s + a * a);
                let k0 = over * a;
                (k0, -(k0 * s * over * 2.0))
            }
            ArchLine::TwoWidths(form) => form.curvatures(s),
        }
    }

    /// Unit tangent at a station.
    pub(crate) fn tangent(&self, s: f64) -> [f64; 2] {
        match self {
            ArchLine::TwoWidths(form) => heading(form.turn_rad(s)),
            _ => self.station(s).tangent,
        }
    }

    /// A station near one whose place is known; saves a form without a closed form the way from the midline.
    fn station_from(&self, known: (f64, &Station), s: f64) -> Station {
        match self {
            ArchLine::TwoWidths(form) => {
                let way = form.way(known.0, s);
                let at = [known.1.at[0] + way[0], known.1.at[1] + way[1]];
                Station { at, tangent: heading(form.turn_rad(s)) }
            }
            _ => self.station(s),
        }
    }

    pub(crate) fn station(&self, s: f64) -> Station {
        match *self {
            ArchLine::Straight => Station { at: [s, 0.0], tangent: [1.0, 0.0] },
            ArchLine::Circle { radius_mm: r } => {
                let (sin, cos) = (s / r).sin_cos();
                // 1 - cos without cancellation, so that a huge radius is a straight line.
                let half = (0.5 * s / r).sin();
                Station { at: [r * sin, 2.0 * r * half * half], tangent: [cos, sin] }
            }
            ArchLine::Catenary { a_mm: a } => {
                let length = a.hypot(s);
                Station {
                    at: [a * (s / a).asinh(), s * s / (length + a)],
                    tangent: [a / length, s / length],
                }
            }
            ArchLine::TwoWidths(form) => {
                Station { at: form.way(0.0, s), tangent: heading(form.turn_rad(s)) }
            }
        }
    }

    /// The station whose normal plane holds a point near the line, looked for from `guess`, and how far
    /// inside the line the point lies.
    pub fn project(&self, point: [f64; 2], guess: f64) -> (f64, f64) {
        let mut s = guess;
        let mut here = self.station(s);
        for _ in 0..30 {
            let (ahead, inward) = here.resolve([point[0] - here.at[0], point[1] - here.at[1]]);
            // Beyond the centre of curvature no normal is nearest; the floor keeps the search finite.
            let step = ahead / (1.0 - self.curvature(s).0 * inward).max(0.1);
            here = self.station_from((s, &here), s + step);
            s += step;
            if step.abs() <= 1e-13 * (1.0 + s.abs()) {
                break;
            }
        }
        let (_, inward) = here.resolve([point[0] - here.at[0], point[1] - here.at[1]]);
        (s, inward)
    }

    /// The sizes that must be finite and from 5 mm to a kilometre: radii, and lengths over which they change.
    pub(crate) fn sizes_mm(&self) -> [Option<f64>; 2] {
        match *self {
            ArchLine::Straight => [None, None],
            ArchLine::Circle { radius_mm } => [Some(radius_mm), None],
            ArchLine::Catenary { a_mm } => [Some(a_mm), None],
            ArchLine::TwoWidths(QuarticLine { front_per_mm: f, sides_per_mm: g, reach_mm }) => {
                // No place of it is curved more tightly than both together.
                [Some(1.0 / (f.abs() + g.abs()).max(1e-6)), Some(reach_mm)]
            }
        }
    }
}

fn heading(turn_rad: f64) -> [f64; 2] {
    let (sin, cos) = turn_rad.sin_cos();
    [cos, sin]
}

#[cfg(test)]
mod tests;
