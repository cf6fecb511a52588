//! The rules: their pages and examples, the fixes they offer, acceptance, and the practice of Saltmarsh under them.

mod accept;
mod docs;
mod examples;
mod false_alarms;
mod fixes;
mod harmless;
mod one_side_or_size;
mod order_of_wires;
mod pages;
mod pairs;
mod practice;
#[path = "../rules_common/mod.rs"]
mod rules_common;
mod silly_plans;
mod trials;
mod waits;
mod weight;
