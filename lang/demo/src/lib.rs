//! Generator of invented practices of any size, for demonstration and measurement: the practice Saltmarsh
//! with as many patients as requested. None of them exists. A seed and a number always give the same
//! patient, whatever else is generated.
//!
//! The mix is that of an ordinary practice: mostly mild and moderate crowding, now and then a high
//! canine, a midline shift, a deep bite, extractions. Figures are rounded as people write them, to half
//! millimetres and five degrees. Most plans are sound; some have a warning, a few an error.
//!
//! Plans are text and no more: the crate must not know how they are read.

mod clinic_days;
mod draw;
mod kinds;
mod visits;

use jiff::civil::Date;

use draw::Draw;
use kinds::Patient;

/// The house file that all of them use; `name` as it stands in `use`.
pub const HOUSE_NAME: &str = "saltmarsh";

/// The house file, with a chart reference of as many digits as so many patients need.
pub fn house() -> String {
    include_str!("../../../examples/saltmarsh.spring")
        .replace("chart \"SM-####\"", "chart \"SM-######\"")
}

/// A file of the practice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DemoCase {
    /// The file's name, with its ending.
    pub file: String,
    pub text: String,
}

/// Patient `number` of the practice of a seed, as written up to `today`.
pub fn case(seed: u64, number: u32, today: Date) -> DemoCase {
    let mut draw = Draw::new(seed, number);
    let patient = Patient::draw(&mut draw, today);
    let chart = format!("SM-{:06}", 100_000 + number % 900_000);
    let text = patient.text(&chart) + &visits::written(&patient, &mut draw, today);
    DemoCase { file: format!("{}-{}.spring", chart.to_lowercase(), patient.name()), text }
}

#[cfg(test)]
mod tests;
