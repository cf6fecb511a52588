//! Deals points out over places at once, with the least total distance.

/// For every place the point that it gets, where `cost[place][point]` is what each pairing costs; places without a point
/// get none where there are fewer points. The Hungarian method with potentials (Kuhn HW. Naval Res Logist Q
/// 1955;2:83-97).
pub(crate) fn deal_out(cost: &[Vec<f64>], points: usize) -> Vec<Option<usize>> {
    let places = cost.len();
    let size = places.max(points);
    // Places and points that are not there pair at no cost.
    let of = |row: usize, column: usize| -> f64 {
        cost.get(row).and_then(|r| r.get(column)).copied().unwrap_or(0.0)
    };
    let mut row_price = vec![0.0; size + 1];
    let mut column_price = vec![0.0; size + 1];
    let mut row_of = vec![0usize; size + 1];
    for row in 1..=size {
        row_of[0] = row;
        let mut column = 0;
        let mut least = vec![f64::INFINITY; size + 1];
        let mut before = vec![0usize; size + 1];
        let mut used = vec![false; size + 1];
        loop {
            used[column] = true;
            let own = row_of[column];
            let (mut delta, mut next) = (f64::INFINITY, 0);
            for j in 1..=size {
                if used[j] {
                    continue;
                }
                let reduced = of(own - 1, j - 1) - row_price[own] - column_price[j];
                if reduced < least[j] {
                    (least[j], before[j]) = (reduced, column);
                }
                if least[j] < delta {
                    (delta, next) = (least[j], j);
                }
            }
            for j in 0..=size {
                if used[j] {
                    row_price[row_of[j]] += delta;
                    column_price[j] -= delta;
                } else {
                    least[j] -= delta;
                }
            }
            // Costs that are no numbers leave no way on.
            if next == 0 {
                return vec![None; places];
            }
            column = next;
            if row_of[column] == 0 {
                break;
            }
        }
        while column != 0 {
            row_of[column] = row_of[before[column]];
            column = before[column];
        }
    }
    let mut out = vec![None; places];
    for (column, row) in row_of.iter().enumerate().skip(1) {
        if *row >= 1 && *row <= places && column <= points {
            out[row - 1] = Some(column - 1);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_is_given_up_where_all_together_come_out_nearer() {
        let cost = vec![vec![1.0, 2.0], vec![1.1, 9.0]];
        assert_eq!(deal_out(&cost, 2), [Some(1), Some(0)]);
        assert_eq!(deal_out(&[vec![3.0], vec![1.0]], 1), [None, Some(0)]);
        assert_eq!(deal_out(&[vec![3.0, 1.0]], 2), [Some(1)]);
        assert_eq!(deal_out(&[], 3), []);
        assert_eq!(deal_out(&[vec![f64::NAN], vec![f64::INFINITY]], 1), [None, None]);
    }
}
