//! From pest's pairs to expressions.

use pest::iterators::Pair;

use super::build_literal::{literal_parts, tolerance, unit};
use super::build_operation::operation;
use super::depth::Deeper;
use super::rules::Rule;
use super::{Argument, Binding, Expression, Find, Formula, Kind, Name, Range, Rows, Tolerance};
use crate::diagnostic::{Diagnostic, Span};
use crate::quantity::{Style, Unit};

/// The most signs in a row, powers in a row, or fields and indexes in a row.
pub const ROW: usize = 64;

pub type Built<T> = Result<T, Diagnostic>;

/// Returns the span of a pair.
pub fn span_of(pair: &Pair<Rule>) -> Span {
    let span = pair.as_span();
    Span::new(span.start(), span.end())
}

/// Returns a name with its place.
pub fn name_of(pair: &Pair<Rule>) -> Name {
    Name {
        text: pair.as_str().into(),
        span: span_of(pair),
    }
}

/// Returns an error for a pair that the grammar can't have produced.
pub fn strange(span: Span) -> Diagnostic {
    Diagnostic::error("this can't be read", span)
}

/// Returns the first pair within one.
pub fn content(pair: Pair<'_, Rule>) -> Built<Pair<'_, Rule>> {
    let span = span_of(&pair);
    pair.into_inner().next().ok_or_else(|| strange(span))
}

/// Returns the pairs of a rule within one.
pub fn within(pair: Pair<'_, Rule>, rule: Rule) -> impl Iterator<Item = Pair<'_, Rule>> {
    let pairs = pair.into_inner();
    pairs.filter(move |pair| pair.as_rule() == rule)
}

/// Returns so many expressions as there must be.
fn exactly<const N: usize>(found: Vec<Expression>, span: Span) -> Built<[Expression; N]> {
    found.try_into().map_err(|_| strange(span))
}

/// Returns an expression with its `where` clause from the pairs of a cell's right side.
pub fn formula<'i>(pairs: impl Iterator<Item = Pair<'i, Rule>>, span: Span) -> Built<Formula> {
    let mut found = None;
    let mut bound = Vec::new();
    for pair in pairs {
        match pair.as_rule() {
            Rule::expression => found = Some(expression(pair)?),
            Rule::where_clause => bound = bindings(pair)?,
            _ => {}
        }
    }
    found
        .map(|expression| Formula {
            expression,
            bindings: bound,
        })
        .ok_or_else(|| strange(span))
}

/// Returns an `expression` pair.
pub fn expression(pair: Pair<Rule>) -> Built<Expression> {
    let span = span_of(&pair);
    let _deeper = Deeper::enter(1, span)?;
    let mut inner = pair.into_inner();
    let first = inner.next().ok_or_else(|| strange(span))?;
    let value = operation(first)?;
    let Some(shown) = inner.find(|pair| pair.as_rule() == Rule::shown_as) else {
        return Ok(value);
    };
    let span = value.span.to(span_of(&shown));
    let kind = shown_as(shown, value)?;
    Ok(Expression { kind, span })
}

fn shown_as(pair: Pair<Rule>, value: Expression) -> Built<Kind> {
    let span = span_of(&pair);
    let value = Box::new(value);
    let inner = pair.into_inner().next().ok_or_else(|| strange(span))?;
    if inner.as_rule() == Rule::fraction_style {
        let denominator = match inner.into_inner().next() {
            None => 64,
            Some(whole) => whole
                .as_str()
                .parse::<u16>()
                .ok()
                .filter(|d| (1..=1024).contains(d))
                .ok_or_else(|| {
                    Diagnostic::error("a fraction goes from 1/1 to 1/1024", span_of(&whole))
                })?,
        };
        return Ok(Kind::Styled(value, Style::Fraction(denominator)));
    }
    match inner.as_str() {
        "dms" => Ok(Kind::Styled(value, Style::DegreesMinutesSeconds)),
        "readout" => Ok(Kind::Styled(value, Style::Coordinate)),
        text => Ok(Kind::As(value, unit(text, span)?)),
    }
}

/// Returns what an operator stands beside: a value with what follows it.
pub fn operand(pair: Pair<Rule>) -> Built<Expression> {
    let span = span_of(&pair);
    let mut behind = pair.into_inner();
    let first = behind.next().ok_or_else(|| strange(span))?;
    if let Some(pair) = behind.clone().nth(ROW) {
        return Err(Diagnostic::error(
            format!("more than {ROW} fields or indexes in a row"),
            span_of(&pair),
        ));
    }
    // Each of them wraps what stands before it, so that goes deeper.
    let deeper = Deeper::enter(behind.clone().count().min(ROW), span_of(&first))?;
    let mut value = primary(first)?;
    drop(deeper);
    for pair in behind {
        let place = span_of(&pair);
        let span = value.span.to(place);
        let kind = match pair.as_rule() {
            Rule::field => Kind::Field(Box::new(value), name_of(&content(pair)?)),
            Rule::index => Kind::Index(Box::new([value, expression(content(pair)?)?])),
            Rule::tolerance => {
                let tolerance = tolerance(pair, value.kind.is_angle())?;
                let bare = match &value.kind {
                    Kind::Quantity(_, unit) => *unit == Unit::NONE,
                    Kind::List(_, unit) => unit.is_none(),
                    _ => false,
                };
                if let (true, Tolerance::Class(class)) = (bare, &tolerance) {
                    let wrong = Diagnostic::error("a class belongs to a size with its unit", place);
                    let advice =
                        format!("write the unit before the class, such as `12 mm {class}`");
                    return Err(wrong.advise(advice));
                }
                Kind::Size(Box::new(value), tolerance)
            }
            _ => return Err(strange(place)),
        };
        value = Expression { kind, span };
    }
    Ok(value)
}

fn primary(pair: Pair<Rule>) -> Built<Expression> {
    let span = span_of(&pair);
    let kind = match pair.as_rule() {
        Rule::size => {
            let (number, unit) = literal_parts(content(pair)?)?;
            Kind::Quantity(number, unit)
        }
        Rule::text => Kind::Text(text_of(&pair).into()),
        Rule::list => list(pair)?,
        Rule::group => Kind::Group(Box::new(expression(content(pair)?)?)),
        Rule::if_then => {
            let parts = within(pair, Rule::expression).map(expression);
            Kind::If(Box::new(exactly(parts.collect::<Built<_>>()?, span)?))
        }
        Rule::find => Kind::Find(Box::new(find(pair)?)),
        Rule::rows => Kind::Rows(Box::new(rows(pair)?)),
        Rule::call => {
            let mut inner = pair.into_inner();
            let name = inner.next().ok_or_else(|| strange(span))?;
            let name = name_of(&name);
            Kind::Call(name, inner.map(argument).collect::<Built<_>>()?)
        }
        Rule::name => Kind::Name(pair.as_str().into()),
        _ => return Err(strange(span)),
    };
    Ok(Expression { kind, span })
}

/// Returns a `find` pair.
pub fn find(pair: Pair<Rule>) -> Built<Find> {
    let span = span_of(&pair);
    let mut name = None;
    let mut sums = Vec::new();
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::name => name = Some(name_of(&inner)),
            Rule::sum => sums.push(operation(inner)?),
            _ => {}
        }
    }
    let [low, high, left, right] = exactly(sums, span)?;
    let name = name.ok_or_else(|| strange(span))?;
    Ok(Find {
        name,
        low,
        high,
        left,
        right,
    })
}

