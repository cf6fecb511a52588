//! The arch line: the curve through the slots of an aligned arch, given by its curvature over arc length.

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
        }
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
        }
    }

    /// The size of a form whose curvature changes along it, so that it matters where the wire slides to.
    pub(crate) fn slides(&self) -> Option<f64> {
        match *self {
            ArchLine::Catenary { a_mm } => Some(a_mm),
            ArchLine::Straight | ArchLine::Circle { .. } => None,
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
        }
    }

    /// The station whose normal plane holds a point near the line, looked for from `guess`, and how far
    /// inside the line the point lies.
    pub(crate) fn project(&self, point: [f64; 2], guess: f64) -> (f64, f64) {
        let mut s = guess;
        for _ in 0..30 {
            let here = self.station(s);
            let (ahead, inward) = here.resolve([point[0] - here.at[0], point[1] - here.at[1]]);
            // Beyond the centre of curvature no normal is nearest; the floor keeps the search finite.
            let step = ahead / (1.0 - self.curvature(s).0 * inward).max(0.1);
            s += step;
            if step.abs() <= 1e-13 * (1.0 + s.abs()) {
                break;
            }
        }
        let here = self.station(s);
        let (_, inward) = here.resolve([point[0] - here.at[0], point[1] - here.at[1]]);
        (s, inward)
    }

    /// The size that must be finite and positive, if the line has one.
    pub(crate) fn size_mm(&self) -> Option<f64> {
        match *self {
            ArchLine::Straight => None,
            ArchLine::Circle { radius_mm } => Some(radius_mm),
            ArchLine::Catenary { a_mm } => Some(a_mm),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_put_beside_the_line_is_found_again() {
        for arch in [
            ArchLine::Straight,
            ArchLine::Circle { radius_mm: 22.0 },
            ArchLine::Catenary { a_mm: 15.0 },
        ] {
            for (s, inward) in [(-36.0, 0.5), (-3.0, 3.0), (0.0, -2.0), (20.0, 1.0)] {
                let here = arch.station(s);
                let offset = here.compose(0.0, inward);
                let (found, depth) =
                    arch.project([here.at[0] + offset[0], here.at[1] + offset[1]], s + 0.7);
                assert!(
                    (found - s).abs() < 1e-10 && (depth - inward).abs() < 1e-10,
                    "{arch:?} {s}"
                );
            }
        }
    }

    #[test]
    fn curvature_is_the_turn_of_the_tangent() {
        for arch in [ArchLine::Circle { radius_mm: 22.0 }, ArchLine::Catenary { a_mm: 15.0 }] {
            for s in [-30.0, -4.0, 0.0, 11.0] {
                let h = 1e-5;
                let angle = |s: f64| {
                    let [c, sn] = arch.station(s).tangent;
                    sn.atan2(c)
                };
                let turn = (angle(s + h) - angle(s - h)) / (2.0 * h);
                assert!((arch.turn_rad(s) - angle(s)).abs() < 1e-12);
                let (k, dk) = arch.curvature(s);
                assert!((turn - k).abs() < 1e-9);
                let slope = (arch.curvature(s + h).0 - arch.curvature(s - h).0) / (2.0 * h);
                assert!((slope - dk).abs() < 1e-9);
            }
        }
    }
}
