//! Roughing a diameter down or a bore out, with what the dial reads.

use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

/// Lengths nearer than this, in millimetres, are the same.
const ROUNDING_MM: f64 = 1e-7;

/// One pass of a turning or boring cut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pass {
    /// The number of the pass, from 1.
    pub pass: u32,
    /// The diameter after the pass.
    pub diameter: Length,
    /// The depth of cut, measured on the radius.
    pub cut: Length,
    /// What the cross-slide dial has moved since it was zeroed on the first
    /// diameter, where the dial reads on the diameter.
    pub dial_on_diameter: Length,
    /// The same where the dial reads on the radius, that is the slide's own movement.
    pub dial_on_radius: Length,
}

/// Returns the passes from one diameter to another (mm), each of at most `depth` (mm, on
/// the radius), the last of `finish` (mm, on the radius, 0 for none).
///
/// With `from` the bigger it is turning, with `to` the bigger boring. Cuts are of
/// full depth; when the last roughing cut would be under a quarter of it, the
/// last two share what is left, for a thin cut rubs.
///
/// Source: common practice, no source.
pub fn roughing_passes(from: Length, to: Length, depth: Length, finish: Length) -> Vec<Pass> {
    let [from_mm, to_mm, depth_mm, finish_mm] =
        [from, to, depth, finish].map(|length| length.get::<millimeter>());
    let total = (from_mm - to_mm).abs() / 2.0;
    let towards = if to_mm > from_mm { 1.0 } else { -1.0 };
    let mut passes = Vec::new();
    let mut done = 0.0;
    for (pass, cut) in (1..).zip(cuts(total, depth_mm, finish_mm)) {
        done += cut;
        passes.push(Pass {
            pass,
            diameter: Length::new::<millimeter>(from_mm + towards * 2.0 * done),
            cut: Length::new::<millimeter>(cut),
            dial_on_diameter: Length::new::<millimeter>(2.0 * done),
            dial_on_radius: Length::new::<millimeter>(done),
        });
    }
    if let Some(last) = passes.last_mut() {
        last.diameter = to;
    }
    passes
}

/// Returns the depths of the cuts, finishing cut last.
fn cuts(total: f64, depth: f64, finish: f64) -> Vec<f64> {
    let rough = total - finish;
    if rough <= ROUNDING_MM {
        return vec![total];
    }
    let mut cuts = Vec::new();
    let mut left = rough;
    while left > depth + ROUNDING_MM {
        let after = left - depth;
        let cut = if after > ROUNDING_MM && after < depth / 4.0 {
            left / 2.0
        } else {
            depth
        };
        cuts.push(cut);
        left -= cut;
    }
    cuts.push(left);
    if finish > 0.0 {
        cuts.push(finish);
    }
    cuts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    #[track_caller]
    fn check(arguments: [f64; 4], cuts: &[f64], diameters: &[f64]) {
        let [from, to, depth, finish] = arguments.map(mm);
        let passes = roughing_passes(from, to, depth, finish);
        let near = |got: Length, wanted: f64| (got.get::<millimeter>() - wanted).abs() < 1e-9;
        assert_eq!(passes.len(), cuts.len(), "{passes:?}");
        for (index, pass) in passes.iter().enumerate() {
            assert_eq!(pass.pass as usize, index + 1);
            assert!(near(pass.cut, cuts[index]), "{passes:?}");
            assert!(near(pass.diameter, diameters[index]), "{passes:?}");
            let moved = (arguments[0] - diameters[index]).abs();
            assert!(near(pass.dial_on_diameter, moved));
            assert!(near(pass.dial_on_radius, moved / 2.0));
        }
    }

    #[test]
    fn turning_and_boring_by_hand() {
        // Worked by hand: (from - to) / 2 is the sum of the cuts.
        check(
            [25.0, 20.0, 1.0, 0.25],
            &[1.0, 1.0, 0.25, 0.25],
            &[23.0, 21.0, 20.5, 20.0],
        );
        check(
            [25.0, 20.0, 1.0, 0.3],
            &[1.0, 0.6, 0.6, 0.3],
            &[23.0, 21.8, 20.6, 20.0],
        );
        check(
            [25.0, 20.0, 1.0, 0.0],
            &[1.0, 1.0, 0.5],
            &[23.0, 21.0, 20.0],
        );
        check(
            [20.0, 24.5, 1.0, 0.25],
            &[1.0, 1.0, 0.25],
            &[22.0, 24.0, 24.5],
        );
        check([20.0, 19.8, 1.0, 0.25], &[0.1], &[19.8]);
        check([20.0, 19.5, 1.0, 0.25], &[0.25], &[19.5]);
        check([20.0, 18.9, 1.0, 0.25], &[0.3, 0.25], &[19.4, 18.9]);
        check([25.0, 20.0, 5.0, 0.0], &[2.5], &[20.0]);
    }

    #[test]
    fn cuts_add_up_and_none_is_deeper_than_asked() {
        for (from, to) in [(30.0, 12.345), (12.345, 30.0), (8.0, 7.99), (25.4, 19.05)] {
            for depth in [0.1, 0.25, 0.7, 1.5] {
                for finish in [0.0, 0.1, 0.25] {
                    let passes = roughing_passes(mm(from), mm(to), mm(depth), mm(finish));
                    let sum: f64 = passes.iter().map(|pass| pass.cut.get::<millimeter>()).sum();
                    assert!((2.0 * sum - (from - to).abs()).abs() < 1e-9);
                    assert!(passes.iter().all(|pass| {
                        let cut = pass.cut.get::<millimeter>();
                        cut > 0.0 && cut <= depth.max(finish) + 1e-6
                    }));
                    assert_eq!(passes.last().unwrap().diameter, mm(to));
                }
            }
        }
    }
}
