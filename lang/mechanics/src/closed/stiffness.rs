//! Bending and torsional stiffness of sections.

use super::super::{Law, SectionShape, WireSection};
use std::f64::consts::PI;

/// Area, mm^2, of the outline: edges rounded, strands not counted.
pub fn area(section: &WireSection) -> f64 {
    match section.shape {
        SectionShape::Round { diameter_mm: d } => PI * d * d / 4.0,
        SectionShape::Rectangular { height_mm: h, depth_mm: d, edge_radius_mm: r } => {
            h * d - (4.0 - PI) * r * r
        }
    }
}

/// Second moment of area, mm^4, for bending in the occlusogingival plane (the height bends) and in
/// the labiolingual plane (the depth bends). Exact for rounded edges; a stiffness ratio scales it.
pub fn bending_inertia(section: &WireSection) -> Option<(f64, f64)> {
    let (vertical, horizontal) = match section.shape {
        SectionShape::Round { diameter_mm: d } => {
            let i = PI * d.powi(4) / 64.0;
            (i, i)
        }
        SectionShape::Rectangular { height_mm: h, depth_mm: d, edge_radius_mm: r } => {
            (d * h.powi(3) / 12.0 - edges_inertia(h, r), h * d.powi(3) / 12.0 - edges_inertia(d, r))
        }
    };
    let ratio = section.stiffness_ratio;
    (vertical > 0.0 && horizontal > 0.0 && vertical.is_finite() && horizontal.is_finite())
        .then_some((ratio * vertical, ratio * horizontal))
}

/// Second moment about the neutral axis of what four rounded edges take away: squares of side `r` less
/// quarter circles whose centres lie `r` inside both sides.
fn edges_inertia(height: f64, r: f64) -> f64 {
    let centre = 0.5 * height - r;
    let square = r.powi(4) / 12.0 + r * r * (centre + 0.5 * r).powi(2);
    let quarter =
        PI * r.powi(4) / 16.0 + 2.0 * centre * r.powi(3) / 3.0 + centre * centre * PI * r * r / 4.0;
    4.0 * (square - quarter)
}

/// Saint-Venant's torsion constant, mm^4: polar moment for round, the series for rectangular less what
/// rounded edges take away.
pub fn torsion_constant(section: &WireSection) -> Option<f64> {
    let j = match section.shape {
        SectionShape::Round { diameter_mm: d } => PI * d.powi(4) / 32.0,
        SectionShape::Rectangular { height_mm, depth_mm, edge_radius_mm } => {
            let (long, short) = (height_mm.max(depth_mm), height_mm.min(depth_mm));
            // J = a b^3 (1/3 - 64/pi^5 b/a sum tanh(n pi a / 2b) / n^5), n odd; 20 terms reach rounding.
            let sum: f64 = (0..20)
                .map(|k| f64::from(2 * k + 1))
                .map(|n| (n * PI * long / (2.0 * short)).tanh() / n.powi(5))
                .sum();
            long * short.powi(3) * (1.0 / 3.0 - 64.0 / PI.powi(5) * (short / long) * sum)
                - edges_torsion(long, short, edge_radius_mm)
        }
    };
    (j > 0.0 && j.is_finite()).then_some(section.stiffness_ratio * j)
}

/// What four rounded edges take from the torsion constant. The stress vanishes in a corner, so it is
/// little: `r^4` times a polynomial in `ln(short / r)` and `short / long`. Its seven numbers were fitted
/// to solutions by harmonic polynomials (Rayleigh and Ritz, eight terms) of 63 outlines, long to short
/// 1 to 2.5, radius up to half of the short side; it leaves 0.05 % of J at most. A test holds it
/// against another method.
fn edges_torsion(long: f64, short: f64, r: f64) -> f64 {
    if r <= 0.0 {
        return 0.0;
    }
    let (l, q) = ((short / r).ln(), short / long);
    let factor = 0.2136 + 0.6909 * l + 0.2331 * l * l + q * (0.1846 + 0.1476 * l)
        - q * q * (0.2880 + 0.1806 * l);
    factor * r.powi(4)
}

/// Flexural rigidity EI, N mm^2: occlusogingival, labiolingual. For a flag law that of austenite.
pub fn flexural_rigidity(section: &WireSection, law: &Law) -> Option<(f64, f64)> {
    let (v, h) = bending_inertia(section)?;
    Some((law.modulus_mpa() * v, law.modulus_mpa() * h))
}

/// Torsional rigidity GJ, N mm^2.
pub fn torsional_rigidity(section: &WireSection, law: &Law) -> Option<f64> {
    Some(law.shear_modulus_mpa() * torsion_constant(section)?)
}

/// Burstone's cross-section stiffness number: inertia over that of a round 4 mil wire;
/// occlusogingival (second order), labiolingual (first order).
pub fn cross_section_stiffness_number(section: &WireSection) -> Option<(f64, f64)> {
    let unit = PI * (0.004_f64 * 25.4).powi(4) / 64.0;
    let (v, h) = bending_inertia(section)?;
    Some((v / unit, h / unit))
}

/// Burstone's material stiffness number: modulus over that of steel.
pub fn material_stiffness_number(law: &Law) -> f64 {
    law.modulus_mpa() / Law::steel().modulus_mpa()
}
