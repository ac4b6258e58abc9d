//! Which unit a result is shown in: units of products, and the default unit of a
//! dimension.

use super::{Dimension, NamedUnit, Style, Unit, definition};

/// A system of units for what a notebook prints.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum System {
    /// Millimetres, newtons, kilograms.
    #[default]
    Metric,
    /// Inches, pounds.
    Inch,
}

/// The units in which values are shown that have no wish of their own, metric and inch.
const DEFAULTS: &[(Dimension, &str, &str)] = &[
    (Dimension::ANGLE, "deg", "deg"),
    (Dimension::ANGLE_PER_TIME, "deg/s", "deg/s"),
    (Dimension::MASS, "kg", "lb"),
    (Dimension::TIME, "s", "s"),
    (Dimension::TEMPERATURE, "K", "K"),
    (Dimension::new(0, 0, 0, -1, 0), "K^-1", "K^-1"),
    (Dimension::ROTATION, "rpm", "rpm"),
    (Dimension::SPEED, "m/min", "ft/min"),
    (Dimension::REMOVAL_RATE, "cm^3/min", "in^3/min"),
    (Dimension::FORCE, "N", "lbf"),
    (Dimension::TORQUE, "N*m", "lbf*ft"),
    (Dimension::PRESSURE, "MPa", "psi"),
    (Dimension::STIFFNESS, "N/mm", "lbf/in"),
    (Dimension::POWER, "W", "hp"),
    (Dimension::DENSITY, "kg/m^3", "lb/in^3"),
];

/// Returns the unit in which a value is shown that has no wish of its own: what the
/// trade uses, else the product of SI base units.
#[must_use]
pub fn default_unit(dimension: Dimension, system: System) -> Unit {
    let d = dimension.without_angle();
    // Beside other dimensions a radian counts as 1; by itself and per time it does not.
    let shown = if d == Dimension::NONE || d == Dimension::ROTATION {
        dimension
    } else {
        d
    };
    let metric = system == System::Metric;
    if d.length != 0
        && shown
            == (Dimension {
                length: d.length,
                ..Dimension::NONE
            })
    {
        return unit(&[(if metric { "mm" } else { "in" }, d.length)]);
    }
    match DEFAULTS.iter().find(|(of, ..)| *of == shown) {
        Some((_, metric_unit, inch)) => {
            super::parse_unit(if metric { metric_unit } else { inch }).unwrap_or_default()
        }
        None => unit(&[
            ("kg", dimension.mass),
            ("m", dimension.length),
            ("s", dimension.time),
            ("K", dimension.temperature),
            ("rad", dimension.angle),
        ]),
    }
}

/// Returns the unit of these parts, by their symbols; those to the power 0 are left out.
fn unit(parts: &[(&str, i8)]) -> Unit {
    let parts = parts
        .iter()
        .filter_map(|(symbol, power)| Some((definition(symbol)?, *power)));
    Unit::of(&parts.collect::<Vec<_>>()).unwrap_or_default()
}

/// Returns the unit of the other system for sizes and feeds: `mm` becomes `in`,
/// `mm/rev` becomes `in/rev`; nothing for other quantities or when the unit is
/// of the wished system already.
#[must_use]
pub fn in_system(shown: Unit, system: System) -> Option<Unit> {
    let (length, per) = match shown.parts() {
        [(length, 1)] => (length, None),
        [(length, 1), (per, -1)] => (length, Some(per)),
        _ => return None,
    };
    let per_what = |unit: &NamedUnit| unit.dimension == Dimension::NONE || unit.symbol == "min";
    if length.dimension != Dimension::LENGTH || !per.is_none_or(per_what) {
        return None;
    }
    // A cutting speed is given in m/min and ft/min by books.
    let cutting_speed = per.is_some() && matches!(length.symbol, "m" | "ft");
    if system_of(shown) == Some(system) || cutting_speed {
        return None;
    }
    let other = definition(if system == System::Inch { "in" } else { "mm" })?;
    let parts = [Some((other, 1)), per.map(|per| (*per, -1))];
    let unit = Unit::of(&parts.into_iter().flatten().collect::<Vec<_>>())?;
    Some(unit.styled(shown.style()))
}

