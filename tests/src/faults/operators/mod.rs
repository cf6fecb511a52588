//! The operators, by the family of what they break.

mod bands;
mod force;
mod harmless;
mod house;
mod name;
mod order;
mod record;
mod slide;
mod space;
mod syntax;
mod time;
mod unit;

use fastrand::Rng;

use super::Operator;

/// Every operator, unsafe ones first.
pub fn all() -> Vec<&'static Operator> {
    let parts: [&'static [Operator]; 12] = [
        force::OPERATORS,
        space::OPERATORS,
        order::OPERATORS,
        bands::OPERATORS,
        slide::OPERATORS,
        time::OPERATORS,
        record::OPERATORS,
        unit::OPERATORS,
        name::OPERATORS,
        syntax::OPERATORS,
        house::OPERATORS,
        harmless::OPERATORS,
    ];
    parts.into_iter().flatten().collect()
}

/// One of them.
fn one<T: Copy>(rng: &mut Rng, of: &[T]) -> T {
    of[rng.usize(..of.len())]
}

/// A length between two, in steps of half a millimetre.
fn half(rng: &mut Rng, from: f64, to: f64) -> f64 {
    let steps = ((to - from) * 2.0).round() as u32;
    from + f64::from(rng.u32(0..=steps)) / 2.0
}
