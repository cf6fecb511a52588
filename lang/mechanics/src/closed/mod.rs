//! Closed-form results that need no solve. Each returns `None` for impossible input.

mod coil;
mod play;
mod sliding;
mod stiffness;

pub use coil::{OpenCoil, helical_rate, open_coil};
pub use play::{critical_contact_angle, third_order_play};
pub use sliding::{sliding_share, tail_buckles_n};
pub use stiffness::{
    area, bending_inertia, cross_section_stiffness_number, flexural_rigidity,
    material_stiffness_number, torsion_constant, torsional_rigidity,
};
