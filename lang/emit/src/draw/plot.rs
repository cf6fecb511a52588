//! The bench chart for a terminal, in braille dots.

use super::bench::{BenchAxes, under};
use crate::tables::chart::Chart;
use springline_units::quantity::plain;

/// Cells across and down; each holds two dots by four.
const CELLS: (usize, usize) = (70, 18);
/// Bits of the dots of a cell, row by row (Unicode, Braille Patterns, U+2800).
const BITS: [[u8; 2]; 4] = [[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]];

/// Dots over a range that begins at nothing in both directions.
struct Dots {
    to: (f64, f64),
    cells: Vec<u8>,
}

impl Dots {
    fn new(to: (f64, f64)) -> Dots {
        Dots { to, cells: vec![0; CELLS.0 * CELLS.1] }
    }

    /// The dot of a point; what lies outside goes to the edge.
    fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let share = |v: f64, to: f64| if to > 0.0 { (v / to).clamp(0.0, 1.0) } else { 0.0 };
        let (across, down) = ((2 * CELLS.0 - 1) as f64, (4 * CELLS.1 - 1) as f64);
        ((across * share(x, self.to.0)).round(), (down * (1.0 - share(y, self.to.1))).round())
    }

    fn dot(&mut self, x: usize, y: usize) {
        if let Some(cell) = self.cells.get_mut((y / 4) * CELLS.0 + x / 2) {
            *cell |= BITS[y % 4][x % 2];
        }
    }

    /// Straight from point to point; points that are no numbers are left out.
    fn curve(&mut self, points: &[(f64, f64)]) {
        let points: Vec<(f64, f64)> = points
            .iter()
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .map(|p| self.place(*p))
            .collect();
        for ends in points.windows(2) {
            let ((x0, y0), (x1, y1)) = (ends[0], ends[1]);
            let steps = (x1 - x0).abs().max((y1 - y0).abs()).max(1.0);
            for step in 0..=steps as usize {
                let share = step as f64 / steps;
                let (x, y) = (x0 + share * (x1 - x0), y0 + share * (y1 - y0));
                self.dot(x.round() as usize, y.round() as usize);
            }
        }
    }

    /// Every other dot along the left and lower edge.
    fn axes(&mut self) {
        (0..4 * CELLS.1).step_by(2).for_each(|y| self.dot(0, y));
        (0..2 * CELLS.0).step_by(2).for_each(|x| self.dot(x, 4 * CELLS.1 - 1));
    }

    /// With the ends of both ranges beside and below.
    fn text(&self) -> String {
        let mut out = String::new();
        for (row, cells) in self.cells.chunks(CELLS.0).enumerate() {
            out.extend(
                cells.iter().map(|bits| char::from_u32(0x2800 + u32::from(*bits)).unwrap_or(' ')),
            );
            match row {
                0 => out.push_str(&format!(" {} g", plain(self.to.1))),
                _ if row + 1 == CELLS.1 => out.push_str(" 0"),
                _ => {}
            }
            out.push('\n');
        }
        let end = format!("{} mm", plain(self.to.0));
        out.push_str(&format!("0{end:>width$}\n", width = CELLS.0 - 1));
        out
    }
}

/// One picture a wire, all on the same scale, the ceiling as a line.
pub fn terminal(chart: &Chart) -> String {
    let top = BenchAxes::of(chart).to_g;
    let mut out = format!(
        "Bench test over {} mm, deflected {} mm and back. The level line is the bench ceiling, {} g.\n",
        plain(chart.span_mm),
        plain(chart.to_mm),
        plain(chart.ceiling_g)
    );
    for wire in &chart.wires {
        out.push_str(&format!(
            "\n{}: {}\n",
            springline_model::stock::printed(&wire.wire),
            under(chart, wire)
        ));
        if wire.unloading.is_empty() {
            continue;
        }
        let mut plot = Dots::new((chart.to_mm, top));
        plot.axes();
        plot.curve(&wire.loading);
        plot.curve(&wire.unloading);
        plot.curve(&[(0.0, chart.ceiling_g), (chart.to_mm, chart.ceiling_g)]);
        out.push_str(&plot.text());
    }
    out.push_str(&format!("\n{}\n", chart.note));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rising_line_goes_from_corner_to_corner() {
        let mut dots = Dots::new((4.0, 100.0));
        dots.curve(&[(0.0, 0.0), (f64::NAN, 50.0), (4.0, 100.0)]);
        let text = dots.text();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), CELLS.1 + 1);
        // Lowest left dot of the first cell of the last row; highest right one of the last of the first.
        assert!(
            lines[CELLS.1 - 1].starts_with(['\u{2840}', '\u{28c0}', '\u{2860}', '\u{28e0}']),
            "{text}"
        );
        let first = lines[0].strip_suffix(" 100 g").unwrap();
        assert_eq!(first.chars().count(), CELLS.0);
        assert_ne!(first.chars().last(), Some('\u{2800}'), "{text}");
        assert!(lines[CELLS.1].starts_with('0') && lines[CELLS.1].ends_with("4 mm"));
        // Every row has dots, and no point outside does harm.
        assert!(
            lines[..CELLS.1].iter().all(|l| l.contains(|c| ('\u{2801}'..='\u{28ff}').contains(&c)))
        );
        dots.curve(&[(-9.0, 1e9), (1e9, f64::INFINITY), (1e9, -5.0)]);
    }
}
