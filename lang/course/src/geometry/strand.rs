//! The direction in which an elastic pulls.

use super::layout::ArchLayout;
use springline_model::Case;
use springline_units::tooth::Tooth;

/// Height from an upper to a lower bracket with the mouth a little open, mm: slots some 4.5 mm from the edges
/// of their teeth, which overlap by some 2.5 mm when they bite (common practice, no source).
const BRACKETS_APART_MM: f64 = 7.0;

/// One strand of an elastic, from a tooth to another, as lengths along the arch and up or down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strand {
    /// Towards the patient's left positive, mm.
    pub along_mm: f64,
    /// From arch to arch, mm; zero within one.
    pub vertical_mm: f64,
}

impl Strand {
    /// From a tooth of this layout to another of the same or the opposing arch. The opposing arch counts as
    /// the case describes it at the start: what its teeth move by later changes no direction. Where it has no
    /// plan of its own, its teeth count as standing opposite to their namesakes.
    pub fn between(case: &Case, layout: &ArchLayout, tooth: Tooth, other: Tooth) -> Strand {
        let there = if other.arch() == tooth.arch() {
            layout.station_mm(other)
        } else {
            let opposing = case.arch(other.arch()).and_then(ArchLayout::entered);
            opposing.and_then(|o| o.station_mm(other)).or_else(|| {
                Tooth::at(tooth.arch(), other.place()).and_then(|t| layout.station_mm(t))
            })
        };
        let along_mm = match (layout.station_mm(tooth), there) {
            (Some(here), Some(there)) => there - here,
            _ => 0.0,
        };
        let vertical_mm = if other.arch() == tooth.arch() { 0.0 } else { BRACKETS_APART_MM };
        Strand { along_mm, vertical_mm }
    }

    pub fn length_mm(&self) -> f64 {
        self.along_mm.hypot(self.vertical_mm)
    }

    /// Share of the pull that acts up or down.
    pub fn vertical_share(&self) -> f64 {
        let length = self.length_mm();
        if length > 0.0 { self.vertical_mm / length } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{in_line, tooth};
    use springline_units::tooth::Arch;

    /// Upper canine to lower first molar: by the crowns of `anatomy`, 13 lies 18.75 mm and 46 lies 37 mm from
    /// the midline between their contacts, 21.76 and 40.81 mm along the slots of the built-in forms.
    #[test]
    fn a_class_two_strand_runs_from_the_upper_canine_to_the_lower_molar() {
        let case = in_line();
        let layout = |arch| case.arch(arch).and_then(ArchLayout::entered).unwrap();
        let down = Strand::between(&case, &layout(Arch::Upper), tooth(13), tooth(46));
        assert!((down.along_mm + 19.05).abs() < 0.01, "{down:?}");
        let share = 7.0 / down.along_mm.hypot(7.0);
        assert!((down.vertical_share() - share).abs() < 1e-9);
        let up = Strand::between(&case, &layout(Arch::Lower), tooth(46), tooth(13));
        assert_eq!(up.along_mm, -down.along_mm);
        let within = Strand::between(&case, &layout(Arch::Upper), tooth(13), tooth(23));
        assert!((within.along_mm - 43.52).abs() < 0.01 && within.vertical_share() == 0.0);
    }

    #[test]
    fn without_a_plan_the_opposing_tooth_counts_as_standing_opposite() {
        let mut case = in_line();
        case.arches.retain(|a| a.arch == Arch::Upper);
        let layout = ArchLayout::entered(&case.arches[0]).unwrap();
        let strand = Strand::between(&case, &layout, tooth(13), tooth(43));
        assert_eq!((strand.along_mm, strand.vertical_share()), (0.0, 1.0));
    }
}
