//! A step's or device's condition in words: as a test asks for it, and after "until".

use crate::{dates, wording};
use springline_model::step::{Condition, Term};
use springline_units::quantity::{mm, plain};
use springline_units::tooth::Notation;

/// "12 has 7 mm of space".
pub fn reached(term: &Term, n: Notation) -> Option<String> {
    Some(match term {
        Term::Space { length, teeth } if teeth.is_empty() => {
            format!("{} mm of space", plain(mm(*length)))
        }
        Term::Space { length, teeth } => {
            format!("{} mm of space at {}", plain(mm(*length)), wording::list(teeth, n))
        }
        Term::Gap { length, first, second } if mm(*length) == 0.0 => {
            format!("the gap {} is closed", wording::pair(*first, *second, n))
        }
        Term::Gap { length, first, second } => {
            format!("gap {} at {} mm", wording::pair(*first, *second, n), plain(mm(*length)))
        }
        Term::Overjet { overjet } => overjet.written().replace("reverse-", "reverse "),
        Term::Overbite { length } => format!("overbite {} mm", plain(mm(*length))),
        Term::Midline { arch, midline } if mm(midline.off) == 0.0 => {
            format!("{arch} midline on the {}", reference(midline.reference))
        }
        Term::Midline { arch, midline } => format!(
            "{arch} midline {} mm to the patient\u{2019}s {}",
            plain(mm(midline.off)),
            midline.side
        ),
        Term::OverTheBite { teeth } => format!("{} out of crossbite", wording::list(teeth, n)),
        Term::Within { length, teeth } => {
            format!("{} within {} mm of the arch line", wording::list(teeth, n), plain(mm(*length)))
        }
        Term::Passive | Term::Decided | Term::Settled | Term::Time { .. } => return None,
    })
}

fn reference(reference: springline_model::step::MidlineReference) -> &'static str {
    use springline_model::step::MidlineReference::*;
    match reference {
        Face => "face",
        Upper => "upper midline",
        Lower => "lower midline",
    }
}

/// A condition after "until": "12 is out of crossbite".
pub fn condition_text(condition: &Condition, n: Notation) -> String {
    let parts: Vec<String> = condition.terms.iter().map(|t| term_text(t, n)).collect();
    parts.join(if condition.all { " and " } else { " or " })
}

fn term_text(term: &Term, n: Notation) -> String {
    match term {
        Term::Passive => "the wire is passive".to_owned(),
        Term::Decided => "the doctor says so".to_owned(),
        Term::Settled => "the wire is expressed".to_owned(),
        Term::Time { period } => format!("{} are over", dates::period(*period)),
        Term::Space { length, teeth } if teeth.is_empty() => {
            format!("there is {} mm of space", plain(mm(*length)))
        }
        Term::Space { length, teeth } => {
            format!("there is {} mm of space at {}", plain(mm(*length)), wording::list(teeth, n))
        }
        Term::Overjet { overjet } => {
            format!("the overjet is {}", springline_model::case::say_overjet(overjet.mm()))
        }
        Term::Overbite { length } => format!("the overbite is {} mm", plain(mm(*length))),
        Term::OverTheBite { teeth } if teeth.len() == 1 => {
            format!("{} is out of crossbite", wording::list(teeth, n))
        }
        Term::OverTheBite { teeth } => format!("{} are out of crossbite", wording::list(teeth, n)),
        Term::Within { length, teeth } => {
            format!(
                "{} is within {} mm of the arch line",
                wording::list(teeth, n),
                plain(mm(*length))
            )
        }
        Term::Gap { length, first, second } if mm(*length) > 0.0 => {
            format!("the gap {} is {} mm", wording::pair(*first, *second, n), plain(mm(*length)))
        }
        Term::Midline { .. } | Term::Gap { .. } => reached(term, n)
            .map(|t| t.replace(" midline on ", " midline is on "))
            .unwrap_or_default(),
    }
}
