//! Tapers by their designation: standard series, cones `1:x`, inches per foot.
//!
//! # Example
//! ```
//! use setover::internals::trade::tapers::taper;
//! use uom::si::length::millimeter;
//!
//! // ISO 296: Morse taper 2, gauge diameter 17.780 mm.
//! let big = taper("MT2")?.big.expect("its gauge diameter");
//! assert!((big.get::<millimeter>() - 17.780).abs() < 1e-9);
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod designation;
mod listed;

use serde::Serialize;
use uom::si::angle::radian;
use uom::si::f64::{Angle, Length};

use crate::diagnostic::Fault;
use crate::quantity::short;
use crate::trade::tapers::designation::{Designation, Rate};
use crate::trade::words::{advised, quote};

/// The steepest rate accepted: half an included angle of 168.6 degrees.
const STEEPEST: f64 = 20.0;
/// The slowest rate accepted.
const SLOWEST: f64 = 1e-6;

/// A taper as its standard gives it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Taper {
    /// The designation in one way of writing, such as `MT2`.
    pub designation: String,
    /// The series, such as Morse.
    pub series: String,
    /// Diameter at the big end or at the gauge line, where the standard gives one.
    pub big: Option<Length>,
    /// Diameter at the small end, where the standard gives one or it follows.
    pub small: Option<Length>,
    /// Length between the two, where the standard gives one.
    pub length: Option<Length>,
    /// Change of diameter per length along the axis.
    pub rate: f64,
    /// Half the included angle.
    pub half_angle: Angle,
    /// What to mind; may be empty.
    pub note: String,
    /// The standard or the book that has it.
    pub standard: String,
}

/// Returns the taper of a designation.
///
/// Morse `MT2`, Brown & Sharpe `B&S 7`, Jacobs `JT33`, `metric 80`, Jarno `Jarno
/// 6`, steep `ISO 40`, taper pins `taper pin 6 mm` and `taper pin #4`, drill
/// chucks `B16`, spindle noses `D1-4`, `R8`, `5C`, pipe threads `NPT` and
/// `BSPT`, any `1:x` or `a:b`, and `x in/ft` on the diameter.
///
/// # Errors
/// A fault when the text is none of these, or when the series has no such
/// number; it lists the numbers or names the nearest designations.
///
/// Source: ASME B5.10-1994, ISO 296, ISO 239, ISO 1119, ISO 2339, ISO 7388-1 and
/// the others that library/tables names row by row.
pub fn taper(designation: &str) -> Result<Taper, Fault> {
    let text = designation.trim();
    let asked = designation::read(text).map_err(|fault| fault.in_argument(0))?;
    match asked {
        Designation::Number(series, number) => listed::find(series, &number)
            .cloned()
            .ok_or_else(|| no_such_number(series, &number)),
        Designation::Rate(rate) => of_rate(text, rate),
        Designation::Unknown => Err(unknown(text)),
    }
    .map_err(|fault| fault.in_argument(0))
}

/// Returns the designations of every taper in the tables, in one way of writing.
#[must_use]
pub fn designations() -> Vec<&'static str> {
    let tapers = listed::all().iter();
    let designations = tapers.map(|known| known.taper.designation.as_str());
    designations.collect()
}

fn of_rate(text: &str, rate: Rate) -> Result<Taper, Fault> {
    let (value, designation) = match rate {
        Rate::Ratio(over, under) => {
            let designation = format!("{}:{}", short(over, 6), short(under, 6));
            if let Some(known) = listed::find("cone", &designation) {
                return Ok(known.clone());
            }
            (over / under, designation)
        }
        Rate::InchPerFoot(inches) => (inches / 12.0, format!("{} in/ft", short(inches, 6))),
        Rate::InchPerInch(inches) => (inches, format!("{} in/in", short(inches, 6))),
    };
    if !(SLOWEST..=STEEPEST).contains(&value) {
        return Err(Fault::new(format!(
            "the taper {} is out of bounds: the diameter may change by 0.000001 to 20 per unit of length",
            quote(text)
        ))
        .advise("write a rate on the diameter, as in `1:20` or `0.6 in/ft`"));
    }
    let (note, standard) = match rate {
        Rate::Ratio(1.0, 48.0) => ("taper of inch taper pins", "ASME B18.8.2"),
        Rate::Ratio(7.0, 24.0) => (
            "steep taper of milling machine spindles",
            "ISO 297; ISO 7388-1; ASME B5.10",
        ),
        _ => ("", "as given"),
    };
    Ok(Taper {
        designation,
        series: "rate".to_owned(),
        big: None,
        small: None,
        length: None,
        rate: value,
        half_angle: Angle::new::<radian>((value / 2.0).atan()),
        note: note.to_owned(),
        standard: standard.to_owned(),
    })
}

