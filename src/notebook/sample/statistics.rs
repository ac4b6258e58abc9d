//! The figures of one result over all samples, in little memory.

use crate::language::Column;

/// The bars of a histogram.
pub const BARS: usize = 24;
/// The share of samples below the lower point, and above the upper one: what lies
/// more than three standard deviations out of a normal distribution.
pub const TAIL: f64 = 0.001_35;

/// Returns the share of the first samples among which the outer ones are looked for: more than
/// [`TAIL`] by six times the standard deviation of their number, and half as much again,
/// so that enough are found.
#[allow(clippy::cast_precision_loss)] // some thousand
fn outer_share(first: usize) -> f64 {
    let first = first as f64;
    1.5 * (TAIL + 6.0 * (TAIL / first).sqrt())
}
/// So many sums run side by side.
const LANES: usize = 8;

/// The figures of one result.
#[derive(Clone, Debug)]
pub struct Statistics {
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
    least: Outer,
    most: Outer,
}

/// The least of many numbers, unordered; for the greatest the numbers are negated.
#[derive(Clone, Debug)]
struct Outer {
    /// Numbers above this are not among them.
    bound: f64,
    /// How many are wanted.
    wanted: usize,
    found: Vec<f64>,
    /// Whether the bound began as a guess. All numbers within it were taken, so enough
    /// of them prove it good.
    guessed: bool,
}

impl Outer {
    fn new(wanted: usize) -> Self {
        Self {
            bound: f64::INFINITY,
            wanted,
            found: Vec::new(),
            guessed: false,
        }
    }

    #[inline]
    fn take(&mut self, value: f64) {
        if value <= self.bound {
            self.found.push(value);
            if self.found.len() > 4 * self.wanted + 64 {
                self.prune();
            }
        }
    }

    /// Keeps only as many as are wanted.
    fn prune(&mut self) {
        if self.found.len() > self.wanted {
            let last = self.wanted - 1;
            let (_, bound, _) = self.found.select_nth_unstable_by(last, f64::total_cmp);
            self.bound = *bound;
            self.found.truncate(self.wanted);
        }
    }

    fn sorted(&self) -> Vec<f64> {
        let mut sorted = self.found.clone();
        sorted.sort_by(f64::total_cmp);
        sorted
    }
}

