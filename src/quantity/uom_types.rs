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
            /// of the dimension (what is no number may be of any).
            fn from(value: Quantity) -> Self {
                debug_assert!(
                    value.si.is_nan() || value.dimension.agrees($dimension),
                    "{value} is no {}",
                    stringify!($type)
                );
                Self::new::<$unit>(value.si)
            }
        }
    )*};
}

boundary! {
    Length, meter, Dimension::LENGTH;
    Angle, radian, Dimension::ANGLE;
    Area, square_meter, Dimension::AREA;
    Volume, cubic_meter, Dimension::VOLUME;
    Mass, kilogram, Dimension::MASS;
    MassDensity, kilogram_per_cubic_meter, Dimension::DENSITY;
    Time, second, Dimension::TIME;
    Velocity, meter_per_second, Dimension::SPEED;
    Frequency, hertz, Dimension::ROTATION;
    Force, newton, Dimension::FORCE;
    Torque, newton_meter, Dimension::TORQUE;
    Pressure, pascal, Dimension::PRESSURE;
    Power, watt, Dimension::POWER;
    Ratio, ratio, Dimension::NONE;
}
