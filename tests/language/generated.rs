//! Statements, expressions and notebooks at random, with proptest.

use proptest::prelude::*;
use setover::internals::diagnostic::Span;
use setover::internals::quantity::{Style, System, Unit, parse_unit};
use setover::internals::syntax::{
    Argument, Binding, Column, Expression, Find, Formula, Kind, Name, Number, OpEach, OpPart,
    Operator, Parameter, Range, Row, Rows, StatementKind, Tolerance, VaryRange,
};

/// Names: plain ones, words of statements, units.
const NAMES: &[&str] = &[
    "a", "bore", "wall_2", "x1", "größe", "check", "table", "op", "use", "title", "find_it", "mm",
    "m", "rpm", "if_so", "android", "nota", "fraction", "dms", "H7", "_x", "rows", "for", "before",
];

const UNITS: &[&str] = &[
    "mm", "in", "thou", "um", "m", "deg", "rad", "rpm", "mm/rev", "m/min", "N*mm", "kg/m^3", "K",
    "K^-1", "%", "lbf/in^2", "mm^2", "um/m/K", "MPa", "degC",
];

fn at<T>(kind: T) -> (T, Span) {
    (kind, Span::default())
}

fn expression_of(kind: Kind) -> Expression {
    let (kind, span) = at(kind);
    Expression { kind, span }
}

pub fn name() -> impl Strategy<Value = Name> {
    prop::sample::select(NAMES).prop_map(|text| Name {
        text: text.into(),
        span: Span::default(),
    })
}

fn unit() -> impl Strategy<Value = Unit> {
    prop::sample::select(UNITS).prop_map(|text| parse_unit(text).expect("a unit"))
}

/// A number that a user might write: no sign, which is an operator.
fn decimal() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => (0_u32..100_000).prop_map(|n| f64::from(n) / 1000.0),
        2 => (0_u32..1000).prop_map(f64::from),
        1 => prop::num::f64::POSITIVE.prop_filter("finite", |n| n.is_finite()),
    ]
}

fn literal() -> impl Strategy<Value = Kind> {
    let fraction = (
        0_u32..5,
        1_u32..64,
        1_u32..65,
        prop::sample::select(vec!["in", "mm", "ft"]),
    )
        .prop_map(|(whole, above, below, unit)| {
            Kind::Quantity(
                Number::Fraction(whole, above, below),
                parse_unit(unit).expect("a unit"),
            )
        });
    let degrees = (0_u32..360, 0_u32..60, 0_u32..60_000).prop_map(|(d, m, s)| {
        let number = Number::Degrees(f64::from(d), f64::from(m), f64::from(s) / 1000.0);
        Kind::Quantity(number, parse_unit("deg").expect("a unit"))
    });
    prop_oneof![
        3 => decimal().prop_map(|n| Kind::Quantity(Number::Decimal(n), Unit::NONE)),
        3 => (decimal(), unit()).prop_map(|(n, unit)| Kind::Quantity(Number::Decimal(n), unit)),
        1 => fraction,
        1 => degrees,
    ]
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        prop::sample::select(vec![
            "M8x1",
            "1/4-20 UNC",
            "#7",
            "",
            "say \"hi\"",
            "a \\ b",
            "\\\\\"",
            "half (of",
            "} {",
            "# no remark",
            "a | b",
            "ends in \\"
        ])
        .prop_map(str::to_owned),
        "[ -~°±µ]{0,12}",
    ]
}

fn tolerance() -> impl Strategy<Value = Tolerance> {
    let maybe_unit = || {
        prop::option::of(
            prop::sample::select(vec!["mm", "um", "in"])
                .prop_map(|unit| parse_unit(unit).expect("a unit")),
        )
    };
    let deviation = move || {
        (
            (-500_i32..500).prop_map(|n| f64::from(n) / 1000.0),
            maybe_unit(),
        )
    };
    prop_oneof![
        prop::sample::select(vec!["H7", "g6", "js12"])
            .prop_map(|class| Tolerance::Class(class.into())),
        (decimal(), maybe_unit())
            .prop_map(|(n, unit)| Tolerance::PlusMinus(Number::Decimal(n), unit)),
        (deviation(), deviation()).prop_map(|(a, b)| Tolerance::Deviations(a, b)),
    ]
}

/// A size with its tolerance; a class needs a unit or a name before it.
fn size() -> impl Strategy<Value = Kind> {
    let value = prop_oneof![literal(), name().prop_map(|name| Kind::Name(name.text))];
    (value, tolerance()).prop_map(|(value, tolerance)| {
        let bare = matches!(&value, Kind::Quantity(_, unit) if *unit == Unit::NONE);
        if bare && matches!(tolerance, Tolerance::Class(_)) {
            return value;
        }
        Kind::Size(Box::new(expression_of(value)), tolerance)
    })
}

