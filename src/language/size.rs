//! A size with its faces: as drawn, aimed at, measured.

use std::sync::Arc;

use super::{Record, Table, Value};
use crate::quantity::Quantity;
use crate::syntax::Tolerance;

/// A figure that formulas work with, and the faces it has besides.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// What formulas work with: the reading where there is one, else the aim.
    pub value: Quantity,
    /// The figure on the drawing, which neither limits nor readings move.
    pub drawn: Quantity,
    /// What one works to, in coherent SI.
    pub aim: f64,
    /// Whether the notebook set the aim itself.
    pub aim_set: bool,
    /// The limits that the drawing gives it.
    pub limits: Option<SizeLimits>,
    /// The last reading, in coherent SI.
    pub reading: Option<f64>,
}

impl Size {
    /// Returns the size as it is from another datum, where `value` is what formulas work
    /// with; `sign` is -1 where it is measured the other way. A class belongs to the
    /// figure that it was written with: nothing then, nor for other deviations than ± that
    /// are turned round, nor without limits.
    pub(super) fn carried_to(&self, value: Quantity, sign: f64) -> Option<Self> {
        let limits = self.limits.as_ref()?;
        let stays = match limits.tolerance {
            Tolerance::PlusMinus(..) => true,
            Tolerance::Class(_) => false,
            _ => sign > 0.0,
        };
        let to = |si: f64| sign * (si - self.value.si) + value.si;
        let (low, high) = (to(limits.low), to(limits.high));
        stays.then(|| Self {
            value,
            drawn: Quantity {
                si: to(self.drawn.si),
                ..value
            },
            aim: to(self.aim),
            aim_set: self.aim_set,
            limits: Some(SizeLimits {
                low: low.min(high),
                high: low.max(high),
                tolerance: limits.tolerance.clone(),
            }),
            reading: self.reading.map(to),
        })
    }
}

/// The limits of a size, as the drawing gives them.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeLimits {
    /// The lower limit, in coherent SI.
    pub low: f64,
    /// The upper limit, in coherent SI.
    pub high: f64,
    /// The tolerance as written.
    pub tolerance: Tolerance,
}

/// One face of a size, as a name after a point asks for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The figure on the drawing.
    Drawn,
    /// The lower limit.
    Low,
    /// The upper limit.
    High,
    /// What one works to.
    Aim,
    /// The last reading.
    Reading,
}

impl Face {
    /// Returns the face of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "drawn" => Self::Drawn,
            "low" => Self::Low,
            "high" => Self::High,
            "aim" => Self::Aim,
            "reading" => Self::Reading,
            _ => return None,
        })
    }

    /// Returns the name of the face.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Drawn => "drawn",
            Self::Low => "low",
            Self::High => "high",
            Self::Aim => "aim",
            Self::Reading => "reading",
        }
    }
}

impl Size {
    /// Returns a figure whose drawn figure differs from it, without limits or reading.
    #[must_use]
    pub const fn drawn_as(value: Quantity, drawn: Quantity) -> Self {
        Self {
            value,
            drawn,
            aim: value.si,
            aim_set: false,
            limits: None,
            reading: None,
        }
    }

    /// Returns a number in coherent SI as a quantity like this size.
    #[must_use]
    pub const fn like(&self, si: f64) -> Quantity {
        Quantity { si, ..self.value }
    }
}

impl Value {
    /// Returns the size that the value is, where it has faces of its own.
    #[must_use]
    pub fn size_faces(&self) -> Option<&Size> {
        match self {
            Self::Size(size) => Some(size),
            _ => None,
        }
    }

    /// Returns the value without the faces of a size: what a formula works with.
    #[must_use]
    pub fn plain(self) -> Self {
        match self {
            Self::Size(size) => Self::Quantity(size.value),
            other => other,
        }
    }

    /// Returns the value as the drawing gives it, the sizes within it too.
    #[must_use]
    pub fn drawn(&self) -> Self {
        let all = |items: &[Self]| items.iter().map(Self::drawn).collect::<Vec<_>>();
        match self {
            Self::Size(size) => Self::Quantity(size.drawn),
            other if !other.holds_sizes() => other.clone(),
            Self::List(items) => all(items).into(),
            Self::Record(record) => Record {
                fields: record
                    .fields
                    .iter()
                    .map(|(name, value)| (name.clone(), value.drawn()))
                    .collect(),
                ..(**record).clone()
            }
            .into(),
            Self::Table(table) => Table {
                columns: table.columns.clone(),
                rows: table.rows.iter().map(|row| all(row)).collect(),
                choices: table.choices,
            }
            .into(),
            other => other.clone(),
        }
    }

    /// Returns the value with what the drawing gives beside it, where that differs.
    #[must_use]
    pub fn with_drawn(self, drawn: &Self) -> Self {
        match (self, drawn) {
            (Self::Quantity(value), drawn) => match drawn.quantity() {
                Ok(drawn) if drawn != value && drawn.dimension == value.dimension => {
                    Self::Size(Arc::new(Size::drawn_as(value, drawn)))
                }
                _ => Self::Quantity(value),
            },
            (Self::List(items), Self::List(drawn)) if items.len() == drawn.len() => {
                if *items == **drawn {
                    return Self::List(items);
                }
                let paired = items.iter().cloned().zip(drawn.iter());
                let paired: Vec<Self> = paired.map(|(a, b)| a.with_drawn(b)).collect();
                paired.into()
            }
            (value, _) => value,
        }
    }

    /// Returns whether the value is a size with faces, or holds one.
    pub fn holds_sizes(&self) -> bool {
        match self {
            Self::Size(_) => true,
            Self::List(items) => items.iter().any(Self::holds_sizes),
            Self::Record(record) => record.fields.iter().any(|(_, v)| v.holds_sizes()),
            Self::Table(table) => table.rows.iter().flatten().any(Self::holds_sizes),
            _ => false,
        }
    }
}
