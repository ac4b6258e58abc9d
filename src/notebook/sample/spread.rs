//! How sizes lie between their limits.

// The coefficients stand as they are published.
#![allow(clippy::excessive_precision)]

use crate::language::Scatter;

/// How sizes lie between their limits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Spread {
    /// Normally about the middle of the limits, which lie three standard deviations
    /// from it; nothing lies outside, since such a part is scrapped.
    #[default]
    Normal,
    /// Every size between the limits is as likely as any other.
    Even,
}

/// The share of a normal distribution below minus three standard deviations.
const BELOW: f64 = 0.001_349_898_031_630_094_5;

impl Spread {
    /// Returns where source `source` stands in the samples from `first` on: the part of the way
    /// from its lower to its upper limit.
    #[must_use]
    pub fn column(self, seed: u64, source: u64, first: u64, count: usize) -> Vec<f64> {
        let mut scatter = Scatter::of(seed, source, first);
        match self {
            Self::Even => (0..count).map(|_| scatter.part()).collect(),
            Self::Normal => {
                let mut column: Vec<f64> = (0..count)
                    .map(|_| BELOW - 0.5 + scatter.part() * (1.0 - 2.0 * BELOW))
                    .collect();
                // All at once as if they lay near the middle, then those that don't.
                let far: Vec<(usize, f64)> = column
                    .iter()
                    .copied()
                    .enumerate()
                    .filter(|(_, q)| q.abs() > NEAR)
                    .collect();
                for place in &mut column {
                    *place = near(*place);
                }
                for (index, q) in far {
                    if let Some(place) = column.get_mut(index) {
                        *place = self::far(q);
                    }
                }
                for place in &mut column {
                    *place = (0.5 + *place * (1.0 / 6.0)).clamp(0.0, 1.0);
                }
                column
            }
        }
    }
}

/// How far from one half a probability counts as near the middle.
const NEAR: f64 = 0.425;

/// Returns the value that a standard normal variable stays below with probability 0.5 + `q`,
/// for `q` up to [`NEAR`] to both sides.
///
/// Source: M. J. Wichura, "Algorithm AS 241: The percentage points of the normal
/// distribution", Applied Statistics 37 (1988), PPND16 (coefficients from memory).
#[inline]
fn near(q: f64) -> f64 {
    const A: [f64; 8] = [
        3.387_132_872_796_366_5,
        133.141_667_891_784_38,
        1_971.590_950_306_551_3,
        13_731.693_765_509_46,
        45_921.953_931_549_87,
        67_265.770_927_008_7,
        33_430.575_583_588_13,
        2_509.080_928_730_122_7,
    ];
    const B: [f64; 8] = [
        1.0,
        42.313_330_701_600_91,
        687.187_007_492_057_9,
        5_394.196_021_424_751,
        21_213.794_301_586_597,
        39_307.895_800_092_71,
        28_729.085_735_721_943,
        5_226.495_278_852_854,
    ];
    let r = NEAR * NEAR - q * q;
    q * polynomial(&A, r) / polynomial(&B, r)
}

/// Returns the same further out, as far as 10^-11 from 0 and 1.
#[inline]
fn far(q: f64) -> f64 {
    const C: [f64; 8] = [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        0.241_780_725_177_450_6,
        0.022_723_844_989_269_184,
        0.000_774_545_014_278_341_4,
    ];
    const D: [f64; 8] = [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        0.689_767_334_985_1,
        0.148_103_976_427_480_08,
        0.015_198_666_563_616_457,
        0.000_547_593_808_499_534_5,
        1.050_750_071_644_416_9e-9,
    ];
    let r = (-(0.5 - q.abs()).ln()).sqrt() - 1.6;
    (polynomial(&C, r) / polynomial(&D, r)).copysign(q)
}

#[inline]
fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn normal(p: f64) -> f64 {
        let q = p - 0.5;
        if q.abs() <= NEAR { near(q) } else { far(q) }
    }

    #[test]
    fn normal_points_are_the_published_ones() {
        // Source: Python 3.11, statistics.NormalDist().inv_cdf, and the definition of 3.
        for (p, z) in [
            (0.5, 0.0),
            (0.975, 1.959_963_984_540_054),
            (0.9, 1.281_551_565_544_600_4),
            (0.995, 2.575_829_303_548_900_4),
            (0.01, -2.326_347_874_040_840_8),
            (0.001, -3.090_232_306_167_813),
            (BELOW, -3.0),
        ] {
            assert!(
                (normal(p) - z).abs() < 1e-14 * f64::max(1.0, z.abs()) * 4.0,
                "{p}: {}",
                normal(p)
            );
        }
    }

    #[test]
    fn spreads_have_their_mean_and_deviation() {
        // Source: uniform 1/sqrt(12); normal truncated at three standard deviations:
        // sqrt(1 - 6 phi(3) / (2 Phi(3) - 1)) = 0.986578 of sigma (arithmetic).
        for (spread, deviation) in [
            (Spread::Even, 1.0 / 12.0_f64.sqrt()),
            (Spread::Normal, 0.986_578 / 6.0),
        ] {
            let count = 200_000;
            let column = spread.column(1, 0, 0, count);
            let mean = column.iter().sum::<f64>() / 2e5;
            let variance = column.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 2e5;
            assert!(
                (mean - 0.5).abs() < 4.0 * deviation / 447.0,
                "{spread:?} {mean}"
            );
            assert!(
                (variance.sqrt() / deviation - 1.0).abs() < 0.01,
                "{spread:?}"
            );
            assert!(column.iter().all(|part| (0.0..=1.0).contains(part)));
        }
    }
}
