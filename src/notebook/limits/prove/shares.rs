//! What each size does to a result by itself.

use super::Prover;
use crate::language::{Alone, BLOCK, Interval, Others, SHARES, Slice, keep_largest};
use crate::notebook::columns::Block;
use crate::notebook::limits::Share;

/// Where a size is put while all others stand where they are aimed.
const PLACES: [f64; 3] = [0.0, 0.5, 1.0];
/// The most numbers that are held of all results at once.
const ROOM: usize = 8_000_000;

impl Prover<'_> {
    /// Returns what each source does alone, the largest first; what is left out of them; and
    /// whether the value bends.
    pub(super) fn shares(
        &mut self,
        column: usize,
        slice: &Slice,
        nominal: f64,
        noise: f64,
    ) -> (Vec<Share>, Others, bool) {
        let mut found: Vec<Alone> = Vec::new();
        let mut bends = false;
        let many = slice.sources.len() > SHARES;
        if many {
            // Slopes all over the box; a sum has the same everywhere.
            self.cube.fill(Interval::new(0.0, 1.0));
            self.tape.forward(slice, &self.cube, &[], &mut self.work);
            self.tape.backward(slice, &mut self.work, &mut self.slopes);
            self.left = self.left.saturating_sub(3 * slice.steps as u64);
        }
        for number in &slice.sources {
            let Some(rest) = self.rest.get(*number).copied() else {
                continue;
            };
            let slope = self.slopes.get(*number).copied().unwrap_or(Interval::ALL);
            let share = if many && slope.width() <= 1e-9 * slope.magnitude() {
                Alone {
                    source: *number,
                    at_low: -slope.middle() * rest,
                    at_high: slope.middle() * (1.0 - rest),
                }
            } else {
                let [Some(low), Some(middle), Some(high)] = self.alone(column, slice, *number)
                else {
                    bends = true;
                    continue;
                };
                let (below, above) = (middle - low, high - middle);
                let swing = below.abs().max(above.abs());
                bends |= swing > noise && (above - below).abs() > 0.5 * swing;
                Alone {
                    source: *number,
                    at_low: low - nominal,
                    at_high: high - nominal,
                }
            };
            if share.at_low.abs() > noise || share.at_high.abs() > noise {
                found.push(share);
            }
        }
        let mut others = Others::default();
        keep_largest(&mut found, &mut others);
        (self.named_shares(&found), others, bends)
    }

    /// Returns shares by their sources' names.
    pub(super) fn named_shares(&self, found: &[Alone]) -> Vec<Share> {
        let share = |share: &Alone| {
            Some(Share {
                source: self.sources.get(share.source)?.source,
                at_low: share.at_low,
                at_high: share.at_high,
            })
        };
        found.iter().filter_map(share).collect()
    }

    /// Returns a result with one source at its lower limit, half way and at its upper limit.
    fn alone(&mut self, column: usize, slice: &Slice, number: usize) -> [Option<f64>; 3] {
        let count = self.sources.len() * PLACES.len();
        if count <= BLOCK && count * self.plan.count <= ROOM {
            self.left = self.left.saturating_sub(1);
            let block = self.one_by_one();
            let column = block.columns.get(column);
            let mut place = PLACES.len() * number;
            return PLACES.map(|_| {
                let column = column?;
                let value = column.values.get(place).copied();
                let missing = column.missing.get(place).copied().unwrap_or(false);
                place += 1;
                value.filter(|value| value.is_finite() && !missing)
            });
        }
        self.left = self.left.saturating_sub(4 * slice.steps as u64);
        let found = PLACES.map(|part| {
            if let Some(place) = self.parts.get_mut(number) {
                *place = part;
            }
            self.tape.at(slice, &self.parts, &mut self.work)
        });
        self.put_to_rest(&[number]);
        found
    }

    /// Returns all results at once, with one source after the other at each place, the others at
    /// rest: few sources fit one block of lanes.
    fn one_by_one(&mut self) -> &Block {
        self.block.get_or_insert_with(|| {
            let count = self.sources.len() * PLACES.len();
            let column = |(number, rest): (usize, &f64)| {
                let mut column = vec![*rest; count];
                for (place, part) in PLACES.iter().enumerate() {
                    if let Some(place) = column.get_mut(number * PLACES.len() + place) {
                        *place = *part;
                    }
                }
                column
            };
            let parts: Vec<Vec<f64>> = self.rest.iter().enumerate().map(column).collect();
            let mut block = Block::default();
            self.plan.by_steps(&parts, count, &mut block);
            block
        })
    }
}
