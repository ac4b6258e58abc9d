//! Results in the unit that the trade writes them in.

use crate::language::Value;
use crate::quantity::{Quantity, Unit, parse_unit};
use crate::trade::dividing::Plate;

/// The unit of this symbol; the default of its dimension where it is none.
pub fn unit(symbol: &str) -> Unit {
    parse_unit(symbol).unwrap_or(Unit::NONE)
}

/// A quantity shown in a unit; as it is where the unit measures something else.
pub fn shown_in(value: impl Into<Quantity>, unit: Unit) -> Quantity {
    let value = value.into();
    value.shown_in(unit).unwrap_or(value)
}

/// A quantity shown in the unit of this symbol.
pub fn shown(value: impl Into<Quantity>, symbol: &str) -> Quantity {
    shown_in(value, unit(symbol))
}

/// A quantity as the notebook shows its dimension.
pub fn plain(value: impl Into<Quantity>) -> Quantity {
    value.into()
}

/// A part of a whole, in per cent.
pub fn percent(part: f64) -> Quantity {
    shown(Quantity::number(part), "%")
}

/// The unit of a drill's diameter: millimetres for metric drills, else inches.
pub fn drill_unit(name: &str) -> Unit {
    unit(if name.ends_with("mm") { "mm" } else { "in" })
}

/// A list of whole numbers.
pub fn counts(numbers: &[u32]) -> Value {
    numbers
        .iter()
        .map(|number| Value::whole(*number))
        .collect::<Vec<_>>()
        .into()
}

/// What a plate is called: its name, or its circles.
pub fn plate_name(plate: &str) -> &str {
    if plate.is_empty() { "as listed" } else { plate }
}

/// A plate's circles as a list.
pub fn circles(plate: &Plate) -> Value {
    counts(&plate.circles)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Dimension;

    #[test]
    fn a_drill_is_shown_as_it_is_marked() {
        for (name, symbol) in [("6.8 mm", "mm"), ("#7", "in"), ("F", "in"), ("27/64", "in")] {
            assert_eq!(drill_unit(name).get().symbol, symbol);
        }
    }

    #[test]
    fn a_unit_that_measures_something_else_is_let_be() {
        let length = Quantity::si(0.01, Dimension::LENGTH);
        assert_eq!(shown(length, "rpm"), length);
        assert_eq!(shown(length, "in").unit.get().symbol, "in");
    }
}
