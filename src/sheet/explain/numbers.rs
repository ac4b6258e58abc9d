//! A formula with the numbers in: each name replaced by its value as it is printed.

use std::sync::Arc;

use crate::language::Value;
use crate::notebook::{Page, Workspace};
use crate::sheet::Writer;
use crate::syntax::{
    Binding, Expression, Find, Formula, Kind, Name, Rows, StatementKind, parse_statement,
    print_expression, print_statement,
};

/// The longest list that is written out.
const ITEMS: usize = 6;

/// Returns a statement's formula with the numbers in; nothing where that says no more than the
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
        StatementKind::Cell(_, mut formula) | StatementKind::Bare(mut formula) => {
            numbers.formula(&mut formula);
            print_statement(&StatementKind::Bare(formula))
        }
        StatementKind::Check(mut condition) => {
            numbers.expression(&mut condition);
            print_expression(&condition)
        }
        StatementKind::Find(mut find) => {
            numbers.find(&mut find);
            print_statement(&StatementKind::Find(find))
        }
        _ => return None,
    };
    (numbers.replaced > 0).then_some(printed)
}

/// Returns the comparisons of a condition, in the order of its margins.
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
    fn formula(&mut self, formula: &mut Formula) {
        let before = self.bound.len();
        self.bindings(&mut formula.bindings);
        self.expression(&mut formula.expression);
        self.bound.truncate(before);
    }

    /// Takes up bindings, each of which may use those before it.
    fn bindings(&mut self, bindings: &mut [Binding]) {
        for binding in bindings {
            self.expression(&mut binding.value);
            self.bound.push(binding.name.text.clone());
        }
    }

    fn find(&mut self, find: &mut Find) {
        self.expression(&mut find.low);
        self.expression(&mut find.high);
        self.bound.push(find.name.text.clone());
        self.expression(&mut find.left);
        self.expression(&mut find.right);
        self.bound.pop();
    }

    fn rows(&mut self, rows: &mut Rows) {
        let before = self.bound.len();
        for value in rows.range.expressions() {
            self.expression(value);
        }
        for start in &mut rows.starting {
            self.expression(&mut start.value);
        }
        self.bound.push(rows.name.text.clone());
        self.bound.push("before".into());
        self.bindings(&mut rows.columns);
        rows.unless
            .iter_mut()
            .for_each(|unless| self.expression(unless));
        self.bound.truncate(before);
    }

    fn expression(&mut self, expression: &mut Expression) {
        if let Some(text) = self.value(expression).and_then(|value| self.text(&value)) {
            self.replaced += 1;
            expression.kind = Kind::Name(text.into());
            return;
        }
        match &mut expression.kind {
            Kind::Find(find) => self.find(find),
            Kind::Rows(rows) => self.rows(rows),
            _ => expression.each_within(&mut |within| self.expression(within)),
        }
    }

    /// Returns the value of a name, of a name of a notebook in use, of a field or of a place in
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
        self.workspace.page(*page)
    }

    fn named(&self, page: &Page, name: &str) -> Option<Value> {
        if self.bound.iter().any(|bound| &**bound == name) {
            return None;
        }
        let slot = page.names.get(name)?;
        self.workspace.value(*slot).cloned()
    }

    /// Returns a value as it stands in a formula; nothing for what has no short form.
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