fn no_such_number(series: &str, number: &str) -> Fault {
    let numbers: Vec<&str> = (listed::of_series(series))
        .map(|known| known.number.as_str())
        .collect();
    let there_are = format!("there are {}", numbers.join(", "));
    let fault = Fault::new(if number.is_empty() {
        format!("the {series} taper has no number; {there_are}")
    } else {
        format!("there is no {series} taper {}; {there_are}", quote(number))
    });
    let such = listed::of_series(series).next();
    let such = such.map_or("", |known| &known.taper.designation);
    fault.advise(format!("write one of these, such as `{such}`"))
}

fn unknown(text: &str) -> Fault {
    let fault = Fault::new(if text.is_empty() {
        "the taper designation is empty".to_owned()
    } else {
        format!("there is no taper {}", quote(text))
    });
    let named = ["Morse", "Brown & Sharpe", "Jacobs"].into_iter();
    let named: Vec<String> = named
        .flat_map(|series| {
            let tapers = listed::of_series(series);
            tapers.map(move |known| format!("{series} {}", known.number))
        })
        .collect();
    let known = designations()
        .into_iter()
        .chain(named.iter().map(String::as_str));
    advised(
        fault,
        text,
        known,
        "write a series and number as in `MT2`, `B&S 7`, `JT33`, `metric 80`, `ISO 40` or `taper pin 6 mm`, or a rate as in `1:20` or `0.6 in/ft`",
    )
}

#[cfg(test)]
mod tests {
    use uom::si::angle::degree;
    use uom::si::length::{inch, millimeter};

    use super::*;

    #[test]
    fn one_taper_written_in_many_ways() {
        for (ways, designation) in [
            (
                &[
                    "MT2",
                    "mt 2",
                    "2MT",
                    "2 MT",
                    "MT-2",
                    "Morse 2",
                    "No. 2 Morse",
                    "morse taper #2",
                    "MK2",
                ][..],
                "MT2",
            ),
            (&["Morse 4 1/2", "MT4.5", "MT 4½"], "MT4 1/2"),
            (
                &[
                    "B&S 7",
                    "BS7",
                    "b & s 7",
                    "Brown & Sharpe 7",
                    "Brown and Sharpe no. 7",
                    "7 B&S",
                ],
                "B&S 7",
            ),
            (&["JT3", "J3", "3JT", "Jacobs 3", "Jacobs taper 3"], "JT3"),
            (&["J33", "JT33", "Jacobs #33"], "JT33"),
            (
                &["JT2 short", "JT2S", "J2 short", "Jacobs 2 short"],
                "JT2 short",
            ),
            (
                &["metric 80", "80 metric", "Metric 80 mm", "metric taper 80"],
                "metric 80",
            ),
            (
                &[
                    "ISO 40",
                    "ISO40",
                    "7:24 40",
                    "7/24 No. 40",
                    "SK40",
                    "BT 40",
                    "NT40",
                    "INT 40",
                    "40 INT",
                ],
                "ISO 40",
            ),
            (&["Jarno 6", "jarno no 6"], "Jarno 6"),
            (
                &["taper pin 6 mm", "pin 6mm", "taper pin 6mm 1:50"],
                "taper pin 6 mm",
            ),
            (
                &["taper pin #4", "pin No. 4", "taper pin no 4"],
                "taper pin #4",
            ),
            (&["taper pin 7/0", "pin #7/0"], "taper pin #7/0"),
            (&["taper pin 2.5"], "taper pin 2.5 mm"),
            (&["b16", "B 16"], "B16"),
            (&["D1-4", "d1 4", "D1–4"], "D1-4"),
            (&["R8", "r 8"], "R8"),
            (&["5c", "5 C"], "5C"),
            (&["NPT"], "NPT"),
            (&["BSPT", "R"], "BSPT"),
            (&["1:20", "1 : 20", "1 in 20", "1/20", "1:20.0"], "1:20"),
        ] {
            for way in ways {
                match taper(way) {
                    Ok(taper) => assert_eq!(taper.designation, designation, "{way}"),
                    Err(fault) => panic!("{way}: {fault}"),
                }
            }
        }
    }

