//! A drill by its name.

use uom::si::f64::Length;
use uom::si::length::inch;

use crate::diagnostic::Fault;
use crate::trade::drills::Drill;
use crate::trade::drills::stock::{fraction, metric, set};
use crate::trade::lengths::same;

/// The longest name that is looked at, in characters.
const LONGEST: usize = 40;

/// How far a decimal inch may be off its drill, in inches: drills are named to
/// four decimals, fractions have up to six.
const ROUNDED: f64 = 0.000_051;

/// What a name may be.
const ALLOWED: &str = "write `6.8 mm` or `6.8`, a number drill `#7`, a letter drill `F`, or a \
    fraction of an inch such as `27/64` or `1-1/16`";

/// Returns the drill of a name.
///
/// `name` is a metric diameter (`6.8 mm`, `6.8`), a number (`#7`), a letter
/// (`F`), a fraction of an inch in 64ths or coarser (`27/64`, `1-1/16`, `1 in`)
/// or the decimal inches of one of these (`0.257 in`).
///
/// Source: ISO 235:1980 (metric); ANSI/ASME B94.11M-1993 (number, letter, fraction).
///
/// # Errors
/// A fault when the name is no drill's, naming the nearest drills.
pub fn drill(name: &str) -> Result<Drill, Fault> {
    parse(name).map_err(|fault| fault.in_argument(0))
}

fn parse(name: &str) -> Result<Drill, Fault> {
    if name.chars().nth(LONGEST).is_some() {
        return Err(
            Fault::new(format!("a drill's name has at most {LONGEST} characters")).advise(ALLOWED),
        );
    }
    let unknown = || Fault::new(format!("no drill is called `{name}`")).advise(ALLOWED);
    let text = name.trim().to_lowercase().replace(['″', '”'], "\"");
    if text.is_empty() {
        return Err(Fault::new("the drill's name is empty").advise(ALLOWED));
    }
    let number = ["#", "no.", "no ", "number "]
        .iter()
        .find_map(|prefix| text.strip_prefix(prefix));
    if let Some(number) = number {
        return numbered(number.trim(), name);
    }
    if let Some(letter) = single_letter(&text) {
        return set("letter")
            .into_iter()
            .flatten()
            .find(|drill| drill.name == letter)
            .cloned()
            .ok_or_else(unknown);
    }
    if let Some(mm) = text.strip_suffix("mm") {
        return millimetres(decimal(mm).ok_or_else(unknown)?, name);
    }
    let inches = ["inches", "inch", "in.", "in", "\""]
        .iter()
        .find_map(|suffix| text.strip_suffix(suffix))
        .map(str::trim);
    match inches {
        Some(inches) if inches.contains('.') => {
            decimal_inches(decimal(inches).ok_or_else(unknown)?, name)
        }
        Some(inches) => fractional(inches, name).unwrap_or_else(|| Err(unknown())),
        None if text.contains('/') => fractional(&text, name).unwrap_or_else(|| Err(unknown())),
        None => millimetres(decimal(&text).ok_or_else(unknown)?, name),
    }
}

fn single_letter(text: &str) -> Option<String> {
    let bare = text.strip_prefix("letter ").unwrap_or(text);
    let mut letters = bare.trim().chars();
    match (letters.next(), letters.next()) {
        (Some(letter), None) if letter.is_ascii_alphabetic() => {
            Some(letter.to_ascii_uppercase().to_string())
        }
        _ => None,
    }
}

/// Returns a plain decimal number, with point or comma.
fn decimal(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    if text.is_empty() || !text.chars().all(|c| c.is_ascii_digit() || c == '.') {
        return None;
    }
    text.parse().ok()
}

fn numbered(number: &str, name: &str) -> Result<Drill, Fault> {
    let digits = number.trim_start_matches('0');
    set("number")
        .into_iter()
        .flatten()
        .find(|drill| drill.name.strip_prefix('#') == Some(digits))
        .cloned()
        .ok_or_else(|| {
            Fault::new(format!("no number drill is called `{name}`"))
                .advise("number drills run from `#97` (0.0059 in) to `#1` (0.228 in)")
        })
}

fn millimetres(mm: f64, name: &str) -> Result<Drill, Fault> {
    let wanted = metric(mm).diameter;
    find(wanted, "metric", name, |drill| same(drill.diameter, wanted))
}

fn decimal_inches(inches: f64, name: &str) -> Result<Drill, Fault> {
    let wanted = Length::new::<inch>(inches);
    find(wanted, "inch", name, |drill| {
        (drill.diameter.get::<inch>() - inches).abs() < ROUNDED
    })
}

/// Returns the drill of a set that fits, or a fault that names its neighbours.
fn find(
    wanted: Length,
    set_name: &str,
    name: &str,
    fits: impl Fn(&Drill) -> bool,
) -> Result<Drill, Fault> {
    let drills = set(set_name).unwrap_or_default();
    if let Some(found) = drills.iter().find(|drill| fits(drill)) {
        return Ok(found.clone());
    }
    let below = drills.iter().rfind(|drill| drill.diameter < wanted);
    let above = drills.iter().find(|drill| drill.diameter > wanted);
    let near: Vec<String> = [below, above]
        .into_iter()
        .flatten()
        .map(|drill| format!("`{}`", drill.name))
        .collect();
    Err(
        Fault::new(format!("no {set_name} drill of `{name}` is stocked")).advise(format!(
            "write the nearest, {}, or give the diameter as a length",
            near.join(" or ")
        )),
    )
}

