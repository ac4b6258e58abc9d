//! Long chains: results whose inputs have no size in common.
//!
//! Where a formula rises or falls with each of its inputs and no two of them depend on
//! the same size, its extremes are those of its inputs put together. A running sum of
//! ten thousand sizes costs ten thousand steps so, not their square.
//!
//! Source: R. E. Moore, "Methods and Applications of Interval Analysis" (1979), 3.2: an
//! expression in which each variable occurs once has the range that its intervals give.

use super::{Interval, Lack, Operand, Segment, Step, Tape, Work};

/// So many single shares are kept; the smaller ones are counted together.
pub const SHARES: usize = 100;
/// A slope that varies by no more than this part of itself is the same everywhere.
const STRAIGHT: f64 = 1e-9;

/// What one source does to a result by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alone {
    /// The number of the source.
    pub source: usize,
    /// The change of the result from its value at rest when the source stands at its
    /// lower limit.
    pub at_low: f64,
    /// The same at its upper limit.
    pub at_high: f64,
}

impl Alone {
    fn times(self, slope: f64) -> Self {
        Self {
            at_low: self.at_low * slope,
            at_high: self.at_high * slope,
            ..self
        }
    }

    /// Returns half the swing between the two limits.
    #[must_use]
    pub fn half_swing(&self) -> f64 {
        (self.at_high - self.at_low).abs() / 2.0
    }
}

/// What the smallest shares come to together.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Others {
    /// How many there are.
    pub count: usize,
    /// How far they shift the middle.
    pub shift: f64,
    /// The sum of the squares of their half swings.
    pub squares: f64,
    /// The sum of their half swings.
    pub swing: f64,
}

impl Others {
    /// Takes one more share.
    pub fn take(&mut self, share: &Alone) {
        self.count += 1;
        self.shift += f64::midpoint(share.at_low, share.at_high);
        self.squares += share.half_swing().powi(2);
        self.swing += share.half_swing();
    }

    fn join(&mut self, other: Self, slope: f64) {
        self.count += other.count;
        self.shift += other.shift * slope;
        self.squares += other.squares * slope * slope;
        self.swing += other.swing * slope.abs();
    }
}

/// A result put together from inputs that have no size in common.
#[derive(Clone, Debug)]
pub struct Composed {
    /// The least value, as the ordinary arithmetic gives it.
    pub low: f64,
    /// The greatest.
    pub high: f64,
    /// How many sources it depends on.
    pub sources: usize,
    /// What its sources do alone, the largest first, and what is left out of them; nothing
    /// where it is no straight line.
    pub shares: Option<(Vec<Alone>, Others)>,
    at_rest: f64,
    support: Bits,
    /// Its inputs: segments and sources, with whether it rises with them.
    segments: Vec<(u32, bool)>,
    own: Vec<(usize, bool)>,
}

/// A set of small numbers.
#[derive(Clone, Debug, Default)]
struct Bits {
    first: usize,
    words: Vec<u64>,
}

impl Bits {
    fn of(number: usize) -> Self {
        Self {
            first: number / 64,
            words: vec![1 << (number % 64)],
        }
    }

    /// Takes another set in; tells whether they had nothing in common.
    fn join(&mut self, other: &Self) -> bool {
        if self.words.is_empty() {
            *self = other.clone();
            return true;
        }
        if other.first < self.first {
            let room = self.first - other.first;
            self.words.splice(0..0, std::iter::repeat_n(0, room));
            self.first = other.first;
        }
        let end = other.first + other.words.len() - self.first;
        if self.words.len() < end {
            self.words.resize(end, 0);
        }
        let mut apart = true;
        let places = self.words.iter_mut().skip(other.first - self.first);
        for (word, other) in places.zip(&other.words) {
            apart &= *word & other == 0;
            *word |= other;
        }
        apart
    }

    fn count(&self) -> usize {
        self.words
            .iter()
            .map(|word| word.count_ones() as usize)
            .sum()
    }
}

/// The results of a tape that are put together so, by segment.
#[derive(Clone, Debug, Default)]
pub struct Compositions(Vec<Option<Composed>>);

impl Compositions {
    /// Returns the composition of a column; nothing where its inputs have sizes in common.
    #[must_use]
    pub fn of(&self, tape: &Tape, column: usize) -> Option<&Composed> {
        let segment = *tape.by_column.get(&column)?;
        self.0.get(segment as usize)?.as_ref()
    }

    /// Returns where the sources of a column stand at its least (or greatest) value, by their
    /// numbers.
    #[must_use]
    pub fn corner(&self, tape: &Tape, column: usize, most: bool) -> Vec<(usize, f64)> {
        let mut found: Vec<(usize, f64)> = Vec::new();
        let start = tape.by_column.get(&column);
        let mut next: Vec<(u32, bool)> =
            start.map(|segment| (*segment, most)).into_iter().collect();
        while let Some((segment, most)) = next.pop() {
            let Some(Some(composed)) = self.0.get(segment as usize) else {
                continue;
            };
            let inputs = composed.segments.iter();
            next.extend(inputs.map(|(input, rises)| (*input, *rises == most)));
            let own = composed.own.iter();
            found.extend(own.map(|(source, rises)| (*source, f64::from(u8::from(*rises == most)))));
        }
        found.sort_by_key(|(source, _)| *source);
        found
    }
}