    #[test]
    fn a_designation_is_its_own_name() {
        assert!(designations().len() > 100);
        for designation in designations() {
            let found = taper(designation).map(|taper| taper.designation);
            assert_eq!(found.as_deref(), Ok(designation));
        }
    }

    #[test]
    fn rates_carry_no_diameters() {
        for (text, rate) in [
            ("1:50", 1.0 / 50.0),
            ("1:48", 1.0 / 48.0),
            ("1:7.5", 1.0 / 7.5),
            ("7:24", 7.0 / 24.0),
            ("3/4 in/ft", 0.0625),
            ("0.75 in/ft", 0.0625),
            ("0.6 inch per foot", 0.05),
            ("1 1/2 inches per foot", 0.125),
            ("0.6\"/ft", 0.05),
            ("0.05 in/in", 0.05),
        ] {
            let taper = taper(text).unwrap();
            assert!((taper.rate - rate).abs() < 1e-15, "{text}: {}", taper.rate);
            assert!(((2.0 * taper.half_angle.get::<radian>().tan()) - rate).abs() < 1e-12);
            assert_eq!((taper.big, taper.small, taper.length), (None, None, None));
        }
    }

    #[test]
    fn a_missing_small_end_follows_from_the_length() {
        // Source: ISO 239, chuck taper B16: 15.733 mm, taper of Morse 2 over 24 mm.
        let taper = taper("B16").unwrap();
        let small = taper.small.unwrap().get::<millimeter>();
        assert!((small - (15.733 - 24.0 * 0.59941 / 12.0)).abs() < 1e-9);
    }

    #[test]
    fn what_is_no_taper_says_why() {
        for (text, says) in [
            ("", "empty"),
            (
                "MT9",
                "no Morse taper `9`; there are 0, 1, 2, 3, 4, 4 1/2, 5, 6, 7",
            ),
            ("Morse", "has no number; there are 0, 1"),
            ("B&S 20", "there are 1, 2"),
            ("JT7", "there are 0, 1, 2, 2 short, 3"),
            ("metric 50", "there are 4, 6, 80"),
            ("metric", "has no number"),
            ("ISO 35", "there are 30, 40, 45, 50, 60"),
            ("taper pin 4", "`taper pin 4 mm` or `taper pin #4`"),
            ("taper pin 7 mm", "there are 0.6"),
            ("taper pin #15", "there are 7/0"),
            ("taper pin", "`taper pin 6 mm`"),
            ("D1-7", "there are D1-3"),
            ("1:0", "above 0"),
            ("1:-20", "above 0"),
            ("0:20", "above 0"),
            ("1:1e-9", "no taper"),
            ("1:0.0001", "out of bounds"),
            ("1:99999999", "out of bounds"),
            ("1:", "no taper"),
            (":", "no taper"),
            ("-0.5 in/ft", "above 0"),
            ("x in/ft", "no taper"),
            ("in/ft", "no taper"),
            ("Mores 2", "did you mean `Morse 2`"),
            ("30 deg", "no taper"),
            ("no. é", "no taper"),
            ("NaN:1", "no taper"),
        ] {
            let fault = taper(text).unwrap_err();
            assert!(fault.to_string().contains(says), "{text}: {fault}");
            assert_eq!(fault.argument, Some(0));
        }
        assert!(taper(&"1".repeat(100_000)).is_err());
        assert!(taper(&"MT".repeat(100_000)).is_err());
    }

    #[test]
    fn big_end_small_end_and_length_agree_with_the_rate() {
        let mut checked = 0;
        for designation in designations() {
            let taper = taper(designation).unwrap();
            if let (Some(big), Some(small), Some(length)) = (taper.big, taper.small, taper.length) {
                let off = (big - small - length * taper.rate).get::<inch>().abs();
                assert!(off < 0.000_15, "{designation}: {off} in");
                checked += 1;
            }
            assert!(taper.half_angle.get::<degree>() > 0.1);
        }
        assert!(checked > 40, "{checked}");
    }
}
