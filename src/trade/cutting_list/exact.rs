//! Branch and bound: each piece in turn into every bar that could take it.

use crate::trade::cutting_list::{Job, Plan};
use crate::trade::work;

/// The most pieces that are searched.
const MOST_PIECES: usize = 60;
/// The most bars that are searched.
const MOST_BARS: usize = 60;
/// The most steps of the search.
const MOST_STEPS: u32 = 100_000;

/// Returns the best plan, and whether it is proven that no other needs less stock (or,
/// without a plan, that there is none).
///
/// `first` is a plan to beat.
pub(super) fn plan(job: &Job, first: Option<Plan>) -> (Option<Plan>, bool) {
    let pieces: i64 = job.pieces.iter().sum();
    let mut search = Search {
        job,
        left: Vec::new(),
        unused: job.bars.clone(),
        room: Vec::new(),
        plan: Plan::default(),
        cost: 0,
        best_cost: first.as_ref().map_or(i64::MAX, Plan::cost),
        best: first,
        steps: 0,
    };
    // What remains to be placed before each piece.
    let mut left = pieces;
    for piece in &job.pieces {
        search.left.push(left);
        left -= piece;
    }
    if search.best_cost <= search.least(0) {
        return (search.best, true);
    }
    if job.pieces.len() > MOST_PIECES || job.bars.len() > MOST_BARS {
        return (search.best, false);
    }
    search.place(0, 0);
    (search.best, search.steps < MOST_STEPS)
}

/// What one step of the search counts, in operations, and each bar at it.
const STEP: usize = 30;
const STEP_BAR: usize = 4;

/// The state of the search.
struct Search<'a> {
    job: &'a Job,
    /// Length of the pieces from each place on.
    left: Vec<i64>,
    /// Bars not begun, longest first; one where their number is unlimited.
    unused: Vec<i64>,
    /// What is free in each bar begun.
    room: Vec<i64>,
    plan: Plan,
    cost: i64,
    best: Option<Plan>,
    best_cost: i64,
    steps: u32,
}

