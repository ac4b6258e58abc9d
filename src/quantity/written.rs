//! How numbers and quantities are written for a person to read.

use super::{Dimension, Quantity, Side, Style, System, Unit, nearest};

/// So far from a whole number counts as one: the noise of conversions.
const NOISE: f64 = 1e-6;

/// Returns a number to `decimals` decimals, without a minus before zero.
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() || value.abs() >= 1e15 {
        return plain(value);
    }
    // Rounded as a decimal, half away from zero, before it is written.
    let scaled = value * power(decimals);
    let value = if scaled.abs() < 1e11 {
        nearest(scaled) / power(decimals)
    } else {
        value
    };
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| matches!(byte, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

/// Returns a number to six significant digits, without trailing zeros: 0.0625, 12.5, 1.2e-5.
#[must_use]
pub fn plain(value: f64) -> String {
    significant(value, 6)
}

/// Returns a number to so many significant digits, without trailing zeros.
#[must_use]
pub fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return "no number".to_owned();
    }
    let size = exponent(value);
    if !(-5..15).contains(&size) {
        let text = format!("{value:.*e}", usize::try_from(digits - 1).unwrap_or(5));
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        return format!("{}e{exponent}", trimmed(mantissa));
    }
    let decimals = usize::try_from(digits - 1 - size).unwrap_or(0);
    trimmed(&number(value, decimals)).to_owned()
}

/// Returns the exponent of ten of a number's first digit, the same on every machine: the
/// logarithms of C libraries differ in the last bit.
fn exponent(value: f64) -> i32 {
    let text = format!("{value:e}");
    let exponent = text.split_once('e').and_then(|(_, e)| e.parse().ok());
    exponent.unwrap_or(0)
}

/// Returns a number without the zeros that close its decimals.
#[must_use]
pub fn trimmed(text: &str) -> &str {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        text
    }
}

/// Returns the decimals with which values of a unit are printed, or nothing for four
/// to six significant digits.
///
/// Lengths go to 0.001 mm or 0.0001 in, a tenth of what a good readout shows;
/// angles to 0.001 degree (3.6 seconds of arc).
#[must_use]
pub fn decimals_for(unit: Unit) -> Option<usize> {
    match unit.symbol().as_str() {
        "mm" | "deg" | "mm/rev" | "mm/tooth" => Some(3),
        "in" | "cm" | "in/rev" | "in/tooth" => Some(4),
        "thou" | "um" => Some(1),
        "m" => Some(6),
        "rad" | "ft" => Some(5),
        _ => None,
    }
}

pub(super) fn power(decimals: usize) -> f64 {
    10_f64.powi(i32::try_from(decimals).unwrap_or(9))
}

/// Returns whether a number has no more than these decimals, but for noise.
pub(super) fn is_exact(value: f64, decimals: usize) -> bool {
    let scaled = value * power(decimals);
    (scaled - scaled.round()).abs() < NOISE
}

/// Returns a number moved to a whole step of its decimals; one that is within noise of a step
/// stays on it.
pub(super) fn to_step(value: f64, decimals: usize, round: impl Fn(f64) -> f64) -> f64 {
    let scaled = value * power(decimals);
    let whole = if is_exact(value, decimals) {
        scaled.round()
    } else {
        round(scaled)
    };
    whole / power(decimals)
}

/// Returns a limit or a deviation: with up to two decimals more than usual where that gives all
/// its digits, else rounded to a side, or to one decimal more than usual.
fn all_digits(value: Quantity, unit: Unit, side: Side) -> String {
    let (shown, plain) = (value.in_unit(unit), unit.styled(Style::Decimal));
    let usual = decimals_for(plain);
    let exact = usual.and_then(|usual| (usual..=usual + 2).find(|n| is_exact(shown, *n)));
    match (exact, usual, side) {
        (Some(decimals), ..) => number(shown, decimals),
        (None, Some(usual), Side::Up) => number(to_step(shown, usual, f64::ceil), usual),
        (None, Some(usual), Side::Down) => number(to_step(shown, usual, f64::floor), usual),
        (None, Some(usual), Side::Nearest) => number(shown, usual + 1),
        (None, None, _) => in_unit(value, plain, None),
    }
}

/// Returns whether a unit is that of a feed, whose decimals are printed where they say something.
fn is_feed(unit: Unit) -> bool {
    unit.symbol().contains('/')
}

/// Returns a ratio as it is printed: to three figures, and to three decimals where those
/// are more, so that no turn of a screw and no division is rounded away and one that is
/// not whole never looks whole.
#[must_use]
pub fn ratio(value: f64) -> String {
    let whole = (value - nearest(value)).abs() <= 1e-9 * value.abs().max(1.0);
    if whole || !value.is_finite() {
        return plain(value);
    }
    let text = significant(value, 3);
    match value.abs() < 1.0 && text.contains(['.', 'e']) {
        true => text,
        false => number(value, 3),
    }
}