fn group(value: Expression) -> Expression {
    match &value.kind {
        // A fraction would join what stands before it.
        Kind::Quantity(Number::Fraction(..), _) => expression_of(Kind::Group(Box::new(value))),
        // What stands by itself needs no brackets.
        Kind::Quantity(..)
        | Kind::Text(_)
        | Kind::Name(_)
        | Kind::List(..)
        | Kind::Call(..)
        | Kind::Group(_) => value,
        _ => expression_of(Kind::Group(Box::new(value))),
    }
}

/// An expression in the shape in which the parser makes it: brackets where the
/// strength of the operators asks for them.
pub fn expression() -> impl Strategy<Value = Expression> {
    let leaf = prop_oneof![
        3 => literal(),
        3 => name().prop_map(|name| Kind::Name(name.text)),
        1 => text().prop_map(|text| Kind::Text(text.into())),
        1 => size(),
    ]
    .prop_map(expression_of);
    leaf.prop_recursive(5, 40, 4, |inner| {
        let chain = |operators: &'static [Operator]| {
            let inner = inner.clone();
            (
                inner.clone(),
                prop::collection::vec((prop::sample::select(operators), inner), 1..4),
            )
                .prop_map(|(first, links)| {
                    let links = links
                        .into_iter()
                        .map(|(operator, value)| (operator, group(value)))
                        .collect();
                    Kind::Chain(Box::new(group(first)), links)
                })
        };
        let power = (inner.clone(), inner.clone())
            .prop_map(|(a, b)| Kind::Chain(Box::new(group(a)), vec![(Operator::Power, group(b))]));
        let arguments = prop::collection::vec((prop::option::of(name()), inner.clone()), 0..4)
            .prop_map(|given| {
                given
                    .into_iter()
                    .map(|(name, value)| Argument { name, value })
                    .collect::<Vec<_>>()
            });
        prop_oneof![
            chain(&[Operator::Plus, Operator::Minus]),
            chain(&[Operator::Times, Operator::Over]),
            chain(&[
                Operator::Less,
                Operator::AtMost,
                Operator::Equal,
                Operator::Unequal,
                Operator::More,
                Operator::AtLeast
            ]),
            chain(&[Operator::And]),
            chain(&[Operator::Or]),
            power,
            inner
                .clone()
                .prop_map(|value| Kind::Negate(Box::new(group(value)))),
            inner
                .clone()
                .prop_map(|value| Kind::Not(Box::new(group(value)))),
            inner.clone().prop_map(|value| Kind::Group(Box::new(value))),
            (name(), arguments).prop_map(|(name, arguments)| Kind::Call(name, arguments)),
            (
                prop::collection::vec(inner.clone(), 0..4),
                prop::option::of(unit())
            )
                .prop_map(|(items, unit)| Kind::List(items, unit)),
            (inner.clone(), inner.clone(), inner.clone())
                .prop_map(|(a, b, c)| Kind::If(Box::new([a, b, c].map(group)))),
            (inner.clone(), name())
                .prop_map(|(value, name)| Kind::Field(Box::new(group(value)), name)),
            (inner.clone(), inner.clone())
                .prop_map(|(value, place)| Kind::Index(Box::new([group(value), place]))),
            (inner.clone(), unit())
                .prop_map(|(value, unit)| Kind::As(Box::new(group(value)), unit)),
            (
                inner.clone(),
                prop_oneof![
                    Just(Style::DegreesMinutesSeconds),
                    (1_u16..=64).prop_map(Style::Fraction)
                ]
            )
                .prop_map(|(value, style)| Kind::Styled(Box::new(group(value)), style)),
            rule(inner.clone()),
            (name(), inner.clone(), inner.clone(), inner.clone(), inner).prop_map(
                |(name, low, high, left, right)| {
                    let [low, high, left, right] = [low, high, left, right].map(group);
                    Kind::Group(Box::new(expression_of(Kind::Find(Box::new(Find {
                        name,
                        low,
                        high,
                        left,
                        right,
                    })))))
                }
            ),
        ]
        .prop_map(expression_of)
    })
}

/// A table by a rule, in brackets.
fn rule(inner: impl Strategy<Value = Expression> + Clone + 'static) -> impl Strategy<Value = Kind> {
    let bindings = |least: usize| {
        let binding = (name(), inner.clone().prop_map(group));
        let binding = binding.prop_map(|(name, value)| Binding { name, value });
        prop::collection::vec(binding, least..3)
    };
    let unless = prop::option::of(inner.clone().prop_map(group));
    let range = range(inner.clone());
    (name(), range, bindings(0), bindings(0), unless).prop_map(
        |(name, range, starting, columns, unless)| {
            let rows = Rows {
                name,
                range,
                starting,
                columns,
                unless,
            };
            Kind::Group(Box::new(expression_of(Kind::Rows(Box::new(rows)))))
        },
    )
}

