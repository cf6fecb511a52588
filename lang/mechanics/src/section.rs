//! Cross-sections of wires.

/// The outline of a wire. Heights are occlusogingival, depths labiolingual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
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
pub struct Section {
    /// The outline.
    pub shape: Shape,
    /// Bending and torsion stiffness over that of a solid wire of the same outline and material: 1
    /// for solid, about 0.2 for three twisted strands (an effective figure, not a strand model).
    pub stiffness_ratio: f64,
}

impl Section {
    /// A solid round wire; diameter in mm.
    pub const fn round(diameter_mm: f64) -> Section {
        Section { shape: Shape::Round { diameter_mm }, stiffness_ratio: 1.0 }
    }

    /// A solid rectangular wire; sizes and edge radius in mm.
    pub const fn rectangular(height_mm: f64, depth_mm: f64, edge_radius_mm: f64) -> Section {
        Section {
            shape: Shape::Rectangular { height_mm, depth_mm, edge_radius_mm },
            stiffness_ratio: 1.0,
        }
    }

    /// A solid square wire; side and edge radius in mm.
    pub const fn square(side_mm: f64, edge_radius_mm: f64) -> Section {
        Section::rectangular(side_mm, side_mm, edge_radius_mm)
    }

    /// Twisted or braided strands in a round outline, mm, with the stiffness of a solid one times the ratio.
    pub const fn multistrand(outer_mm: f64, stiffness_ratio: f64) -> Section {
        Section { shape: Shape::Round { diameter_mm: outer_mm }, stiffness_ratio }
    }

    /// Occlusogingival size, mm.
    pub const fn height_mm(&self) -> f64 {
        match self.shape {
            Shape::Round { diameter_mm } => diameter_mm,
            Shape::Rectangular { height_mm, .. } => height_mm,
        }
    }

    /// Labiolingual size, mm.
    pub const fn depth_mm(&self) -> f64 {
        match self.shape {
            Shape::Round { diameter_mm } => diameter_mm,
            Shape::Rectangular { depth_mm, .. } => depth_mm,
        }
    }
}