/// Returns the values of `over …` or `from … to … by …`.
pub fn range(pair: Pair<Rule>) -> Built<Range> {
    let span = span_of(&pair);
    let steps = pair.as_rule() == Rule::vary_steps;
    let values = within(pair, Rule::sum).map(operation);
    let values: Vec<Expression> = values.collect::<Built<_>>()?;
    Ok(if steps {
        Range::Steps(Box::new(exactly(values, span)?))
    } else {
        Range::List(values)
    })
}

/// Returns a `rows` pair.
fn rows(pair: Pair<Rule>) -> Built<Rows> {
    let span = span_of(&pair);
    let mut name = None;
    let mut goes_through = None;
    let (mut starting, mut columns) = (Vec::new(), Vec::new());
    let mut unless = None;
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::name => name = Some(name_of(&inner)),
            Rule::vary_list | Rule::vary_steps => goes_through = Some(range(inner)?),
            Rule::rows_start => starting = bindings(inner)?,
            Rule::rows_with => columns = bindings(inner)?,
            Rule::rows_unless => {
                let condition = within(inner, Rule::expression).next();
                unless = condition.map(expression).transpose()?;
            }
            _ => {}
        }
    }
    let (Some(name), Some(range)) = (name, goes_through) else {
        return Err(strange(span));
    };
    Ok(Rows {
        name,
        range,
        starting,
        columns,
        unless,
    })
}

/// Returns the bindings of a `where` clause, or the columns of a rule.
fn bindings(pair: Pair<Rule>) -> Built<Vec<Binding>> {
    let span = span_of(&pair);
    let binding = |pair: Pair<Rule>| {
        let mut inner = pair.into_inner();
        let (Some(name), Some(value)) = (inner.next(), inner.next()) else {
            return Err(strange(span));
        };
        Ok(Binding {
            name: name_of(&name),
            value: expression(value)?,
        })
    };
    within(pair, Rule::binding).map(binding).collect()
}

fn list(pair: Pair<Rule>) -> Built<Kind> {
    let mut items = Vec::new();
    let mut shown = None;
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::list_open => {
                for item in inner.into_inner() {
                    items.push(expression(item)?);
                }
            }
            _ => {
                let unit = unit(inner.as_str(), span_of(&inner))?;
                shown = (unit != Unit::NONE).then_some(unit);
            }
        }
    }
    Ok(Kind::List(items, shown))
}

/// Returns an argument of a call.
pub fn argument(pair: Pair<Rule>) -> Built<Argument> {
    let span = span_of(&pair);
    let mut name = None;
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::argument_name => name = Some(name_of(&inner)),
            _ => {
                return Ok(Argument {
                    name,
                    value: expression(inner)?,
                });
            }
        }
    }
    Err(strange(span))
}

/// Returns text without its quotes.
pub fn text_of(pair: &Pair<Rule>) -> String {
    let inner = pair.as_str();
    let inner = inner.strip_prefix('"').unwrap_or(inner);
    let inner = inner.strip_suffix('"').unwrap_or(inner);
    let mut text = String::with_capacity(inner.len());
    let mut chars = inner.chars().peekable();
    while let Some(c) = chars.next() {
        match (c, chars.peek()) {
            ('\\', Some('"' | '\\')) => text.extend(chars.next()),
            _ => text.push(c),
        }
    }
    text
}
