//! The drill to go through with before a reamer.

use serde::{Deserialize, Serialize};
use uom::si::f64::Length;

use crate::diagnostic::Fault;
use crate::trade::drills::{Drill, Stock};
use crate::trade::lengths::{exceeds, in_millimetres, mm};
use crate::trade::table::table;

#[derive(Deserialize)]
struct Row {
    over_mm: f64,
    to_mm: f64,
    least_mm: f64,
    usual_mm: f64,
    most_mm: f64,
}

table!(ALLOWANCES: Row = "reaming_allowance");

/// A drill to use before a reamer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReamingDrill {
    /// The drill.
    #[serde(flatten)]
    pub drill: Drill,
    /// The metal it leaves on the diameter.
    pub leaves: Length,
    /// The least that the reamer should have to cut, on the diameter.
    pub least: Length,
    /// The most that the reamer should have to cut, on the diameter.
    pub most: Length,
    /// What was searched, in words: `metric drills`.
    pub searched: String,
    /// What to mind where no drill leaves what it should.
    pub note: Option<String>,
}

/// Returns the drill to use before a machine reamer.
///
/// `size` is the reamed diameter, up to 100 mm; `owned` the drills to choose
/// from, metric drills as stocked where none are named. The drill that leaves
/// nearest to the usual allowance is taken (of two, the smaller). Where none
/// leaves an allowance within the usual range, the largest that leaves enough is
/// taken, and the note says what to do.
///
/// Source: common practice, no source (library/tables/reaming_allowance.csv).
///
/// # Errors
/// A fault when the size is not above zero or beyond the table, the list of
/// drills is empty or bad, or every drill is too large.
pub fn reaming_drill(size: Length, owned: Option<&[Length]>) -> Result<ReamingDrill, Fault> {
    let row = ALLOWANCES
        .rows
        .iter()
        .find(|row| exceeds(size, mm(row.over_mm)) && !exceeds(size, mm(row.to_mm)));
    let Some(row) = row else {
        return Err(Fault::new(format!(
            "no reaming allowance is known for {}",
            in_millimetres(size)
        ))
        .advise("reamed holes are up to 100 mm; bore a larger one")
        .in_argument(0));
    };
    let stock = owned.map_or(Stock::Set("metric"), Stock::Owned);
    let drills = stock.drills(1)?;
    let (least, usual, most) = (mm(row.least_mm), mm(row.usual_mm), mm(row.most_mm));
    let Some((drill, leaves)) = best(size, &drills, least, usual, most) else {
        return Err(Fault::new(format!(
            "every drill is too large to leave {} for the reamer in {}",
            in_millimetres(least),
            in_millimetres(size)
        ))
        .advise("take a smaller drill and bore")
        .in_argument(if owned.is_some() { 1 } else { 0 }));
    };
    let note = exceeds(leaves, most).then(|| {
        format!(
            "leaves {}, more than the {} a reamer should cut: open the hole to {} first, by boring \
             or with another drill",
            in_millimetres(leaves),
            in_millimetres(most),
            in_millimetres(size - usual)
        )
    });
    Ok(ReamingDrill {
        drill: drill.clone(),
        leaves,
        least,
        most,
        searched: stock.searched(),
        note,
    })
}

/// Returns the drill whose allowance is nearest to the usual within the range, else the
/// largest that leaves enough; with what it leaves.
fn best(
    size: Length,
    drills: &[Drill],
    least: Length,
    usual: Length,
    most: Length,
) -> Option<(&Drill, Length)> {
    let mut chosen: Option<(&Drill, Length)> = None;
    for drill in drills {
        let leaves = size - drill.diameter;
        if exceeds(least, leaves) {
            break; // the drills rise: no later one leaves more
        }
        // Outside the range every larger drill is better; inside it the one
        // nearer to the usual allowance.
        let better = chosen.is_none_or(|(_, before)| {
            exceeds(before, most) || exceeds((before - usual).abs(), (leaves - usual).abs())
        });
        if better {
            chosen = Some((drill, leaves));
        }
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::lengths::same;

    #[track_caller]
    fn check(size: f64, name: &str) {
        let found = reaming_drill(mm(size), None).unwrap();
        assert_eq!(found.drill.name, name, "{found:?}");
        assert_eq!(found.note, None);
        assert!(same(found.leaves + found.drill.diameter, mm(size)));
    }

    #[test]
    fn the_usual_drills_before_a_reamer() {
        // Common practice, no source.
        check(3.0, "2.9 mm");
        check(6.0, "5.8 mm");
        check(8.0, "7.8 mm");
        check(10.0, "9.8 mm");
        check(12.0, "11.75 mm");
        check(20.0, "19.75 mm");
        check(25.0, "24.75 mm");
    }

    #[test]
    fn the_allowances_follow_on_without_a_gap() {
        let rows = &ALLOWANCES.rows;
        assert!(rows.windows(2).all(|p| p[0].to_mm == p[1].over_mm));
        assert!(
            rows.iter()
                .all(|r| 0.0 < r.least_mm && r.least_mm < r.usual_mm && r.usual_mm < r.most_mm)
        );
    }

    #[test]
    fn owned_drills_that_leave_too_much_are_taken_with_a_note() {
        let owned = [mm(7.0), mm(7.5), mm(7.95), mm(9.0)];
        let found = reaming_drill(mm(8.0), Some(&owned)).unwrap();
        assert_eq!(found.drill.name, "7.5 mm");
        assert!(found.note.unwrap().contains("open the hole to 7.8 mm"));
        let found = reaming_drill(mm(8.0), Some(&[mm(7.85), mm(7.5)])).unwrap();
        assert_eq!((found.drill.name.as_str(), found.note), ("7.85 mm", None));
    }

    #[test]
    fn bad_input_is_refused_and_blamed() {
        for (fault, argument) in [
            (reaming_drill(mm(101.0), None).unwrap_err(), 0),
            (reaming_drill(mm(0.2), None).unwrap_err(), 0),
            (reaming_drill(mm(8.0), Some(&[])).unwrap_err(), 1),
            (reaming_drill(mm(8.0), Some(&[mm(8.0)])).unwrap_err(), 1),
        ] {
            assert_eq!(fault.argument, Some(argument), "{fault}");
        }
    }
}
