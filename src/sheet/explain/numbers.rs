//! A formula with the numbers in: each name replaced by its value as it is printed.

use std::sync::Arc;

use crate::language::Value;
use crate::notebook::{Page, Workspace};
use crate::sheet::Writer;
use crate::syntax::{
    Argument, Binding, Expression, Find, Formula, Kind, Name, Range, Rows, StatementKind,
    parse_statement, print_expression, print_statement,
};

/// The longest list that is written out.
const ITEMS: usize = 6;

/// A statement's formula with the numbers in; nothing where that says no more than the
/// formula.
pub fn with_numbers(workspace: &Workspace, page: &Page, text: &str) -> Option<String> {
    let mut numbers = Numbers {
        workspace,
        page,
        writer: Writer::new(&page.settings),
        bound: Vec::new(),
        replaced: 0,
    };
    let printed = match parse_statement(text).ok()? {
        StatementKind::Cell(_, formula) | StatementKind::Bare(formula) => {
            print_statement(&StatementKind::Bare(numbers.formula(&formula)))
        }
        StatementKind::Check(condition) => print_expression(&numbers.expression(&condition)),
        StatementKind::Find(find) => print_statement(&StatementKind::Find(numbers.find(&find))),
        _ => return None,
    };
    (numbers.replaced > 0).then_some(printed)
}

/// The comparisons of a condition, in the order of its margins.
pub fn comparisons(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    if let Ok(StatementKind::Check(condition)) = parse_statement(text) {
        collect(&condition, &mut found);
    }
    found
}

fn collect(condition: &Expression, found: &mut Vec<String>) {
    match &condition.kind {
        Kind::Group(inner) => collect(inner, found),
        Kind::Chain(first, rest) => match rest.first().map(|(operator, _)| *operator) {
            Some(crate::syntax::Operator::And) => {
                collect(first, found);
                rest.iter().for_each(|(_, part)| collect(part, found));
            }
            Some(operator) if operator.compares() => {
                let mut left = &**first;
                for (operator, right) in rest {
                    found.push(format!(
                        "{} {} {}",
                        print_expression(left),
                        operator.symbol(),
                        print_expression(right)
                    ));
                    left = right;
                }
            }
            _ => {}
        },
        _ => {}
    }
}

struct Numbers<'a> {
    workspace: &'a Workspace,
    page: &'a Page,
    writer: Writer<'a>,
    bound: Vec<Arc<str>>,
    replaced: usize,
}

