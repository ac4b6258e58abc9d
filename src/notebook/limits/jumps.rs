//! Whether a result jumps on a way through its limits.

/// On so many places of a line a jump is looked for, and so often where it changes most.
const LINE: u32 = 16;
const LOOKS: usize = 6;
/// What is left of a jump after looking so closely, at the least; next to nothing is of
/// a slope.
const JUMP: f64 = 0.02;

/// Returns whether a result jumps somewhere on a line; `at` is what it comes to at a part of
/// the way, and a change of no more than `noise` is rounding.
pub fn jumps(noise: f64, at: &mut dyn FnMut(f64) -> Option<f64>) -> bool {
    let (mut low, mut high) = (0.0, 1.0);
    let mut whole: Option<f64> = None;
    let mut most = 0.0;
    for _ in 0..LOOKS {
        let mut seen: Vec<(f64, f64)> = Vec::new();
        for step in 0..=LINE {
            let place = low + (high - low) * f64::from(step) / f64::from(LINE);
            let Some(value) = at(place) else { return false };
            seen.push((place, value));
        }
        let changes = seen.windows(2).filter_map(|pair| match pair {
            [(a, at_a), (b, at_b)] => Some((*a, *b, (at_b - at_a).abs())),
            _ => None,
        });
        let Some((a, b, change)) = changes.max_by(|x, y| x.2.total_cmp(&y.2)) else {
            return false;
        };
        let first = *whole.get_or_insert(change);
        if change <= noise || change < JUMP * first {
            return false;
        }
        (low, high, most) = (a, b, change);
    }
    most > 0.0
}
