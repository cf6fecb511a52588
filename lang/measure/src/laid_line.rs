//! A form where it was laid in the frame of an arch.

use springline_mechanics::ArchLine;

/// Where the middle of a form lies in the frame of an arch, and how it is turned there.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LinePose {
    pub at_mm: [f64; 2],
    pub turn_rad: f64,
}

impl LinePose {
    /// A point of the arch's frame in that of the form.
    pub fn in_form(&self, p: [f64; 2]) -> [f64; 2] {
        self.turned([p[0] - self.at_mm[0], p[1] - self.at_mm[1]])
    }

    /// A point of the form in the frame of the arch.
    pub fn in_arch(&self, q: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = self.turn_rad.sin_cos();
        [self.at_mm[0] + cos * q[0] - sin * q[1], self.at_mm[1] + sin * q[0] + cos * q[1]]
    }

    /// A direction of the arch's frame in that of the form.
    pub fn turned(&self, v: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = self.turn_rad.sin_cos();
        [cos * v[0] + sin * v[1], cos * v[1] - sin * v[0]]
    }
}

/// A form where it was laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LaidLine {
    pub line: ArchLine,
    pub pose: LinePose,
}

impl LaidLine {
    /// The point of the arch's frame at a station.
    pub fn point_at(&self, station_mm: f64) -> [f64; 2] {
        self.pose.in_arch(self.line.place(station_mm).0)
    }

    /// Near the station of a point of the form's frame: by its direction from inside the arch.
    pub fn start_station(&self, q: [f64; 2]) -> f64 {
        match self.line {
            ArchLine::Straight => q[0],
            ArchLine::Circle { radius_mm: r } => r * q[0].atan2(r - q[1]),
            ArchLine::Catenary { a_mm } => {
                let s = a_mm * (q[0] / a_mm).clamp(-3.0, 3.0).sinh();
                s.clamp(-80.0, 80.0)
            }
            ArchLine::TwoWidths(_) => q[0].signum() * q[0].hypot(q[1].max(0.0)),
        }
    }
}
