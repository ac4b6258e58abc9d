//! Properties of materials.

use uom::si::temperature_coefficient::per_kelvin;

use super::Topic;
use super::shown::shown;
use crate::language::Value;
use crate::quantity::{Dimension, Quantity};
use crate::trade::materials;

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("materials", |_| {
        let names = materials::materials().into_iter().map(Value::from);
        Ok(names.collect::<Vec<_>>().into())
    }),
    ("density", |a| {
        Ok(Quantity::from(materials::density(&a.text(0))?).into())
    }),
    ("expansion_rate", |a| {
        let rate = materials::expansion_rate(&a.text(0))?.get::<per_kelvin>();
        let dimension = Dimension::new(0, 0, 0, -1, 0);
        Ok(Quantity::si(rate, dimension).into())
    }),
    ("stiffness", |a| {
        Ok(shown(materials::stiffness(&a.text(0))?, "GPa").into())
    }),
    ("shear_modulus", |a| {
        Ok(shown(materials::shear_modulus(&a.text(0))?, "GPa").into())
    }),
    ("poisson_ratio", |a| {
        Ok(materials::poisson_ratio(&a.text(0))?.into())
    }),
    ("cutting_force", |a| {
        Ok(shown(materials::cutting_force(&a.text(0))?, "N/mm^2").into())
    }),
];
