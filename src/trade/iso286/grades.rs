//! The tables of the standard and the look-up of a size in their ranges.

use crate::diagnostic::Fault;
use crate::trade::iso286::class::grade_name;
use crate::trade::table::table;
use std::collections::BTreeMap;

/// A size counts as the upper end of its range when it is over it by no more
/// than this, in millimetres: less than any real size, more than what dividing
/// by 1000 leaves behind.
const ROUNDING_MM: f64 = 1e-9;

type Row = BTreeMap<String, Option<f64>>;

table!(GRADES: Row = "iso286_it_grades");

table!(SHAFTS: Row = "iso286_shaft_deviations");

table!(HOLES: Row = "iso286_hole_deviations");

fn cell(rows: &[Row], size_mm: f64, column: &str) -> Option<f64> {
    let number = |row: &Row, name: &str| row.get(name).copied().flatten();
    rows.iter()
        .find(|row| number(row, "to_mm").is_some_and(|to| size_mm <= to + ROUNDING_MM))
        .and_then(|row| number(row, column))
}

/// Returns the deviation in micrometres that the table of shafts has in a column for a size.
pub(super) fn shaft(size_mm: f64, column: &str) -> Option<f64> {
    cell(&SHAFTS.rows, size_mm, &format!("{column}_um"))
}

/// Returns the deviation in micrometres that the table of holes has in a column for a size.
pub(super) fn hole(size_mm: f64, column: &str) -> Option<f64> {
    cell(&HOLES.rows, size_mm, &format!("{column}_um"))
}

/// Returns whether a size is in the range up to and including `end`.
pub(super) fn up_to(size_mm: f64, end_mm: f64) -> bool {
    size_mm <= end_mm + ROUNDING_MM
}

/// Returns the tolerance of a grade in micrometres.
pub(super) fn tolerance(size_mm: f64, grade: i8) -> Result<f64, Fault> {
    if grade >= 14 && up_to(size_mm, 1.0) {
        return Err(Fault::new(format!(
            "grade {grade} is not used for sizes up to 1 mm; there the grades end at 13"
        ))
        .advise("take a finer grade"));
    }
    cell(
        &GRADES.rows,
        size_mm,
        &format!("it{}_um", grade_name(grade)),
    )
    .ok_or_else(|| {
        Fault::new(format!(
            "the standard has no grade {} for this size",
            grade_name(grade)
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_join_without_gaps_up_to_500_mm() {
        for (rows, count) in [(&*GRADES.rows, 13), (&*SHAFTS.rows, 25), (&*HOLES.rows, 13)] {
            assert_eq!(rows.len(), count);
            let mut end = 0.0;
            for row in rows {
                assert_eq!(row["over_mm"], Some(end));
                end = row["to_mm"].unwrap();
            }
            assert_eq!(end, 500.0);
        }
    }

    #[test]
    fn a_size_at_the_end_of_a_range_belongs_to_it() {
        // ISO 286-1: "above" is exclusive, "up to and including" inclusive.
        for (size, micrometres) in [(3.0, 10.0), (3.0001, 12.0), (500.0, 63.0), (0.001, 10.0)] {
            assert_eq!(tolerance(size, 7).unwrap(), micrometres, "{size} mm");
        }
        assert_eq!(tolerance(0.003 * 1000.0, 7).unwrap(), 10.0);
    }
}