impl PartialEq for Statistics {
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

impl Statistics {
    /// Returns an empty tally for `total` samples whose first ones are `pilot`.
    pub fn after(pilot: &Column, shift: f64, total: u64) -> Self {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss
        )] // at most 10^9 samples
        let wanted = (total as f64 * TAIL) as usize + 2;
        let mut tally = Self {
            count: 0,
            missing: 0,
            bars: [0; BARS],
            from: 0.0,
            step: 0.0,
            shift,
            sum: 0.0,
            squares: 0.0,
            least: Outer::new(wanted),
            most: Outer::new(wanted),
        };
        let mut first = tally.clone();
        first.least.wanted = pilot.values.len() + 1;
        first.most.wanted = pilot.values.len() + 1;
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
        // With many samples to come, what lies well inside need not be kept at all.
        if total > 4 * pilot.values.len() as u64 {
            for (outer, first) in [
                (&mut tally.least, first.least),
                (&mut tally.most, first.most),
            ] {
                let sorted = first.sorted();
                #[allow(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    clippy::cast_precision_loss
                )] // a block
                let place = (sorted.len() as f64 * outer_share(sorted.len())) as usize;
                if let Some(bound) = sorted.get(place) {
                    outer.bound = *bound;
                    outer.guessed = true;
                }
            }
        }
        tally
    }

    /// Returns the same empty tally without a guess of how far in the outer samples lie.
    #[must_use]
    pub fn without_guess(mut self) -> Self {
        for outer in [&mut self.least, &mut self.most] {
            outer.bound = f64::INFINITY;
            outer.guessed = false;
        }
        self
    }

    /// Returns whether a guess left too few outer samples.
    #[must_use]
    pub fn guessed_wrong(&self) -> bool {
        let enough = usize::try_from(self.count).unwrap_or(usize::MAX);
        [&self.least, &self.most]
            .iter()
            .any(|outer| outer.guessed && outer.found.len() < outer.wanted.min(enough))
    }

    /// Takes a block of samples.
    pub fn take(&mut self, column: &Column) {
        if column.missing.is_empty() {
            self.take_values(&column.values);
        } else {
            let pairs = column.values.iter().zip(&column.missing);
            let there: Vec<f64> = pairs
                .filter(|(_, missing)| !**missing)
                .map(|(value, _)| *value)
                .collect();
            self.missing += (column.values.len() - there.len()) as u64;
            self.take_values(&there);
        }
    }

    fn take_values(&mut self, values: &[f64]) {
        self.count += values.len() as u64;
        // Several sums side by side, always in the same order.
        let (mut sums, mut squares) = ([0.0; LANES], [0.0; LANES]);
        let (chunks, rest) = values.as_chunks::<LANES>();
        for chunk in chunks {
            for lane in 0..LANES {
                let off = chunk[lane] - self.shift;
                sums[lane] += off;
                squares[lane] += off * off;
            }
        }
        for (lane, value) in rest.iter().enumerate() {
            let off = value - self.shift;
            sums[lane] += off;
            squares[lane] += off * off;
        }
        self.sum += sums.iter().sum::<f64>();
        self.squares += squares.iter().sum::<f64>();
        let scale = self.step.recip();
        let (low, high) = (self.least.bound, -self.most.bound);
        let mut outer = 0_usize;
        for value in values {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // as saturates
            let bar = ((value - self.from) * scale) as usize;
            self.bars[bar.min(BARS - 1)] += 1;
            outer += usize::from(*value <= low) + usize::from(*value >= high);
        }
        if outer > 0 {
            for value in values {
                self.least.take(*value);
                self.most.take(-*value);
            }
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
        for (outer, more) in [(&mut self.least, other.least), (&mut self.most, other.most)] {
            outer.found.extend(more.found);
            if outer.found.len() > 4 * outer.wanted + 64 {
                outer.prune();
            }
        }
    }

    #[allow(clippy::cast_precision_loss)] // at most 10^9
    fn number(&self) -> f64 {
        self.count as f64
    }

    /// Returns the mean, in coherent SI.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.shift + self.sum / self.number()
    }

    /// Returns the standard deviation of the samples, in coherent SI.
    #[must_use]
    pub fn deviation(&self) -> f64 {
        let number = self.number();
        let squares = self.squares - self.sum * self.sum / number;
        (squares.max(0.0) / (number - 1.0).max(1.0)).sqrt()
    }

    /// Returns the least and the greatest sample.
    #[must_use]
    pub fn ends(&self) -> Option<(f64, f64)> {
        let least = |outer: &Outer| outer.found.iter().copied().min_by(f64::total_cmp);
        Some((least(&self.least)?, -least(&self.most)?))
    }

    /// Returns the points with 0.135 % of the samples below and 0.135 % above.
    ///
    /// Between two samples the point is interpolated, as in R. J. Hyndman and Y. Fan,
    /// "Sample quantiles in statistical packages" (1996), definition 7.
    #[must_use]
    pub fn points(&self) -> Option<(f64, f64)> {
        let place = (self.number() - 1.0) * TAIL;
        let at = |outer: &Outer| -> Option<f64> {
            let sorted = outer.sorted();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // few samples
            let below = place as usize;
            let low = *sorted.get(below)?;
            let high = sorted.get(below + 1).copied().unwrap_or(low);
            Some(low + (high - low) * place.fract())
        };
        Some((at(&self.least)?, -at(&self.most)?))
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
        let mut tally = Statistics::after(&column(&values[..1024]), 300.0, 5000);
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
