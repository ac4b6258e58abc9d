//! What an argument may be, as the documentation of a function says it:
//! `length > 0 mm`, `"outside" or "inside"`, `list of rotation`.

mod read;

pub(super) use read::unquoted;

use std::cmp::Ordering;

use super::Value;
use crate::diagnostic::{Fault, did_you_mean};
use crate::quantity::{Dimension, Quantity};

/// One kind of value.
#[derive(Clone, Debug, PartialEq)]
pub enum KindWord {
    /// A quantity of a dimension, with the word it was written with.
    Measure(Dimension, String),
    /// A quantity of any dimension.
    Quantity,
    /// A whole number.
    Whole,
    /// A temperature counted from another zero.
    Temperature,
    /// One of these texts.
    OneOf(Vec<String>),
    /// Any text.
    Text,
    /// True or false.
    Truth,
    /// A list, every value of a kind.
    List(Box<KindWord>),
    /// A table.
    Table,
    /// A record.
    Record,
    /// A record with a least and a greatest size; a cell with limits stands for one.
    Limits,
    /// Nothing.
    None,
    /// Anything.
    Any,
}

/// What an argument may be: one of some kinds, within bounds.
#[derive(Clone, Debug, PartialEq)]
pub struct Contract {
    /// The kinds; one must fit.
    pub kinds: Vec<KindWord>,
    /// The bounds; all must hold for a quantity (and for each of a list).
    pub bounds: Vec<(Ordering, bool, Quantity)>,
    /// Whether the argument takes all arguments that are left.
    pub several: bool,
    /// Whether the argument wants the figure of the drawing: limits and readings
    /// neither move it nor make it step.
    pub drawn: bool,
    /// The contract as written.
    pub text: String,
}

impl Contract {
    /// Returns a contract that allows anything.
    #[must_use]
    pub fn any() -> Self {
        Self {
            kinds: vec![KindWord::Any],
            bounds: Vec::new(),
            several: false,
            drawn: false,
            text: "any".to_owned(),
        }
    }

    /// Checks a value and gives it back as the function wants it: a stray radian
    /// dropped, a whole number made whole. An argument that takes several is a list,
    /// each of which is checked.
    ///
    /// # Errors
    /// What the argument must be, what is allowed, and what it is.
    #[inline]
    pub fn check(&self, name: &str, value: Value) -> Result<Value, Fault> {
        if self.several
            && let Value::List(items) = &value
        {
            let checked = items.iter().map(|item| self.one(name, item.clone()));
            return checked.collect::<Result<Vec<_>, _>>().map(Value::from);
        }
        self.one(name, value)
    }

    /// Returns whether the argument takes a single value and no list, so that a list given for
    /// it calls the function value by value.
    #[must_use]
    pub fn takes_one(&self) -> bool {
        let many =
            |kind: &KindWord| matches!(kind, KindWord::List(_) | KindWord::Table | KindWord::Any);
        !self.several && !self.kinds.iter().any(many)
    }

    /// Returns whether a cell given for this argument brings its limits along.
    #[must_use]
    pub fn wants_limits(&self) -> bool {
        self.kinds.contains(&KindWord::Limits)
    }

    /// Returns what a quantity becomes as this argument, whatever its size; nothing where that
    /// depends on the size, or it does not fit. Its bounds are not looked at.
    #[must_use]
    pub fn shape(&self, value: Quantity) -> Option<Quantity> {
        for kind in &self.kinds {
            if *kind == KindWord::Whole && value.dimension == Dimension::NONE {
                return None;
            }
            if let Some(Value::Quantity(fitted)) = fit(kind, &Value::Quantity(value)) {
                return Some(fitted);
            }
        }
        None
    }

    /// Returns whether it wants a number, so that a record counts as the one it stands for.
    pub fn wants_number(&self) -> bool {
        let number = |kind: &KindWord| {
            matches!(
                kind,
                KindWord::Measure(..) | KindWord::Whole | KindWord::Quantity
            )
        };
        self.kinds.iter().all(number)
    }

    #[inline]
    fn one(&self, name: &str, value: Value) -> Result<Value, Fault> {
        // A size stands for its value, or for its limits where those are wanted; what
        // takes anything takes it as it is.
        let value = match value {
            Value::Size(size) if self.wants_limits() => limits_record(&size),
            Value::Size(_) if self.kinds.contains(&KindWord::Any) => return Ok(value),
            other => other.plain(),
        };
        if let (Value::Quantity(quantity), [KindWord::Measure(dimension, _)]) =
            (&value, self.kinds.as_slice())
            && quantity.dimension == *dimension
            && !quantity.unit.from_another_zero()
        {
            self.within(name, *quantity)?;
            return Ok(value);
        }
        for kind in &self.kinds {
            if let Some(fitted) = fit(kind, &value) {
                match &fitted {
                    Value::Quantity(quantity) => self.within(name, *quantity)?,
                    Value::List(items) => {
                        for item in items.iter() {
                            if let Value::Quantity(quantity) = item {
                                self.within(name, *quantity)?;
                            }
                        }
                    }
                    _ => {}
                }
                return Ok(fitted);
            }
        }
        Err(self.misfit(name, &value))
    }

