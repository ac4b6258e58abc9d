//! Whether a train can be put on its studs: a simple check of tooth sums.

/// Teeth by which a gear must clear the next axle: half its stud's bush and
/// collar, in teeth of the gears on both sides.
const ROOM: i64 = 15;

/// Returns the least room, in teeth, that a gear of the train has to the next axle
/// beyond what it needs; a train of one pair has all it wants.
///
/// Gear i of the drivers meshes with gear i of the driven; driven gear i and
/// driver i + 1 sit on one stud.
fn spare(drivers: &[u32], driven: &[u32]) -> i64 {
    let mut least = i64::MAX;
    let pairs: Vec<(i64, i64)> = drivers
        .iter()
        .zip(driven)
        .map(|(driver, driven)| (i64::from(*driver), i64::from(*driven)))
        .collect();
    for pair in pairs.windows(2) {
        if let [(a, b), (c, d)] = pair {
            // The driver c beside b must clear the axle of a, and b that of d.
            least = least.min(a + b - c - ROOM).min(c + d - b - ROOM);
        }
    }
    least
}

/// Returns the orders of up to three things.
fn orders(count: usize) -> &'static [&'static [usize]] {
    match count {
        0 | 1 => &[&[0]],
        2 => &[&[0, 1], &[1, 0]],
        _ => &[
            &[0, 1, 2],
            &[0, 2, 1],
            &[1, 0, 2],
            &[1, 2, 0],
            &[2, 0, 1],
            &[2, 1, 0],
        ],
    }
}

/// Returns the order of the gears that leaves most room, where one meshes at all.
pub(super) fn arranged(drivers: &[u32], driven: &[u32]) -> Option<(Vec<u32>, Vec<u32>)> {
    let put = |wheels: &[u32], order: &[usize]| -> Vec<u32> {
        order
            .iter()
            .filter_map(|place| wheels.get(*place).copied())
            .collect()
    };
    let mut best: Option<(i64, Vec<u32>, Vec<u32>)> = None;
    for first in orders(drivers.len()) {
        for second in orders(driven.len()) {
            let (drivers, driven) = (put(drivers, first), put(driven, second));
            let room = spare(&drivers, &driven);
            if room >= 0 && best.as_ref().is_none_or(|best| room > best.0) {
                best = Some((room, drivers, driven));
            }
        }
    }
    best.map(|(_, drivers, driven)| (drivers, driven))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gear_that_would_foul_the_next_axle_does_not_mesh() {
        // 20 drives 25 on a stud whose other gear of 120 would reach past the
        // spindle; put the other way round it fits.
        assert!(spare(&[20, 120], &[25, 60]) < 0);
        assert_eq!(arranged(&[20, 22], &[12, 120]), None);
        let (drivers, driven) = arranged(&[20, 127], &[60, 100]).unwrap();
        assert_eq!((drivers, driven), (vec![127, 20], vec![60, 100]));
        assert_eq!(arranged(&[20], &[120]), Some((vec![20], vec![120])));
    }
}
