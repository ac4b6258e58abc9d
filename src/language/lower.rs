//! Resolving the names of an expression.

use std::sync::Arc;

use super::code::{
    Call, Callee, FindCode, Node, RangeCode, ResolvedExpr, RowsCode, SizeCode, Source,
};
use super::rows::BEFORE;
use super::{PageId, Value, library};
use crate::diagnostic::{Diagnostic, Span, did_you_mean};
use crate::language::SlotId;
use crate::quantity::{Quantity, Unit};
use crate::syntax::{Expression, Find, Formula, Kind, Name, Number, Operator, Range, Rows};
use crate::trade::words::list;

mod misplaced;

use misplaced::{chained_size, fit_written_as_a_quotient};

/// Names that always mean the same.
pub const CONSTANTS: &[&str] = &["pi", "none", "true", "false"];

/// What a name of the notebook means.
#[derive(Clone, Debug)]
pub enum Named {
    /// A cell, by its slot.
    Cell(SlotId),
    /// A notebook in use: its names follow after a point.
    Notebook(PageId),
}

/// Where names that are no locals are looked up.
pub trait Scope {
    /// Returns what a name means. A name that is nothing yet gets a slot that waits for
    /// its definition.
    fn name(&mut self, name: &str) -> Named;
    /// Returns the slot of a name of a notebook in use.
    fn name_in(&mut self, notebook: PageId, name: &str) -> SlotId;
    /// Returns the slot of a function that the notebook defines.
    fn function(&mut self, name: &str) -> Option<SlotId>;
}

/// Turns expressions of one statement into code.
pub struct Lowering<'a> {
    scope: &'a mut dyn Scope,
    slot: SlotId,
    sizes: u16,
    locals: Vec<Arc<str>>,
    sizes_allowed: bool,
    /// Whether it was told of the chain around that a tolerance can't stand in it.
    told: bool,
    wrong: Vec<Diagnostic>,
}

impl<'a> Lowering<'a> {
    /// Returns a lowering for the statement that fills `slot`. `sizes_allowed` says whether
    /// tolerances may stand in it.
    pub fn new(scope: &'a mut dyn Scope, slot: SlotId, sizes_allowed: bool) -> Self {
        Self {
            scope,
            slot,
            sizes: 0,
            locals: Vec::new(),
            sizes_allowed,
            told: false,
            wrong: Vec::new(),
        }
    }

    /// Lowers an expression that may be a size with its tolerance as a whole.
    pub fn whole(&mut self, expression: &Expression) -> Node {
        let allowed = self.sizes_allowed;
        self.sizes_allowed |= matches!(expression.kind, Kind::Size(..));
        let node = self.expression(expression);
        self.sizes_allowed = allowed;
        node
    }

    /// Returns what was wrong so far.
    #[must_use]
    pub fn finish(self) -> Vec<Diagnostic> {
        self.wrong
    }

    /// Notes something that is wrong.
    pub fn report(&mut self, diagnostic: Diagnostic) {
        self.wrong.push(diagnostic);
    }

    /// Makes a name a local from here on; gives its place.
    pub fn bind(&mut self, name: Arc<str>) -> u16 {
        self.locals.push(name);
        u16::try_from(self.locals.len() - 1).unwrap_or(u16::MAX)
    }

    /// Forgets the locals bound since there were `count`.
    pub fn unbind(&mut self, count: usize) {
        self.locals.truncate(count);
    }

    /// Returns how many locals are bound.
    #[must_use]
    pub fn bound(&self) -> usize {
        self.locals.len()
    }