/// Returns the number of a quantity in a unit, as it is printed.
///
/// `step` is the readout's step in coherent SI; coordinates are rounded to it.
#[must_use]
pub fn in_unit(value: Quantity, unit: Unit, step: Option<f64>) -> String {
    let shown = value.in_unit(unit);
    match unit.style() {
        Style::DegreesMinutesSeconds => return degrees_minutes_seconds(value.si),
        Style::Fraction(denominator) => return fraction(shown, denominator),
        Style::AllDigits(side) => return all_digits(value, unit, side),
        Style::Decimal | Style::Coordinate => {}
    }
    if let Some(step) = step.filter(|step| *step > 0.0)
        && unit.is_coordinate()
    {
        let rounded = nearest(value.si / step) * step;
        let step = step / unit.factor();
        let fewest = (0..7).find(|n| {
            let scaled = step * power(*n);
            (scaled - scaled.round()).abs() < NOISE * scaled.max(1.0) && scaled > 0.5
        });
        let decimals = decimals_for(unit).unwrap_or(3).min(fewest.unwrap_or(9));
        return number(rounded / unit.factor(), decimals);
    }
    if unit.symbol() == "rpm" && shown.abs() >= 10.0 {
        return number(shown, 0);
    }
    let symbol = unit.symbol();
    let symbol = symbol.as_str();
    if symbol == "%" {
        // An error of less than one in a hundred says enough with two figures.
        return significant(shown, if shown.abs() < 1.0 { 2 } else { 3 });
    }
    match decimals_for(unit) {
        Some(decimals) => {
            // A value too small for the decimals is better shown than printed as zero; an
            // angle of which one figure would be left, with three.
            let last = 1.0 / power(decimals);
            let small = if symbol == "deg" { 10.0 } else { 0.5 };
            // What lies on the bound within rounding lies on the same side everywhere.
            if shown.abs() < small * last * (1.0 - 1e-9) && shown.abs() > 1e-7 {
                return significant(shown, 3);
            }
            let text = number(shown, decimals);
            if is_feed(unit) {
                trimmed(&text).to_owned()
            } else {
                text
            }
        }
        None if value.dimension == Dimension::NONE => plain(shown),
        None => significant(shown, if shown.abs() >= 1000.0 { 6 } else { 4 }),
    }
}

/// Returns a quantity as it is printed in a sentence: `12.000 mm`, `400 rpm`, `2°51'27"`.
#[must_use]
pub fn quantity(value: Quantity, system: System) -> String {
    let unit = value.shown_unit(system);
    let text = in_unit(value, unit, None);
    let symbol = unit.printed();
    match unit.style() {
        Style::DegreesMinutesSeconds => text,
        _ if symbol.is_empty() => text,
        _ => format!("{text} {symbol}"),
    }
}

/// Returns an angle as degrees, minutes and whole seconds of arc.
#[must_use]
pub fn degrees_minutes_seconds(radians: f64) -> String {
    let seconds = nearest(radians.to_degrees() * 3600.0);
    if !seconds.is_finite() || seconds.abs() > 1e15 {
        return plain(radians.to_degrees()) + "°";
    }
    let sign = if seconds < 0.0 { "-" } else { "" };
    let seconds = seconds.abs();
    let degrees = (seconds / 3600.0).floor();
    let rest = seconds - degrees * 3600.0;
    let minutes = (rest / 60.0).floor();
    format!(
        "{sign}{degrees:.0}°{minutes:02.0}'{:02.0}\"",
        rest - minutes * 60.0
    )
}

/// Returns the nearest fraction and how far the value lies from it: `1 3/8 (+0.0012)`.
fn fraction(value: f64, denominator: u16) -> String {
    let parts = nearest(value.abs() * f64::from(denominator));
    if !parts.is_finite() || parts > 1e12 {
        return plain(value);
    }
    let mut below = f64::from(denominator);
    let whole = (parts / below).floor();
    let mut above = parts - whole * below;
    while above > 0.0 && above % 2.0 == 0.0 && below % 2.0 == 0.0 {
        above /= 2.0;
        below /= 2.0;
    }
    let sign = if value < 0.0 && parts > 0.0 { "-" } else { "" };
    let nearest = parts / f64::from(denominator) * value.signum();
    let text = match (whole, above) {
        (whole, 0.0) => format!("{sign}{whole:.0}"),
        (0.0, above) => format!("{sign}{above:.0}/{below:.0}"),
        (whole, above) => format!("{sign}{whole:.0} {above:.0}/{below:.0}"),
    };
    let error = value - nearest;
    if error.abs() < 5e-7 {
        text
    } else {
        format!(
            "{text} ({}{})",
            if error < 0.0 { "-" } else { "+" },
            number(error.abs(), 4)
        )
    }
}

