//! Closed-form results that need no solve. Each returns `None` for impossible input.

mod coil;
mod elastica;
mod order;
mod sliding;
mod stiffness;

pub use coil::{OpenCoil, helical_rate, open_coil};
pub use elastica::{
    CantileverTip, ThreePointElastica, cantilever_elastica, three_point_elastica, three_point_small,
};
pub use order::{critical_contact_angle, slot_fill, third_order_play, torque_couple};
pub use sliding::{SlidingInterval, SlidingStop, sliding_interval};
pub use stiffness::{
    area, bending_inertia, cross_section_stiffness_number, flexural_rigidity,
    material_stiffness_number, torsion_constant, torsional_rigidity,
};
