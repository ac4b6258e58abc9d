//! Form cutters for involute gears.

use serde::{Deserialize, Serialize};

use crate::diagnostic::Fault;
use crate::trade::table::table;

/// Which way the cutters of a set are numbered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum CutterSet {
    /// By module: number 1 cuts 12 and 13 teeth, number 8 cuts 135 teeth to a rack.
    Module,
    /// By diametral pitch: number 1 cuts 135 teeth to a rack, number 8 cuts 12 and 13.
    #[serde(rename = "diametral pitch")]
    DiametralPitch,
}

impl CutterSet {
    /// Returns the set that a text names: `module` or `diametral pitch`.
    #[must_use]
    pub fn named(text: &str) -> Option<Self> {
        match text {
            "module" => Some(Self::Module),
            "diametral pitch" => Some(Self::DiametralPitch),
            _ => None,
        }
    }
}

/// The cutter for a number of teeth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cutter {
    /// Which way its set is numbered.
    pub set: CutterSet,
    /// Its number in the set of eight.
    pub number: u32,
    /// The teeth it cuts, as they are stamped on it: `for 21 to 25 teeth`.
    pub name: String,
    /// The fewest teeth it cuts.
    pub teeth_from: u32,
    /// The most teeth it cuts; none where it cuts up to a rack.
    pub teeth_to: Option<u32>,
    /// The number of the cutter in the set of fifteen, with its half numbers.
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

table!(TABLE: Row = "involute_cutters");

/// Returns the form cutter for a number of teeth.
///
/// The numberings of module sets and of diametral-pitch sets run in opposite
/// directions: go by the range of teeth stamped on the cutter.
///
/// # Errors
/// A fault under 12 teeth, for which the sets have no cutter.
///
/// Source: Machinery's Handbook, involute gear cutters; module numbering: common
/// practice, no source.
pub fn cutter_number(teeth: u32, set: CutterSet) -> Result<Cutter, Fault> {
    let of_set = |size: u32| {
        TABLE.rows.iter().find(|row| {
            row.set == size
                && row.teeth_from <= teeth
                && row.teeth_to.is_none_or(|most| teeth <= most)
        })
    };
    let number = |row: &Row| match set {
        CutterSet::Module => row.number_module_cutters,
        CutterSet::DiametralPitch => row.number,
    };
    match (of_set(8), of_set(15)) {
        (Some(row), Some(half)) => Ok(Cutter {
            set,
            number: number(row) as u32,
            name: match row.teeth_to {
                Some(to) if to > row.teeth_from => format!("for {} to {to} teeth", row.teeth_from),
                Some(to) => format!("for {to} teeth"),
                None => format!("for {} teeth to a rack", row.teeth_from),
            },
            teeth_from: row.teeth_from,
            teeth_to: row.teeth_to,
            number_of_fifteen: number(half),
        }),
        _ => Err(Fault::new(format!(
            "the number of teeth must be at least 12; it is {teeth}"
        ))
        .advise("no form cutter of the set cuts fewer than 12 teeth")
        .in_argument(0)),
    }
}