/// Returns a number with at most `places` decimals, without trailing zeros.
#[must_use]
pub fn short(value: f64, places: usize) -> String {
    match trimmed(&format!("{value:.places$}")) {
        "-0" => "0".to_owned(),
        text => text.to_owned(),
    }
}

/// Returns a count with its noun: "1 argument", "2 arguments".
#[must_use]
pub fn count(number: usize, noun: &str) -> String {
    if number == 1 {
        format!("1 {noun}")
    } else {
        format!("{number} {noun}s")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(value: f64, unit: &str, expected: &str) {
        assert_eq!(
            quantity(Quantity::of(value, unit).unwrap(), System::Metric),
            expected
        );
    }

    #[test]
    fn numbers_are_written_short() {
        assert_eq!(short(1.250, 3), "1.25");
        assert_eq!(short(100.0, 3), "100");
        assert_eq!(short(100.0, 0), "100");
        assert_eq!(short(-0.000_01, 3), "0");
    }

    #[test]
    fn quantities_are_written_as_the_trade_writes_them() {
        check(12.0, "mm", "12.000 mm");
        check(0.47244, "in", "0.4724 in");
        check(-0.000_000_01, "mm", "0.000 mm");
        check(0.000_2, "mm", "0.0002 mm");
        check(381.972, "rpm", "382 rpm");
        // Half away from zero, on the decimal that was written.
        check(1.0005, "mm", "1.001 mm");
        check(-1.0005, "mm", "-1.001 mm");
        check(1.0025, "mm", "1.003 mm");
        check(10.5, "rpm", "11 rpm");
        check(11.5, "rpm", "12 rpm");
        check(2.00005, "in", "2.0001 in");
        check(1250.0, "rpm", "1250 rpm");
        check(75.0, "%", "75 %");
        // Errors in per cent to two figures, other shares to three.
        check(-0.006_200_01, "%", "-0.0062 %");
        check(76.855_4, "%", "76.9 %");
        check(105.26, "%", "105 %");
        // Angles of which one figure would be left get three; feeds no zeros at the end.
        check(0.002_864, "deg", "0.00286 deg");
        check(0.019_1, "deg", "0.019 deg");
        check(40.0, "mm/min", "40 mm/min");
        check(0.05, "mm/rev", "0.05 mm/rev");
        check(381.972, "mm/min", "382 mm/min");
        check(0.5, "mm^-1", "0.5 1/mm");
        check(12.5e-6, "K^-1", "0.0000125 1/K");
        check(7.85, "g/cm^3", "7.85 g/cm^3");
        check(20.0, "degC", "20 degC");
    }

    #[test]
    fn ratios_have_three_figures_and_never_look_whole() {
        for (value, text) in [
            (7.769_03, "7.769"),
            (0.211_667, "0.212"),
            (33.036_3, "33.036"),
            (127.04, "127.040"),
            (57.0, "57"),
            (0.999_6, "1.000"),
            (-0.000_062, "-0.000062"),
        ] {
            assert_eq!(ratio(value), text);
        }
    }

    #[test]
    fn angles_are_written_in_degrees_minutes_seconds() {
        assert_eq!(
            degrees_minutes_seconds(2.8575_f64.to_radians()),
            "2°51'27\""
        );
        assert_eq!(degrees_minutes_seconds(-0.5_f64.to_radians()), "-0°30'00\"");
        assert_eq!(
            degrees_minutes_seconds(59.999_99_f64.to_radians()),
            "60°00'00\""
        );
    }

    #[test]
    fn fractions_give_their_error() {
        assert_eq!(fraction(1.375, 64), "1 3/8");
        assert_eq!(fraction(0.472_44, 64), "15/32 (+0.0037)");
        assert_eq!(fraction(-0.5, 64), "-1/2");
        assert_eq!(fraction(0.0, 64), "0");
    }

    #[test]
    fn coordinates_are_rounded_to_the_readout() {
        let size = Quantity::of(19.998_7, "mm").unwrap();
        let dialled = size.as_coordinate().unwrap();
        assert_eq!(in_unit(dialled, dialled.unit, Some(5e-6)), "20.000");
        assert_eq!(in_unit(dialled, dialled.unit, Some(1e-5)), "20.00");
        let inch = super::super::parse_unit("in").unwrap();
        let inch = inch.styled(Style::Coordinate);
        assert_eq!(in_unit(dialled, inch, Some(5e-6)), "0.7874");
        // A size is no coordinate: nothing of it is rounded to the readout.
        assert_eq!(in_unit(size, size.unit, Some(5e-6)), "19.999");
    }
}
