//! Points against a line, one after another: the place of a form by widths is an integral along it, and from one tooth to
//! the next is a short way.

use crate::laid_line::LaidLine;
use springline_mechanics::{ArchLine, QuarticLine, QuarticPlace};

/// A point is on the line's normal to so many mm.
const SETTLED_MM: f64 = 1e-8;

/// The width of a molar: so far away lies the next point at most.
const NEXT_MM: f64 = 11.0;

pub(crate) struct AlongLine<'a> {
    laid: &'a LaidLine,
    known: QuarticPlace,
}

/// A point against the line.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PointByLine {
    pub station_mm: f64,
    pub inward_mm: f64,
    /// Of a form by widths: the place on the line, and how it moves with the form.
    pub place: Option<QuarticPlace>,
}

impl<'a> AlongLine<'a> {
    pub fn new(laid: &'a LaidLine) -> AlongLine<'a> {
        AlongLine { laid, known: QuarticPlace::default() }
    }

    /// A point of the arch's frame, looked for from a station near it where one is known.
    pub fn beside(&mut self, p: [f64; 2], near_mm: Option<f64>) -> PointByLine {
        let q = self.laid.pose.in_form(p);
        let start = near_mm.unwrap_or_else(|| self.laid.start_station(q));
        match self.laid.line {
            ArchLine::TwoWidths(form) => self.by_widths(&form, q, start),
            line => {
                let (station_mm, inward_mm) = line.project(q, start);
                PointByLine { station_mm, inward_mm, place: None }
            }
        }
    }

    fn by_widths(&mut self, form: &QuarticLine, q: [f64; 2], start: f64) -> PointByLine {
        // From the tooth before the search finds its way by itself; from farther off it might not.
        let is_near = (start - self.known.station_mm).abs() <= NEXT_MM;
        let mut here = if is_near { self.known } else { form.place_from(&self.known, start) };
        let resolved = |here: &QuarticPlace| {
            let (sin, cos) = here.turn_rad.sin_cos();
            let way = [q[0] - here.at_mm[0], q[1] - here.at_mm[1]];
            (cos * way[0] + sin * way[1], cos * way[1] - sin * way[0])
        };
        for _ in 0..30 {
            let (ahead, inward) = resolved(&here);
            let curvature = self.laid.line.curvature_per_mm(here.station_mm);
            // Beyond the centre of curvature no normal is nearest; the floor keeps the search finite.
            let step = ahead / (1.0 - curvature * inward).max(0.1);
            here = form.place_from(&here, here.station_mm + step);
            if step.abs() <= SETTLED_MM {
                break;
            }
        }
        self.known = here;
        PointByLine { station_mm: here.station_mm, inward_mm: resolved(&here).1, place: Some(here) }
    }
}