/// Units of one system with their counterparts in the other.
const COUNTERPARTS: &[(&str, &str)] = &[
    ("mm", "in"),
    ("cm", "in"),
    ("um", "thou"),
    ("m", "ft"),
    ("N", "lbf"),
    ("kN", "lbf"),
    ("kg", "lb"),
    ("g", "oz"),
    ("W", "hp"),
    ("kW", "hp"),
    ("MPa", "psi"),
    ("GPa", "ksi"),
];

/// Returns the unit in which a notebook that wants `system` shows what a function gives
/// in `unit`: no wish where that is the default of either system, else the unit with its
/// parts of the other system exchanged (`mm/rev` becomes `in/rev`, `N*mm` becomes
/// `lbf*in`). A coordinate stays one.
#[must_use]
pub fn for_system(unit: Unit, dimension: Dimension, system: System) -> Unit {
    let style = unit.style();
    if unit == Unit::NONE || matches!(style, Style::DegreesMinutesSeconds | Style::Fraction(_)) {
        return unit;
    }
    let plain = unit.styled(Style::Decimal);
    let defaults = [System::Metric, System::Inch].map(|system| default_unit(dimension, system));
    if defaults.contains(&plain) && dimension == unit.dimension() {
        return Unit::NONE.styled(style);
    }
    let exchanged = |named: NamedUnit| {
        let other = COUNTERPARTS.iter().find_map(|(metric, inch)| match system {
            System::Inch => (*metric == named.symbol).then_some(inch),
            System::Metric => (*inch == named.symbol).then_some(metric),
        });
        other.and_then(|other| definition(other)).unwrap_or(named)
    };
    let parts = unit
        .parts()
        .iter()
        .map(|(named, power)| (exchanged(*named), *power));
    let exchanged = Unit::of(&parts.collect::<Vec<_>>());
    exchanged.map_or(unit, |exchanged| exchanged.styled(style))
}

/// Returns the system that a unit's lengths are of; nothing where it has none.
#[must_use]
pub fn system_of(unit: Unit) -> Option<System> {
    let mut parts = unit.parts().iter();
    let (length, _) = parts.find(|(unit, _)| unit.dimension == Dimension::LENGTH)?;
    Some(if matches!(length.symbol, "in" | "thou" | "ft" | "yd") {
        System::Inch
    } else {
        System::Metric
    })
}

/// Defined units and their powers, in written order.
type UnitParts = Vec<(NamedUnit, i8)>;

/// Returns the unit of a product (`over` false) or a quotient (`over` true) of two
/// values, or [`Unit::NONE`] where people would not write the combined unit.
#[must_use]
pub fn combined(a: Unit, b: Unit, over: bool) -> Unit {
    let mut parts = UnitParts::new();
    let sign = |power: i8| if over { power.saturating_neg() } else { power };
    let behind = expanded(&b).map(|(unit, power)| (unit, sign(power)));
    for (unit, power) in expanded(&a).chain(behind) {
        merge(&mut parts, unit, power);
    }
    parts.retain(|(_, power)| *power != 0);
    natural(parts)
}

/// Returns the parts of a unit with rpm taken apart and per cent dropped.
fn expanded(unit: &Unit) -> impl Iterator<Item = (NamedUnit, i8)> {
    let parts = unit.parts().iter();
    let parts = parts.flat_map(|&(unit, power)| match unit.symbol {
        "%" => [None, None],
        "rpm" => [
            definition("rev").map(|rev| (rev, power)),
            definition("min").map(|min| (min, power.saturating_neg())),
        ],
        _ => [Some((unit, power)), None],
    });
    parts.flatten()
}

