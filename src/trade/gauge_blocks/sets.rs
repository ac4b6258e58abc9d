//! The sets of gauge blocks in the table, and how a size is written in them.

use std::sync::LazyLock;

use serde::Deserialize;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::diagnostic::Fault;
use crate::quantity::short;
use crate::trade::table::built_in;
use crate::trade::words::{plain, unknown};

/// Units of 10 nm in a millimetre.
pub(super) const UNITS_PER_MM: f64 = 100_000.0;
/// Units of 10 nm in an inch.
const UNITS_PER_INCH: f64 = 2_540_000.0;

#[derive(Deserialize)]
struct Row {
    set: String,
    first_mm: Option<f64>,
    step_mm: Option<f64>,
    first_in: Option<f64>,
    step_in: Option<f64>,
    count: u32,
}

/// A set of blocks, in units of 10 nm.
pub(super) struct Set {
    pub(super) name: String,
    pub(super) inches: bool,
    pub(super) blocks: Vec<u64>,
}

impl Set {
    /// Returns a size of so many units.
    pub(super) fn size(&self, units: u64) -> Length {
        if self.inches {
            Length::new::<inch>(units as f64 / UNITS_PER_INCH)
        } else {
            Length::new::<millimeter>(units as f64 / UNITS_PER_MM)
        }
    }

    /// Returns a size as messages write it.
    pub(super) fn written(&self, units: f64) -> String {
        if self.inches {
            format!("{} in", short(units / UNITS_PER_INCH, 6))
        } else {
            format!("{} mm", short(units / UNITS_PER_MM, 5))
        }
    }
}

static SETS: LazyLock<Vec<Set>> = LazyLock::new(|| {
    let rows = built_in::<Row>("gauge_blocks").rows;
    let mut sets: Vec<Set> = Vec::new();
    for row in rows {
        let (first, step, scale) = match (row.first_mm, row.first_in) {
            (Some(first), _) => (first, row.step_mm, UNITS_PER_MM),
            (None, first) => (first.unwrap_or_default(), row.step_in, UNITS_PER_INCH),
        };
        let blocks = (0..row.count).map(|index| {
            let size = first + f64::from(index) * step.unwrap_or_default();
            (size * scale).round() as u64
        });
        match sets.iter_mut().find(|set| set.name == row.set) {
            Some(set) => set.blocks.extend(blocks),
            None => sets.push(Set {
                inches: row.first_in.is_some(),
                blocks: blocks.collect(),
                name: row.set,
            }),
        }
    }
    sets
});

/// Returns the set of a name.
pub(super) fn find(name: &str) -> Result<&'static Set, Fault> {
    let words = plain(&name.replace('-', " "));
    let asked: Vec<&str> = words
        .split(' ')
        .filter(|word| !matches!(*word, "piece" | "pieces" | "set"))
        .collect();
    let found = SETS.iter().find(|set| {
        let (system, number) = set.name.split_once(' ').unwrap_or((&set.name, ""));
        asked.contains(&number) && asked.iter().all(|word| *word == number || *word == system)
    });
    found.ok_or_else(|| {
        let known: Vec<&str> = SETS.iter().map(|set| set.name.as_str()).collect();
        let otherwise = "write one of these, or list your own blocks";
        let asked = ("set of gauge blocks", name);
        unknown(asked, "the library", &known, [], otherwise).in_argument(1)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_has_the_number_of_blocks_in_its_name() {
        for set in SETS.iter() {
            let number: usize = set.name.split_once(' ').unwrap().1.parse().unwrap();
            assert_eq!(set.blocks.len(), number, "{}", set.name);
            let mut sizes = set.blocks.clone();
            sizes.sort_unstable();
            sizes.dedup();
            assert_eq!(sizes.len(), number, "{} has a size twice", set.name);
            assert_eq!(set.inches, set.name.starts_with("inch"));
        }
        assert!(SETS.len() >= 14);
    }

    #[test]
    fn sets_are_named_in_several_ways() {
        for name in [
            "metric 87",
            "87",
            "87 metric",
            "87-piece metric set",
            "Metric 87",
        ] {
            assert_eq!(
                find(name).map(|set| set.name.as_str()).ok(),
                Some("metric 87")
            );
        }
        for name in [
            "",
            "metric",
            "inch 87",
            "metric 86",
            "eighty-seven",
            "set",
            "metric 87 88",
        ] {
            let fault = find(name).map(|set| &set.name).unwrap_err();
            assert!(fault.message.contains("`metric 87`"), "{fault}");
            assert_eq!(fault.argument, Some(1));
        }
    }
}