    fn within(&self, name: &str, value: Quantity) -> Result<(), Fault> {
        if !value.si.is_finite() {
            return Err(Fault::new(format!("`{name}` is not a number")));
        }
        for (order, or_equal, bound) in &self.bounds {
            let bound = beside(*bound, value);
            let found = value.order(bound)?;
            if found != *order && !(*or_equal && found == Ordering::Equal) {
                let word = match (order, or_equal) {
                    (Ordering::Greater, false) => "more than",
                    (Ordering::Greater, true) => "at least",
                    (_, false) => "less than",
                    (_, true) => "at most",
                };
                let bound = bound.shown_in(value.unit).unwrap_or(bound);
                return Err(Fault::new(format!(
                    "`{name}` must be {word} {bound}; it is {value}"
                )));
            }
        }
        Ok(())
    }

    /// Returns the unit for a list of plain numbers where quantities are wanted.
    fn unit_forgotten(&self, items: &[Value]) -> Option<String> {
        let dimension = self.kinds.iter().find_map(|kind| match kind {
            KindWord::List(kind) => match **kind {
                KindWord::Measure(dimension, _) if dimension != Dimension::NONE => Some(dimension),
                _ => None,
            },
            _ => None,
        })?;
        let plain =
            |item: &Value| matches!(item, Value::Quantity(q) if q.dimension == Dimension::NONE);
        if items.is_empty() || !items.iter().all(plain) {
            return None;
        }
        let unit = crate::quantity::default_unit(dimension, crate::quantity::System::Metric);
        let list = Value::from(items.iter().take(3).cloned().collect::<Vec<_>>());
        let more = if items.len() > 3 { ", …" } else { "" };
        Some(format!(
            "give the list its unit, such as `[{list}{more}] {}`",
            unit.symbol()
        ))
    }

    fn misfit(&self, name: &str, value: &Value) -> Fault {
        let wanted: Vec<String> = self.kinds.iter().map(KindWord::words).collect();
        let wanted = match wanted.split_last() {
            Some((last, first)) if !first.is_empty() => format!("{} or {last}", first.join(", ")),
            Some((last, _)) => last.clone(),
            None => "anything".to_owned(),
        };
        let fault = Fault::new(format!(
            "`{name}` must be {wanted}; it is {}",
            value.described()
        ));
        let advice = match (value, self.kinds.first()) {
            (Value::Text(text), Some(KindWord::OneOf(texts))) => {
                did_you_mean(text, texts.iter().map(String::as_str))
            }
            (Value::Quantity(q), Some(KindWord::Measure(dimension, _)))
                if q.dimension == Dimension::NONE =>
            {
                let unit =
                    crate::quantity::default_unit(*dimension, crate::quantity::System::Metric);
                let number = crate::quantity::plain(q.si);
                Some(format!(
                    "give the number its unit, such as `{number} {}`",
                    unit.symbol()
                ))
            }
            (Value::Quantity(_), Some(KindWord::Text | KindWord::OneOf(_))) => {
                Some("put a designation in quotes, such as `\"M8\"`".to_owned())
            }
            (Value::List(items), _) => self.unit_forgotten(items),
            (Value::Quantity(q), Some(KindWord::Temperature)) if q.dimension.temperature == 1 => {
                Some("write a temperature in degC".to_owned())
            }
            _ => None,
        };
        match advice {
            Some(advice) => fault.advise(advice),
            None => fault,
        }
    }
}

/// Returns a bound as it is held against a value: one without a unit is 0, which needs none.
#[must_use]
pub fn beside(bound: Quantity, value: Quantity) -> Quantity {
    if bound.dimension == Dimension::NONE {
        Quantity {
            si: bound.si,
            ..value
        }
    } else {
        bound
    }
}

impl KindWord {
    /// Returns the kind in words, with its article.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Measure(dimension, word) => match word.as_str() {
                "rise" => "a difference of temperature".to_owned(),
                "rotation" => "a rotation, such as 400 rpm".to_owned(),
                _ => dimension.words(),
            },
            Self::Quantity => "a number, with or without a unit".to_owned(),
            Self::Whole => "a whole number".to_owned(),
            Self::Temperature => "a temperature, such as 20 degC".to_owned(),
            Self::OneOf(texts) => texts
                .iter()
                .map(|text| format!("\"{text}\""))
                .collect::<Vec<_>>()
                .join(" or "),
            Self::Text => "text in quotes".to_owned(),
            Self::Truth => "true or false".to_owned(),
            Self::List(kind) => format!("a list, each {}", kind.words()),
            Self::Table => "a table".to_owned(),
            Self::Record => "a record".to_owned(),
            Self::Limits => "limits with `min` and `max`".to_owned(),
            Self::None => "none".to_owned(),
            Self::Any => "anything".to_owned(),
        }
    }
}