    /// Returns an expression with its `where` clause.
    pub fn formula(&mut self, formula: &Formula) -> Node {
        if formula.bindings.is_empty() {
            return self.expression(&formula.expression);
        }
        let before = self.bound();
        let first = u16::try_from(before).unwrap_or(u16::MAX);
        let mut bound = Vec::new();
        for binding in &formula.bindings {
            let value = self.expression(&binding.value);
            self.not_constant(&binding.name);
            self.bind(binding.name.text.clone());
            bound.push(value);
        }
        let value = self.expression(&formula.expression);
        self.unbind(before);
        let span = value.span;
        Node {
            code: ResolvedExpr::Where(bound.into(), first, Box::new(value)),
            span,
        }
    }

    /// Refuses a constant's name for anything else.
    pub fn not_constant(&mut self, name: &Name) {
        if CONSTANTS.contains(&&*name.text) {
            let message = format!("`{}` always means the same and can't be defined", name.text);
            self.report(Diagnostic::error(message, name.span).advise("choose another name"));
        }
    }

    /// Returns an expression.
    pub fn expression(&mut self, expression: &Expression) -> Node {
        let span = expression.span;
        let code = match &expression.kind {
            Kind::Quantity(number, unit) => ResolvedExpr::Constant(literal(*number, *unit).into()),
            Kind::Text(text) => ResolvedExpr::Constant(Value::Text(text.clone())),
            Kind::Name(name) => self.name(name),
            Kind::List(items, unit) => ResolvedExpr::List(
                items.iter().map(|item| self.expression(item)).collect(),
                *unit,
            ),
            Kind::Negate(value) => match &value.kind {
                Kind::Quantity(number, unit) if unit.from_another_zero() => {
                    ResolvedExpr::Constant(Quantity::new(-number.value(), *unit).into())
                }
                _ => ResolvedExpr::Negate(Box::new(self.expression(value))),
            },
            Kind::Not(value) => ResolvedExpr::Not(Box::new(self.expression(value))),
            Kind::Chain(first, links) => {
                if let Some(wrong) = fit_written_as_a_quotient(first, links) {
                    self.report(wrong);
                    let code = ResolvedExpr::Constant(Value::None);
                    return Node { code, span };
                }
                let told = self.told;
                if !told && let Some(wrong) = chained_size(expression, self.sizes_allowed) {
                    self.told = true;
                    self.report(wrong);
                }
                let first = self.expression(first);
                let links: Box<[(Operator, Node)]> = links
                    .iter()
                    .map(|(operator, value)| (*operator, self.expression(value)))
                    .collect();
                self.told = told;
                ResolvedExpr::Chain(Box::new(first), links)
            }
            Kind::If(parts) => {
                let [condition, yes, no] = &**parts;
                let parts = [
                    self.expression(condition),
                    self.expression(yes),
                    self.expression(no),
                ];
                ResolvedExpr::If(Box::new(parts))
            }
            Kind::Call(name, arguments) => self.call(name, arguments),
            Kind::Field(value, name) => return self.field(value, name, span),
            Kind::Index(parts) => {
                let [value, index] = &**parts;
                ResolvedExpr::Index(Box::new([self.expression(value), self.expression(index)]))
            }
            Kind::As(value, unit) => ResolvedExpr::As(Box::new(self.expression(value)), *unit),
            Kind::Styled(value, style) => {
                ResolvedExpr::Styled(Box::new(self.expression(value)), *style)
            }
            Kind::Group(value) => {
                return Node {
                    span,
                    ..self.expression(value)
                };
            }
            Kind::Size(value, tolerance) => {
                let size = self.expression(value);
                let place = Span {
                    start: value.span.end,
                    end: span.end,
                };
                if !self.sizes_allowed && !self.told {
                    let message = "a tolerance can't come here";
                    let advice = "give the size a cell of its own, and its tolerance there";
                    self.report(Diagnostic::error(message, place).advise(advice));
                }
                let source = Source {
                    slot: self.slot,
                    index: self.sizes,
                };
                self.sizes = self.sizes.saturating_add(1);
                ResolvedExpr::Size(Box::new(SizeCode {
                    size,
                    tolerance: tolerance.clone(),
                    source,
                    span: place,
                }))
            }
            Kind::Find(find) => ResolvedExpr::Find(Box::new(self.find(find))),
            Kind::Rows(rows) => ResolvedExpr::Rows(Box::new(self.rows(rows))),
        };
        Node { code, span }
    }

