//! The arguments of a native function, checked and in the order of its
//! parameters.

use std::cell::RefCell;
use std::sync::Arc;

use super::Value;
use super::shape::Shape;
use crate::diagnostic::Fault;
use crate::quantity::Quantity;

/// A native function: checked arguments in, a value or what is wrong out.
pub type NativeCode = fn(&Arguments) -> Result<Value, Fault>;

/// The native functions of one topic by their names.
pub type Topic = &'static [(&'static str, NativeCode)];

/// The arguments of a native function, one a parameter, each as its contract
/// says; [`Value::None`] for what was left out.
#[derive(Debug, Default)]
pub struct Arguments {
    /// The values.
    pub values: Vec<Value>,
    /// What the function gives.
    pub gives: Arc<Shape>,
    /// What the user should look at though there is a value.
    pub warnings: RefCell<Vec<String>>,
}

impl Arguments {
    /// Says something that the user should look at.
    pub fn warn(&self, message: impl Into<String>) {
        self.warnings.borrow_mut().push(message.into());
    }

    /// Returns the value of parameter `index`, or nothing.
    #[must_use]
    pub fn value(&self, index: usize) -> &Value {
        self.values.get(index).unwrap_or(&Value::None)
    }

    /// Returns the quantity of parameter `index`; not a number where it is none.
    #[must_use]
    pub fn quantity(&self, index: usize) -> Quantity {
        match self.value(index) {
            Value::Quantity(value) => *value,
            Value::Size(size) => size.value,
            _ => Quantity::number(f64::NAN),
        }
    }

    /// Returns a parameter as a uom type (its contract makes sure of the dimension).
    #[must_use]
    pub fn get<T: From<Quantity>>(&self, index: usize) -> T {
        self.quantity(index).into()
    }

    /// Returns a parameter as a uom type, where it was given.
    #[must_use]
    pub fn optional<T: From<Quantity>>(&self, index: usize) -> Option<T> {
        match self.value(index) {
            Value::Quantity(value) => Some((*value).into()),
            _ => None,
        }
    }

    /// Returns a plain number.
    #[must_use]
    pub fn number(&self, index: usize) -> f64 {
        self.quantity(index).si
    }

    /// Returns a plain number, where it was given.
    #[must_use]
    pub fn optional_number(&self, index: usize) -> Option<f64> {
        match self.value(index) {
            Value::Quantity(value) => Some(value.si),
            _ => None,
        }
    }

    /// Returns a whole number from 0; the largest where it is too large.
    #[must_use]
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // as saturates
    pub fn count(&self, index: usize) -> u32 {
        self.number(index).round() as u32
    }

    /// Returns a list of whole numbers from 0; the largest where one is too large.
    #[must_use]
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // as saturates
    pub fn counts(&self, index: usize) -> Vec<u32> {
        let quantities = self
            .list(index)
            .iter()
            .filter_map(|value| value.quantity().ok());
        quantities.map(|value| value.si.round() as u32).collect()
    }

    /// Returns an argument as text; empty where it is none.
    #[must_use]
    pub fn text(&self, index: usize) -> Arc<str> {
        match self.value(index) {
            Value::Text(text) => text.clone(),
            _ => "".into(),
        }
    }

    /// Returns a list; empty where it is none.
    #[must_use]
    pub fn list(&self, index: usize) -> &[Value] {
        match self.value(index) {
            Value::List(items) => items,
            _ => &[],
        }
    }

    /// Returns a list of uom values.
    #[must_use]
    pub fn list_of<T: From<Quantity>>(&self, index: usize) -> Vec<T> {
        let quantities = self
            .list(index)
            .iter()
            .filter_map(|value| value.quantity().ok());
        quantities.map(T::from).collect()
    }
}
