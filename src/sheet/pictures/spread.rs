//! Labels along a line, moved apart where they would overlap.

/// Returns places as near as possible to `wanted` (in rising order) with at least
/// `(size + next size) / 2` between neighbours.
///
/// Labels that touch move together, so that each group stands in the middle of
/// what its labels want.
pub fn spread(wanted: &[f64], sizes: &[f64]) -> Vec<f64> {
    /// Labels that touch: their count, the sum of what their first would want, and
    /// where the first stands.
    struct Group {
        count: usize,
        sum: f64,
        first: f64,
        length: f64,
    }
    let gap = |index: usize| {
        let size = |i: usize| sizes.get(i).copied().unwrap_or(0.0);
        f64::midpoint(size(index), size(index + 1))
    };
    let mut groups: Vec<Group> = Vec::new();
    for (index, place) in wanted.iter().enumerate() {
        let mut group = Group {
            count: 1,
            sum: *place,
            first: *place,
            length: 0.0,
        };
        let mut join = index;
        while let Some(before) = groups.last() {
            let between = gap(join.saturating_sub(1));
            if before.first + before.length + between <= group.first + 1e-9 {
                break;
            }
            let shift = before.length + between;
            #[allow(clippy::cast_precision_loss)] // a few hundred labels
            let moved = group.sum - shift * group.count as f64;
            let count = before.count + group.count;
            let sum = before.sum + moved;
            #[allow(clippy::cast_precision_loss)]
            let first = sum / count as f64;
            join -= before.count;
            group = Group {
                count,
                sum,
                first,
                length: shift + group.length,
            };
            groups.pop();
        }
        groups.push(group);
    }
    let mut places = Vec::with_capacity(wanted.len());
    for group in groups {
        let mut place = group.first;
        for _ in 0..group.count {
            places.push(place);
            place += gap(places.len() - 1);
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(wanted: &[f64], size: f64, expected: &[f64]) {
        let found = spread(wanted, &vec![size; wanted.len()]);
        let near = found.len() == expected.len()
            && found
                .iter()
                .zip(expected)
                .all(|(a, b)| (a - b).abs() < 1e-9);
        assert!(near, "{found:?} is not {expected:?}");
    }

    #[test]
    fn labels_move_apart_no_further_than_they_must() {
        check(&[0.0, 10.0], 5.0, &[0.0, 10.0]);
        check(&[0.0, 1.0], 5.0, &[-2.0, 3.0]);
        check(&[0.0, 0.0, 0.0], 5.0, &[-5.0, 0.0, 5.0]);
        // The third pushes the first two, which then stand about the middle of all.
        check(
            &[0.0, 5.0, 6.0, 30.0],
            5.0,
            &[-4.0 / 3.0, 11.0 / 3.0, 26.0 / 3.0, 30.0],
        );
    }
}
