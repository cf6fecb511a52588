//! Cross-sections of wires.

/// The outline of a wire. Heights are occlusogingival, depths labiolingual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SectionShape {
    /// A round wire.
    Round {
        /// Diameter, mm.
        diameter_mm: f64,
    },
    /// A rectangular or square wire.
    Rectangular {
        /// Occlusogingival size, mm.
        height_mm: f64,
        /// Labiolingual size, mm.
        depth_mm: f64,
        /// Radius of the four edges, mm; zero is sharp. Counts for the play in twist and for the
        /// stiffness.
        edge_radius_mm: f64,
    },
}

/// A shape and how much of a solid wire of that shape it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireSection {
    /// The outline.
    pub shape: SectionShape,
    /// Bending and torsion stiffness over that of a solid wire of the same outline and material: 1
    /// for solid, about 0.2 for three twisted strands (an effective figure, not a strand model).
    pub stiffness_ratio: f64,
}

impl WireSection {
    /// A solid round wire; diameter in mm.
    pub const fn round(diameter_mm: f64) -> WireSection {
        WireSection { shape: SectionShape::Round { diameter_mm }, stiffness_ratio: 1.0 }
    }

    /// A solid rectangular wire; sizes and edge radius in mm.
    pub const fn rectangular(height_mm: f64, depth_mm: f64, edge_radius_mm: f64) -> WireSection {
        WireSection {
            shape: SectionShape::Rectangular { height_mm, depth_mm, edge_radius_mm },
            stiffness_ratio: 1.0,
        }
    }

    /// A solid square wire; side and edge radius in mm.
    pub const fn square(side_mm: f64, edge_radius_mm: f64) -> WireSection {
        WireSection::rectangular(side_mm, side_mm, edge_radius_mm)
    }

    /// Twisted or braided strands in a round outline, mm, with the stiffness of a solid one times the ratio.
    pub const fn multistrand(outer_mm: f64, stiffness_ratio: f64) -> WireSection {
        WireSection { shape: SectionShape::Round { diameter_mm: outer_mm }, stiffness_ratio }
    }

    /// Occlusogingival size, mm.
    pub const fn height_mm(&self) -> f64 {
        match self.shape {
            SectionShape::Round { diameter_mm } => diameter_mm,
            SectionShape::Rectangular { height_mm, .. } => height_mm,
        }
    }

    /// Labiolingual size, mm.
    pub const fn depth_mm(&self) -> f64 {
        match self.shape {
            SectionShape::Round { diameter_mm } => diameter_mm,
            SectionShape::Rectangular { depth_mm, .. } => depth_mm,
        }
    }
}
