//! The scale of a picture.

/// Returns the enlargements and reductions of ISO 5455, 1, 2 and 5 times a power of ten, largest
/// first: from 1000:1 to what makes a dot of a mountain.
pub fn scales() -> impl Iterator<Item = f64> {
    (-9..=3).rev().flat_map(|power| {
        let power: i32 = power;
        // Divided, not multiplied, so that 1:5 is 0.2 and not a hair beside it.
        let unit = 10_f64.powi(power.abs());
        let factors = if power == 3 {
            &[1.0][..]
        } else {
            &[5.0, 2.0, 1.0]
        };
        factors.iter().map(move |factor| {
            if power < 0 {
                factor / unit
            } else {
                factor * unit
            }
        })
    })
}

/// Returns the largest scale of ISO 5455 at which `width` by `height` (millimetres) fits
/// into `room` on paper.
pub fn scale_for(width: f64, height: f64, room: (f64, f64)) -> f64 {
    let fits = |scale: &f64| width * scale <= room.0 + 1e-9 && height * scale <= room.1 + 1e-9;
    scales().find(fits).unwrap_or(1e-9)
}

/// Returns the scale in words: `2:1`, `1:5`.
pub fn in_words(scale: f64) -> String {
    if scale >= 1.0 {
        format!("{}:1", crate::quantity::plain(scale))
    } else {
        format!("1:{}", crate::quantity::plain((1.0 / scale).round()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_those_of_the_standard() {
        // ISO 5455:1979: 1, 2 and 5 times a power of ten.
        assert_eq!(scale_for(100.0, 20.0, (100.0, 90.0)), 1.0);
        assert_eq!(scale_for(101.0, 20.0, (100.0, 90.0)), 0.5);
        assert_eq!(scale_for(3.0, 3.0, (100.0, 90.0)), 20.0);
        assert_eq!(in_words(0.2), "1:5");
        assert_eq!(in_words(2.0), "2:1");
    }
}
