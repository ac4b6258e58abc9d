//! Units as a value is written or shown in: products and quotients of the
//! defined units, with a way of writing the number.

use std::collections::HashMap;
use std::fmt::Write;
use std::sync::{LazyLock, RwLock};

use super::{Dimension, UnitDefinition, definitions};

/// The most different units one process remembers.
const MOST: u16 = 16_000;

/// How the number of a shown value is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Style {
    /// As a decimal number.
    #[default]
    Decimal,
    /// As degrees, minutes and seconds.
    DegreesMinutesSeconds,
    /// As the nearest fraction with this denominator.
    Fraction(u16),
    /// As a limit or a deviation: with all its digits, where those are few.
    AllDigits,
    /// As a coordinate: in whole steps of the readout, where the notebook has one.
    Coordinate,
}

/// The parts of a unit: which defined units, to which powers, in written order.
pub type Parts = Vec<(u8, i8)>;

/// A unit with everything that is needed to show a value in it.
#[derive(Debug)]
pub struct UnitParts {
    /// Defined units (by number) and their powers, in written order.
    pub parts: Parts,
    /// How the number is written.
    pub style: Style,
    /// The value of one unit in coherent SI.
    pub factor: f64,
    /// How many of the unit make one of coherent SI, where that is a whole number:
    /// dividing by 1000 rounds once where multiplying by 0.001 rounds twice.
    pub whole: Option<f64>,
    /// Added after multiplying by the factor (temperatures from another zero).
    pub offset: f64,
    /// What it measures.
    pub dimension: Dimension,
    /// How the unit is printed after a number.
    pub symbol: String,
}

/// A unit, by its number in the table of all units met so far.
///
/// [`Unit::NONE`] says that a value has no wish of its own: it is shown in the
/// default unit of its dimension.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Unit(u16);

/// Set in the number of a unit that counts from another zero, so that telling
/// takes no look-up.
const ANOTHER_ZERO: u16 = 0x8000;
/// Set in the number of a unit that says a value is a coordinate.
const COORDINATE: u16 = 0x4000;

#[derive(Default)]
struct Met {
    all: Vec<&'static UnitParts>,
    numbers: HashMap<(Parts, Style), u16>,
}

static MET: LazyLock<RwLock<Met>> = LazyLock::new(|| {
    let nothing: &'static UnitParts = Box::leak(Box::new(UnitParts {
        parts: Vec::new(),
        style: Style::Decimal,
        factor: 1.0,
        whole: None,
        offset: 0.0,
        dimension: Dimension::NONE,
        symbol: String::new(),
    }));
    RwLock::new(Met {
        all: vec![nothing],
        numbers: HashMap::new(),
    })
});

impl Unit {
    /// No wish: the default unit of the dimension.
    pub const NONE: Self = Self(0);

    /// The unit made of these parts; [`Unit::NONE`] when a power of its dimension
    /// passes 127 or when some 16,000 different units have been met.
    #[must_use]
    pub fn of(parts: Parts, style: Style) -> Self {
        if parts.is_empty() && style == Style::Decimal {
            return Self::NONE;
        }
        let key = (parts, style);
        if let Some(number) = MET
            .read()
            .ok()
            .and_then(|met| met.numbers.get(&key).copied())
        {
            return Self(number);
        }
        let Some(made) = make(&key.0, style) else {
            return Self::NONE;
        };
        let Ok(mut met) = MET.write() else {
            return Self::NONE;
        };
        if let Some(number) = met.numbers.get(&key) {
            return Self(*number);
        }
        let Some(number) = u16::try_from(met.all.len())
            .ok()
            .filter(|number| *number < MOST)
        else {
            return Self::NONE;
        };
        let mut number = number;
        if made.offset != 0.0 {
            number |= ANOTHER_ZERO;
        }
        if style == Style::Coordinate {
            number |= COORDINATE;
        }
        met.all.push(Box::leak(Box::new(made)));
        met.numbers.insert(key, number);
        Self(number)
    }

    /// Its number, for use as a key.
    #[must_use]
    pub const fn number(self) -> u16 {
        self.0
    }

    /// A single defined unit, by its number.
    #[must_use]
    pub fn single(definition: u8) -> Self {
        Self::of(vec![(definition, 1)], Style::Decimal)
    }

    /// The parts, factor and symbol.
    #[must_use]
    pub fn get(self) -> &'static UnitParts {
        static FALLBACK: UnitParts = UnitParts {
            parts: Vec::new(),
            style: Style::Decimal,
            factor: 1.0,
            whole: None,
            offset: 0.0,
            dimension: Dimension::NONE,
            symbol: String::new(),
        };
        let met = MET.read().ok();
        met.and_then(|met| {
            met.all
                .get(usize::from(self.0 & !(ANOTHER_ZERO | COORDINATE)))
                .copied()
        })
        .unwrap_or(&FALLBACK)
    }

    /// The same unit with another way of writing the number.
    #[must_use]
    pub fn styled(self, style: Style) -> Self {
        Self::of(self.get().parts.clone(), style)
    }

    /// Whether a value in this unit is a coordinate, which the readout rounds. Without
    /// parts, the unit says that and no more.
    #[must_use]
    pub const fn is_coordinate(self) -> bool {
        self.0 & COORDINATE != 0
    }

    /// Whether values in this unit count from another zero (°C, °F).
    #[must_use]
    pub const fn from_another_zero(self) -> bool {
        self.0 & ANOTHER_ZERO != 0
    }
}

fn make(parts: &Parts, style: Style) -> Option<UnitParts> {
    let all = definitions();
    let mut factor = 1.0;
    let mut dimension = Dimension::NONE;
    let mut offset = 0.0;
    for (number, power) in parts {
        let unit: &UnitDefinition = all.get(usize::from(*number))?;
        // Multiplying or dividing keeps one rounding where a power of a rounded
        // factor would bring more.
        for _ in 0..power.unsigned_abs() {
            if *power > 0 {
                factor *= unit.factor
            } else {
                factor /= unit.factor
            }
        }
        dimension = dimension.times(unit.dimension.power(i32::from(*power))?)?;
        if parts.len() == 1 && *power == 1 {
            offset = unit.offset;
        }
    }
    let inverse = (1.0 / factor).round();
    let whole = (factor < 1.0 && (inverse * factor - 1.0).abs() < 1e-14).then_some(inverse);
    let symbol = symbol(parts);
    Some(UnitParts {
        parts: parts.clone(),
        style,
        factor,
        whole,
        offset,
        dimension,
        symbol,
    })
}

/// How a product of units is written: `N*mm`, `kg/m^3`, `K^-1`.
fn symbol(parts: &Parts) -> String {
    let all = definitions();
    let mut text = String::new();
    let leading = parts.iter().any(|(_, power)| *power > 0);
    for (number, power) in parts.iter().filter(|(_, power)| *power > 0 || !leading) {
        let Some(unit) = all.get(usize::from(*number)) else {
            continue;
        };
        if !text.is_empty() {
            text.push('*');
        }
        text.push_str(unit.symbol);
        if *power != 1 {
            let _ = write!(text, "^{power}");
        }
    }
    for (number, power) in parts.iter().filter(|(_, power)| *power < 0 && leading) {
        let Some(unit) = all.get(usize::from(*number)) else {
            continue;
        };
        let _ = write!(text, "/{}", unit.symbol);
        if *power != -1 {
            let _ = write!(text, "^{}", power.unsigned_abs());
        }
    }
    text
}
