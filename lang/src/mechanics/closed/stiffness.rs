//! Bending and torsional stiffness of sections.

use super::super::{Law, Section, Shape};
use std::f64::consts::PI;

/// Second moment of area, mm^4, for bending in the occlusogingival plane (the height bends) and in
/// the labiolingual plane (the depth bends). Sharp edges; a stiffness ratio scales it.
pub fn bending_inertia(section: &Section) -> Option<(f64, f64)> {
    let (vertical, horizontal) = match section.shape {
        Shape::Round { diameter_mm: d } => {
            let i = PI * d.powi(4) / 64.0;
            (i, i)
        }
        Shape::Rectangular { height_mm: h, depth_mm: d, .. } => {
            (d * h.powi(3) / 12.0, h * d.powi(3) / 12.0)
        }
    };
    let ratio = section.stiffness_ratio;
    (vertical > 0.0 && horizontal > 0.0 && vertical.is_finite() && horizontal.is_finite())
        .then_some((ratio * vertical, ratio * horizontal))
}

/// Saint-Venant's torsion constant, mm^4: polar moment for round, the series for rectangular (sharp edges).
pub fn torsion_constant(section: &Section) -> Option<f64> {
    let j = match section.shape {
        Shape::Round { diameter_mm: d } => PI * d.powi(4) / 32.0,
        Shape::Rectangular { height_mm, depth_mm, .. } => {
            let (long, short) = (height_mm.max(depth_mm), height_mm.min(depth_mm));
            // J = a b^3 (1/3 - 64/pi^5 b/a sum tanh(n pi a / 2b) / n^5), n odd; 20 terms reach rounding.
            let sum: f64 = (0..20)
                .map(|k| f64::from(2 * k + 1))
                .map(|n| (n * PI * long / (2.0 * short)).tanh() / n.powi(5))
                .sum();
            long * short.powi(3) * (1.0 / 3.0 - 64.0 / PI.powi(5) * (short / long) * sum)
        }
    };
    (j > 0.0 && j.is_finite()).then_some(section.stiffness_ratio * j)
}

/// Flexural rigidity EI, N mm^2: occlusogingival, labiolingual. For a flag law that of austenite.
pub fn flexural_rigidity(section: &Section, law: &Law) -> Option<(f64, f64)> {
    let (v, h) = bending_inertia(section)?;
    Some((law.modulus_mpa() * v, law.modulus_mpa() * h))
}

/// Torsional rigidity GJ, N mm^2.
pub fn torsional_rigidity(section: &Section, law: &Law) -> Option<f64> {
    Some(law.shear_modulus_mpa() * torsion_constant(section)?)
}

/// Burstone's cross-section stiffness number: inertia over that of a round 4 mil wire;
/// occlusogingival (second order), labiolingual (first order).
pub fn cross_section_stiffness_number(section: &Section) -> Option<(f64, f64)> {
    let unit = PI * (0.004_f64 * 25.4).powi(4) / 64.0;
    let (v, h) = bending_inertia(section)?;
    Some((v / unit, h / unit))
}

/// Burstone's material stiffness number: modulus over that of steel.
pub fn material_stiffness_number(law: &Law) -> f64 {
    law.modulus_mpa() / Law::steel().modulus_mpa()
}
