//! The program from outside, over the practices of `examples/`.
//!
//! One binary: the desk in its browser takes longest and mostly waits, and the others run beside it.

mod calendar;
mod desk;
mod examples;
mod figures;
mod fixes;
mod invariants;
mod own_wires;
mod print_examples;
mod print_practice;
mod print_schemas;
mod year;
