//! How far a number reaches, as it was seen.

use crate::quantity::{Quantity, System};

/// Where each source is put while all others stand where they are aimed.
pub const PLACES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// How far one number of a slot reaches: its value, or a margin of a check.
#[derive(Clone, Debug)]
pub struct Reach {
    /// The number where everything is aimed.
    pub nominal: Quantity,
    /// Less than this is rounding.
    pub noise: f64,
    /// The least value at a corner.
    pub low: f64,
    /// Where the sources stand at the least.
    pub low_at: Vec<f64>,
    /// The greatest value at a corner.
    pub high: f64,
    /// Where the sources stand at the greatest.
    pub high_at: Vec<f64>,
    /// The least and the greatest value seen anywhere.
    pub seen: (f64, f64),
    /// Whether it has no value somewhere.
    pub gap: bool,
    /// What it is with each source alone at each place.
    pub alone: Vec<[Option<f64>; PLACES.len()]>,
}

impl Reach {
    /// Returns what is known before anything was looked at.
    pub fn new(nominal: Quantity, sources: usize) -> Self {
        let unit = nominal.shown_unit(System::Metric);
        Self {
            nominal,
            noise: 1e-13 * nominal.si.abs() + 1e-12 * unit.factor(),
            low: f64::INFINITY,
            low_at: vec![0.5; sources],
            high: f64::NEG_INFINITY,
            high_at: vec![0.5; sources],
            seen: (nominal.si, nominal.si),
            gap: false,
            alone: vec![[None; PLACES.len()]; sources],
        }
    }

    /// Takes a value seen anywhere between the limits.
    pub fn inside(&mut self, value: Option<f64>) {
        match value {
            Some(value) => self.seen = (self.seen.0.min(value), self.seen.1.max(value)),
            None => self.gap = true,
        }
    }

    /// Takes a value at a corner.
    pub fn corner(&mut self, value: Option<f64>, at: &[f64]) {
        self.inside(value);
        let Some(value) = value else { return };
        if value < self.low {
            (self.low, self.low_at) = (value, at.to_vec());
        }
        if value > self.high {
            (self.high, self.high_at) = (value, at.to_vec());
        }
    }

    /// Returns the corner to which each source by itself points: of the greatest value, or of the
    /// least.
    pub fn pointed_to(&self, greatest: bool) -> Vec<f64> {
        let part = |alone: &[Option<f64>; PLACES.len()]| {
            let rises = alone[PLACES.len() - 1] > alone[0];
            f64::from(u8::from(rises == greatest))
        };
        self.alone.iter().map(part).collect()
    }

    /// Returns whether it turns between the limits: something inside lies beyond all corners,
    /// or one source makes it rise and fall.
    pub fn turns(&self) -> bool {
        let slack = self.noise + 1e-9 * (self.high - self.low);
        let beyond = self.seen.0 < self.low - slack || self.seen.1 > self.high + slack;
        beyond
            || self.alone.iter().any(|alone| {
                let seen: Vec<f64> = alone.iter().copied().flatten().collect();
                let rises = seen.windows(2).any(|pair| pair[1] - pair[0] > slack);
                let falls = seen.windows(2).any(|pair| pair[0] - pair[1] > slack);
                rises && falls
            })
    }

    /// Returns whether what a source does at one side of the middle is not what it does at the
    /// other.
    pub fn bends(&self) -> bool {
        self.alone.iter().any(|alone| {
            let [Some(low), _, Some(middle), _, Some(high)] = *alone else {
                return false;
            };
            let (below, above) = (middle - low, high - middle);
            let swing = below.abs().max(above.abs());
            swing > self.noise && (above - below).abs() > 0.5 * swing
        })
    }
}
