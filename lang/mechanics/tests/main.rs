//! The wire between its brackets: closed forms, published tables, solved cases and properties.
//!
//! One binary: twenty would be linked one after another, and run one after another.

mod arch_properties;
mod axial;
mod compare;
mod elastica;
mod friction;
mod invariants;
mod law;
mod limits;
mod march;
mod mesh;
mod random;
mod reference;
mod reverse_curve;
mod root;
mod section;
mod slot_line;
mod statics;
mod strain;
mod support;
mod tandem;
mod temperature;
mod ties;
mod torque;
mod travel;
mod wire_curve;
