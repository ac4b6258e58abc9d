//! Limits and fits of ISO 286-1, sizes to 500 mm.
//!
//! Capitals are holes, small letters shafts. The shaft's deviations and the
//! grades are tables; a hole's deviation follows from the shaft's of the same
//! letter by the rules of the standard, except where it names a value.
//!
//! # Example
//! ```
//! use setover::internals::trade::iso286::deviations;
//! use uom::si::f64::Length;
//! use uom::si::length::millimeter;
//! use uom::si::length::micrometer;
//!
//! // ISO 286-2: 25 H7 is 0/+21 micrometres.
//! let (lower, upper) = deviations(Length::new::<millimeter>(25.0), "H7")?;
//! assert!(lower.get::<micrometer>().abs() < 1e-9 && (upper.get::<micrometer>() - 21.0).abs() < 1e-9);
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod class;
mod deviations;
mod fits;
mod grades;

use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::{micrometer, millimeter};

use crate::diagnostic::Fault;
use crate::quantity::short;
use crate::trade::iso286::deviations::{Deviation, fundamental};
use crate::trade::words::quote;

pub use crate::trade::iso286::class::{Class, Feature, is_class, parse};
pub use crate::trade::iso286::fits::{FitKind, fit, fit_between, preferred_fits};

/// The largest size of the grades, in millimetres.
const LARGEST_MM: f64 = 500.0;

/// A size of the drawing with the limits that its tolerance class gives.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Limits {
    /// The size on the drawing.
    pub size: Length,
    /// The tolerance class as a drawing writes it.
    pub class: String,
    /// Hole or shaft.
    pub feature: Feature,
    /// Upper limit deviation (ES or es): largest size less the size on the drawing.
    pub upper: Length,
    /// Lower limit deviation (EI or ei): smallest size less the size on the drawing.
    pub lower: Length,
    /// Largest size allowed.
    pub max: Length,
    /// Smallest size allowed.
    pub min: Length,
    /// Width of the tolerance.
    pub tolerance: Length,
}

/// Returns the limits of a size (mm, over 0 to 500) with a tolerance class such as `H7` or `g6`.
///
/// # Errors
/// A fault when the size is outside the grades, when the text is no class, when
/// the standard does not define that class for that size, or when it leaves
/// nothing of the size.
///
/// Source: ISO 286-1:2010, Tables 1 to 5; IT01 and IT0 from ISO 286-1:1988.
pub fn limits(size: Length, class: &str) -> Result<Limits, Fault> {
    let class = parse(class).map_err(|fault| fault.in_argument(1))?;
    let size_mm = checked_size(size)?;
    let (lower, upper) = deviations_um(class, size_mm).map_err(|fault| fault.in_argument(1))?;
    let tolerance = Length::new::<micrometer>(upper - lower);
    let lower = Length::new::<micrometer>(lower);
    let upper = Length::new::<micrometer>(upper);
    let min = size + lower;
    if min <= Length::new::<millimeter>(0.0) {
        return Err(Fault::new(format!(
            "{} leaves nothing of {} mm: its lower limit is {} mm",
            class.name(),
            short(size_mm, 4),
            short(min.get::<millimeter>(), 4)
        ))
        .advise("take a finer grade")
        .in_argument(1));
    }
    Ok(Limits {
        size,
        class: class.name(),
        feature: class.feature,
        upper,
        lower,
        max: size + upper,
        min,
        tolerance,
    })
}

/// Returns the lower and the upper limit deviation of a size (mm, over 0 to 500) with a
/// tolerance class.
///
/// # Errors
/// As for [`limits`].
///
/// Source: ISO 286-1:2010, Tables 1 to 5.
pub fn deviations(size: Length, class: &str) -> Result<(Length, Length), Fault> {
    limits(size, class).map(|limits| (limits.lower, limits.upper))
}

