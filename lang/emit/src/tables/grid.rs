//! A plain table for the terminal, with aligned columns and figures to the right.

/// One row of cells; the first column is text, the others figures.
pub fn grid(head: &[&str], rows: &[Vec<String>]) -> String {
    let columns = head.len();
    let mut widths: Vec<usize> = head.iter().map(|h| h.chars().count()).collect();
    for row in rows {
        for (i, cell) in row.iter().enumerate().take(columns) {
            widths[i] = widths[i].max(cell.chars().count());
        }
    }
    let mut out = String::new();
    let head: Vec<String> = head.iter().map(|h| (*h).to_owned()).collect();
    line(&mut out, &head, &widths);
    for row in rows {
        line(&mut out, row, &widths);
    }
    out
}

fn line(out: &mut String, cells: &[String], widths: &[usize]) {
    let mut text = String::from(" ");
    for (i, (cell, width)) in cells.iter().zip(widths).enumerate() {
        let blanks = " ".repeat(width.saturating_sub(cell.chars().count()));
        if i == 0 {
            text.push_str(&format!(" {cell}{blanks}"));
        } else {
            text.push_str(&format!("  {blanks}{cell}"));
        }
    }
    out.push_str(text.trim_end());
    out.push('\n');
}
