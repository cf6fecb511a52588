//! What several rules need: how strong a wire is, what elastics pull, where the midline should go, the
//! account of space, and changes of plan that more than one rule proposes. Nothing here reports a finding.

pub mod account;
pub mod aimed_figures;
pub mod bring_in;
pub mod elastics;
pub mod make_space;
pub mod meanwhile;
pub mod midline;
pub mod named;
pub mod out_of_line;
pub mod role;
pub mod stock_wires;
pub mod strength;
pub mod traction;
pub mod unmet;
