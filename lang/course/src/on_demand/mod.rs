//! Figures computed on request, because they are too slow for every keystroke: the ranges of a wire's figures,
//! its forces over time, a bench test. Outputs receive them as values.

mod bench;
mod force_history;
mod occlusal;
mod phase_figures;

pub use bench::{Bench, WireBench, bench, standard_test};
pub use force_history::{ToothForce, force_history};
pub use occlusal::{OcclusalArch, OcclusalCrown, OcclusalGap, Placed};
pub use phase_figures::{PhaseFigures, phase_figures};
pub use springline_mechanics::WirePoint;
pub use springline_mechanics::bench::{BendCurve, ThreePoint};
pub use springline_mechanics::{Band, Fit, Spread, ToothBand};
