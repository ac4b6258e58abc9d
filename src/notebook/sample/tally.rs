//! The figures of one result over all samples, in little memory.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::notebook::columns::Column;

/// The bars of a histogram.
pub const BARS: usize = 24;
/// The share of samples below the lower point, and above the upper one: what lies
/// more than three standard deviations out of a normal distribution.
pub const TAIL: f64 = 0.001_35;

/// A number ordered by its size.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Ordered(f64);

impl Eq for Ordered {}

impl PartialOrd for Ordered {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ordered {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

/// The figures of one result.
#[derive(Clone, Debug)]
pub struct Tally {
    /// In how many samples it has a value.
    pub count: u64,
    /// In how many it has none.
    pub missing: u64,
    /// The bars of the histogram, from `from` on, each `step` wide; what lies outside
    /// counts in the first or the last.
    pub bars: [u64; BARS],
    /// Where the first bar begins, in coherent SI.
    pub from: f64,
    /// How wide a bar is.
    pub step: f64,
    shift: f64,
    sum: f64,
    squares: f64,
    kept: usize,
    least: BinaryHeap<Ordered>,
    most: BinaryHeap<Reverse<Ordered>>,
}

impl PartialEq for Tally {
    fn eq(&self, other: &Self) -> bool {
        let figures = |tally: &Self| {
            let points = tally.points().unwrap_or((0.0, 0.0));
            let ends = tally.ends().unwrap_or((0.0, 0.0));
            [
                tally.mean(),
                tally.deviation(),
                points.0,
                points.1,
                ends.0,
                ends.1,
            ]
            .map(f64::to_bits)
        };
        (self.count, self.missing, self.bars) == (other.count, other.missing, other.bars)
            && figures(self) == figures(other)
    }
}

impl Tally {
    /// An empty tally for `total` samples whose first ones are `pilot`.
    pub fn after(pilot: &Column, shift: f64, total: u64) -> Self {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss
        )]
        // at most 10^9 samples
        let kept = (total as f64 * TAIL) as usize + 2;
        let mut tally = Self {
            count: 0,
            missing: 0,
            bars: [0; BARS],
            from: 0.0,
            step: 0.0,
            shift,
            sum: 0.0,
            squares: 0.0,
            kept,
            least: BinaryHeap::new(),
            most: BinaryHeap::new(),
        };
        let mut first = tally.clone();
        first.take(pilot);
        if first.count == 0 {
            return tally;
        }
        // Four standard deviations to each side, or all that was seen where the ends
        // are sharp.
        let (mean, deviation) = (first.mean(), first.deviation());
        let (least, most) = first.ends().unwrap_or((mean, mean));
        let room = (most - least) * 0.05;
        tally.from = (mean - 4.0 * deviation).max(least - room);
        let to = (mean + 4.0 * deviation).min(most + room);
        #[allow(clippy::cast_precision_loss)] // 24
        let bars = BARS as f64;
        tally.step = (to - tally.from) / bars;
        tally
    }

    /// Takes a block of samples.
    pub fn take(&mut self, column: &Column) {
        for (sample, value) in column.values.iter().enumerate() {
            if column.missing.get(sample) == Some(&true) {
                self.missing += 1;
                continue;
            }
            self.count += 1;
            let off = value - self.shift;
            self.sum += off;
            self.squares += off * off;
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // as saturates
            let bar = ((value - self.from) / self.step) as usize;
            self.bars[bar.min(BARS - 1)] += 1;
            self.keep(*value);
        }
    }

    /// Keeps a value that is among the least or the greatest.
    #[inline]
    fn keep(&mut self, value: f64) {
        if self.least.len() < self.kept {
            self.least.push(Ordered(value));
        } else if self.least.peek().is_some_and(|top| value < top.0) {
            self.least.pop();
            self.least.push(Ordered(value));
        }
        if self.most.len() < self.kept {
            self.most.push(Reverse(Ordered(value)));
        } else if self.most.peek().is_some_and(|top| value > top.0.0) {
            self.most.pop();
            self.most.push(Reverse(Ordered(value)));
        }
    }

