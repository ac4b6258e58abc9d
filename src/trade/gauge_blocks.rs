//! Stacks of gauge blocks: the fewest blocks of a set that make a height.
//!
//! Sizes are whole numbers of 10 nm, of which 0.0005 mm is 50 and 0.00005 in is
//! 127, so that sums are exact and both systems mix.
//!
//! # Example
//! ```
//! use setover::internals::trade::gauge_blocks::gauge_blocks_from;
//! use uom::si::f64::Length;
//! use uom::si::length::millimeter;
//!
//! let owned = [1.005, 1.3, 2.0, 20.0].map(Length::new::<millimeter>);
//! let stack = gauge_blocks_from(Length::new::<millimeter>(22.305), &owned)?;
//! assert_eq!(stack.blocks.len(), 3);
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod search;
mod sets;

use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use crate::diagnostic::Fault;
use crate::quantity::short;
use crate::trade::fraction::common_divisor;
use crate::trade::gauge_blocks::search::{MOST_BLOCKS, ReachableSums};
use crate::trade::gauge_blocks::sets::{Set, UNITS_PER_MM, find};
use crate::trade::lengths::mm;

/// How far a size may lie from a whole number of units and still be that number.
const ROUNDING_UNITS: f64 = 0.01;
/// How far a stack may be from the wanted height and still be given for it:
/// 0.00005 in, half the finest step of an inch set.
const NEAR_ENOUGH_UNITS: f64 = 127.0;
/// The longest block that is taken for one, 10 m.
const LONGEST_MM: f64 = 10_000.0;

/// A stack of gauge blocks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stack {
    /// The blocks, thinnest first.
    pub blocks: Vec<Length>,
    /// The height that they make.
    pub height: Length,
    /// The height they make less the height wanted: not zero where the wanted
    /// height lies between the steps of the set.
    pub off: Length,
    /// The set that was searched.
    pub set: String,
}

/// Returns the fewest blocks of a named set (`metric 87`, `inch 81` …) that make a height (mm).
///
/// A height between the steps of the set is built to the nearest step, and
/// `off` says by how much.
///
/// # Errors
/// A fault when the set is unknown (it lists the sets), or when the height can't
/// be built (it names the nearest that can).
///
/// Source: sets of common practice, no source; the fewest blocks are found
/// exactly, by a search over all heights up to the wanted one.
pub fn gauge_blocks(height: Length, set: &str) -> Result<Stack, Fault> {
    build(height, find(set)?)
}

/// Returns the fewest of some blocks that the user owns (mm) that make a height (mm).
///
/// # Errors
/// A fault when the list is empty, has more than 200 blocks or one that is no
/// whole number of 0.00001 mm, or when the height can't be built (it names the
/// nearest that can).
pub fn gauge_blocks_from(height: Length, owned: &[Length]) -> Result<Stack, Fault> {
    if owned.is_empty() {
        return Err(Fault::new("the list of gauge blocks is empty")
            .advise("list the blocks, as in `[1.005, 1.01, 1.02, 10] mm`")
            .in_argument(1));
    }
    if owned.len() > MOST_BLOCKS {
        return Err(Fault::new(format!(
            "the list has {} gauge blocks; up to {MOST_BLOCKS} can be searched",
            owned.len()
        ))
        .in_argument(1));
    }
    let mut blocks = Vec::with_capacity(owned.len());
    for (index, block) in owned.iter().enumerate() {
        let block_mm = block.get::<millimeter>();
        match whole_units(block_mm) {
            Some(units) => blocks.push(units),
            None => {
                return Err(Fault::new(format!(
                    "gauge block {} must be more than 0 mm and a whole number of 0.00001 mm; it is {} mm",
                    index + 1,
                    short(block_mm, 7)
                ))
                .advise("give the size marked on the block")
                .in_argument(1));
            }
        }
    }
    let in_inches = |units: &u64| units.is_multiple_of(127);
    let in_millimetres = |units: &u64| units.is_multiple_of(50);
    build(
        height,
        &Set {
            name: format!("your own {}", blocks.len()),
            inches: blocks.iter().all(in_inches) && !blocks.iter().all(in_millimetres),
            blocks,
        },
    )
}

