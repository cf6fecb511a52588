//! The two lines of an arch: slots and wire lie on the slot line, the contacts of an aligned arch on its parallel
//! [`SLOT_BEFORE_CONTACTS_MM`] lingual of it, the contact line.
//!
//! Crown widths, gaps and spaces are lengths of the contact line; bracket distances, free wire, coils and sleeves of
//! the slot line. Between the midline and a place where the line has turned by `theta` the contact line is
//! shorter by that distance times `theta`, so in front, where it is curved, slots lie farther apart than crowns
//! are wide: on a catenary of 13 mm those of the lower centrals 6.46 mm instead of 5.

use springline_mechanics::ArchLine;
use springline_model::form::FormCurve;
use springline_units::anatomy::SLOT_BEFORE_CONTACTS_MM;
use springline_units::quantity::mm;

/// The slot line of a form.
pub fn arch_line(curve: FormCurve) -> ArchLine {
    match curve {
        FormCurve::Catenary { a } => ArchLine::Catenary { a_mm: mm(a) },
        FormCurve::Circle { radius } => ArchLine::Circle { radius_mm: mm(radius) },
        FormCurve::TwoWidths(form) => ArchLine::TwoWidths(springline_mechanics::QuarticLine {
            front_per_mm: form.front_per_mm,
            sides_per_mm: form.sides_per_mm,
            reach_mm: form.reach_mm,
        }),
    }
}

/// Steps after which Newton's search on the slot line has long converged.
const STEPS: usize = 40;

/// The station on the slot line whose normal passes through a place of the contact line, mm from the midline,
/// the patient's left positive.
pub fn slot_station_mm(line: &ArchLine, contact_mm: f64) -> f64 {
    let mut station = contact_mm;
    for _ in 0..STEPS {
        let off = contact_station_mm(line, station) - contact_mm;
        // A form curved as tightly as the distance of the two lines has no parallel; forms of an arch stay far from it.
        let slope = 1.0 - SLOT_BEFORE_CONTACTS_MM * line.curvature_per_mm(station);
        let step = off / slope.max(0.1);
        station -= step;
        if step.abs() <= 1e-13 * (1.0 + station.abs()) {
            break;
        }
    }
    station
}

/// The place on the contact line beside a station of the slot line, mm from the midline.
pub fn contact_station_mm(line: &ArchLine, slot_mm: f64) -> f64 {
    line.parallel_mm(slot_mm, SLOT_BEFORE_CONTACTS_MM)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use springline_model::form::{FormWidth, TwoWidths};
    use springline_units::quantity::from_mm;

    /// The lower centrals of the textbook, 5 mm wide, on the catenary to which such arches were fitted.
    #[test]
    fn slots_of_lower_centrals_lie_six_and_a_half_millimetres_apart() {
        let line = arch_line(FormCurve::Catenary { a: from_mm(13.0) });
        let apart = slot_station_mm(&line, 2.5) - slot_station_mm(&line, -2.5);
        assert!((6.4..6.5).contains(&apart), "{apart}");
    }

    /// Model and mechanics each know the formula of a form by two widths; both widths lie on it.
    #[test]
    fn a_form_by_two_widths_passes_through_both() {
        let width =
            |width: f64, depth: f64| FormWidth { width: from_mm(width), depth: from_mm(depth) };
        for (canines, molars) in [((30.0, 6.5), (52.0, 28.0)), ((33.0, 5.5), (52.5, 26.5))] {
            let (a, b) = (width(canines.0, canines.1), width(molars.0, molars.1));
            let line = arch_line(FormCurve::TwoWidths(TwoWidths::through(a, b).unwrap()));
            for (target, from) in [(a, 8.0), (b, 30.0)] {
                let [x, y] = target.point_mm();
                let near = (0..2400).map(|i| {
                    let ([px, py], _) = line.place(from + 0.005 * f64::from(i));
                    (px - x).hypot(py - y)
                });
                assert!(near.fold(f64::INFINITY, f64::min) < 0.003, "{canines:?} {molars:?}");
            }
        }
    }

    proptest! {
        /// Place and distance by the plane geometry of the line itself.
        #[test]
        fn the_contact_line_is_the_parallel_inside(circle: bool, size in 8.0..40.0, at in -45.0..45.0) {
            let line = match circle {
                true => ArchLine::Circle { radius_mm: size },
                false => ArchLine::Catenary { a_mm: size },
            };
            prop_assert!((contact_station_mm(&line, slot_station_mm(&line, at)) - at).abs() < 1e-10);
            let inside = |s: f64| {
                let ([x, y], turn) = line.place(s);
                [x - SLOT_BEFORE_CONTACTS_MM * turn.sin(), y + SLOT_BEFORE_CONTACTS_MM * turn.cos()]
            };
            let (a, b) = (slot_station_mm(&line, at), slot_station_mm(&line, at + 0.01));
            let ([ax, ay], [bx, by]) = (inside(a), inside(b));
            prop_assert!(((bx - ax).hypot(by - ay) - 0.01).abs() < 1e-7);
        }
    }
}
