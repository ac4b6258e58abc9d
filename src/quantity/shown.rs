//! Which unit a result is shown in: units of products, and the default unit of a
//! dimension.

use std::cell::RefCell;

use super::unit::Parts;
use super::{Dimension, Style, Unit, definition, definitions};

/// A system of units for what a notebook prints.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum System {
    /// Millimetres, newtons, kilograms.
    #[default]
    Metric,
    /// Inches, pounds.
    Inch,
}

/// The unit in which a value is shown that has no wish of its own.
#[must_use]
pub fn default_unit(dimension: Dimension, system: System) -> Unit {
    let d = dimension.without_angle();
    let powers = (d.length, d.mass, d.time, d.temperature);
    if powers == (0, 0, 0, 0) {
        return if dimension.angle == 1 {
            unit(&[("deg", 1)])
        } else {
            in_si(dimension)
        };
    }
    if powers == (0, 0, -1, 0) && dimension.angle != 0 {
        return if dimension.angle == 1 {
            unit(&[("deg", 1), ("s", -1)])
        } else {
            in_si(dimension)
        };
    }
    let metric: &[(&str, i8)] = match powers {
        (power, 0, 0, 0) => return length_power(power, system),
        (0, 1, 0, 0) => &[("kg", 1)],
        (0, 0, 1, 0) => &[("s", 1)],
        (0, 0, 0, 1) => &[("K", 1)],
        (0, 0, 0, -1) => &[("K", -1)],
        (0, 0, -1, 0) => &[("rpm", 1)],
        (1, 0, -1, 0) => &[("m", 1), ("min", -1)],
        (3, 0, -1, 0) => &[("cm", 3), ("min", -1)],
        (1, 1, -2, 0) => &[("N", 1)],
        (2, 1, -2, 0) => &[("N", 1), ("m", 1)],
        (-1, 1, -2, 0) => &[("MPa", 1)],
        (0, 1, -2, 0) => &[("N", 1), ("mm", -1)],
        (2, 1, -3, 0) => &[("W", 1)],
        (-3, 1, 0, 0) => &[("kg", 1), ("m", -3)],
        _ => return in_si(dimension),
    };
    let inch: &[(&str, i8)] = match powers {
        (0, 1, 0, 0) => &[("lb", 1)],
        (1, 0, -1, 0) => &[("ft", 1), ("min", -1)],
        (3, 0, -1, 0) => &[("in", 3), ("min", -1)],
        (1, 1, -2, 0) => &[("lbf", 1)],
        (2, 1, -2, 0) => &[("lbf", 1), ("ft", 1)],
        (-1, 1, -2, 0) => &[("psi", 1)],
        (0, 1, -2, 0) => &[("lbf", 1), ("in", -1)],
        (2, 1, -3, 0) => &[("hp", 1)],
        (-3, 1, 0, 0) => &[("lb", 1), ("in", -3)],
        _ => metric,
    };
    unit(if system == System::Metric {
        metric
    } else {
        inch
    })
}

fn length_power(power: i8, system: System) -> Unit {
    unit(&[(if system == System::Metric { "mm" } else { "in" }, power)])
}

fn unit(parts: &[(&str, i8)]) -> Unit {
    Unit::of(
        parts
            .iter()
            .filter_map(|(name, power)| Some((definition(name)?, *power)))
            .collect(),
        Style::Decimal,
    )
}

/// The product of SI base units of a dimension.
fn in_si(dimension: Dimension) -> Unit {
    let powers = [
        ("kg", dimension.mass),
        ("m", dimension.length),
        ("s", dimension.time),
        ("K", dimension.temperature),
        ("rad", dimension.angle),
    ];
    unit(
        &powers
            .into_iter()
            .filter(|(_, power)| *power != 0)
            .collect::<Vec<_>>(),
    )
}

