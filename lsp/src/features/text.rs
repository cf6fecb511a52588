//! Text helpers that several features share.

use springline_lang::course::TimeBand;
use springline_lang::model::stock::{Section, Wire, printed};
use springline_lang::units::quantity::{inches, mm, newtons_to_grams};
use springline_lang::units::tooth::{Notation, Tooth};

/// "0.014 in (0.356 mm) round".
pub fn section(wire: &Wire) -> String {
    let two = |a, b| format!("{:.3} \u{d7} {:.3} mm", mm(a), mm(b));
    match wire.section {
        Section::Round { diameter } => {
            format!(
                "{} round ({:.3} in, {:.3} mm)",
                printed(&wire.section_text),
                inches(diameter),
                mm(diameter)
            )
        }
        Section::Square { side } => {
            format!("{} square ({})", printed(&wire.section_text), two(side, side))
        }
        Section::Rect { height, depth } => {
            format!("{} ({})", printed(&wire.section_text), two(height, depth))
        }
    }
}

/// "43 g": whole grams.
pub fn grams(newtons: f64) -> String {
    format!("{:.0} g", newtons_to_grams(newtons))
}

/// "9 wk (6 to 14), about 2026-11-16".
pub fn band(band: &TimeBand) -> String {
    let mut out = band.weeks();
    if let Some([_, median, _]) = band.dates {
        out.push_str(&format!(", about {median}"));
    }
    out
}

/// Teeth as this practice writes them.
pub fn teeth(teeth: &[Tooth], notation: Notation) -> String {
    teeth.iter().map(|t| t.write(notation)).collect::<Vec<_>>().join(", ")
}
