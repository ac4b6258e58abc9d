//! The fewest of some whole numbers that add up to a wanted one, each used once.

use crate::trade::work;

/// The most steps (blocks times heights) that one search takes.
const MOST_STEPS: u64 = 400_000_000;

/// The most heights that one search holds; each takes a byte and a bit a block.
const MOST_HEIGHTS: u64 = 20_000_000;

/// No way to a height yet.
const NO_WAY: u8 = u8::MAX;

/// The most blocks that may be searched.
pub(super) const MOST_BLOCKS: usize = 200;

/// For every height up to a limit, the fewest blocks that build it.
///
/// It is found block by block: with a block more, a height takes either the
/// blocks it took without it, or one more than the height that is lower by
/// that block. Which of the two won is noted, to read the stack back.
pub(super) struct ReachableSums {
    blocks: Vec<u64>,
    fewest: Vec<u8>,
    taken: Vec<Vec<u64>>,
}

impl ReachableSums {
    /// Searches all heights up to `limit`; nothing when that is too much work.
    pub(super) fn new(blocks: &[u64], limit: u64) -> Option<Self> {
        let count = blocks.len() as u64;
        if blocks.len() > MOST_BLOCKS
            || limit > MOST_HEIGHTS
            || limit.checked_mul(count)? > MOST_STEPS
        {
            return None;
        }
        let heights = usize::try_from(limit).ok()?.checked_add(1)?;
        if !work::count(heights.saturating_mul(blocks.len())) {
            return None;
        }
        let mut fewest = vec![NO_WAY; heights];
        if let Some(nothing) = fewest.first_mut() {
            *nothing = 0;
        }
        let mut reach = Self {
            blocks: blocks.to_vec(),
            fewest,
            taken: Vec::with_capacity(blocks.len()),
        };
        for block in blocks {
            let taken = reach.add(usize::try_from(*block).unwrap_or(usize::MAX), heights);
            reach.taken.push(taken);
        }
        Some(reach)
    }

    /// Takes one more block into account; the bits say at which heights it helps.
    fn add(&mut self, block: usize, heights: usize) -> Vec<u64> {
        let mut taken = vec![0_u64; heights.div_ceil(64)];
        for height in (block..heights).rev() {
            let with_it = self.fewest[height - block].saturating_add(1);
            if with_it < self.fewest[height] {
                self.fewest[height] = with_it;
                taken[height / 64] |= 1 << (height % 64);
            }
        }
        taken
    }

    /// Returns whether a height can be built.
    pub(super) fn builds(&self, height: u64) -> bool {
        let found = usize::try_from(height)
            .ok()
            .and_then(|height| self.fewest.get(height));
        height > 0 && found.is_some_and(|count| *count != NO_WAY)
    }

    /// Returns the blocks that build a height, smallest first, where it can be built.
    pub(super) fn stack(&self, height: u64) -> Option<Vec<u64>> {
        if !self.builds(height) {
            return None;
        }
        let mut left = usize::try_from(height).ok()?;
        let mut stack = Vec::new();
        for (block, taken) in self.blocks.iter().zip(&self.taken).rev() {
            if taken[left / 64] >> (left % 64) & 1 == 1 {
                stack.push(*block);
                left -= usize::try_from(*block).ok()?;
            }
        }
        stack.sort_unstable();
        Some(stack)
    }

    /// Returns the height nearest to a wanted one, in the same units, that can be built.
    pub(super) fn nearest(&self, wanted: f64) -> Option<u64> {
        (1..self.fewest.len() as u64)
            .filter(|height| self.builds(*height))
            .min_by(|a, b| {
                (*a as f64 - wanted)
                    .abs()
                    .total_cmp(&(*b as f64 - wanted).abs())
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns the fewest blocks for every sum, by trying every choice of blocks.
    fn by_brute_force(blocks: &[u64]) -> std::collections::BTreeMap<u64, usize> {
        let mut fewest = std::collections::BTreeMap::new();
        for choice in 1_u32..1 << blocks.len() {
            let chosen = |index: &usize| choice >> index & 1 == 1;
            let sum = (0..blocks.len())
                .filter(chosen)
                .map(|index| blocks[index])
                .sum();
            let count = choice.count_ones() as usize;
            let best = fewest.entry(sum).or_insert(count);
            *best = (*best).min(count);
        }
        fewest
    }

    #[test]
    fn brute_force_finds_no_fewer() {
        let mut state = 1_u64;
        let mut random = |below: u64| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            (state >> 33) % below
        };
        let mut sums = 0;
        for _ in 0..40 {
            let blocks: Vec<u64> = (0..2 + random(10)).map(|_| 1 + random(60)).collect();
            let known = by_brute_force(&blocks);
            let total: u64 = blocks.iter().sum();
            let reach = ReachableSums::new(&blocks, total).unwrap();
            for height in 0..=total + 1 {
                let stack = reach.stack(height);
                assert_eq!(
                    stack.as_ref().map(Vec::len),
                    known.get(&height).copied(),
                    "{blocks:?} {height}"
                );
                if let Some(stack) = stack {
                    assert_eq!(stack.iter().sum::<u64>(), height);
                    let of = |all: &[u64], size| all.iter().filter(|b| **b == size).count();
                    for size in &stack {
                        assert!(of(&stack, *size) <= of(&blocks, *size), "a block twice");
                    }
                    sums += 1;
                }
            }
        }
        assert!(sums > 1000, "{sums}");
    }

    #[test]
    fn the_nearest_height_is_found() {
        let reach = ReachableSums::new(&[3, 10], 20).unwrap();
        for (wanted, nearest) in [(0.1, 3), (6.4, 3), (6.6, 10), (11.4, 10), (20.0, 13)] {
            assert_eq!(reach.nearest(wanted), Some(nearest));
        }
        assert_eq!(ReachableSums::new(&[], 5).unwrap().nearest(1.0), None);
    }

    #[test]
    fn too_much_work_is_declined() {
        assert!(ReachableSums::new(&[1; 100], 10_000_000).is_none());
        assert!(ReachableSums::new(&[1; 201], 1).is_none());
        assert!(ReachableSums::new(&[1, 2], u64::MAX).is_none());
        assert!(ReachableSums::new(&[1], 20_000_001).is_none());
        let above = ReachableSums::new(&[u64::MAX, 2], 5).unwrap();
        assert!(above.builds(2) && !above.builds(3));
    }
}