/// Returns a size as a whole number of units, where it is one.
fn whole_units(size_mm: f64) -> Option<u64> {
    let units = size_mm * UNITS_PER_MM;
    let whole = units.round();
    let is_whole = (units - whole).abs() < ROUNDING_UNITS;
    (is_whole && whole >= 1.0 && size_mm <= LONGEST_MM).then_some(whole as u64)
}

fn build(height: Length, set: &Set) -> Result<Stack, Fault> {
    let sizes = set.blocks.iter().map(|block| i128::from(*block));
    let step = sizes.fold(0, common_divisor);
    let step = u64::try_from(step).unwrap_or(1).max(1);
    let blocks: Vec<u64> = set.blocks.iter().map(|block| block / step).collect();
    let total: u64 = blocks.iter().sum();
    let wanted = height.get::<millimeter>() * UNITS_PER_MM / step as f64;
    let target = wanted.round() as u64;
    let off_units = (target as f64 - wanted) * step as f64;
    let near_enough = off_units.abs() <= NEAR_ENOUGH_UNITS + ROUNDING_UNITS;
    if !(1..=total).contains(&target) || !near_enough {
        return Err(cannot(wanted, &blocks, step, total, set));
    }
    let Some(reach) = ReachableSums::new(&blocks, target) else {
        return Err(Fault::new(format!(
            "the search for this height among {} blocks has too many steps",
            set.blocks.len()
        ))
        .advise("take blocks of one system, inch or metric, or a lower stack")
        .in_argument(0));
    };
    let Some(stack) = reach.stack(target) else {
        return Err(cannot(wanted, &blocks, step, total, set));
    };
    let exact = off_units.abs() < ROUNDING_UNITS;
    let sizes = stack.iter().map(|block| set.size(*block * step));
    Ok(Stack {
        blocks: sizes.collect(),
        height: set.size(target * step),
        off: mm(if exact { 0.0 } else { off_units / UNITS_PER_MM }),
        set: set.name.clone(),
    })
}

/// Returns why a height, in steps of the set, can't be built, with the nearest that can.
fn cannot(wanted: f64, blocks: &[u64], step: u64, total: u64, set: &Set) -> Fault {
    let written = |steps: f64| set.written(steps * step as f64);
    let mut message = format!("{} can't be built from {}", written(wanted), set.name);
    if wanted > total as f64 {
        message += &format!(": all blocks together make {}", written(total as f64));
    }
    let fault = Fault::new(message).in_argument(0);
    let smallest = blocks.iter().copied().min().unwrap_or(1);
    let limit = (2.0 * wanted).ceil() as u64;
    let reach = ReachableSums::new(blocks, limit.saturating_add(smallest).min(total));
    let nearest = reach.and_then(|reach| {
        let height = reach.nearest(wanted)?;
        Some((height, reach.stack(height)?))
    });
    let Some((height, stack)) = nearest else {
        return fault;
    };
    let sizes = stack.iter().map(|block| written(*block as f64));
    fault.advise(format!(
        "the nearest that can is {}: {}",
        written(height as f64),
        sizes.collect::<Vec<_>>().join(" + ")
    ))
}

#[cfg(test)]
mod tests {
    use uom::si::length::inch;

    use super::*;
    use crate::trade::lengths::mm;

    #[track_caller]
    fn check(height: Length, set: &str, count: usize) -> Stack {
        let stack = gauge_blocks(height, set).unwrap();
        assert_eq!(stack.blocks.len(), count, "{stack:?}");
        let sum: f64 = stack
            .blocks
            .iter()
            .map(|block| block.get::<millimeter>())
            .sum();
        assert!((sum - stack.height.get::<millimeter>()).abs() < 1e-9);
        let off = (stack.height - height - stack.off).get::<millimeter>();
        assert!(off.abs() < 1e-7);
        assert!(stack.blocks.is_sorted());
        stack
    }