/// Returns the tolerance of a grade such as `IT7` for a size (mm, over 0 to 500).
///
/// # Errors
/// A fault when the size is outside the table or when there is no such grade.
///
/// Source: ISO 286-1:2010, Table 1; IT01 and IT0 from ISO 286-1:1988.
pub fn standard_tolerance(size: Length, grade: &str) -> Result<Length, Fault> {
    let text = grade.trim();
    let digits = match text.get(..2) {
        Some(it) if it.eq_ignore_ascii_case("it") => text.get(2..).unwrap_or_default(),
        _ => text,
    };
    let Some(grade) = class::grade(digits.trim()) else {
        return Err(
            Fault::new(format!("there is no tolerance grade {}", quote(text)))
                .advise("write one of `IT01`, `IT0` and `IT1` to `IT18`")
                .in_argument(1),
        );
    };
    let size_mm = checked_size(size)?;
    grades::tolerance(size_mm, grade)
        .map(Length::new::<micrometer>)
        .map_err(|fault| fault.in_argument(1))
}

/// Returns the size in millimetres when the tables have it.
fn checked_size(size: Length) -> Result<f64, Fault> {
    let size_mm = size.get::<millimeter>();
    if size_mm > 0.0 && grades::up_to(size_mm, LARGEST_MM) {
        return Ok(size_mm);
    }
    let found = if size_mm.is_finite() && size_mm.abs() < 1e9 {
        format!("the size is {} mm", short(size_mm, 4))
    } else {
        "the size is out of all bounds".to_owned()
    };
    Err(Fault::new(format!(
        "{found}; tolerance classes are tabulated over 0 mm and up to 500 mm"
    ))
    .advise("write the tolerance in figures, as in `600 mm ±0.1`")
    .in_argument(0))
}

