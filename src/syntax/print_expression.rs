//! Expressions back to text, in a form that parses to the same tree.

use std::fmt::Write;

use super::{Binding, Expression, Formula, Kind, Number, Operator, Range, Rows, Tolerance};
use crate::quantity::{Style, Unit};

/// Returns an expression as text.
#[must_use]
pub fn print_expression(expression: &Expression) -> String {
    let mut out = String::new();
    write_expression(&mut out, expression);
    out
}

/// Returns `from … to … by …`.
pub fn print_steps([from, to, by]: &[Expression; 3]) -> String {
    format!(
        "from {} to {} by {}",
        print_expression(from),
        print_expression(to),
        print_expression(by)
    )
}

/// Returns a `find` as text.
pub fn print_find(find: &super::Find) -> String {
    let [low, high, left, right] =
        [&find.low, &find.high, &find.left, &find.right].map(print_expression);
    format!(
        "find {} between {low} and {high} so that {left} = {right}",
        find.name.text
    )
}

/// Returns the values of a range as text.
pub fn print_range(range: &Range) -> String {
    match range {
        Range::List(values) => format!("over {}", joined(values)),
        Range::Steps(steps) => print_steps(steps),
    }
}

fn write_rows(out: &mut String, rows: &Rows) {
    let _ = write!(
        out,
        "rows for {} {}",
        rows.name.text,
        print_range(&rows.range)
    );
    write_bindings(out, "starting", &rows.starting);
    write_bindings(out, "with", &rows.columns);
    if let Some(condition) = &rows.unless {
        let _ = write!(out, " unless {}", print_expression(condition));
    }
}

fn write_bindings(out: &mut String, word: &str, bindings: &[Binding]) {
    for (index, binding) in bindings.iter().enumerate() {
        let _ = match index {
            0 => write!(out, " {word} "),
            _ => write!(out, ", "),
        };
        let value = print_expression(&binding.value);
        let _ = write!(out, "{} = {value}", binding.name.text);
    }
}

/// Returns values, joined by commas.
pub fn joined(values: &[Expression]) -> String {
    values
        .iter()
        .map(print_expression)
        .collect::<Vec<_>>()
        .join(", ")
}

/// Returns a formula with its `where` clause as text.
pub fn print_formula(formula: &Formula) -> String {
    let mut out = print_expression(&formula.expression);
    write_bindings(&mut out, "where", &formula.bindings);
    out
}

fn write_number(out: &mut String, number: Number, unit: Unit) {
    let _ = match number {
        Number::Decimal(value) => write!(out, "{value}"),
        Number::Fraction(0, above, below) => write!(out, "{above}/{below}"),
        Number::Fraction(whole, above, below) => write!(out, "{whole} {above}/{below}"),
        Number::Degrees(degrees, minutes, seconds) => {
            let _ = write!(out, "{degrees}°{minutes}'{seconds}\"");
            return;
        }
    };
    let symbol = unit.symbol();
    if !symbol.is_empty() {
        let _ = write!(out, " {symbol}");
    }
}

