//! The boundary to uom's types, which native trade functions take and return.

use uom::si::angle::radian;
use uom::si::f64::{Angle, Frequency, Length};
use uom::si::frequency::hertz;
use uom::si::length::meter;

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
    Frequency, hertz, Dimension::ROTATION;
}