    /// Takes the samples of another tally, which come after.
    pub fn join(&mut self, other: Self) {
        self.count += other.count;
        self.missing += other.missing;
        self.sum += other.sum;
        self.squares += other.squares;
        for (bar, more) in self.bars.iter_mut().zip(other.bars) {
            *bar += more;
        }
        for value in other.least {
            self.least.push(value);
            if self.least.len() > self.kept {
                self.least.pop();
            }
        }
        for value in other.most {
            self.most.push(value);
            if self.most.len() > self.kept {
                self.most.pop();
            }
        }
    }

    #[allow(clippy::cast_precision_loss)] // at most 10^9
    fn number(&self) -> f64 {
        self.count as f64
    }

    /// The mean, in coherent SI.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.shift + self.sum / self.number()
    }

    /// The standard deviation of the samples, in coherent SI.
    #[must_use]
    pub fn deviation(&self) -> f64 {
        let number = self.number();
        let squares = self.squares - self.sum * self.sum / number;
        (squares.max(0.0) / (number - 1.0).max(1.0)).sqrt()
    }

    /// The least and the greatest sample.
    #[must_use]
    pub fn ends(&self) -> Option<(f64, f64)> {
        let least = self.least.iter().min()?;
        let most = self.most.iter().map(|Reverse(value)| value).max()?;
        Some((least.0, most.0))
    }

    /// The points with 0.135 % of the samples below and 0.135 % above.
    ///
    /// Between two samples the point is interpolated, as in R. J. Hyndman and Y. Fan,
    /// "Sample quantiles in statistical packages" (1996), definition 7.
    #[must_use]
    pub fn points(&self) -> Option<(f64, f64)> {
        let mut least: Vec<f64> = self.least.iter().map(|value| value.0).collect();
        least.sort_by(f64::total_cmp);
        let mut most: Vec<f64> = self.most.iter().map(|Reverse(value)| -value.0).collect();
        most.sort_by(f64::total_cmp);
        let place = (self.number() - 1.0) * TAIL;
        let at = |sorted: &[f64]| -> Option<f64> {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // few samples
            let below = place as usize;
            let low = *sorted.get(below)?;
            let high = sorted.get(below + 1).copied().unwrap_or(low);
            Some(low + (high - low) * place.fract())
        };
        Some((at(&least)?, -at(&most)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_those_of_the_sorted_samples() {
        // Source: the definitions, on all samples at once.
        let values: Vec<f64> = (0..5000_u32)
            .map(|n| f64::from(n * 7919 % 5003) / 7.0)
            .collect();
        let column = |values: &[f64]| Column {
            values: values.to_vec(),
            missing: Vec::new(),
        };
        let mut tally = Tally::after(&column(&values[..1024]), 300.0, 5000);
        let mut other = tally.clone();
        tally.take(&column(&values[..3000]));
        other.take(&column(&values[3000..]));
        tally.join(other);
        let mean = values.iter().sum::<f64>() / 5000.0;
        let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / 4999.0;
        let mut sorted = values.clone();
        sorted.sort_by(f64::total_cmp);
        assert!((tally.mean() - mean).abs() < 1e-9);
        assert!((tally.deviation() - variance.sqrt()).abs() < 1e-9);
        // Place 4999 times 0.00135 is 6.74865.
        let low = sorted[6] + (sorted[7] - sorted[6]) * 0.748_65;
        let high = sorted[4993] + (sorted[4992] - sorted[4993]) * 0.748_65;
        let points = tally.points().unwrap();
        assert!((points.0 - low).abs() < 1e-9 && (points.1 - high).abs() < 1e-9);
        assert_eq!(tally.ends(), Some((sorted[0], sorted[4999])));
        assert_eq!(tally.bars.iter().sum::<u64>(), 5000);
    }
}
