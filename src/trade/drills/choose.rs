//! The drill for a hole, from a set or from the drills owned.

use serde::Serialize;
use uom::si::f64::Length;

use crate::diagnostic::Fault;
use crate::trade::drills::{Drill, Stock};
use crate::trade::lengths::{exceeds, in_millimetres};

/// A standard set is searched to this much beyond its ends.
const BEYOND: f64 = 1.1;

/// A drill chosen for a size.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChosenDrill {
    /// The drill.
    #[serde(flatten)]
    pub drill: Drill,
    /// How far it is over the size asked for; negative when under.
    pub off: Length,
    /// What was searched, in words: `metric drills`.
    pub searched: String,
}

/// Returns the drill nearest to a size.
///
/// `size` is the diameter wanted; `stock` a set (`metric`, `number`, `letter`,
/// `fraction`, `inch`, `any`) or the drills owned; `side` is `nearest`, `under`
/// (the largest that does not exceed the size) or `over` (the smallest that is
/// not below it). Of two that are equally near, the smaller is taken: a hole can
/// be opened, not closed.
///
/// Source: ISO 235:1980 (metric); ANSI/ASME B94.11M-1993 (number, letter, fraction).
///
/// # Errors
/// A fault when the set is not known, or no drill lies on that side.
pub fn nearest_drill(size: Length, stock: Stock<'_>, side: &str) -> Result<ChosenDrill, Fault> {
    let drills = stock.drills(1)?;
    let found = match side {
        "under" => drills.iter().rfind(|drill| !exceeds(drill.diameter, size)),
        "over" => drills.iter().find(|drill| !exceeds(size, drill.diameter)),
        _ => nearest(size, &drills, stock),
    };
    let Some(drill) = found.cloned() else {
        return Err(none_found(size, &drills, stock).in_argument(0));
    };
    Ok(ChosenDrill {
        off: drill.diameter - size,
        drill,
        searched: stock.searched(),
    })
}

/// Returns the nearest drill, the smaller of two equally near; none when a standard set
/// ends well short of the size.
fn nearest<'d>(size: Length, drills: &'d [Drill], stock: Stock<'_>) -> Option<&'d Drill> {
    if let (Stock::Set(_), [first, .., last]) = (stock, drills)
        && (size * BEYOND < first.diameter || size > last.diameter * BEYOND)
    {
        return None;
    }
    let mut best: Option<&Drill> = None;
    for drill in drills {
        let nearer = best.is_none_or(|best| {
            exceeds((best.diameter - size).abs(), (drill.diameter - size).abs())
        });
        if nearer {
            best = Some(drill);
        }
    }
    best
}

/// Returns the fault that says what there is in place of the size asked for.
fn none_found(size: Length, drills: &[Drill], stock: Stock<'_>) -> Fault {
    let searched = stock.searched();
    let message = format!("no drill for {} among {searched}", in_millimetres(size));
    match drills {
        [first, .., last] => Fault::new(message).advise(format!(
            "they run from {} ({}) to {} ({})",
            first.name,
            in_millimetres(first.diameter),
            last.name,
            in_millimetres(last.diameter)
        )),
        [only] => Fault::new(message).advise(format!("it is {}", in_millimetres(only.diameter))),
        [] => Fault::new(message),
    }
}

/// Returns the largest drill that leaves at least `allowance` of a hole of `size` on the
/// diameter, less than `size`; `stock` as for [`nearest_drill`].
///
/// Source: ISO 235:1980 (metric); ANSI/ASME B94.11M-1993 (number, letter, fraction).
///
/// # Errors
/// A fault when the set is not known, or no drill is small enough.
pub fn drill_under(
    size: Length,
    allowance: Length,
    stock: Stock<'_>,
) -> Result<ChosenDrill, Fault> {
    let found = nearest_drill(size - allowance, stock, "under");
    // The stock is the third argument here.
    let found = found.map_err(|fault| match fault.argument {
        Some(1) => fault.in_argument(2),
        _ => fault,
    })?;
    Ok(ChosenDrill {
        off: found.drill.diameter - size,
        ..found
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::lengths::mm;
    use crate::trade::lengths::same;
    use proptest::prelude::*;
    use uom::si::length::inch;

    #[track_caller]
    fn check(size: Length, set: &str, side: &str, name: &str) {
        let found = nearest_drill(size, Stock::Set(set), side).unwrap();
        assert_eq!(found.drill.name, name, "{found:?}");
        assert!(same(found.drill.diameter - size, found.off));
    }

    #[test]
    fn the_side_decides() {
        // Sizes of ISO 235 and ANSI/ASME B94.11M; the choice is arithmetic on them.
        check(mm(6.647), "metric", "nearest", "6.6 mm");
        check(mm(6.647), "metric", "over", "6.7 mm");
        check(mm(6.647), "metric", "under", "6.6 mm");
        check(mm(6.8), "metric", "over", "6.8 mm");
        check(mm(6.8), "metric", "under", "6.8 mm");
        check(mm(8.85), "metric", "nearest", "8.8 mm");
        check(Length::new::<inch>(0.2), "number", "nearest", "#8");
        check(Length::new::<inch>(0.2), "number", "over", "#7");
        check(Length::new::<inch>(0.25), "letter", "under", "E");
        check(Length::new::<inch>(0.42), "fraction", "nearest", "27/64");
        check(Length::new::<inch>(0.256), "inch", "nearest", "F");
        check(mm(5.11), "any", "nearest", "#7");
    }

    #[test]
    fn owned_drills_are_searched_in_any_order() {
        let owned = [mm(8.0), mm(3.0), mm(5.105_4), mm(6.5)];
        let found = nearest_drill(mm(5.0), Stock::Owned(&owned), "nearest").unwrap();
        assert_eq!(
            (found.drill.name.as_str(), found.searched.as_str()),
            ("#7", "the 4 drills owned")
        );
    }

    #[test]
    fn bad_input_is_refused_and_blamed() {
        let metric = Stock::Set("metric");
        for (fault, argument) in [
            (nearest_drill(mm(0.1), metric, "under").unwrap_err(), 0),
            (nearest_drill(mm(500.0), metric, "nearest").unwrap_err(), 0),
            (
                nearest_drill(mm(5.0), Stock::Set("metrik"), "nearest").unwrap_err(),
                1,
            ),
            (
                nearest_drill(mm(5.0), Stock::Set(""), "nearest").unwrap_err(),
                1,
            ),
            (
                nearest_drill(mm(5.0), Stock::Owned(&[]), "nearest").unwrap_err(),
                1,
            ),
        ] {
            assert_eq!(fault.argument, Some(argument), "{fault}");
            assert!(fault.message.len() < 200, "{fault}");
        }
        let fault = nearest_drill(mm(5.0), Stock::Set("metrik"), "nearest").unwrap_err();
        assert_eq!(fault.advice.as_deref(), Some("did you mean `metric`?"));
    }

    proptest! {
        #[test]
        fn no_other_drill_is_nearer(size in 0.3_f64..100.0, set in 0_usize..6) {
            let sets = ["metric", "number", "letter", "fraction", "inch", "any"];
            let stock = Stock::Set(sets[set]);
            if let Ok(found) = nearest_drill(mm(size), stock, "nearest") {
                for drill in stock.drills(0).unwrap().iter() {
                    prop_assert!((drill.diameter - mm(size)).abs() + mm(1e-6) >= found.off.abs());
                }
            }
        }
    }
}