/// The values of a counter or of a varied cell.
fn range(
    inner: impl Strategy<Value = Expression> + Clone + 'static,
) -> impl Strategy<Value = Range> {
    let list = prop::collection::vec(inner.clone().prop_map(group), 1..3);
    prop_oneof![
        list.prop_map(Range::List),
        (inner.clone(), inner.clone(), inner)
            .prop_map(|(a, b, c)| Range::Steps(Box::new([a, b, c].map(group)))),
    ]
}

fn formula() -> impl Strategy<Value = Formula> {
    let binding = (name(), expression()).prop_map(|(name, value)| Binding { name, value });
    (expression(), prop::collection::vec(binding, 0..3)).prop_map(|(expression, bindings)| {
        Formula {
            expression,
            bindings,
        }
    })
}

fn words() -> impl Strategy<Value = String> {
    "[a-zA-Z{}\"'°±#0-9]([a-zA-Z0-9 ,.{}\"'°±()-]{0,20}[a-zA-Z0-9.{}])?".prop_filter(
        "no remark",
        |text| {
            !text.contains('#')
                || text
                    .find('#')
                    .is_some_and(|at| text.as_bytes().get(at + 1).is_some_and(u8::is_ascii_digit))
        },
    )
}

/// A statement.
pub fn statement() -> impl Strategy<Value = StatementKind> {
    let parameter = || {
        (name(), prop::option::of(expression()))
            .prop_map(|(name, default)| Parameter { name, default })
    };
    let find = (
        name(),
        expression(),
        expression(),
        expression(),
        expression(),
    )
        .prop_map(|(name, low, high, left, right)| {
            let [low, high, left, right] = [low, high, left, right].map(group);
            StatementKind::Find(Find {
                name,
                low,
                high,
                left,
                right,
            })
        });
    let range = || {
        (
            prop::collection::vec(name(), 1..3),
            range(expression().boxed()),
        )
            .prop_map(|(path, range)| VaryRange { path, range })
    };
    let table = (1_usize..4).prop_flat_map(|width| {
        let column = prop::option::of(expression());
        let columns = prop::collection::vec(column, width).prop_map(|formulas| {
            let named = formulas.into_iter().enumerate();
            named
                .map(|(index, formula)| Column {
                    name: Name {
                        text: format!("c{index}").into(),
                        span: Span::default(),
                    },
                    formula,
                })
                .collect::<Vec<_>>()
        });
        let rows = prop::collection::vec(
            prop::collection::vec(prop::option::of(expression()), width),
            0..3,
        );
        (name(), columns, rows).prop_map(|(name, columns, rows)| {
            let rows = rows.into_iter().map(|mut cells| {
                for (cell, column) in cells.iter_mut().zip(&columns) {
                    if column.formula.is_some() {
                        *cell = None;
                    }
                }
                Row { cells }
            });
            let rows = rows.collect();
            StatementKind::Table(name, columns, rows)
        })
    });
    let parts = || {
        let rest = prop::collection::vec((expression(), words()), 0..3);
        (words(), rest).prop_map(|(first, rest)| {
            let mut parts = vec![OpPart::Text(first)];
            for (value, text) in rest {
                parts.extend([OpPart::Value(value), OpPart::Text(text)]);
            }
            parts
        })
    };
    let each = prop_oneof![Just(Vec::new()), parts()];
    // In the words of an op quotes mean nothing, so what it goes over has none.
    let over = (name(), prop::option::of(name())).prop_map(|(table, column)| {
        let table = expression_of(Kind::Name(table.text));
        match column {
            Some(column) => expression_of(Kind::Field(Box::new(table), column)),
            None => table,
        }
    });
    let each = (name(), over, each)
        .prop_map(|(name, over, parts)| StatementKind::OpEach(OpEach { name, over, parts }));
    prop_oneof![
        words().prop_map(StatementKind::Title),
        prop_oneof![
            Just(vec![System::Metric]),
            Just(vec![System::Inch]),
            Just(vec![System::Inch, System::Metric])
        ]
        .prop_map(StatementKind::Lengths),
        Just(StatementKind::Angles(Style::DegreesMinutesSeconds)),
        literal().prop_map(|kind| StatementKind::Readout(expression_of(kind))),
        (name(), name()).prop_map(|(file, alias)| StatementKind::Use { file, alias }),
        "[a-zA-Z][a-zA-Z0-9 ,.-]{0,10}[a-z]".prop_map(StatementKind::Section),
        (name(), formula()).prop_map(|(name, formula)| StatementKind::Cell(name, formula)),
        (name(), prop::collection::vec(parameter(), 0..3), formula()).prop_map(
            |(name, parameters, formula)| StatementKind::Function(name, parameters, formula)
        ),
        (name(), expression()).prop_map(|(name, value)| StatementKind::Measured(name, value)),
        expression().prop_map(StatementKind::Check),
        parts().prop_map(StatementKind::Op),
        each,
        (
            prop::option::of(name()),
            prop::collection::vec(range(), 1..3),
            prop::collection::vec(expression(), 1..3)
        )
            .prop_map(|(name, ranges, shown)| StatementKind::Vary(name, ranges, shown)),
        table,
        find,
    ]
}