/// Returns a fraction of an inch: `27/64`, `1-1/16`, `1 1/16`, `1`; nothing when the text
/// is not written so.
fn fractional(text: &str, name: &str) -> Option<Result<Drill, Fault>> {
    let digits = |part: &str| -> Option<u32> {
        let part = part.trim();
        let plain = !part.is_empty() && part.len() <= 4;
        (plain && part.bytes().all(|b| b.is_ascii_digit()))
            .then(|| part.parse().ok())
            .flatten()
    };
    let (whole, top, bottom) = match text.split_once('/') {
        None => (digits(text)?, 0, 1),
        Some((before, bottom)) => match before.trim().rsplit_once(['-', ' ']) {
            None => (0, digits(before)?, digits(bottom)?),
            Some((whole, top)) => (
                digits(whole.trim_end_matches(['-', ' ']))?,
                digits(top)?,
                digits(bottom)?,
            ),
        },
    };
    let allowed = "a fractional drill is some 64ths of an inch, at most 3 1/2 in";
    if bottom == 0 || 64 % bottom != 0 || (top >= bottom && whole > 0) {
        return Some(Err(
            Fault::new(format!("no drill is `{name}` of an inch")).advise(allowed)
        ));
    }
    let sixtyfourths = whole * 64 + top * (64 / bottom);
    if sixtyfourths == 0 || sixtyfourths > 224 {
        return Some(Err(
            Fault::new(format!("no drill is `{name}` of an inch")).advise(allowed)
        ));
    }
    Some(Ok(fraction(sixtyfourths)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::length::millimeter;

    #[test]
    fn a_drill_is_found_however_it_is_written() {
        // ANSI/ASME B94.11M-1993, ISO 235:1980.
        for (names, mm) in [
            (&["6.8", "6.8 mm", "6.8mm", "6,8 MM", " 6.80 "][..], 6.8),
            (
                &["#7", "# 7", "No. 7", "no 7", "number 7"][..],
                0.201 * 25.4,
            ),
            (
                &["F", "f", "letter F", "0.257 in", "0.257\""][..],
                0.257 * 25.4,
            ),
            (
                &["27/64", "27/64 in", "27/64\"", "27 / 64", "0.4219 in"][..],
                27.0 / 64.0 * 25.4,
            ),
            (
                &["1-1/16", "1 1/16", "1 - 1/16", "1-1/16 in"][..],
                17.0 / 16.0 * 25.4,
            ),
            (&["1 in", "1\"", "64/64"][..], 25.4),
        ] {
            for name in names {
                let found = drill(name).unwrap();
                assert!(
                    (found.diameter.get::<millimeter>() - mm).abs() < 1e-9,
                    "{name}: {found:?}"
                );
                // The name it is given is understood again.
                assert_eq!(drill(&found.name).unwrap(), found, "{name}");
            }
        }
    }

    #[test]
    fn what_is_no_drill_is_refused_with_what_to_write() {
        for (name, expected) in [
            ("", "the drill's name is empty"),
            ("6.83", "no metric drill of `6.83` is stocked"),
            ("0", "no metric drill of `0` is stocked"),
            ("-3", "no drill is called `-3`"),
            ("0 mm", "no metric drill of `0 mm` is stocked"),
            ("#98", "no number drill is called `#98`"),
            ("#0", "no number drill is called `#0`"),
            ("#", "no number drill is called `#`"),
            ("AA", "no drill is called `AA`"),
            ("é", "no drill is called `é`"),
            ("7/63", "no drill is `7/63` of an inch"),
            ("1/0", "no drill is `1/0` of an inch"),
            ("0/64", "no drill is `0/64` of an inch"),
            ("99/1", "no drill is `99/1` of an inch"),
            ("99999/64", "no drill is called `99999/64`"),
            ("1.2.3", "no drill is called `1.2.3`"),
            ("nan", "no drill is called `nan`"),
            ("1e3", "no drill is called `1e3`"),
            ("½", "no drill is called `½`"),
        ] {
            let fault = drill(name).unwrap_err();
            assert_eq!(fault.message, expected);
            assert_eq!(fault.argument, Some(0));
            assert!(fault.advice.is_some(), "{name}");
        }
        assert!(drill(&"9".repeat(100_000)).is_err());
        let advice = drill("6.83").unwrap_err().advice.unwrap();
        assert!(advice.contains("`6.8 mm` or `6.9 mm`"), "{advice}");
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_a_drill_or_a_fault(text in ".{0,50}|[#A-z]?[0-9]{0,3}[-/. ]?[0-9/]{0,5} ?(mm|in|\")?") {
            match drill(&text) {
                Ok(found) => proptest::prop_assert!(drill(&found.name) == Ok(found)),
                Err(fault) => proptest::prop_assert!(fault.advice.is_some()),
            }
        }
    }
}