impl Tape {
    /// Puts together all results that can be; `rest` is where the sources are aimed.
    #[must_use]
    pub fn compositions(&self, rest: &[f64], work: &mut Work) -> Compositions {
        let whole = vec![Interval::new(0.0, 1.0); rest.len()];
        let mut found = Compositions::default();
        let mut parts = rest.to_vec();
        work.solved.clear();
        for (at, segment) in self.segments.iter().enumerate() {
            let lack = self.segment(segment, &whole, &[], work, &mut true);
            if let Some(place) = work.lacks.get_mut(at) {
                *place = lack;
            }
            let jumps = std::mem::take(&mut work.jumps);
            work.open.clear();
            let composed = (lack == Lack::Nowhere && !jumps)
                .then(|| self.composed(segment, &found, &mut parts, rest, work))
                .flatten();
            found.0.push(composed);
        }
        found
    }

    fn composed(
        &self,
        segment: &Segment,
        known: &Compositions,
        parts: &mut [f64],
        rest: &[f64],
        work: &mut Work,
    ) -> Option<Composed> {
        let lines = self.of(segment);
        let inputs = |at: &u32| Some((*at, known.0.get(*at as usize)?.as_ref()?));
        let inputs: Vec<(u32, &Composed)> =
            segment.needs.iter().map(inputs).collect::<Option<_>>()?;
        let mut support = Bits::default();
        let mut apart = true;
        let mut own: Vec<usize> = Vec::new();
        for (_, input) in &inputs {
            apart &= support.join(&input.support);
        }
        for line in lines {
            match line.step {
                Step::Size(source, ..) => {
                    own.push(source);
                    apart &= support.join(&Bits::of(source));
                }
                Step::Trial(..) | Step::Unknown(_) => return None,
                _ => {}
            }
        }
        if !apart || segment.truth {
            return None;
        }
        // Slopes with the inputs, which are the last steps of their segments.
        let place = |at: u32| match self.segments.get(at as usize)?.result {
            Operand::Register(place) => Some(place),
            _ => None,
        };
        let mut own_slopes = vec![Interval::ZERO; own.len()];
        for (input, _) in &inputs {
            if let Some(slope) = place(*input).and_then(|at| work.slopes.get_mut(at as usize)) {
                *slope = Interval::ZERO;
            }
        }
        self.back_through(segment, work, |source, slope| {
            if let Some(index) = own.iter().position(|known| *known == source)
                && let Some(place) = own_slopes.get_mut(index)
            {
                *place = *place + slope;
            }
        });
        let slope_of = |input: u32, work: &Work| match place(input) {
            Some(at) => work.slopes.get(at as usize).copied(),
            None => Some(Interval::ZERO),
        };
        let rises = |slope: Interval| {
            if slope.low >= 0.0 {
                Some(true)
            } else {
                (slope.high <= 0.0).then_some(false)
            }
        };
        let mut slopes: Vec<Interval> = Vec::new();
        let mut segments: Vec<(u32, bool)> = Vec::new();
        for (input, _) in &inputs {
            let slope = slope_of(*input, work)?;
            segments.push((*input, rises(slope)?));
            slopes.push(slope);
        }
        let signs = own.iter().zip(&own_slopes);
        let signs = signs.map(|(source, slope)| Some((*source, rises(*slope)?)));
        let signs: Vec<(usize, bool)> = signs.collect::<Option<_>>()?;
        let mut at = |corner: Option<bool>, work: &mut Work| {
            for ((_, input), (number, rises)) in inputs.iter().zip(&segments) {
                let value = match corner {
                    None => input.at_rest,
                    Some(most) if *rises == most => input.high,
                    Some(_) => input.low,
                };
                if let Some(place) = place(*number).and_then(|at| work.numbers.get_mut(at as usize))
                {
                    *place = value;
                }
            }
            for (source, rises) in &signs {
                if let Some(place) = parts.get_mut(*source) {
                    *place = match corner {
                        None => rest.get(*source).copied().unwrap_or(0.5),
                        Some(most) => f64::from(u8::from(*rises == most)),
                    };
                }
            }
            work.one(lines, segment.result, parts)
        };
        let (low, high) = (at(Some(false), work)?, at(Some(true), work)?);
        let at_rest = at(None, work)?;
        let shares = shares(&inputs, &slopes, (&own, &own_slopes), rest);
        Some(Composed {
            low,
            high,
            sources: support.count(),
            shares,
            at_rest,
            support,
            segments,
            own: signs,
        })
    }
}

/// Returns what each source does alone, put together from what it does to the inputs.
fn shares(
    inputs: &[(u32, &Composed)],
    slopes: &[Interval],
    (own, own_slopes): (&[usize], &[Interval]),
    rest: &[f64],
) -> Option<(Vec<Alone>, Others)> {
    let straight = |slope: &Interval| slope.width() <= STRAIGHT * slope.magnitude();
    if !slopes.iter().chain(own_slopes).all(straight) {
        return None;
    }
    let mut found: Vec<Alone> = Vec::new();
    let mut others = Others::default();
    for ((_, input), slope) in inputs.iter().zip(slopes) {
        let (shares, left) = input.shares.as_ref()?;
        let slope = slope.middle();
        found.extend(shares.iter().map(|share| share.times(slope)));
        others.join(*left, slope);
    }
    for (source, slope) in own.iter().zip(own_slopes) {
        let rest = rest.get(*source).copied().unwrap_or(0.5);
        found.push(Alone {
            source: *source,
            at_low: -slope.middle() * rest,
            at_high: slope.middle() * (1.0 - rest),
        });
    }
    found.retain(|share| share.at_low != 0.0 || share.at_high != 0.0);
    keep_largest(&mut found, &mut others);
    Some((found, others))
}

/// Keeps the largest shares, in order, and counts the others together.
pub fn keep_largest(found: &mut Vec<Alone>, others: &mut Others) {
    found.sort_by(|a, b| {
        b.half_swing()
            .total_cmp(&a.half_swing())
            .then(a.source.cmp(&b.source))
    });
    for share in found.drain(SHARES.min(found.len())..) {
        others.take(&share);
    }
    found.shrink_to_fit();
}