/// Returns the lower and the upper limit deviation in micrometres.
fn deviations_um(class: Class, size_mm: f64) -> Result<(f64, f64), Fault> {
    let tolerance = grades::tolerance(size_mm, class.grade)?;
    Ok(match fundamental(class, size_mm)? {
        Deviation::Lower(lower) => (lower, lower + tolerance),
        Deviation::Upper(upper) => (upper - tolerance, upper),
        Deviation::Symmetric => (-tolerance / 2.0, tolerance / 2.0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::lengths::mm;

    #[track_caller]
    fn check(size: f64, class: &str, upper: f64, lower: f64) {
        let limits = limits(mm(size), class).unwrap();
        let near = |got: Length, wanted: f64| (got.get::<micrometer>() - wanted).abs() < 1e-6;
        assert!(
            near(limits.upper, upper) && near(limits.lower, lower),
            "{size} {class}: got {} {}",
            limits.upper.get::<micrometer>(),
            limits.lower.get::<micrometer>()
        );
        assert!(near(limits.tolerance, upper - lower));
        assert!((limits.max.get::<millimeter>() - size - upper / 1000.0).abs() < 1e-9);
        assert!((limits.min.get::<millimeter>() - size - lower / 1000.0).abs() < 1e-9);
    }

    #[test]
    fn limits_of_the_standards_own_rules() {
        // Source: ISO 286-1:2010, rules for holes with their examples (from memory).
        check(25.0, "F8", 53.0, 20.0);
        check(25.0, "K7", 6.0, -15.0);
        check(25.0, "N7", -7.0, -28.0);
        check(25.0, "P7", -14.0, -35.0);
        check(25.0, "P9", -22.0, -74.0);
        check(40.0, "JS7", 12.5, -12.5);
        check(25.0, "J7", 12.0, -9.0);
        check(40.0, "N9", 0.0, -62.0);
        check(300.0, "M6", -9.0, -41.0);
        check(150.0, "M9", -15.0, -115.0);
        check(2.0, "K7", 0.0, -10.0);
        check(2.0, "N9", -4.0, -29.0);
        check(2.0, "S7", -14.0, -24.0);
    }

    #[test]
    fn letters_between_letters_to_50_mm() {
        // Source: ISO 286-1:1988, clause on fundamental deviations: cd, ef and fg
        // are the geometric means of their neighbours, rounded (to 5 from 50 up).
        for size in [8.0, 12.0, 16.0, 20.0, 28.0, 35.0, 45.0] {
            for (between, before, after) in [("cd", "c", "d"), ("ef", "e", "f"), ("fg", "f", "g")] {
                let es = |letter: &str| {
                    let text = format!("{letter}7");
                    -limits(mm(size), &text).unwrap().upper.get::<micrometer>()
                };
                let mean = (es(before) * es(after)).sqrt();
                assert!(
                    (es(between) - mean).abs() <= 2.5,
                    "{between} {size}: {} against {mean}",
                    es(between)
                );
            }
        }
    }

    #[test]
    fn classes_that_the_standard_does_not_define_say_why() {
        for (size, class, says) in [
            (0.8, "a9", "not used for sizes up to 1 mm"),
            (0.8, "B9", "take C"),
            (0.8, "h14", "grades end at 13"),
            (0.8, "N9", "N ends at grade 8"),
            (5.0, "K9", "K ends at grade 8"),
            (5.0, "P2", "begin at grade 3"),
            (5.0, "j8", "`js8`"),
            (5.0, "j01", "`js01`"),
            (5.0, "J9", "`JS9`"),
            (20.0, "t6", "`u6`"),
            (20.0, "T7", "`U7`"),
            (14.0, "v6", "`x6`"),
            (18.0, "Y8", "`Z8`"),
            (60.0, "cd8", "`d8`"),
            (60.0, "EF8", "`F8`"),
            (60.0, "fg8", "`g8`"),
            (0.05, "h11", "leaves nothing"),
        ] {
            let fault = limits(mm(size), class).unwrap_err();
            assert!(fault.to_string().contains(says), "{size} {class}: {fault}");
            assert_eq!(fault.argument, Some(1));
        }
    }

    #[test]
    fn sizes_outside_the_tables_are_refused() {
        for size in [
            0.0,
            -5.0,
            500.01,
            f64::NAN,
            f64::INFINITY,
            -f64::INFINITY,
            1e300,
        ] {
            let fault = limits(mm(size), "H7").unwrap_err();
            assert!(fault.message.contains("up to 500 mm"), "{fault}");
            assert_eq!(fault.argument, Some(0));
            assert!(standard_tolerance(mm(size), "IT7").is_err());
        }
        assert!(limits(mm(500.0), "H7").is_ok());
    }

    #[test]
    fn grades_alone_are_read_with_and_without_it() {
        for text in ["IT7", "it7", "7", " IT7 "] {
            let got = standard_tolerance(mm(25.0), text).unwrap();
            assert!((got.get::<micrometer>() - 21.0).abs() < 1e-9);
        }
        for text in ["", "IT", "IT19", "H7", "é7", "IT 7.0"] {
            assert!(standard_tolerance(mm(25.0), text).is_err(), "{text}");
        }
    }

    #[test]
    fn every_class_at_every_size_gives_limits_or_a_reason() {
        let mut defined = 0;
        for letter in class::LETTERS {
            for grade in -1..=18 {
                for letters in [letter.to_owned(), letter.to_uppercase()] {
                    let text = format!("{letters}{}", class::grade_name(grade));
                    for size in [0.5, 1.0, 2.0, 5.0, 12.0, 15.0, 22.0, 60.0, 300.0, 500.0] {
                        match limits(mm(size), &text) {
                            Ok(limits) => {
                                assert!(limits.upper > limits.lower, "{text} {size}");
                                defined += 1;
                            }
                            Err(fault) => assert!(!fault.message.is_empty()),
                        }
                    }
                }
            }
        }
        assert!(defined > 8000, "{defined}");
    }
}