/// Writes an expression.
pub fn write_expression(out: &mut String, expression: &Expression) {
    match &expression.kind {
        Kind::Quantity(number, unit) => write_number(out, *number, *unit),
        Kind::Text(text) => {
            let _ = write!(
                out,
                "\"{}\"",
                text.replace('\\', "\\\\").replace('"', "\\\"")
            );
        }
        Kind::Name(name) => out.push_str(name),
        Kind::List(items, unit) => {
            let _ = write!(out, "[{}]", joined(items));
            if let Some(unit) = unit {
                let _ = write!(out, " {}", unit.symbol());
            }
        }
        Kind::Negate(value) => {
            out.push('-');
            write_expression(out, value);
        }
        Kind::Not(value) => {
            out.push_str("not ");
            write_expression(out, value);
        }
        Kind::Chain(first, links) => {
            write_expression(out, first);
            for (operator, value) in links {
                let _ = write!(out, " {} ", operator.symbol());
                if matches!(operator, Operator::Over | Operator::Power) && is_fraction(value) {
                    // `1 / 1/2 in` can be read in two ways; behind a sign it can't.
                    out.push('+');
                }
                write_expression(out, value);
            }
        }
        Kind::If(parts) => {
            let [condition, yes, no] = &**parts;
            let words = ["if ", " then ", " else "];
            for (word, part) in words.iter().zip([condition, yes, no]) {
                out.push_str(word);
                write_expression(out, part);
            }
        }
        Kind::Call(name, arguments) => {
            let _ = write!(out, "{}(", name.text);
            write_arguments(out, arguments);
            out.push(')');
        }
        Kind::Field(value, name) => {
            write_expression(out, value);
            let _ = write!(out, ".{}", name.text);
        }
        Kind::Index(parts) => {
            let [value, index] = &**parts;
            write_expression(out, value);
            let _ = write!(out, "[{}]", print_expression(index));
        }
        Kind::As(value, unit) => {
            write_expression(out, value);
            let symbol = &unit.symbol();
            let _ = write!(
                out,
                " as {}",
                if symbol.is_empty() { "mm/mm" } else { symbol }
            );
        }
        Kind::Styled(value, style) => {
            write_expression(out, value);
            let _ = match style {
                Style::Fraction(denominator) => write!(out, " as fraction 1/{denominator}"),
                Style::Coordinate => write!(out, " as readout"),
                _ => write!(out, " as dms"),
            };
        }
        Kind::Group(value) => {
            let _ = write!(out, "({})", print_expression(value));
        }
        Kind::Size(value, tolerance) => {
            write_expression(out, value);
            out.push(' ');
            write_tolerance(out, tolerance, value.kind.is_angle());
        }
        Kind::Find(find) => out.push_str(&print_find(find)),
        Kind::Rows(rows) => write_rows(out, rows),
    }
}

/// Returns whether an expression begins with a fraction in front of a unit.
fn is_fraction(expression: &Expression) -> bool {
    let first = &expression.leftmost().kind;
    matches!(first, Kind::Quantity(Number::Fraction(..), _))
}

/// Writes a tolerance. Only behind an angle a lone `"` means seconds of arc.
fn write_tolerance(out: &mut String, tolerance: &Tolerance, behind_angle: bool) {
    let symbol =
        |unit: &Option<Unit>| unit.map_or(String::new(), |unit| format!(" {}", unit.symbol()));
    let _ = match tolerance {
        Tolerance::Class(class) => write!(out, "{class}"),
        Tolerance::PlusMinus(number, unit) => {
            out.push('±');
            match *number {
                // Seconds by themselves may be more than 59.
                Number::Degrees(0.0, minutes, seconds) => {
                    if minutes != 0.0 || !behind_angle {
                        let _ = write!(out, "{minutes}'");
                    }
                    if seconds != 0.0 || minutes == 0.0 {
                        let _ = write!(out, "{seconds}\"");
                    }
                }
                number => write_number(out, number, unit.unwrap_or(Unit::NONE)),
            }
            Ok(())
        }
        Tolerance::Deviations((a, unit_a), (b, unit_b)) => {
            // One of them has a sign.
            let signed = |value: f64, sign: &str| match (*a == 0.0 && *b == 0.0, value == 0.0) {
                (true, _) => format!("{sign}0"),
                (_, true) => "0".to_owned(),
                _ => format!("{value:+}"),
            };
            write!(
                out,
                "({}{}/{}{})",
                signed(*a, "+"),
                symbol(unit_a),
                signed(*b, "-"),
                symbol(unit_b)
            )
        }
    };
}

/// Writes the arguments of a call.
pub fn write_arguments(out: &mut String, arguments: &[super::Argument]) {
    for (index, argument) in arguments.iter().enumerate() {
        out.push_str(if index == 0 { "" } else { ", " });
        if let Some(name) = &argument.name {
            let _ = write!(out, "{}: ", name.text);
        }
        write_expression(out, &argument.value);
    }
}
