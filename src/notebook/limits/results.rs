//! What is known of a result, or of a check, between the limits of its sizes.

use crate::language::{Others, Source};
use crate::quantity::Quantity;

/// What one source does to a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The source.
    pub source: Source,
    /// The change of the result from its value when the source alone stands at its
    /// lower limit, in coherent SI.
    pub at_low: f64,
    /// The same at its upper limit.
    pub at_high: f64,
}

impl Share {
    /// Returns half the swing between the two limits, in coherent SI.
    #[must_use]
    pub fn half_swing(&self) -> f64 {
        (self.at_high - self.at_low).abs() / 2.0
    }
}

/// How a result behaves between the limits of its sources.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Monotonicity {
    /// It only rises or only falls.
    Steady,
    /// It turns: the ends are not its extremes.
    Turns,
    /// It jumps, as from one standard drill to the next.
    Steps,
    /// It has no value somewhere between the limits.
    Breaks,
    /// Finding out takes too many steps.
    Untold,
    /// It rests on a what-if table, which is worked out at plain values only.
    Varied,
}

impl Monotonicity {
    /// Returns what is said in place of limits where there are none; nothing for the rest.
    #[must_use]
    pub const fn without_limits(self) -> Option<&'static str> {
        match self {
            Self::Breaks => Some("no value at some limits"),
            Self::Untold => Some("limits take too many steps"),
            Self::Varied => Some("limits unknown: from a what-if table"),
            Self::Steady | Self::Turns | Self::Steps => None,
        }
    }
}

/// How limits are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// No value lies outside, and the ends are reached to one part in 10^6 of the range.
    Proven,
    /// No value lies outside; how near the ends it comes took too many steps to find.
    Enclosed,
    /// The ends are the worst that was seen at corners and scattered places.
    Searched,
    /// Not at all.
    Unknown,
}

impl Known {
    /// Returns the word for it in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Proven => "proven",
            Self::Enclosed => "enclosed",
            Self::Searched => "searched",
            Self::Unknown => "unknown",
        }
    }
}

/// The limits of a result.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// The value with every size where it is aimed or was measured, in coherent SI.
    pub nominal: f64,
    /// The least value at the worst corners.
    pub low: f64,
    /// The greatest value at the worst corners.
    pub high: f64,
    /// Where the sources stand at the least value: the part of the way from their
    /// lower to their upper limit. Sources not named stand where they are aimed.
    pub low_at: Vec<(Source, f64)>,
    /// Where they stand at the greatest value.
    pub high_at: Vec<(Source, f64)>,
    /// What each source does, the largest first; the largest 100 where there are more.
    pub shares: Vec<Share>,
    /// What is left out of the shares.
    pub others: Others,
    /// How the range is known.
    pub known: Known,
    /// How it behaves between the limits.
    pub course: Monotonicity,
    /// Whether it bends: what a size does at one side of its aim is not what it does at
    /// the other, so that squares of swings say nothing.
    pub bends: bool,
}

impl Limits {
    /// Returns the limits of what rests on a what-if table: not known.
    pub(super) fn varied(nominal: f64) -> Self {
        Self {
            known: Known::Unknown,
            course: Monotonicity::Varied,
            ..Self::still(nominal)
        }
    }

    /// Returns the limits of what does not move.
    pub(super) fn still(nominal: f64) -> Self {
        Self {
            nominal,
            low: nominal,
            high: nominal,
            low_at: Vec::new(),
            high_at: Vec::new(),
            shares: Vec::new(),
            others: Others::default(),
            known: Known::Proven,
            course: Monotonicity::Steady,
            bends: false,
        }
    }

    /// Returns the least and the greatest value, where they are known and differ.
    #[must_use]
    pub fn range(&self) -> Option<(f64, f64)> {
        let known = match self.course {
            Monotonicity::Steady | Monotonicity::Steps => true,
            Monotonicity::Turns => self.known != Known::Searched,
            Monotonicity::Breaks | Monotonicity::Untold | Monotonicity::Varied => false,
        };
        (known && self.low < self.high).then_some((self.low, self.high))
    }

    /// Returns the root-sum-square range: its middle and half its width.
    ///
    /// Source: the first-order law of propagation, JCGM 100:2008 (GUM), 5.1.2, with
    /// half the swing of each source in place of its standard uncertainty.
    #[must_use]
    pub fn root_sum_square(&self) -> (f64, f64) {
        let shift: f64 = self
            .shares
            .iter()
            .map(|share| f64::midpoint(share.at_low, share.at_high))
            .sum();
        let shift = shift + self.others.shift;
        let half = self
            .shares
            .iter()
            .map(|share| share.half_swing())
            // Not squared and added: a square of a large size is no number.
            .fold(self.others.squares.sqrt(), f64::hypot);
        (self.nominal + shift, half)
    }

    /// Returns whether the worst corners lie far from what the sizes do one by one, added up: at a
    /// kink a sum of shares says nothing.
    pub(super) fn is_no_sum(&self) -> bool {
        let (middle, _) = self.root_sum_square();
        let swings = self.shares.iter().map(|share| share.half_swing());
        let swing = self.others.swing + swings.sum::<f64>();
        let off = [middle - swing - self.low, middle + swing - self.high];
        let most = off.map(f64::abs).into_iter().fold(0.0, f64::max);
        most > 0.125 * (self.high - self.low)
    }
}

/// What a check comes to at the limits.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckLimits {
    /// Whether it holds with every size where it is aimed or was measured.
    pub holds: bool,
    /// Whether it holds wherever between their limits the sizes stand.
    pub holds_at_limits: bool,
    /// How that is known; where it is not, nothing is known of the limits.
    pub known: Known,
    /// Where the sizes of a part stand that fails it, where there is one; those not named
    /// stand where they are aimed.
    pub counterexample: Option<Vec<(Source, f64)>>,
    /// The margins of its comparisons: how much each has to spare, negative where it
    /// misses, in coherent SI with what it measures.
    pub margins: Vec<(Limits, Quantity)>,
}

impl CheckLimits {
    /// Returns the margin that is least at the limits.
    #[must_use]
    pub fn worst(&self) -> Option<&(Limits, Quantity)> {
        self.margins
            .iter()
            .min_by(|a, b| a.0.low.total_cmp(&b.0.low))
    }
}