    #[test]
    fn brute_force_finds_no_fewer_in_a_real_set() {
        // Every choice of up to three blocks out of the 45: what takes four must not
        // be among their sums, what takes fewer must be.
        let set = find("metric 45").unwrap();
        let blocks = &set.blocks;
        let mut fewest = std::collections::BTreeMap::new();
        let mut note = |sum: u64, count: usize| {
            let best = fewest.entry(sum).or_insert(count);
            *best = (*best).min(count);
        };
        for (i, a) in blocks.iter().enumerate() {
            note(*a, 1);
            for (j, b) in blocks.iter().enumerate().skip(i + 1) {
                note(a + b, 2);
                for c in blocks.iter().skip(j + 1) {
                    note(a + b + c, 3);
                }
            }
        }
        let reach = ReachableSums::new(
            blocks
                .iter()
                .map(|b| b / 100)
                .collect::<Vec<_>>()
                .as_slice(),
            40_000,
        )
        .unwrap();
        let mut four = 0;
        for height in 1..=40_000 {
            let count = reach.stack(height).map(|stack| stack.len());
            match fewest.get(&(height * 100)) {
                Some(known) => assert_eq!(count, Some(*known), "{height} um"),
                None => {
                    assert!(count.is_none_or(|count| count >= 4), "{height} um");
                    four += usize::from(count == Some(4));
                }
            }
        }
        assert!(four > 1000, "{four}");
    }

    #[test]
    fn a_height_between_the_steps_is_rounded_and_says_so() {
        // 100 mm sine bar at half the angle of 1:20: sin(atan(1/40)) x 100 mm, worked by hand.
        let stack = check(mm(2.499_219), "metric 87", 2);
        assert!((stack.height.get::<millimeter>() - 2.499).abs() < 1e-12);
        assert!((stack.off.get::<millimeter>() + 0.000_219).abs() < 1e-9);
        assert_eq!(check(mm(2.499), "metric 87", 2).off, mm(0.0));
    }

    #[test]
    fn what_cannot_be_built_names_the_nearest() {
        for (height, set, says) in [
            (0.3, "metric 87", "the nearest that can is 0.5 mm: 0.5 mm"),
            (0.0001, "metric 87", "the nearest that can is 0.5 mm"),
            (0.9, "metric 45", "the nearest that can is 1 mm: 1 mm"),
            (2.002, "metric 32", "the nearest that can is 2 mm: 2 mm"),
            (0.3, "inch 81", "the nearest that can is 0.05 in: 0.05 in"),
            (5000.0, "metric 87", "all blocks together make"),
        ] {
            let fault = gauge_blocks(mm(height), set).unwrap_err();
            assert!(fault.to_string().contains(says), "{fault}");
            assert_eq!(fault.argument, Some(0));
        }
    }

    #[test]
    fn blocks_of_ones_own() {
        let owned = [1.005, 1.1, 1.2, 2.0, 5.0, 10.0].map(mm);
        let stack = gauge_blocks_from(mm(8.305), &owned).unwrap();
        assert_eq!(stack.blocks, [1.005, 1.1, 1.2, 5.0].map(mm));
        let fault = gauge_blocks_from(mm(3.4), &[1.0, 2.0, 5.0].map(mm)).unwrap_err();
        assert!(
            fault.to_string().contains(
                "3.4 mm can't be built from your own 3; the nearest that can is 3 mm: 1 mm + 2 mm"
            ),
            "{fault}"
        );
        let mixed = [Length::new::<inch>(0.1001), mm(1.0), mm(10.0)];
        let stack = gauge_blocks_from(mm(13.542_54), &mixed).unwrap();
        assert_eq!(stack.blocks.len(), 3);
    }

    #[test]
    fn heights_and_lists_that_make_no_sense_are_refused() {
        for height in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
            let fault = gauge_blocks(mm(height), "metric 87").unwrap_err();
            assert_eq!(fault.argument, Some(0));
        }
        let many = vec![mm(1.0); 201];
        let thirds = [mm(1.0 / 3.0)];
        for owned in [
            &[][..],
            &[mm(0.0)],
            &[mm(-1.0)],
            &[mm(f64::NAN)],
            &[mm(1e9)],
            &many,
            &thirds,
        ] {
            let fault = gauge_blocks_from(mm(10.0), owned).unwrap_err();
            assert_eq!(fault.argument, Some(1), "{fault}");
        }
        let awkward: Vec<Length> = (0..200)
            .map(|i| mm(40.0 + f64::from(i) * 0.000_01))
            .collect();
        let fault = gauge_blocks_from(mm(7000.0), &awkward).unwrap_err();
        assert!(fault.message.contains("too many steps"), "{fault}");
    }
}