/// The unit of the other system for sizes and feeds: `mm` becomes `in`,
/// `mm/rev` becomes `in/rev`; nothing for other quantities or when the unit is
/// of the wished system already.
#[must_use]
pub fn in_system(shown: Unit, system: System) -> Option<Unit> {
    let parts = &shown.get().parts;
    let is_length = |number: u8| {
        definitions()
            .get(usize::from(number))
            .is_some_and(|d| d.dimension == Dimension::LENGTH)
    };
    let (first, power) = *parts.first()?;
    let feed = match parts.get(1) {
        None => true,
        Some((second, -1)) => definitions()
            .get(usize::from(*second))
            .is_some_and(|d| d.dimension == Dimension::NONE || d.symbol == "min"),
        Some(_) => false,
    };
    if !is_length(first) || power != 1 || !feed || parts.len() > 2 {
        return None;
    }
    let symbol = definitions().get(usize::from(first))?.symbol;
    let metric = !matches!(symbol, "in" | "thou" | "ft" | "yd");
    if metric == (system == System::Metric) {
        return None;
    }
    if parts.len() == 2 && matches!(symbol, "m" | "ft") {
        // A cutting speed, which books give in m/min and ft/min.
        return None;
    }
    let mut parts: Parts = parts.clone();
    parts.first_mut()?.0 = definition(if metric { "in" } else { "mm" })?;
    Some(Unit::of(parts, shown.get().style))
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
    if unit == Unit::NONE {
        return unit;
    }
    let found = unit.get();
    if !matches!(
        found.style,
        Style::Decimal | Style::Coordinate | Style::AllDigits
    ) {
        return unit;
    }
    let plain = unit.styled(Style::Decimal);
    let defaults = [System::Metric, System::Inch].map(|system| default_unit(dimension, system));
    if defaults.contains(&plain) && dimension == found.dimension {
        return Unit::NONE.styled(found.style);
    }
    let exchanged = |number: u8| {
        let symbol = definitions().get(usize::from(number)).map(|d| d.symbol)?;
        let pair = COUNTERPARTS.iter().find(|(metric, inch)| match system {
            System::Inch => *metric == symbol,
            System::Metric => *inch == symbol,
        })?;
        definition(if system == System::Inch {
            pair.1
        } else {
            pair.0
        })
    };
    let mut parts: Parts = found.parts.clone();
    let mut changed = false;
    for (number, _) in &mut parts {
        if let Some(other) = exchanged(*number) {
            *number = other;
            changed = true;
        }
    }
    if changed {
        Unit::of(parts, found.style)
    } else {
        unit
    }
}

/// Returns the system that a unit's lengths are of; nothing where it has none.
#[must_use]
pub fn system_of(unit: Unit) -> Option<System> {
    let parts = &unit.get().parts;
    let symbols = parts
        .iter()
        .filter_map(|(number, _)| definitions().get(usize::from(*number)));
    let length = symbols
        .into_iter()
        .find(|d| d.dimension == Dimension::LENGTH)?;
    Some(if matches!(length.symbol, "in" | "thou" | "ft" | "yd") {
        System::Inch
    } else {
        System::Metric
    })
}

/// Two units by number, whether the second divides, and what they make.
type Combination = (u16, u16, bool, Unit);

/// The unit of a product (`over` false) or a quotient (`over` true) of two
/// values, or [`Unit::NONE`] where the combined unit would be no natural one.
#[inline]
#[must_use]
pub fn combined(a: Unit, b: Unit, over: bool) -> Unit {
    const SLOTS: usize = 64;
    thread_local! {
        static KNOWN: RefCell<[Option<Combination>; SLOTS]> = const { RefCell::new([None; SLOTS]) };
    }
    let slot =
        (usize::from(a.number()) * 31 + usize::from(b.number()) * 2 + usize::from(over)) % SLOTS;
    KNOWN.with_borrow_mut(|known| {
        if let Some((x, y, o, unit)) = known[slot]
            && (x, y, o) == (a.number(), b.number(), over)
        {
            return unit;
        }
        let unit = combine(a, b, over);
        known[slot] = Some((a.number(), b.number(), over, unit));
        unit
    })
}

fn combine(a: Unit, b: Unit, over: bool) -> Unit {
    let mut parts = Parts::new();
    for (number, power) in expanded(a) {
        merge(&mut parts, number, power);
    }
    for (number, power) in expanded(b) {
        merge(&mut parts, number, if over { -power } else { power });
    }
    parts.retain(|(_, power)| *power != 0);
    natural(parts)
}

