//! Rates of tooth movement and the uncertainty of forecasts. Knows neither plans nor wires.

pub mod bite_rates;
pub(crate) mod chair;
pub(crate) mod condition_time;
pub(crate) mod irregularity;
pub(crate) mod long_axis;
pub mod movement;
pub(crate) mod passive;
pub mod periodontium;
pub mod rates;
pub mod rules_of_thumb;
pub mod spread;
pub mod statistics;
pub(crate) mod time_band;
pub mod traction_rates;