impl Numbers<'_> {
    fn formula(&mut self, formula: &Formula) -> Formula {
        let before = self.bound.len();
        let mut bindings = Vec::new();
        for binding in &formula.bindings {
            bindings.push(Binding {
                name: binding.name.clone(),
                value: self.expression(&binding.value),
            });
            self.bound.push(binding.name.text.clone());
        }
        let expression = self.expression(&formula.expression);
        self.bound.truncate(before);
        Formula {
            expression,
            bindings,
        }
    }

    fn find(&mut self, find: &Find) -> Find {
        let (low, high) = (self.expression(&find.low), self.expression(&find.high));
        self.bound.push(find.name.text.clone());
        let (left, right) = (self.expression(&find.left), self.expression(&find.right));
        self.bound.pop();
        Find {
            name: find.name.clone(),
            low,
            high,
            left,
            right,
        }
    }

    fn rows(&mut self, rows: &Rows) -> Rows {
        let before = self.bound.len();
        let range = match &rows.range {
            Range::List(values) => {
                Range::List(values.iter().map(|value| self.expression(value)).collect())
            }
            Range::Steps(steps) => {
                Range::Steps(Box::new(steps.each_ref().map(|step| self.expression(step))))
            }
        };
        let binding = |numbers: &mut Self, binding: &Binding| Binding {
            name: binding.name.clone(),
            value: numbers.expression(&binding.value),
        };
        let starting = rows
            .starting
            .iter()
            .map(|start| binding(self, start))
            .collect();
        self.bound.push(rows.name.text.clone());
        self.bound.push("before".into());
        let mut columns = Vec::new();
        for column in &rows.columns {
            columns.push(binding(self, column));
            self.bound.push(column.name.text.clone());
        }
        let unless = rows.unless.as_ref().map(|unless| self.expression(unless));
        self.bound.truncate(before);
        Rows {
            name: rows.name.clone(),
            range,
            starting,
            columns,
            unless,
        }
    }

    fn expression(&mut self, expression: &Expression) -> Expression {
        if let Some(text) = self.value(expression).and_then(|value| self.text(&value)) {
            self.replaced += 1;
            return Expression {
                kind: Kind::Name(text.into()),
                span: expression.span,
            };
        }
        let mut boxed = |inner: &Expression| Box::new(self.expression(inner));
        let kind = match &expression.kind {
            Kind::Negate(value) => Kind::Negate(boxed(value)),
            Kind::Not(value) => Kind::Not(boxed(value)),
            Kind::Group(value) => Kind::Group(boxed(value)),
            Kind::As(value, unit) => Kind::As(boxed(value), *unit),
            Kind::Styled(value, style) => Kind::Styled(boxed(value), *style),
            Kind::Size(value, tolerance) => Kind::Size(boxed(value), tolerance.clone()),
            Kind::Field(value, name) => Kind::Field(boxed(value), name.clone()),
            Kind::List(items, unit) => {
                let items = items.iter().map(|item| self.expression(item));
                Kind::List(items.collect(), *unit)
            }
            Kind::Chain(first, rest) => {
                let first = boxed(first);
                let rest = rest.iter();
                let rest = rest.map(|(operator, value)| (*operator, self.expression(value)));
                Kind::Chain(first, rest.collect())
            }
            Kind::If(parts) => Kind::If(Box::new(parts.each_ref().map(|p| self.expression(p)))),
            Kind::Index(parts) => {
                Kind::Index(Box::new(parts.each_ref().map(|p| self.expression(p))))
            }
            Kind::Call(name, arguments) => {
                let argument = |argument: &Argument| Argument {
                    name: argument.name.clone(),
                    value: self.expression(&argument.value),
                };
                Kind::Call(name.clone(), arguments.iter().map(argument).collect())
            }
            Kind::Find(find) => Kind::Find(Box::new(self.find(find))),
            Kind::Rows(rows) => Kind::Rows(Box::new(self.rows(rows))),
            other => other.clone(),
        };
        Expression {
            kind,
            span: expression.span,
        }
    }

    /// The value of a name, of a name of a notebook in use, of a field or of a place in
    /// a list.
    fn value(&self, expression: &Expression) -> Option<Value> {
        match &expression.kind {
            Kind::Name(name) => self.named(self.page, name),
            Kind::Field(value, name) => {
                if let Kind::Name(alias) = &value.kind
                    && !self.bound.contains(alias)
                    && let Some(page) = self.used(alias)
                {
                    return self.named(page, &name.text);
                }
                self.field(value, name)
            }
            Kind::Index(parts) => {
                let [list, place] = &**parts;
                let place = match &place.kind {
                    Kind::Quantity(number, _) => number.value(),
                    _ => self.value(place)?.quantity().ok()?.si,
                };
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates
                let index = (place.round() as usize).checked_sub(1)?;
                match self.value(list)? {
                    Value::List(items) => items.get(index).cloned(),
                    Value::Table(table) => table.row(index).map(Value::from),
                    _ => None,
                }
            }
            _ => None,
        }
    }

    fn field(&self, value: &Expression, name: &Name) -> Option<Value> {
        match self.value(value)? {
            Value::Record(record) => record.get(&name.text).cloned(),
            Value::Table(table) => {
                let column = table.column(&name.text)?;
                Some(table.values(column).into())
            }
            _ => None,
        }
    }

    fn used(&self, alias: &str) -> Option<&Page> {
        let (_, page) = self.page.uses.iter().find(|(known, _)| &**known == alias)?;
        self.workspace.pages.get(*page as usize)
    }

    fn named(&self, page: &Page, name: &str) -> Option<Value> {
        if self.bound.iter().any(|bound| &**bound == name) {
            return None;
        }
        let slot = page.names.get(name)?;
        self.workspace.value(*slot).cloned()
    }

    /// A value as it stands in a formula; nothing for what has no short form.
    fn text(&self, value: &Value) -> Option<String> {
        Some(match value {
            Value::Quantity(quantity) => {
                let line = self.writer.quantity(*quantity).line();
                if line.starts_with('-') {
                    format!("({line})")
                } else {
                    line
                }
            }
            Value::Size(size) => return self.text(&size.value.into()),
            Value::Record(record) => return self.text(&record.scalar_value?.into()),
            Value::Text(text) => format!("\"{text}\""),
            Value::Truth(truth) => truth.to_string(),
            Value::List(items) if items.len() <= ITEMS => {
                format!("[{}]", self.writer.value(value).line())
            }
            Value::List(_) | Value::Table(_) | Value::None => return None,
        })
    }
}