/// Adds a power of a unit, keeping one unit a dimension (the smaller).
fn merge(parts: &mut UnitParts, unit: NamedUnit, power: i8) {
    let same = |known: NamedUnit| {
        known == unit || known.dimension == unit.dimension && unit.dimension != Dimension::NONE
    };
    match parts.iter_mut().find(|(known, _)| same(*known)) {
        Some((known, sum)) => {
            *sum = sum.saturating_add(power);
            if unit.factor() < known.factor() {
                *known = unit;
            }
        }
        None => parts.push((unit, power)),
    }
}

/// Returns a unit of these parts if people write it so, else [`Unit::NONE`].
fn natural(mut parts: UnitParts) -> Unit {
    let is_count = |unit: &NamedUnit| unit.dimension == Dimension::NONE;
    let is_length = |unit: &NamedUnit| unit.dimension == Dimension::LENGTH;
    let feed = matches!(parts.as_slice(), [(length, 1), (count, -1)] | [(count, -1), (length, 1)]
        if is_length(length) && is_count(count));
    let ratio_of_counts = parts.len() == 2 && parts.iter().all(|(unit, _)| is_count(unit));
    if parts.len() > 1 && !feed && !ratio_of_counts {
        parts.retain(|(unit, _)| !is_count(unit));
    }
    let simple = |unit: &NamedUnit| {
        let d = unit.dimension;
        let powers = [d.length, d.mass, d.time, d.temperature, d.angle];
        powers.iter().filter(|power| **power != 0).count() <= 1
    };
    let is_force = |unit: &NamedUnit| unit.dimension == Dimension::FORCE;
    let force_and_length =
        |a: &NamedUnit, b: &NamedUnit| is_force(a) && is_length(b) || is_length(a) && is_force(b);
    let natural = match parts.as_slice() {
        [] => false,
        [(time, -1)] if matches!(time.symbol, "min" | "s") => return unit(&[("rpm", 1)]),
        [(unit, power)] => *power == 1 || simple(unit),
        [(a, 1), (b, 1)] => force_and_length(a, b),
        [(a, over_a), (b, over_b)] => {
            let one_above = (*over_a > 0) != (*over_b > 0);
            one_above && (simple(a) && simple(b) || force_and_length(a, b))
        }
        _ => false,
    };
    if natural {
        Unit::of(&parts).unwrap_or_default()
    } else {
        Unit::NONE
    }
}

#[cfg(test)]
mod tests {
    use super::super::parse_unit;
    use super::*;

    #[track_caller]
    fn check(a: &str, b: &str, over: bool, expected: &str) {
        let read = |text| {
            if text == "1" {
                Unit::NONE
            } else {
                parse_unit(text).unwrap()
            }
        };
        assert_eq!(
            combined(read(a), read(b), over).symbol(),
            expected,
            "{a} {b}"
        );
    }

    #[test]
    fn products_keep_the_units_people_write() {
        check("mm/rev", "rpm", false, "mm/min");
        check("m/min", "mm", true, "rpm");
        check("rpm", "mm", false, "mm/min");
        check("mm", "mm", false, "mm^2");
        check("mm^3", "kg/m^3", false, "kg");
        check("N", "mm", false, "N*mm");
        check("N*mm", "rpm", false, "");
        check("MPa", "mm^2", false, "");
        check("N", "mm^2", true, "N/mm^2");
        check("N/mm", "mm", false, "N");
        check("mm", "in", true, "");
        check("%", "mm", false, "mm");
        check("mm", "rev", true, "mm/rev");
        check("mm/tooth", "tooth", false, "mm");
        check("mm", "min", true, "mm/min");
        check("mm", "mm/min", true, "min");
    }

    #[test]
    fn sizes_and_feeds_change_system() {
        let inch = |text| in_system(parse_unit(text).unwrap(), System::Inch).map(Unit::symbol);
        assert_eq!(inch("mm").as_deref(), Some("in"));
        assert_eq!(inch("mm/rev").as_deref(), Some("in/rev"));
        assert_eq!(inch("in"), None);
        assert_eq!(inch("m/min"), None);
        assert_eq!(inch("kg"), None);
    }
}
