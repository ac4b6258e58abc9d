//! What kind of thing a number measures, as powers of five base dimensions.

use std::fmt;

/// Powers of length, mass, time, temperature and angle.
///
/// Angle is a dimension of its own, so that a bare number can't stand where an
/// angle is wanted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Dimension {
    /// Power of length (metre).
    pub length: i8,
    /// Power of mass (kilogram).
    pub mass: i8,
    /// Power of time (second).
    pub time: i8,
    /// Power of temperature (kelvin).
    pub temperature: i8,
    /// Power of angle (radian).
    pub angle: i8,
}

/// The dimensions that have a name of their own, with their article.
const NAMED: &[(Dimension, &str)] = &[
    (Dimension::NONE, "a plain number"),
    (Dimension::LENGTH, "a length"),
    (Dimension::MASS, "a mass"),
    (Dimension::TIME, "a time"),
    (Dimension::TEMPERATURE, "a temperature"),
    (Dimension::ANGLE, "an angle"),
    (Dimension::AREA, "an area"),
    (Dimension::VOLUME, "a volume"),
    (Dimension::SPEED, "a speed"),
    (Dimension::ROTATION, "a rotation"),
    (Dimension::new(1, 0, -2, 0, 0), "an acceleration"),
    (Dimension::FORCE, "a force"),
    (Dimension::TORQUE, "a torque"),
    (Dimension::PRESSURE, "a pressure"),
    (Dimension::POWER, "a power"),
    (Dimension::DENSITY, "a density"),
    (Dimension::REMOVAL_RATE, "a removal rate"),
    (Dimension::STIFFNESS, "a stiffness"),
    (Dimension::ANGLE_PER_TIME, "an angle per time"),
    (Dimension::new(0, 0, 0, -1, 0), "an expansion rate"),
];

impl Dimension {
    /// A plain number.
    pub const NONE: Self = Self::new(0, 0, 0, 0, 0);
    /// A length.
    pub const LENGTH: Self = Self::new(1, 0, 0, 0, 0);
    /// A mass.
    pub const MASS: Self = Self::new(0, 1, 0, 0, 0);
    /// A time.
    pub const TIME: Self = Self::new(0, 0, 1, 0, 0);
    /// A temperature, or a difference of two.
    pub const TEMPERATURE: Self = Self::new(0, 0, 0, 1, 0);
    /// An angle.
    pub const ANGLE: Self = Self::new(0, 0, 0, 0, 1);
    /// An area.
    pub const AREA: Self = Self::new(2, 0, 0, 0, 0);
    /// A volume.
    pub const VOLUME: Self = Self::new(3, 0, 0, 0, 0);
    /// A speed.
    pub const SPEED: Self = Self::new(1, 0, -1, 0, 0);
    /// Counted revolutions per time.
    pub const ROTATION: Self = Self::new(0, 0, -1, 0, 0);
    /// An angle per time.
    pub const ANGLE_PER_TIME: Self = Self::new(0, 0, -1, 0, 1);
    /// A force.
    pub const FORCE: Self = Self::new(1, 1, -2, 0, 0);
    /// A torque or an energy.
    pub const TORQUE: Self = Self::new(2, 1, -2, 0, 0);
    /// A pressure.
    pub const PRESSURE: Self = Self::new(-1, 1, -2, 0, 0);
    /// A power.
    pub const POWER: Self = Self::new(2, 1, -3, 0, 0);
    /// A density.
    pub const DENSITY: Self = Self::new(-3, 1, 0, 0, 0);
    /// A volume per time.
    pub const REMOVAL_RATE: Self = Self::new(3, 0, -1, 0, 0);
    /// A force per length.
    pub const STIFFNESS: Self = Self::new(0, 1, -2, 0, 0);

    /// Returns a dimension from its powers.
    #[must_use]
    pub const fn new(length: i8, mass: i8, time: i8, temperature: i8, angle: i8) -> Self {
        Self {
            length,
            mass,
            time,
            temperature,
            angle,
        }
    }

    /// Returns the dimension with each power made from its own and that of `other`;
    /// nothing where one can't be.
    #[inline]
    fn each(self, other: Self, power: impl Fn(i8, i8) -> Option<i8>) -> Option<Self> {
        Some(Self {
            length: power(self.length, other.length)?,
            mass: power(self.mass, other.mass)?,
            time: power(self.time, other.time)?,
            temperature: power(self.temperature, other.temperature)?,
            angle: power(self.angle, other.angle)?,
        })
    }

    /// Returns the dimension of a product; nothing when a power passes 127.
    #[inline]
    #[must_use]
    pub fn times(self, other: Self) -> Option<Self> {
        self.each(other, i8::checked_add)
    }

    /// Returns the dimension of a quotient; nothing when a power passes 127.
    #[inline]
    #[must_use]
    pub fn over(self, other: Self) -> Option<Self> {
        self.each(other, i8::checked_sub)
    }

    /// Returns the dimension of a whole power; nothing when a power passes 127.
    #[must_use]
    pub fn power(self, exponent: i32) -> Option<Self> {
        self.each(self, |power, _| {
            i8::try_from(i32::from(power).checked_mul(exponent)?).ok()
        })
    }

