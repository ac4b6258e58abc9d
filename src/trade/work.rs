//! How much work the searches of the trade do, and how much they may: the same on every
//! machine.

use std::cell::Cell;

thread_local! {
    static DONE: Cell<u64> = const { Cell::new(0) };
    static ALLOWED: Cell<u64> = const { Cell::new(u64::MAX) };
}

/// Counts operations of a search (looks at one block, gear, circle or piece), and returns
/// whether it may go on: what a search that was stopped returns is of no use.
pub(in crate::trade) fn count(operations: usize) -> bool {
    let more = u64::try_from(operations).unwrap_or(u64::MAX);
    DONE.set(DONE.get().saturating_add(more));
    !is_over()
}

fn is_over() -> bool {
    DONE.get() > ALLOWED.get()
}

/// Calls something that may take so many operations; returns what it gives, how many it
/// took, and whether it was stopped because they ran out.
pub fn within<T>(operations: u64, search: impl FnOnce() -> T) -> (T, u64, bool) {
    DONE.set(0);
    ALLOWED.set(operations);
    let found = search();
    let stopped = is_over();
    ALLOWED.set(u64::MAX);
    (found, DONE.replace(0), stopped)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::dividing::{Plate, compound_indexing, differential_indexing};
    use crate::trade::{change_gears, cutting_list, gauge_blocks};
    use uom::si::f64::Length;
    use uom::si::length::millimeter;

    /// Returns what a search takes; with a tenth of it, it is stopped soon after.
    fn counted<T>(search: impl Fn() -> T) -> u64 {
        let (_, took, stopped) = within(u64::MAX, &search);
        assert!(!stopped);
        let (_, part, stopped) = within(took / 10, &search);
        assert!(stopped && part <= took, "{part} of {took}");
        took
    }

    #[test]
    fn searches_count_what_they_do_and_can_be_stopped() {
        let mm = Length::new::<millimeter>;
        let plates = [Plate::of_circles(&[15, 16, 17, 18, 19, 20])];
        let gears: Vec<u32> = (4..24).map(|gear| gear * 5).collect();
        let pieces: Vec<(Length, u32)> = (0..30)
            .map(|piece| (mm(f64::from(100 + piece * 37 % 211)), 1))
            .collect();
        let bars = [mm(1000.0); 7];
        // 87 blocks, up to 19,561 micrometres high.
        assert!(counted(|| gauge_blocks::gauge_blocks(mm(19.561), "metric 87")) > 87 * 19_561);
        let train = counted(|| change_gears::change_gears(mm(1.27), mm(3.0), &gears, 2, 0.0005));
        // 210 choices of two gears for each side.
        assert!(train > 2 * 180, "{train}");
        let cut = || cutting_list::cutting_list(cutting_list::Stock::Bars(&bars), &pieces, mm(2.0));
        assert!(counted(cut) > 30);
        assert!(counted(|| compound_indexing(77, 40, &plates)) > 15);
        assert!(counted(|| differential_indexing(53, 40, &plates, &gears)) > 200);
    }
}
