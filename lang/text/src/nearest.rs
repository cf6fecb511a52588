//! Nearest spelling: the candidates closest to a misspelt word.

/// Edits (insert, delete, replace, swap neighbours) between two words, in characters.
pub fn distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().flat_map(char::to_lowercase).collect();
    let b: Vec<char> = b.chars().flat_map(char::to_lowercase).collect();
    if a.len().abs_diff(b.len()) > 8 || a.len() > 64 || b.len() > 64 {
        return usize::MAX;
    }
    let width = b.len() + 1;
    let mut rows = vec![vec![0usize; width]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    for (j, cell) in rows[0].iter_mut().enumerate() {
        *cell = j;
    }
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let replace = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
            let mut best = replace.min(rows[i - 1][j] + 1).min(rows[i][j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(rows[i - 2][j - 2] + 1);
            }
            rows[i][j] = best;
        }
    }
    rows[a.len()][b.len()]
}

/// Candidates close enough to be meant, nearest first, at most three.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let allowed = (word.chars().count() / 3).clamp(1, 3);
    let mut scored: Vec<(usize, &str)> = candidates
        .into_iter()
        .map(|c| (distance(word, c), c))
        .filter(|(d, _)| *d <= allowed)
        .collect();
    scored.sort();
    scored.dedup();
    scored.into_iter().take(3).map(|(_, c)| c).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_finger_are_one_edit() {
        assert_eq!(distance("bypas", "bypass"), 1);
        assert_eq!(distance("algin", "align"), 1);
        assert_eq!(nearest("niti-41", ["niti-14", "steel-19x25"]), ["niti-14"]);
    }
}
