//! What both arches say together: tooth-size ratios, overjet, overbite, midlines.

use std::collections::BTreeMap;

use crate::arch_frame::ArchFrame;
use crate::figure_key::FigureKey;
use crate::picks::{ArchPicks, CrownPicks};
use springline_units::tooth::Tooth;

/// Tooth-size ratios: Bolton WA. Angle Orthod 1958;28(3):113-130. Not from photographs: a camera 20 deg off misreads
/// every width by half a millimetre.
pub(crate) fn ratios(upper: &ArchPicks, lower: &ArchPicks, out: &mut BTreeMap<FigureKey, f64>) {
    if upper.is_flat || lower.is_flat {
        return;
    }
    let sum = |picks: &ArchPicks, last: u8| {
        let own = picks.crowns.iter();
        let own = own.filter(|c| c.tooth.position() <= last && !c.tooth.is_deciduous());
        let widths: Vec<f64> = own.map(CrownPicks::width_mm).collect();
        (widths.len() == 2 * usize::from(last)).then(|| widths.iter().sum::<f64>())
    };
    for (last, key) in [(3, FigureKey::AnteriorRatio), (6, FigureKey::OverallRatio)] {
        if let (Some(upper), Some(lower)) = (sum(upper, last), sum(lower, last)) {
            out.insert(key, 100.0 * lower / upper);
        }
    }
}

/// Between the edges of the central incisors, on the axes of the upper arch; both scanned as they bite.
pub(crate) fn bite(
    upper: &ArchPicks,
    lower: &ArchPicks,
    frame: &ArchFrame,
    out: &mut BTreeMap<FigureKey, f64>,
) {
    if upper.is_flat || lower.is_flat {
        return;
    }
    let centrals = |picks: &ArchPicks, codes: [u32; 2]| {
        let crown = |code| Tooth::iso(code).and_then(|t| picks.crown(t)).cloned();
        Some([crown(codes[0])?, crown(codes[1])?])
    };
    let (Some(up), Some(low)) = (centrals(upper, [11, 21]), centrals(lower, [41, 31])) else {
        return;
    };
    let edge = |pair: &[CrownPicks; 2]| {
        let points: Vec<[f64; 3]> = pair.iter().flat_map(|c| c.cusps.iter().copied()).collect();
        let count = points.len() as f64;
        let middle = |i: usize| points.iter().map(|p| p[i]).sum::<f64>() / count;
        (pair.iter().all(|c| !c.cusps.is_empty()))
            .then(|| frame.put([middle(0), middle(1), middle(2)]))
    };
    if let (Some(u), Some(l)) = (edge(&up), edge(&low)) {
        out.insert(FigureKey::Overjet, l[1] - u[1]);
        out.insert(FigureKey::Overbite, l[2] - u[2]);
    }
    let midline = |[right, left]: &[CrownPicks; 2]| {
        let middle = |i: usize| 0.5 * (right.left[i] + left.right[i]);
        frame.put([middle(0), middle(1), middle(2)])[0]
    };
    out.insert(FigureKey::LowerMidline, midline(&low) - midline(&up));
}
