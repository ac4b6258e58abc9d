//! The boundary to uom's types, which native trade functions take and return.

use uom::si::angle::radian;
use uom::si::area::square_meter;
use uom::si::f64::{
    Angle, Area, Force, Frequency, Length, Mass, MassDensity, Power, Pressure, Ratio, Time, Torque,
    Velocity, Volume,
};
use uom::si::force::newton;
use uom::si::frequency::hertz;
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::power::watt;
use uom::si::pressure::pascal;
use uom::si::ratio::ratio;
use uom::si::time::second;
use uom::si::torque::newton_meter;
use uom::si::velocity::meter_per_second;
use uom::si::volume::cubic_meter;

use super::{Dimension, Quantity};

/// Conversions between a uom type and a run-time quantity.
macro_rules! boundary {
    ($($type:ident, $unit:ident, $dimension:expr;)*) => {$(
        impl From<$type> for Quantity {
            fn from(value: $type) -> Self {
                Self::si(value.get::<$unit>(), $dimension)
            }
        }

        impl From<Quantity> for $type {
            /// Takes the value as it is in coherent SI: whoever calls has made sure
            /// of the dimension.
            fn from(value: Quantity) -> Self {
                Self::new::<$unit>(value.si)
            }
        }
    )*};
}

boundary! {
    Length, meter, Dimension::LENGTH;
    Angle, radian, Dimension::ANGLE;
    Area, square_meter, Dimension::new(2, 0, 0, 0, 0);
    Volume, cubic_meter, Dimension::new(3, 0, 0, 0, 0);
    Mass, kilogram, Dimension::new(0, 1, 0, 0, 0);
    MassDensity, kilogram_per_cubic_meter, Dimension::new(-3, 1, 0, 0, 0);
    Time, second, Dimension::new(0, 0, 1, 0, 0);
    Velocity, meter_per_second, Dimension::new(1, 0, -1, 0, 0);
    Frequency, hertz, Dimension::ROTATION;
    Force, newton, Dimension::new(1, 1, -2, 0, 0);
    Torque, newton_meter, Dimension::new(2, 1, -2, 0, 0);
    Pressure, pascal, Dimension::new(-1, 1, -2, 0, 0);
    Power, watt, Dimension::new(2, 1, -3, 0, 0);
    Ratio, ratio, Dimension::NONE;
}