/// The parts of a unit with rpm taken apart and per cent dropped.
fn expanded(unit: Unit) -> Parts {
    let mut parts = Parts::new();
    let symbol_of = |number: u8| {
        definitions()
            .get(usize::from(number))
            .map_or("", |d| d.symbol)
    };
    for (number, power) in &unit.get().parts {
        match symbol_of(*number) {
            "%" => {}
            "rpm" => {
                parts.extend(definition("rev").map(|rev| (rev, *power)));
                parts.extend(definition("min").map(|min| (min, -*power)));
            }
            _ => parts.push((*number, *power)),
        }
    }
    parts
}

/// Adds a power of a unit, keeping one unit a dimension (the smaller).
fn merge(parts: &mut Parts, number: u8, power: i8) {
    let all = definitions();
    let Some(unit) = all.get(usize::from(number)) else {
        return;
    };
    for (other, sum) in parts.iter_mut() {
        let Some(known) = all.get(usize::from(*other)) else {
            continue;
        };
        let same = *other == number
            || known.dimension == unit.dimension && unit.dimension != Dimension::NONE;
        if same {
            *sum = sum.saturating_add(power);
            if unit.factor < known.factor {
                *other = number;
            }
            return;
        }
    }
    parts.push((number, power));
}

/// A unit of these parts if people write it so, else [`Unit::NONE`].
fn natural(mut parts: Parts) -> Unit {
    let all = definitions();
    let dimension_of = |number: u8| {
        all.get(usize::from(number))
            .map_or(Dimension::NONE, |d| d.dimension)
    };
    let symbol_of = |number: u8| all.get(usize::from(number)).map_or("", |d| d.symbol);
    let is_count = |number: u8| dimension_of(number) == Dimension::NONE;
    let feed = parts.len() == 2
        && parts
            .iter()
            .any(|(n, p)| *p == 1 && dimension_of(*n) == Dimension::LENGTH)
        && parts.iter().any(|(n, p)| *p == -1 && is_count(*n));
    let ratio_of_counts = parts.len() == 2 && parts.iter().all(|(n, _)| is_count(*n));
    if parts.len() > 1 && !feed && !ratio_of_counts {
        parts.retain(|(number, _)| !is_count(*number));
    }
    if let [(time, -1)] = parts.as_slice()
        && matches!(symbol_of(*time), "min" | "s")
    {
        return unit(&[("rpm", 1)]);
    }
    let simple = |number: u8| {
        let d = dimension_of(number);
        [d.length, d.mass, d.time, d.temperature, d.angle]
            .iter()
            .filter(|p| **p != 0)
            .count()
            <= 1
    };
    let force = Dimension::new(1, 1, -2, 0, 0);
    let natural = match parts.as_slice() {
        [] => false,
        [(number, power)] => *power == 1 || simple(*number),
        [(a, 1), (b, 1)] => {
            let pair = (dimension_of(*a), dimension_of(*b));
            pair == (force, Dimension::LENGTH) || pair == (Dimension::LENGTH, force)
        }
        [(a, _), (b, _)] => {
            let above = parts.iter().filter(|(_, power)| *power > 0).count();
            let over_length = |top: u8, below: u8| {
                dimension_of(top) == force && dimension_of(below) == Dimension::LENGTH
            };
            above == 1 && (simple(*a) && simple(*b) || over_length(*a, *b) || over_length(*b, *a))
        }
        _ => false,
    };
    if natural {
        Unit::of(parts, Style::Decimal)
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
            combined(read(a), read(b), over).get().symbol,
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
        let inch = |text| {
            in_system(parse_unit(text).unwrap(), System::Inch).map(|u| u.get().symbol.as_str())
        };
        assert_eq!(inch("mm"), Some("in"));
        assert_eq!(inch("mm/rev"), Some("in/rev"));
        assert_eq!(inch("in"), None);
        assert_eq!(inch("m/min"), None);
        assert_eq!(inch("kg"), None);
    }
}
