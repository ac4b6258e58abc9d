//! How the limits of a value are written: all their digits, or rounded to the side that
//! is safe.

use super::written::{is_exact, to_step};
use super::{Quantity, Style, Unit, decimals_for, degrees_minutes_seconds, in_unit, number};

/// To which side limits are rounded where not all their digits are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// The limits of a size: a part inside what is printed is inside its limits.
    Inward,
    /// What a result may come out as: no part comes out further than is printed.
    Outward,
}

/// Returns two limits as they are printed in a unit, with equal decimals: all their
/// digits where these are few, else rounded. `value` is the value as it is printed and
/// never lies outside them. The limits count in coherent SI.
#[must_use]
pub fn ends_text(
    (low, high): (Quantity, Quantity),
    unit: Unit,
    value: &str,
    rounding: Rounding,
) -> [String; 2] {
    if unit.style() == Style::DegreesMinutesSeconds {
        return in_seconds(low.si, high.si, rounding);
    }
    let unit = match unit.style() {
        Style::Fraction(_) => unit.styled(Style::Decimal),
        _ => unit,
    };
    let ends = [low.in_unit(unit), high.in_unit(unit)];
    let usual = decimals_for(unit).unwrap_or_else(|| {
        let texts = [low, high].map(|end| in_unit(end, unit, None));
        let known = texts.iter().map(String::as_str).chain([value]);
        known.map(decimals).max().unwrap_or(0)
    });
    // So many decimals more than usual give all digits of most limits.
    let more = match rounding {
        Rounding::Inward => 2,
        Rounding::Outward => 1,
    };
    let exact = (usual..=usual + more).find(|n| ends.iter().all(|end| is_exact(*end, *n)));
    if let Some(decimals) = exact {
        let texts = ends.map(|end| number(end, decimals));
        if rounding == Rounding::Inward || holds(&texts, value) {
            return texts;
        }
    }
    let mut decimals = usual;
    if rounding == Rounding::Outward {
        return [
            number(to_step(ends[0], decimals, f64::floor), decimals),
            number(to_step(ends[1], decimals, f64::ceil), decimals),
        ];
    }
    // Inward, a narrow pair of limits needs more digits to leave room between them.
    loop {
        let low = to_step(ends[0], decimals, f64::ceil);
        let high = to_step(ends[1], decimals, f64::floor);
        let kept = high - low >= 0.8 * (ends[1] - ends[0]);
        if kept || decimals >= usual + 4 {
            return [number(low, decimals), number(high, decimals)];
        }
        decimals += 1;
    }
}

/// Returns what a ratio may come out as, with the decimals of the printed ratio and rounded
/// outward.
#[must_use]
pub fn ratio_ends(printed: &str, low: f64, high: f64) -> String {
    let decimals = decimals(printed).min(9);
    let low = number(to_step(low, decimals, f64::floor), decimals);
    let high = number(to_step(high, decimals, f64::ceil), decimals);
    format!("{low} to {high}")
}

/// Returns what one works to as it is printed in a unit: with one decimal more than
/// usual where that is needed, and never outside the limits.
#[must_use]
pub fn aim_text(aim: Quantity, unit: Unit, ends: &[String; 2]) -> String {
    if unit.style() != Style::Decimal {
        return in_unit(aim, unit, None);
    }
    let Some(usual) = decimals_for(unit) else {
        return in_unit(aim, unit, None);
    };
    let value = aim.in_unit(unit);
    let least = usual + usize::from(!is_exact(value, usual));
    let most = ends.iter().map(|end| decimals(end)).max().unwrap_or(0);
    (least..=least.max(most + 1))
        .map(|decimals| number(value, decimals))
        .find(|text| holds(ends, text))
        .unwrap_or_else(|| number(value, least.max(most + 1)))
}

/// Returns whether a printed number lies between two printed limits.
fn holds(ends: &[String; 2], value: &str) -> bool {
    let read = |text: &str| text.parse::<f64>().ok();
    match (read(&ends[0]), read(value), read(&ends[1])) {
        (Some(low), Some(value), Some(high)) => low <= value && value <= high,
        _ => true,
    }
}

/// Returns the number of decimals that are printed.
fn decimals(text: &str) -> usize {
    text.split_once('.')
        .map_or(0, |(_, decimals)| decimals.len())
}

/// Returns two angles in whole seconds of arc.
fn in_seconds(low: f64, high: f64, rounding: Rounding) -> [String; 2] {
    let seconds =
        |radians: f64, round: &dyn Fn(f64) -> f64| to_step(radians.to_degrees() * 3600.0, 0, round);
    let (low, high) = match rounding {
        Rounding::Inward => (seconds(low, &f64::ceil), seconds(high, &f64::floor)),
        Rounding::Outward => (seconds(low, &f64::floor), seconds(high, &f64::ceil)),
    };
    [low, high].map(|seconds| degrees_minutes_seconds((seconds / 3600.0).to_radians()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_unit;

    #[track_caller]
    fn check(ends: (f64, f64, &str), shown: &str, value: &str, rounding: Rounding, expected: &str) {
        let unit = parse_unit(shown).unwrap();
        let [low, high] = [ends.0, ends.1].map(|end| Quantity::of(end, ends.2).unwrap());
        let texts = ends_text((low, high), unit, value, rounding);
        assert_eq!(texts.join(" to "), expected);
    }

    #[test]
    fn limits_print_their_digits_or_are_rounded_to_the_safe_side() {
        use Rounding::{Inward, Outward};
        check(
            (11.966, 11.984, "mm"),
            "mm",
            "11.975",
            Inward,
            "11.966 to 11.984",
        );
        check(
            (11.9945, 12.0055, "mm"),
            "mm",
            "12.000",
            Inward,
            "11.9945 to 12.0055",
        );
        // 12 mm H7 in inches: 0.472440..0.473149 in, 1 in = 25.4 mm by definition.
        check(
            (12.0, 12.018, "mm"),
            "in",
            "0.4728",
            Inward,
            "0.4725 to 0.4731",
        );
        check(
            (0.0160, 0.0520, "mm"),
            "mm",
            "0.034",
            Outward,
            "0.016 to 0.052",
        );
        check(
            (3.981_23, 4.000_07, "mm"),
            "mm",
            "3.991",
            Outward,
            "3.981 to 4.001",
        );
        check(
            (4.0001, 4.0004, "mm"),
            "mm",
            "4.000",
            Outward,
            "4.000 to 4.001",
        );
        check(
            (29.75, 30.25, "deg"),
            "deg",
            "30.000",
            Inward,
            "29.750 to 30.250",
        );
    }

    #[test]
    fn an_aim_lies_within_its_limits() {
        let unit = parse_unit("mm").unwrap();
        let ends = ["12.000".to_owned(), "12.013".to_owned()];
        let aim = |value| aim_text(Quantity::of(value, "mm").unwrap(), unit, &ends);
        assert_eq!(aim(12.0065), "12.0065");
        assert_eq!(aim(12.006), "12.006");
    }
}
