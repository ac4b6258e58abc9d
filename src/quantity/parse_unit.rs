//! Reading a unit as it is written: `mm`, `mm/rev`, `N*mm`, `kg/m^3`, `K^-1`.

use super::unit::MOST;
use super::{NamedUnit, Unit, definition, definitions};
use crate::diagnostic::{Fault, did_you_mean};

/// What joins the units of a compound one.
const JOINTS: [char; 3] = ['*', '·', '/'];

/// Reads a unit.
///
/// Defined units are joined by `*`, `·` or `/` (which divides by the one unit
/// after it) and may have a power: `^2`, `^-1`, `²`, `³`. No spaces. After a `/` no
/// `*` may follow: whether it still divides would be a guess (source: SI Brochure, 9th
/// edition, 5.2).
///
/// # Errors
/// A fault that names the unknown unit and the nearest known ones.
///
/// # Example
/// ```
/// use setover::internals::quantity::parse_unit;
/// assert_eq!(parse_unit("kg/m³").unwrap().symbol(), "kg/m^3");
/// assert!(parse_unit("furlong").is_err());
/// ```
pub fn parse_unit(text: &str) -> Result<Unit, Fault> {
    let mut parts: Vec<(NamedUnit, i8)> = Vec::new();
    let mut rest = text;
    let mut sign = 1;
    loop {
        let end = rest.find(JOINTS).unwrap_or(rest.len());
        let (name, power) = split_power(&rest[..end], text)?;
        let Some(number) = definition(name) else {
            return Err(unknown(name, text));
        };
        let power = sign * power;
        match parts.iter_mut().find(|(unit, _)| *unit == number) {
            Some((_, sum)) => *sum = sum.checked_add(power).ok_or_else(|| too_high(text))?,
            None => parts.push((number, power)),
        }
        rest = &rest[end..];
        let Some(joint) = rest.chars().next() else {
            break;
        };
        if joint != '/' && sign < 0 {
            return Err(unclear(text));
        }
        sign = if joint == '/' { -1 } else { 1 };
        rest = &rest[joint.len_utf8()..];
        if parts.len() > MOST {
            return Err(too_high(text));
        }
    }
    parts.retain(|(_, power)| *power != 0);
    // As it is printed: what divides comes last.
    parts.sort_by_key(|(_, power)| *power < 0);
    let scale = parts.iter().any(|(unit, _)| unit.offset != 0.0);
    if scale && !matches!(parts.as_slice(), [(_, 1)]) {
        return Err(Fault::new(format!(
            "`{text}` mixes a temperature scale with other units"
        ))
        .advise("write the difference of temperature in K, such as `um/m/K`"));
    }
    Unit::of(&parts).ok_or_else(|| too_high(text))
}

fn too_high(text: &str) -> Fault {
    Fault::new(format!(
        "the unit `{text}` is too long or its powers are too high"
    ))
}

/// `mm/N*m`: one reader takes `m` for a factor, another divides by it.
fn unclear(text: &str) -> Fault {
    let (above, below) = text.split_once('/').unwrap_or((text, ""));
    let (mut top, mut bottom, mut all) = (above.to_owned(), String::new(), above.to_owned());
    let mut joint = '/';
    for part in below.split_inclusive(JOINTS) {
        let unit = part.trim_end_matches(JOINTS);
        let (side, sign) = if joint == '/' {
            (&mut bottom, '/')
        } else {
            (&mut top, '*')
        };
        side.extend([sign]);
        side.push_str(unit);
        all = all + "/" + unit;
        joint = part.chars().last().unwrap_or('/');
    }
    Fault::new(format!("`{text}` can be read in two ways")).advise(format!(
        "write `{all}` if all after the stroke divides, `{top}{bottom}` if it does not"
    ))
}

fn unknown(name: &str, whole: &str) -> Fault {
    let known = definitions()
        .iter()
        .flat_map(|unit| std::iter::once(unit.symbol).chain(unit.spellings.iter().copied()));
    let message = if name == whole || name.is_empty() {
        format!("`{whole}` is not a unit")
    } else {
        format!("`{name}` in `{whole}` is not a unit")
    };
    let fault = Fault::new(message);
    match did_you_mean(name, known) {
        Some(advice) => fault.advise(advice),
        None => fault,
    }
}

/// Splits `m^3`, `m³` or `m` into its name and its power.
fn split_power<'a>(part: &'a str, whole: &str) -> Result<(&'a str, i8), Fault> {
    let no_power = || {
        Fault::new(format!(
            "the power in `{whole}` is not a whole number from -9 to 9"
        ))
    };
    if let Some((name, power)) = part.split_once('^') {
        let power: i8 = power.parse().map_err(|_| no_power())?;
        return if (-9..=9).contains(&power) {
            Ok((name, power))
        } else {
            Err(no_power())
        };
    }
    for (sign, power) in [("²", 2), ("³", 3), ("⁴", 4)] {
        if let Some(name) = part.strip_suffix(sign) {
            return Ok((name, power));
        }
    }
    Ok((part, 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_written_as_they_were_read() {
        for (written, shown) in [
            ("mm", "mm"),
            ("inch", "in"),
            ("N*mm", "N*mm"),
            ("N·mm", "N*mm"),
            ("kg/m^3", "kg/m^3"),
            ("m/min", "m/min"),
            ("um/m/K", "um/m/K"),
            ("K^-1", "K^-1"),
            ("mm²", "mm^2"),
            ("°C", "degC"),
        ] {
            assert_eq!(parse_unit(written).unwrap().symbol(), shown);
        }
    }

    /// What is printed reads the same: what divides comes last.
    #[test]
    fn a_unit_is_kept_as_it_is_printed() {
        for (written, shown) in [("N^-1*mm*m", "mm*m/N"), ("K^-1*m^-1*um", "um/K/m")] {
            let unit = parse_unit(written).unwrap();
            assert_eq!(unit.symbol(), shown);
            assert_eq!(parse_unit(shown), Ok(unit));
        }
    }

    /// Source: SI Brochure, 9th edition (2019), 5.2: a solidus needs brackets where
    /// what follows it could be read in two ways.
    #[test]
    fn a_factor_after_a_stroke_is_refused() {
        for (written, divides, multiplies) in [
            ("mm/N*m", "`mm/N/m`", "`mm*m/N`"),
            ("kg*m/s·rev/K*mm", "`kg*m/s/rev/K/mm`", "`kg*m*rev*mm/s/K`"),
        ] {
            let fault = parse_unit(written).unwrap_err();
            assert_eq!(
                fault.message,
                format!("`{written}` can be read in two ways")
            );
            let advice = fault.advice.unwrap();
            assert!(
                advice.contains(divides) && advice.contains(multiplies),
                "{advice}"
            );
        }
    }

    #[test]
    fn what_is_no_unit_is_named() {
        let fault = parse_unit("mm/n").unwrap_err();
        assert_eq!(fault.message, "`n` in `mm/n` is not a unit");
        assert_eq!(parse_unit("milimetre").unwrap_err().advice, None);
        assert_eq!(
            parse_unit("Mpa").unwrap_err().advice.as_deref(),
            Some("did you mean `MPa`?")
        );
        for wrong in ["", "/", "mm^", "mm^99", "mm^x", "mm/degC", "mm*", "²"] {
            assert!(parse_unit(wrong).is_err(), "{wrong}");
        }
    }
}