impl Search<'_> {
    /// Returns the least that any plan can cost that goes on from here: what the bars
    /// begun can't hold must go into more bars.
    fn least(&self, place: usize) -> i64 {
        let left = self.left.get(place).copied().unwrap_or(0);
        // Room too short for the shortest piece is lost.
        let shortest = self.job.pieces.last().copied().unwrap_or(0);
        let free: i64 = self.room.iter().filter(|room| **room >= shortest).sum();
        let beyond = (left - free).max(0);
        if beyond == 0 {
            return self.cost;
        }
        if self.job.unlimited {
            let bar = self.unused.first().copied().unwrap_or(1);
            let held = self.job.holds(bar);
            return self.cost + (beyond + held - 1) / held * bar;
        }
        // As few bars as the longest would be, or more; that many cost at least
        // what the shortest do, and what they hold less one cut each.
        let (mut held, mut shortest, mut cuts, mut least) = (0, 0, 0, i64::MAX);
        for (longest, short) in self.unused.iter().zip(self.unused.iter().rev()) {
            held += self.job.holds(*longest);
            shortest += short;
            cuts += self.job.cut;
            if held >= beyond {
                least = least.min(shortest.max(beyond - cuts));
            }
            if held >= beyond && shortest >= beyond - cuts {
                break;
            }
        }
        self.cost.saturating_add(least)
    }

    /// Places the pieces from `place` on. A piece like the one before it goes
    /// into bars from `from` on, for the order of like pieces means nothing.
    fn place(&mut self, place: usize, from: usize) {
        let Some(piece) = self.job.pieces.get(place).copied() else {
            if self.cost < self.best_cost {
                self.best_cost = self.cost;
                self.best = Some(self.plan.clone());
            }
            return;
        };
        if self.steps >= MOST_STEPS || self.least(place) >= self.best_cost {
            return;
        }
        self.steps += 1;
        if !work::count(STEP + self.room.len() * STEP_BAR + self.unused.len()) {
            self.steps = MOST_STEPS;
            return;
        }
        let next_alike = self.job.pieces.get(place + 1) == Some(&piece);
        let from_next = |bar: usize| if next_alike { bar } else { 0 };
        let mut tried: Vec<i64> = Vec::new();
        for bar in from..self.room.len() {
            let room = self.room.get(bar).copied().unwrap_or(0);
            // Two bars with the same room are the same to all pieces to come.
            if room < piece || tried.contains(&room) {
                continue;
            }
            tried.push(room);
            self.put(bar, place, piece);
            self.place(place + 1, from_next(bar));
            self.take(bar, piece);
        }
        let mut begun: Vec<i64> = Vec::new();
        for at in 0..self.unused.len() {
            let length = self.unused.get(at).copied().unwrap_or(0);
            let holds = self.job.holds(length);
            if holds < piece || begun.contains(&length) {
                continue;
            }
            begun.push(length);
            if !self.job.unlimited {
                self.unused.remove(at);
            }
            self.cost += length;
            self.room.push(holds);
            self.plan.bars.push((length, Vec::new()));
            let bar = self.room.len() - 1;
            self.put(bar, place, piece);
            self.place(place + 1, from_next(bar));
            self.room.pop();
            self.plan.bars.pop();
            self.cost -= length;
            if !self.job.unlimited {
                self.unused.insert(at, length);
            }
        }
    }

    /// Puts a piece into a bar.
    fn put(&mut self, bar: usize, place: usize, piece: i64) {
        if let (Some(room), Some((_, places))) =
            (self.room.get_mut(bar), self.plan.bars.get_mut(bar))
        {
            *room -= piece;
            places.push(place);
        }
    }

    /// Takes the last piece out of a bar again.
    fn take(&mut self, bar: usize, piece: i64) {
        if let (Some(room), Some((_, places))) =
            (self.room.get_mut(bar), self.plan.bars.get_mut(bar))
        {
            *room += piece;
            places.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::cutting_list::first_fit;

    /// A small generator of numbers (Knuth's MMIX constants), the same each run.
    struct Numbers(u64);

    impl Numbers {
        fn below(&mut self, most: u64) -> u64 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 33) % most
        }
    }

    /// Returns the least stock by brute force: every piece in every bar.
    fn by_brute_force(pieces: &[i64], bars: &[i64], cut: i64) -> Option<i64> {
        let mut best: Option<i64> = None;
        let ways = bars.len().pow(u32::try_from(pieces.len()).unwrap());
        for way in 0..ways {
            let mut used = vec![-cut; bars.len()];
            let mut rest = way;
            for piece in pieces {
                used[rest % bars.len()] += piece;
                rest /= bars.len();
            }
            if used.iter().zip(bars).all(|(used, bar)| used <= bar) {
                let cost: i64 = used
                    .iter()
                    .zip(bars)
                    .filter(|(used, _)| **used > -cut)
                    .map(|(_, bar)| bar)
                    .sum();
                best = Some(best.map_or(cost, |best| best.min(cost)));
            }
        }
        best
    }

    #[test]
    fn no_plan_needs_less_stock() {
        let mut numbers = Numbers(2024);
        let (mut possible, mut beaten) = (0, 0);
        for round in 0..600 {
            let cut = i64::try_from(numbers.below(4)).unwrap();
            let count = 2 + numbers.below(5);
            let mut pieces: Vec<i64> = (0..count)
                .map(|_| 10 + i64::try_from(numbers.below(50)).unwrap() + cut)
                .collect();
            pieces.sort_unstable_by(|a, b| b.cmp(a));
            let unlimited = round % 3 == 0;
            let bars = if unlimited {
                vec![70]
            } else {
                let mut bars: Vec<i64> = (0..2 + numbers.below(3))
                    .map(|_| 40 + 5 * i64::try_from(numbers.below(14)).unwrap())
                    .collect();
                bars.sort_unstable_by(|a, b| b.cmp(a));
                bars
            };
            // As many equal bars as there are pieces are as good as any number.
            let all = if unlimited {
                vec![70; pieces.len()]
            } else {
                bars.clone()
            };
            let wanted = by_brute_force(&pieces, &all, cut);
            let job = Job {
                pieces,
                bars,
                unlimited,
                cut,
            };
            let first = first_fit::plan(&job);
            let (found, proven) = plan(&job, first.clone());
            assert!(proven, "{job:?}");
            assert_eq!(found.as_ref().map(Plan::cost), wanted, "{job:?}");
            possible += usize::from(wanted.is_some());
            beaten += usize::from(first.as_ref().map(Plan::cost) != wanted);
            for (bar, places) in found.iter().flat_map(|plan| &plan.bars) {
                let taken: i64 = places.iter().map(|place| job.pieces[*place]).sum();
                assert!(taken <= job.holds(*bar), "{job:?}");
            }
        }
        // The jobs are hard enough that first fit alone would not do.
        assert!(possible > 200 && beaten > 20, "{possible} {beaten}");
    }

    #[test]
    fn a_hard_job_ends_in_bounded_steps() {
        let mut numbers = Numbers(7);
        let mut pieces: Vec<i64> = (0..60)
            .map(|_| 1_000 + i64::try_from(numbers.below(4_000)).unwrap())
            .collect();
        pieces.sort_unstable_by(|a, b| b.cmp(a));
        let job = Job {
            pieces,
            bars: vec![9_973],
            unlimited: true,
            cut: 3,
        };
        let first = first_fit::plan(&job);
        let cost = first.as_ref().map(Plan::cost);
        let (found, _) = plan(&job, first);
        assert!(found.as_ref().map(Plan::cost) <= cost);
        let mut placed: Vec<usize> = found
            .unwrap()
            .bars
            .into_iter()
            .flat_map(|bar| bar.1)
            .collect();
        placed.sort_unstable();
        assert_eq!(placed, (0..60).collect::<Vec<_>>());
    }
}
