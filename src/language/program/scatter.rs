//! Scattered numbers that are the same in every run.

/// A row of scattered numbers: SplitMix64.
///
/// Source: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number
/// generators" (2014), figure 17 (the constants are from memory).
#[derive(Clone, Copy, Debug)]
pub struct Scatter {
    state: u64,
}

/// The step of the state: 2^64 by the golden ratio, made odd.
const STEP: u64 = 0x9E37_79B9_7F4A_7C15;

impl Scatter {
    /// Returns the row of a seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// Returns the row of a seed that belongs to a key, from its place `index` on.
    #[must_use]
    pub const fn of(seed: u64, key: u64, index: u64) -> Self {
        let start = mixed(mixed(seed.wrapping_add(STEP)) ^ key.wrapping_mul(STEP));
        Self {
            state: start.wrapping_add(index.wrapping_mul(STEP)),
        }
    }

    /// Returns the next number, all 64 bits of it.
    #[inline]
    pub const fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(STEP);
        mixed(self.state)
    }

    /// Returns a number between 0 and 1, neither of them.
    #[inline]
    #[allow(clippy::cast_precision_loss)] // 53 bits fit
    pub const fn part(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) * (1.0 / 9_007_199_254_740_992.0)
    }

    /// Returns 0 or 1.
    pub const fn side(&mut self) -> f64 {
        if self.next() >> 63 == 0 { 0.0 } else { 1.0 }
    }
}

#[inline]
const fn mixed(state: u64) -> u64 {
    let mut z = state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_row_is_that_of_the_published_generator() {
        // Source: the reference implementation's first outputs for seed 1234567, from
        // memory (Rosetta Code, "Pseudo-random numbers/Splitmix64").
        let mut row = Scatter::new(1_234_567);
        let found: Vec<u64> = (0..5).map(|_| row.next()).collect();
        let published = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(found, published);
    }

    #[test]
    fn a_row_can_be_entered_anywhere() {
        let mut from_start = Scatter::of(7, 3, 0);
        for _ in 0..10 {
            from_start.next();
        }
        assert_eq!(from_start.next(), Scatter::of(7, 3, 10).next());
        assert_ne!(Scatter::of(7, 3, 0).next(), Scatter::of(7, 4, 0).next());
    }
}
