//! Label placement beside the strip: each label above its object, in as few rows as keep labels apart.

use super::list::{Align, DrawItem, Pen, Shade, at, words_width};
use super::strip::WIDTH;

/// 8.5 pt at the width that drawings have on paper.
pub const SIZE: f64 = 3.0;
pub const ROW: f64 = 3.5;

/// A word or two about something on the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Where the thing is.
    pub x: f64,
    pub y: f64,
    pub text: String,
    /// Something unlike the usual: set bold.
    pub strong: bool,
}

/// A label with its row (0 next to the crowns) and the middle of its words.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedLabel {
    pub label: Label,
    pub row: usize,
    pub middle: f64,
}

/// Puts every label on a row where it touches no other. Neighbours that say the same become one.
pub fn place(mut labels: Vec<Label>) -> Vec<PlacedLabel> {
    labels.sort_by(|a, b| a.x.total_cmp(&b.x));
    let labels = join(labels);
    let mut rows: Vec<f64> = Vec::new();
    let mut out: Vec<PlacedLabel> = Vec::new();
    for label in labels {
        let half = words_width(&label.text, SIZE, label.strong) / 2.0;
        let middle = label.x.clamp(half, (WIDTH - half).max(half));
        let start = middle - half;
        let row = match rows.iter().position(|end| *end + 1.6 <= start) {
            Some(row) => row,
            None => {
                rows.push(f64::NEG_INFINITY);
                rows.len() - 1
            }
        };
        if let Some(end) = rows.get_mut(row) {
            *end = middle + half;
        }
        out.push(PlacedLabel { label, row, middle });
    }
    out
}

fn join(labels: Vec<Label>) -> Vec<Label> {
    let mut out: Vec<(Label, usize)> = Vec::new();
    for label in labels {
        match out.last_mut() {
            Some((last, count))
                if last.text == label.text && label.x - last.x < 9.0 && last.text == "stop" =>
            {
                last.x = (last.x + label.x) / 2.0;
                *count += 1;
            }
            _ => out.push((label, 1)),
        }
    }
    out.into_iter()
        .map(|(mut label, count)| {
            if count > 1 {
                label.text = format!("{count} {}s", label.text);
            }
            label
        })
        .collect()
}

pub fn rows(placed: &[PlacedLabel]) -> usize {
    placed.iter().map(|p| p.row + 1).max().unwrap_or(0)
}

/// The words and the thin lines that lead to what they name. `edge` is the height of the crowns'
/// gum edge, `out` the way from there to the words (-1 up the paper, +1 down).
pub fn draw(placed: &[PlacedLabel], edge: f64, out: f64) -> DrawItem {
    let mut lines = Vec::new();
    let mut words = Vec::new();
    for p in placed {
        let near = edge + out * (1.2 + ROW * p.row as f64);
        // Base lines differ: words hang above it on the way up, below it on the way down.
        let base = if out < 0.0 { near - 0.7 } else { near + SIZE * 0.82 };
        lines.push(DrawItem::line(at(p.label.x, p.label.y), at(p.label.x, near), Pen::soft(0.18)));
        // Lines to further words pass behind nearer ones.
        let half = words_width(&p.label.text, SIZE, p.label.strong) / 2.0 + 0.2;
        let back = at(p.middle - half, base - SIZE * 0.78);
        words.push(DrawItem::rect(back, 2.0 * half, SIZE, 0.0, None, Some(Shade::Paper)));
        let text = p.label.text.clone();
        words.push(if p.label.strong {
            DrawItem::bold(at(p.middle, base), SIZE, Align::Middle, text)
        } else {
            DrawItem::words(at(p.middle, base), SIZE, Align::Middle, text)
        });
    }
    lines.extend(words);
    DrawItem::group("labels", lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(x: f64, text: &str) -> Label {
        Label { x, y: 0.0, text: text.into(), strong: false }
    }

    #[test]
    fn labels_never_touch() {
        let placed = place(vec![
            label(50.0, "open coil"),
            label(53.0, "not bonded"),
            label(54.0, "sleeve"),
            label(120.0, "stop"),
        ]);
        for a in &placed {
            for b in &placed {
                if a.label.x < b.label.x && a.row == b.row {
                    let half = |p: &PlacedLabel| words_width(&p.label.text, SIZE, false) / 2.0;
                    assert!(a.middle + half(a) < b.middle - half(b), "{a:?} {b:?}");
                }
            }
        }
        assert_eq!(rows(&placed), 3);
    }

    #[test]
    fn a_pair_of_stops_is_said_once() {
        let placed = place(vec![label(90.0, "stop"), label(96.0, "stop")]);
        assert_eq!(placed.len(), 1);
        assert_eq!(placed[0].label.text, "2 stops");
    }
}
