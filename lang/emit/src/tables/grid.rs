//! Plain tables for the terminal: columns as wide as they must be, two blanks between them.

/// Under a heading, a little indented: the first column is text, the others are figures and stand to the
/// right.
pub fn grid(head: &[&str], rows: &[Vec<String>]) -> String {
    let head = head.iter().map(|h| (*h).to_owned()).collect();
    let all: Vec<Vec<String>> = std::iter::once(head).chain(rows.iter().cloned()).collect();
    let lines = laid_out(&all, |column| column > 0);
    lines.map(|line| format!("  {line}").trim_end().to_owned() + "\n").collect()
}

/// All of it text, without a heading.
pub fn columns(rows: &[Vec<String>]) -> String {
    laid_out(rows, |_| false).map(|line| line.trim_end().to_owned() + "\n").collect()
}

fn laid_out(
    rows: &[Vec<String>],
    is_figure: impl Fn(usize) -> bool,
) -> impl Iterator<Item = String> {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let wide = |i: usize| rows.iter().filter_map(|r| r.get(i)).map(|c| c.chars().count()).max();
    let widths: Vec<usize> = (0..count).map(|i| wide(i).unwrap_or(0)).collect();
    rows.iter().map(move |row| {
        let cells = row.iter().zip(&widths).enumerate();
        let cells = cells.map(|(i, (cell, width))| match is_figure(i) {
            true => format!("{cell:>width$}"),
            false => format!("{cell:<width$}"),
        });
        cells.collect::<Vec<_>>().join("  ")
    })
}
