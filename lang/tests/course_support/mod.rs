//! Cases as text, on the house of the invented practice.

// Each test file uses its own part of this.
#![allow(dead_code)]

pub mod trial;

use springline_lang::course::{ArchForecast, Forecast, forecast};
use springline_lang::model::Case;
use springline_lang::units::tooth::Arch;
use springline_test_support::case;

pub fn arch(forecast: &Forecast, arch: Arch) -> &ArchForecast {
    forecast.arch(arch).expect("the arch")
}

pub fn course(body: &str) -> (Case, Forecast) {
    let case = case(body);
    let forecast = forecast(&case, None);
    (case, forecast)
}

/// Six to six bonded, following the usual sequence.
pub const PLAIN_UPPER: &str =
    "upper {\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n  follow usual\n}\n";
