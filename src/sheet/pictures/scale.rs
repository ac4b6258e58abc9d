//! The scale of a picture.

/// Enlargements and reductions of ISO 5455, largest first.
const SCALES: &[f64] = &[
    50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0005,
    0.0002, 0.0001,
];

/// The largest scale of ISO 5455 at which `width` by `height` (millimetres) fits
/// into `room` on paper.
pub fn scale_for(width: f64, height: f64, room: (f64, f64)) -> f64 {
    let fits = |scale: &&f64| width * **scale <= room.0 + 1e-9 && height * **scale <= room.1 + 1e-9;
    SCALES.iter().find(fits).copied().unwrap_or_else(|| {
        let wanted = (room.0 / width.max(1e-12)).min(room.1 / height.max(1e-12));
        if wanted.is_finite() { wanted } else { 1.0 }
    })
}

/// The scale in words: `2:1`, `1:5`.
pub fn in_words(scale: f64) -> String {
    if scale >= 1.0 {
        format!("{}:1", crate::quantity::plain(scale))
    } else {
        format!("1:{}", crate::quantity::plain(1.0 / scale))
    }
}

/// What stands under a picture drawn to scale.
pub fn caption(scale: f64, unit: &str) -> String {
    format!("Scale {}, dimensions in {unit}.", in_words(scale))
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
