//! Horizontal overlap of the incisors, forward or reverse.

use serde::Serialize;

use springline_units::quantity::{Length, mm, plain};

/// Horizontal overlap of the front teeth, ordinary or reversed.
///
/// The sign is internal: the language writes an amount and a word.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Overjet(Length);

impl Overjet {
    /// The upper front teeth are in front by this much.
    pub fn forward(by: Length) -> Overjet {
        Overjet(by.abs())
    }

    /// The lower front teeth are in front by this much.
    pub fn reverse(by: Length) -> Overjet {
        Overjet(-by.abs())
    }

    /// Positive where the upper front teeth are in front.
    pub fn mm(self) -> f64 {
        mm(self.0)
    }

    pub fn is_reverse(self) -> bool {
        self.mm() < 0.0
    }

    /// As the language writes it: `overjet 2 mm`, `reverse-overjet 1 mm`.
    pub fn written(self) -> String {
        let word = if self.is_reverse() { "reverse-overjet" } else { "overjet" };
        format!("{word} {} mm", plain(self.mm().abs()))
    }
}

/// "2 mm", "reversed by 1 mm": an overjet in words.
pub fn say_overjet(signed_mm: f64) -> String {
    let tenth = (signed_mm * 10.0).round() / 10.0;
    match tenth < 0.0 {
        true => format!("reversed by {} mm", plain(-tenth)),
        false => format!("{} mm", plain(tenth)),
    }
}