    /// Returns the dimension of a root; nothing when a power does not divide evenly.
    #[must_use]
    pub fn root(self, degree: i8) -> Option<Self> {
        self.each(self, |power, _| {
            (power % degree == 0).then(|| power / degree)
        })
    }

    /// Returns the same dimension with the radian counted as 1.
    #[must_use]
    pub const fn without_angle(self) -> Self {
        Self { angle: 0, ..self }
    }

    /// Returns the dimension that a result has where a radian is left over beside a length or
    /// a mass (`radius * angle` is a length). What is told per angle (`deg/mm`, `N*mm/rad`)
    /// keeps it.
    #[inline]
    #[must_use]
    pub const fn settled(self) -> Self {
        let beside = if self.length == 0 {
            self.mass
        } else {
            self.length
        };
        if self.angle != 0 && self.angle.signum() == beside.signum() {
            self.without_angle()
        } else {
            self
        }
    }

    /// Returns whether two dimensions agree, where a radian that nothing asks for counts
    /// as 1 (`radius * angle` is a length).
    ///
    /// The radian is dropped only beside a length or a mass: an angle never
    /// passes for a plain number, nor an angle per time for revolutions per time.
    #[inline]
    #[must_use]
    pub fn agrees(self, other: Self) -> bool {
        self == other
            || self.without_angle() == other.without_angle() && (self.length != 0 || self.mass != 0)
    }

    /// Returns the dimension that is called so, without its article: `length`.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        let found = NAMED.iter().find(|(_, name)| {
            let name = name.split_once(' ').map(|(_, name)| name);
            name == Some(word)
        });
        found.map(|(dimension, _)| *dimension)
    }

    /// Returns the dimension in words, with its article: "a length", "a force".
    #[must_use]
    pub fn words(self) -> String {
        match NAMED.iter().find(|(dimension, _)| *dimension == self) {
            Some((_, name)) => (*name).to_owned(),
            None => format!("a quantity in {self}"),
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let product = product(&[
            ("kg", self.mass),
            ("m", self.length),
            ("s", self.time),
            ("K", self.temperature),
            ("rad", self.angle),
        ]);
        f.write_str(if product.is_empty() { "1" } else { &product })
    }
}

/// Returns a product of units as it is written: `N*mm`, `kg/m^3`, `K^-1`; units to the
/// power 0 are left out.
pub(super) fn product(parts: &[(&str, i8)]) -> String {
    let leading = parts.iter().any(|(_, power)| *power > 0);
    let mut text = String::new();
    let above = parts
        .iter()
        .filter(|(_, power)| *power > 0 || !leading && *power < 0);
    for (symbol, power) in above {
        let joint = if text.is_empty() { "" } else { "*" };
        text += &match power {
            1 => format!("{joint}{symbol}"),
            _ => format!("{joint}{symbol}^{power}"),
        };
    }
    for (symbol, power) in parts.iter().filter(|(_, power)| *power < 0 && leading) {
        text += &match power {
            -1 => format!("/{symbol}"),
            _ => format!("/{symbol}^{}", power.unsigned_abs()),
        };
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_is_a_length_but_an_angle_is_no_number() {
        let arc = Dimension::LENGTH.times(Dimension::ANGLE).unwrap();
        assert!(arc.agrees(Dimension::LENGTH));
        assert!(!Dimension::ANGLE.agrees(Dimension::NONE));
        assert!(!Dimension::new(0, 0, -1, 0, 1).agrees(Dimension::ROTATION));
    }

    #[test]
    fn a_result_drops_the_radian_beside_a_length_or_a_mass() {
        let new = Dimension::new;
        for (dimension, settled) in [
            (new(1, 0, 0, 0, 1), Dimension::LENGTH),
            (new(2, 1, -2, 0, 1), new(2, 1, -2, 0, 0)),
            (new(-1, 0, 0, 0, 1), new(-1, 0, 0, 0, 1)),
            (new(2, 1, -2, 0, -1), new(2, 1, -2, 0, -1)),
            (Dimension::ANGLE, Dimension::ANGLE),
            (new(0, 0, -1, 0, 1), new(0, 0, -1, 0, 1)),
        ] {
            assert_eq!(dimension.settled(), settled, "{dimension}");
        }
    }

    #[test]
    fn dimensions_are_written_as_si_products() {
        assert_eq!(Dimension::new(2, 1, -2, 0, 0).to_string(), "kg*m^2/s^2");
        assert_eq!(Dimension::new(0, 0, -1, 0, 0).to_string(), "s^-1");
        assert_eq!(Dimension::NONE.to_string(), "1");
        assert_eq!(Dimension::new(1, 1, -2, 0, 0).words(), "a force");
    }

    #[test]
    fn powers_past_the_range_are_nothing() {
        assert_eq!(Dimension::LENGTH.power(128), None);
        assert_eq!(Dimension::LENGTH.root(2), None);
        assert_eq!(
            Dimension::new(2, 0, 0, 0, 0).root(2),
            Some(Dimension::LENGTH)
        );
    }
}