    /// Resolves `find …`, its unknown a local.
    fn find(&mut self, find: &Find) -> FindCode {
        let low = self.expression(&find.low);
        let high = self.expression(&find.high);
        let before = self.bound();
        self.not_constant(&find.name);
        let local = self.bind(find.name.text.clone());
        let left = self.expression(&find.left);
        let right = self.expression(&find.right);
        self.unbind(before);
        FindCode {
            name: find.name.text.clone(),
            local,
            low,
            high,
            left,
            right,
        }
    }

    /// Returns the values that a counter or a varied cell takes.
    pub fn range(&mut self, range: &Range) -> RangeCode {
        match range {
            Range::List(values) => {
                RangeCode::List(values.iter().map(|value| self.expression(value)).collect())
            }
            Range::Steps(steps) => {
                RangeCode::Steps(Box::new(steps.each_ref().map(|step| self.expression(step))))
            }
        }
    }

    /// Resolves `rows for …`, its counter, the row before and its columns locals.
    fn rows(&mut self, rows: &Rows) -> RowsCode {
        let range = self.range(&rows.range);
        let starting = rows.starting.iter();
        let starting = starting
            .map(|start| (start.name.text.clone(), self.expression(&start.value)))
            .collect();
        let before = self.bound();
        self.not_constant(&rows.name);
        let first = self.bind(rows.name.text.clone());
        let back = self.bind(BEFORE.into());
        let mut columns: Vec<(Arc<str>, Node)> = Vec::new();
        let mut looks_back = false;
        for column in &rows.columns {
            let name = &column.name;
            let value = self.expression(&column.value);
            self.not_constant(name);
            if name.text == rows.name.text || columns.iter().any(|(known, _)| *known == name.text) {
                let message = format!("two columns are called `{}`", name.text);
                self.report(Diagnostic::error(message, name.span));
            }
            value.walk(&mut |node| {
                looks_back |= matches!(node.code, ResolvedExpr::Local(at) if at == back)
            });
            self.bind(name.text.clone());
            columns.push((name.text.clone(), value));
        }
        let unless = rows.unless.as_ref().map(|unless| self.expression(unless));
        if let Some(node) = &unless {
            node.walk(&mut |node| {
                looks_back |= matches!(node.code, ResolvedExpr::Local(at) if at == back)
            });
        }
        self.unbind(before);
        RowsCode {
            counter: rows.name.text.clone(),
            range,
            first,
            starting,
            columns,
            unless,
            looks_back,
        }
    }

    fn local(&self, name: &str) -> Option<u16> {
        let place = self.locals.iter().rposition(|local| &**local == name)?;
        u16::try_from(place).ok()
    }

    fn name(&mut self, name: &Arc<str>) -> ResolvedExpr {
        if let Some(local) = self.local(name) {
            return ResolvedExpr::Local(local);
        }
        match &**name {
            "pi" => return ResolvedExpr::Constant(Value::number(std::f64::consts::PI)),
            "none" => return ResolvedExpr::Constant(Value::None),
            "true" => return ResolvedExpr::Constant(Value::Truth(true)),
            "false" => return ResolvedExpr::Constant(Value::Truth(false)),
            _ => {}
        }
        match self.scope.name(name) {
            Named::Cell(slot) => ResolvedExpr::Cell(slot),
            // A notebook by itself: a slot of that name, which is not defined.
            Named::Notebook(notebook) => ResolvedExpr::Cell(self.scope.name_in(notebook, "")),
        }
    }

