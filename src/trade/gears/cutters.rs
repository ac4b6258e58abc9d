//! Form cutters for involute gears.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::diagnostic::Fault;
use crate::trade::bounds;
use crate::trade::table::{Table, built_in};

/// The cutter for a number of teeth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cutter {
    /// Number in the set of eight as the diametral-pitch series has it: 1 cuts
    /// 135 teeth to a rack, 8 cuts 12 and 13.
    pub number: u32,
    /// Number as many module sets have it: 8 cuts 135 teeth to a rack, 1 cuts 12 and 13.
    pub module_number: u32,
    /// The fewest teeth it cuts.
    pub teeth_from: u32,
    /// The most teeth it cuts; none where it cuts up to a rack.
    pub teeth_to: Option<u32>,
    /// Number in the set of fifteen, with its half numbers, of the diametral-pitch series.
    pub number_of_fifteen: f64,
}

#[derive(Deserialize)]
struct Row {
    set: u32,
    number: f64,
    number_module_cutters: f64,
    teeth_from: u32,
    teeth_to: Option<u32>,
}

static TABLE: LazyLock<Table<Row>> = LazyLock::new(|| {
    built_in(
        "involute_cutters.csv",
        include_str!("../../../library/tables/involute_cutters.csv"),
    )
});

/// The form cutter for a number of teeth.
///
/// The two numberings run in opposite directions: go by the range of teeth
/// stamped on the cutter.
///
/// Arguments: `teeth` of the gear (count, 12 or more).
///
/// # Errors
/// A fault under 12 teeth, for which the sets have no cutter.
///
/// Source: Machinery's Handbook, involute gear cutters; module numbering: common
/// practice, no source.
pub fn cutter_number(teeth: u32) -> Result<Cutter, Fault> {
    bounds::count(teeth, 12, 1_000_000, "number of teeth", 0).map_err(|fault| {
        if teeth < 12 {
            fault.advise("no form cutter of the set cuts fewer than 12 teeth")
        } else {
            fault.advise("beyond 135 teeth the rack cutter, number 1, serves")
        }
    })?;
    let of_set = |set: u32| {
        TABLE.rows.iter().find(|row| {
            row.set == set
                && row.teeth_from <= teeth
                && row.teeth_to.is_none_or(|most| teeth <= most)
        })
    };
    match (of_set(8), of_set(15)) {
        (Some(row), Some(half)) => Ok(Cutter {
            number: row.number as u32,
            module_number: row.number_module_cutters as u32,
            teeth_from: row.teeth_from,
            teeth_to: row.teeth_to,
            number_of_fifteen: half.number,
        }),
        _ => Err(Fault::new(format!("no cutter cuts {teeth} teeth")).in_argument(0)),
    }
}
