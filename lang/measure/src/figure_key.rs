//! Names of the figures that are read from points.

use springline_units::tooth::Tooth;

/// One figure. Lengths in mm, angles in degrees; lingual, gingival, mesial edge in, crown mesial positive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FigureKey {
    Lingual(Tooth),
    Rotated(Tooth),
    Gingival(Tooth),
    Tipped(Tooth),
    Width(Tooth),
    /// Between the facing contacts of its neighbours.
    Space(Tooth),
    /// Between the facing contacts of two neighbours along the contact line; negative where they overlap.
    Gap(Tooth, Tooth),
    /// From the middle of one crown to that of the next, less half of both widths: as plans say gaps and overlaps.
    Spacing(Tooth, Tooth),
    /// Little's index.
    Irregularity,
    /// Its labiolingual part.
    IrregularityInOut,
    /// Along the contact line between the mesial contacts of the first molars.
    Available,
    /// Widths of the teeth between them.
    Required,
    /// What is available, less what those crowns take of a curved line.
    Discrepancy,
    CanineWidth,
    MolarWidth,
    Depth,
    CurveOfSpee,
    /// Of a fitted catenary.
    FormSize,
    AnteriorRatio,
    OverallRatio,
    Overjet,
    Overbite,
    /// The lower midline to the patient's left of the upper one.
    LowerMidline,
}