    fn field(&mut self, value: &Expression, name: &Name, span: Span) -> Node {
        if let Kind::Name(first) = &value.kind
            && self.local(first).is_none()
            && !CONSTANTS.contains(&&**first)
            && let Named::Notebook(notebook) = self.scope.name(first)
        {
            let slot = self.scope.name_in(notebook, &name.text);
            return Node {
                code: ResolvedExpr::Cell(slot),
                span,
            };
        }
        Node {
            code: ResolvedExpr::Field(Box::new(self.expression(value)), name.text.clone()),
            span,
        }
    }

    fn call(&mut self, name: &Name, arguments: &[crate::syntax::Argument]) -> ResolvedExpr {
        if &*name.text == "record" {
            return self.record(name, arguments);
        }
        let lowered: Box<[(Option<Arc<str>>, Node)]> = arguments
            .iter()
            .map(|argument| {
                (
                    argument.name.as_ref().map(|name| name.text.clone()),
                    self.expression(&argument.value),
                )
            })
            .collect();
        let callee = match self.scope.function(&name.text) {
            Some(slot) => Callee::Notebook(slot, name.text.clone()),
            None => match library().get(&name.text) {
                Some(function) => Callee::Library(function),
                None => {
                    let message = format!("there is no function `{}`", name.text);
                    let mut wrong = Diagnostic::error(message, name.span);
                    wrong.advice = did_you_mean(&name.text, library().names())
                        .or_else(|| same_word(&name.text))
                        .or_else(|| Some(own_function(&name.text)));
                    self.report(wrong);
                    return ResolvedExpr::Constant(Value::None);
                }
            },
        };
        ResolvedExpr::Call(Box::new(Call {
            callee,
            arguments: lowered,
            name_span: name.span,
        }))
    }

    fn record(&mut self, name: &Name, arguments: &[crate::syntax::Argument]) -> ResolvedExpr {
        let mut fields: Vec<(Arc<str>, Node)> = Vec::new();
        for argument in arguments {
            let value = self.expression(&argument.value);
            match &argument.name {
                Some(name) if fields.iter().any(|(field, _)| *field == name.text) => {
                    self.report(Diagnostic::error(
                        format!("two fields are called `{}`", name.text),
                        name.span,
                    ));
                }
                Some(name) => fields.push((name.text.clone(), value)),
                None => {
                    let advice = "write `record(name: value, …)`";
                    self.report(
                        Diagnostic::error("a field of a record needs a name", value.span)
                            .advise(advice),
                    );
                }
            }
        }
        if arguments.is_empty() {
            self.report(
                Diagnostic::error("a record needs fields", name.span)
                    .advise("write `record(name: value, …)`"),
            );
        }
        ResolvedExpr::Record(fields.into())
    }
}

/// Returns the quantity of a literal.
fn literal(number: Number, unit: Unit) -> Quantity {
    let quantity = Quantity::new(number.value(), unit);
    match number {
        Number::Degrees(..) => Quantity {
            unit: unit.styled(crate::quantity::Style::DegreesMinutesSeconds),
            ..quantity
        },
        _ => quantity,
    }
}

/// Returns how a function that the library lacks is defined.
fn own_function(name: &str) -> String {
    format!("`{name}(x) = 2 * x` would define one; `setover functions` lists the library's")
}

/// Returns the functions of the library that share a word with a name: `clearance_drill` for
/// `clearance_hole`.
fn same_word(name: &str) -> Option<String> {
    /// More than this many are no help.
    const MOST: usize = 4;
    /// Shorter words say nothing.
    const LEAST: usize = 4;
    let words: Vec<&str> = name.split('_').filter(|word| word.len() >= LEAST).collect();
    let found: Vec<&str> = words
        .iter()
        .map(|word| {
            let alike = |known: &&str| known.split('_').any(|other| other == *word);
            library().names().filter(alike).collect::<Vec<_>>()
        })
        .find(|found| (1..=MOST).contains(&found.len()))?;
    Some(format!(
        "the library has {}; `setover functions` lists all",
        list(&found)
    ))
}
