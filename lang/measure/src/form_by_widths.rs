//! A form by its widths at canines and molars, as a practice file writes it, of the line that fits an arch best.

use crate::contacts::CrownOnLine;
use crate::line_fit::REACH;
use crate::slots::CrownInPlane;
use springline_mechanics::{ArchLine, QuarticLine};
use springline_units::quantity::{plain, tenth};
use springline_units::tooth::Side;

/// Width of the form along the slots, and how far behind its foremost point; and how well it fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FormByWidths {
    pub canine_width_mm: f64,
    pub canine_depth_mm: f64,
    pub molar_width_mm: f64,
    pub molar_depth_mm: f64,
    /// Teeth within half a millimetre of it.
    pub in_line: usize,
    /// Root mean square of their distances, mm.
    pub misfit_mm: f64,
}

impl FormByWidths {
    /// As a practice file writes it, without its name: "width 27 mm depth 5 mm, width 48 mm depth 23 mm".
    pub fn written(&self) -> String {
        let mm = |x: f64| plain(tenth(x));
        format!(
            "width {} mm depth {} mm, width {} mm depth {} mm",
            mm(self.canine_width_mm),
            mm(self.canine_depth_mm),
            mm(self.molar_width_mm),
            mm(self.molar_depth_mm)
        )
    }
}

/// Distance of the canines from the middle of the front, mm; `None` where a canine, or the teeth behind it, are missing on
/// a side: a form of two numbers would then follow single teeth.
pub(crate) fn canine_mm(in_plane: &[CrownInPlane]) -> Option<f64> {
    let on = |side: Side, from: u8, to: u8| {
        let fits =
            |p: &&CrownInPlane| p.tooth.side() == side && (from..=to).contains(&p.tooth.position());
        in_plane.iter().find(fits)
    };
    let (right, left) = (on(Side::Right, 3, 3)?, on(Side::Left, 3, 3)?);
    (on(Side::Right, 5, 8).is_some() && on(Side::Left, 5, 8).is_some()).then_some(())?;
    let foremost = in_plane.iter().map(|p| p.slot[1]).fold(f64::INFINITY, f64::min);
    let half = 0.5 * (left.slot[0] - right.slot[0]).hypot(left.slot[1] - right.slot[1]);
    let depth = 0.5 * (left.slot[1] + right.slot[1]) - foremost;
    let distance = half.hypot(depth);
    (distance > 4.0).then_some(distance)
}

/// A fitted line in these figures: at the canines as the form itself counts them, and at the first molars, or the last
/// teeth that were measured.
pub(crate) fn form_by_widths(
    line: ArchLine,
    crowns: &[CrownOnLine],
    in_line_mm: f64,
) -> Option<FormByWidths> {
    let ArchLine::TwoWidths(form) = line else { return None };
    let back = |side: Side| {
        let own = crowns.iter().filter(|c| c.tooth.side() == side && c.tooth.position() >= 5);
        let first_molar = own.clone().find(|c| c.tooth.position() == 6);
        first_molar.or_else(|| own.max_by_key(|c| c.tooth.position())).map(|c| c.station_mm.abs())
    };
    let molar_station = 0.5 * (back(Side::Right)? + back(Side::Left)?);
    let ([cx, cy], [mx, my]) = (line.place(canine_station(&form)).0, line.place(molar_station).0);
    let in_line: Vec<f64> =
        crowns.iter().map(|c| c.lingual_mm).filter(|r| r.abs() <= in_line_mm).collect();
    let squares: f64 = in_line.iter().map(|r| r * r).sum();
    Some(FormByWidths {
        canine_width_mm: 2.0 * cx,
        canine_depth_mm: cy,
        molar_width_mm: 2.0 * mx,
        molar_depth_mm: my,
        in_line: in_line.len(),
        misfit_mm: (squares / in_line.len().max(1) as f64).sqrt(),
    })
}

/// Where the line is as far from its middle as a form by widths takes its canines to be.
fn canine_station(form: &QuarticLine) -> f64 {
    let (line, distance) = (ArchLine::TwoWidths(*form), form.reach_mm / REACH);
    // The way along the line is longer than the distance, by less than a half.
    let (mut low, mut high) = (distance, 1.6 * distance);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let [x, y] = line.place(middle).0;
        if x.hypot(y) < distance { low = middle } else { high = middle }
    }
    low
}
