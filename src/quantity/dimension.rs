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
    (Dimension::new(0, 1, 0, 0, 0), "a mass"),
    (Dimension::new(0, 0, 1, 0, 0), "a time"),
    (Dimension::new(0, 0, 0, 1, 0), "a temperature"),
    (Dimension::ANGLE, "an angle"),
    (Dimension::new(2, 0, 0, 0, 0), "an area"),
    (Dimension::new(3, 0, 0, 0, 0), "a volume"),
    (Dimension::new(1, 0, -1, 0, 0), "a speed"),
    (Dimension::ROTATION, "a rotation"),
    (Dimension::new(1, 0, -2, 0, 0), "an acceleration"),
    (Dimension::new(1, 1, -2, 0, 0), "a force"),
    (Dimension::new(2, 1, -2, 0, 0), "a torque"),
    (Dimension::new(-1, 1, -2, 0, 0), "a pressure"),
    (Dimension::new(2, 1, -3, 0, 0), "a power"),
    (Dimension::new(-3, 1, 0, 0, 0), "a density"),
    (Dimension::new(3, 0, -1, 0, 0), "a removal rate"),
    (Dimension::new(0, 1, -2, 0, 0), "a stiffness"),
    (Dimension::new(0, 0, -1, 0, 1), "an angle per time"),
    (Dimension::new(0, 0, 0, -1, 0), "an expansion rate"),
];

impl Dimension {
    /// A plain number.
    pub const NONE: Self = Self::new(0, 0, 0, 0, 0);
    /// A length.
    pub const LENGTH: Self = Self::new(1, 0, 0, 0, 0);
    /// An angle.
    pub const ANGLE: Self = Self::new(0, 0, 0, 0, 1);
    /// Counted revolutions per time.
    pub const ROTATION: Self = Self::new(0, 0, -1, 0, 0);

    /// A dimension from its powers.
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

    fn powers(self) -> [i8; 5] {
        [
            self.length,
            self.mass,
            self.time,
            self.temperature,
            self.angle,
        ]
    }

    fn from_powers(powers: [i8; 5]) -> Self {
        let [length, mass, time, temperature, angle] = powers;
        Self {
            length,
            mass,
            time,
            temperature,
            angle,
        }
    }

    /// The dimension of a product; nothing when a power passes 127.
    #[inline]
    #[must_use]
    pub fn times(self, other: Self) -> Option<Self> {
        Some(Self {
            length: self.length.checked_add(other.length)?,
            mass: self.mass.checked_add(other.mass)?,
            time: self.time.checked_add(other.time)?,
            temperature: self.temperature.checked_add(other.temperature)?,
            angle: self.angle.checked_add(other.angle)?,
        })
    }

    /// The dimension of a quotient; nothing when a power passes 127.
    #[inline]
    #[must_use]
    pub fn over(self, other: Self) -> Option<Self> {
        Some(Self {
            length: self.length.checked_sub(other.length)?,
            mass: self.mass.checked_sub(other.mass)?,
            time: self.time.checked_sub(other.time)?,
            temperature: self.temperature.checked_sub(other.temperature)?,
            angle: self.angle.checked_sub(other.angle)?,
        })
    }

    /// The dimension of a whole power; nothing when a power passes 127.
    #[must_use]
    pub fn power(self, exponent: i32) -> Option<Self> {
        let mut powers = [0; 5];
        for (raised, power) in powers.iter_mut().zip(self.powers()) {
            *raised = i8::try_from(i32::from(power).checked_mul(exponent)?).ok()?;
        }
        Some(Self::from_powers(powers))
    }

    /// The dimension of a root; nothing when a power does not divide evenly.
    #[must_use]
    pub fn root(self, degree: i8) -> Option<Self> {
        let mut powers = [0; 5];
        for (root, power) in powers.iter_mut().zip(self.powers()) {
            if power % degree != 0 {
                return None;
            }
            *root = power / degree;
        }
        Some(Self::from_powers(powers))
    }

    /// The same dimension with the radian counted as 1.
    #[must_use]
    pub const fn without_angle(self) -> Self {
        Self { angle: 0, ..self }
    }

    /// The dimension that a result has where a radian is left over beside a length or
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

    /// Whether two dimensions agree, where a radian that nothing asks for counts
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

    /// The dimension in words, with its article: "a length", "a force".
    #[must_use]
    pub fn words(self) -> String {
        match NAMED.iter().find(|(dimension, _)| *dimension == self) {
            Some((_, name)) => (*name).to_owned(),
            None => format!("a quantity in {self}"),
        }
    }
}

impl fmt::Display for Dimension {
    /// The dimension as a product of SI base units, such as `kg*m^2/s^2`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts = [
            ("kg", self.mass),
            ("m", self.length),
            ("s", self.time),
            ("K", self.temperature),
            ("rad", self.angle),
        ];
        let mut first = true;
        for (symbol, power) in parts.iter().filter(|(_, power)| *power > 0) {
            f.write_str(if first { "" } else { "*" })?;
            first = false;
            if *power == 1 {
                f.write_str(symbol)?
            } else {
                write!(f, "{symbol}^{power}")?
            }
        }
        let mut below = parts.iter().filter(|(_, power)| *power < 0);
        if first && let Some((symbol, power)) = below.next() {
            write!(f, "{symbol}^{power}")?;
            first = false;
        }
        for (symbol, power) in below {
            if *power == -1 {
                write!(f, "/{symbol}")?;
            } else {
                write!(f, "/{symbol}^{}", -i32::from(*power))?;
            }
        }
        if first { f.write_str("1") } else { Ok(()) }
    }
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