/// Returns the limits of a size as a record that stands for its value; a measured size is its
/// reading alone.
fn limits_record(size: &super::Size) -> Value {
    match (&size.limits, size.reading) {
        (Some(limits), None) => {
            let ends = [("min", limits.low), ("max", limits.high)];
            let record = super::Record::new(ends.map(|(name, si)| (name, size.like(si))));
            record.with_scalar_value(size.value).into()
        }
        _ => size.value.into(),
    }
}

/// Returns the value as the kind wants it, or nothing.
fn fit(kind: &KindWord, value: &Value) -> Option<Value> {
    if let Value::Size(size) = value {
        return match kind {
            KindWord::Any => Some(value.clone()),
            _ => fit(kind, &Value::Quantity(size.value)),
        };
    }
    if let (KindWord::Measure(..) | KindWord::Whole | KindWord::Quantity, Value::Record(record)) =
        (kind, value)
    {
        return record
            .scalar_value
            .and_then(|lead| fit(kind, &Value::Quantity(lead)));
    }
    match (kind, value) {
        (KindWord::Measure(dimension, _), Value::Quantity(q)) => {
            let fits = q.dimension.agrees(*dimension) && !q.unit.from_another_zero();
            fits.then_some(Value::Quantity(Quantity {
                dimension: *dimension,
                ..*q
            }))
        }
        (KindWord::Whole, Value::Quantity(q)) => {
            let near = q.dimension == Dimension::NONE
                && (q.si - q.si.round()).abs() < 1e-9
                && q.si.abs() < 1e15;
            near.then_some(Value::Quantity(Quantity {
                si: q.si.round(),
                ..*q
            }))
        }
        (KindWord::Temperature, Value::Quantity(q)) => {
            q.unit.from_another_zero().then_some(value.clone())
        }
        (KindWord::OneOf(texts), Value::Text(text)) => {
            texts.iter().any(|t| **t == **text).then_some(value.clone())
        }
        (KindWord::Limits, Value::Record(record)) => {
            let both = record.get("min").is_some() && record.get("max").is_some();
            both.then_some(value.clone())
        }
        (KindWord::List(kind), Value::List(items)) => {
            let fitted: Option<Vec<Value>> = items.iter().map(|item| fit(kind, item)).collect();
            fitted.map(Value::from)
        }
        (KindWord::Text, Value::Text(_))
        | (KindWord::Truth, Value::Truth(_))
        | (KindWord::Table, Value::Table(_))
        | (KindWord::Record, Value::Record(_))
        | (KindWord::None, Value::None)
        | (KindWord::Quantity, Value::Quantity(_))
        | (KindWord::Any, _) => Some(value.clone()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(number: f64, unit: &str) -> Value {
        Quantity::of(number, unit).unwrap().into()
    }

    #[track_caller]
    fn check(contract: &str, given: Value, expected: Result<(), &str>) {
        let found = Contract::read(contract).unwrap().check("size", given);
        assert_eq!(
            found.map(|_| ()).map_err(|fault| fault.message),
            expected.map_err(str::to_owned)
        );
    }

    #[test]
    fn kinds_and_bounds_are_said_in_words() {
        check("length > 0 mm", value(3.0, "mm"), Ok(()));
        check(
            "length > 0 mm",
            value(0.0, "in"),
            Err("`size` must be more than 0.0000 in; it is 0.0000 in"),
        );
        check(
            "length",
            Value::number(3.0),
            Err("`size` must be a length; it is 3 (a plain number)"),
        );
        check(
            "angle > 0 deg and < 90 deg",
            value(90.0, "deg"),
            Err("`size` must be less than 90.000 deg; it is 90.000 deg"),
        );
        check(
            "whole >= 3",
            Value::number(2.5),
            Err("`size` must be a whole number; it is 2.5 (a plain number)"),
        );
        check("\"outside\" or \"inside\"", "inside".into(), Ok(()));
        check("length or none", Value::None, Ok(()));
        check("quantity", value(3.0, "mm"), Ok(()));
        check(
            "quantity",
            "M8".into(),
            Err("`size` must be a number, with or without a unit; it is the text \"M8\""),
        );
        check(
            "several length",
            vec![value(3.0, "mm"), Value::number(2.0)].into(),
            Err("`size` must be a length; it is 2 (a plain number)"),
        );
        check("list of rotation", vec![value(400.0, "rpm")].into(), Ok(()));
        check("mm^3/min", value(1.0, "cm^3/min"), Ok(()));
        check(
            "temperature",
            value(20.0, "K"),
            Err("`size` must be a temperature, such as 20 degC; it is 20 K (a temperature)"),
        );
    }

    #[test]
    fn a_near_text_is_offered() {
        let fault = Contract::read("\"outside\" or \"inside\"")
            .unwrap()
            .check("side", "outsid".into())
            .unwrap_err();
        assert_eq!(fault.advice.as_deref(), Some("did you mean `outside`?"));
    }
}
