//! Working out an expression that stands in no notebook.

use super::outcome::Failure;
use super::view::{Deviations, view};
use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, did_you_mean};
use crate::language::{
    CONSTANTS, EvalError, Evaluator, Lowering, Named, Node, PageId, ResolvedExpr, Scope, SlotId,
    Value,
};
use crate::quantity::Quantity;
use crate::syntax::{Formula, parse_expression};

/// Looks names up in page 0 without making room for those that are missing.
struct ReadOnlyScope<'a> {
    workspace: &'a Workspace,
    unknown: Vec<String>,
}

impl ReadOnlyScope<'_> {
    /// Returns a slot that no notebook has, for a name that means nothing.
    fn unknown(&mut self, name: &str) -> SlotId {
        self.unknown.push(name.to_owned());
        SlotId::undefined(self.unknown.len() - 1)
    }

    fn defined(&self, slot: SlotId) -> bool {
        self.workspace.is_defined(slot)
    }
}

impl Scope for ReadOnlyScope<'_> {
    fn name(&mut self, name: &str) -> Named {
        let workspace = self.workspace;
        let Some(page) = workspace.main() else {
            return Named::Cell(self.unknown(name));
        };
        if let Some((_, used)) = page.uses.iter().find(|(alias, _)| &**alias == name) {
            return Named::Notebook(*used);
        }
        match page.names.get(name).filter(|slot| self.defined(**slot)) {
            Some(slot) => Named::Cell(*slot),
            None => Named::Cell(self.unknown(name)),
        }
    }

    fn name_in(&mut self, notebook: PageId, name: &str) -> SlotId {
        let page = self.workspace.page(notebook);
        match page
            .and_then(|page| page.names.get(name))
            .filter(|slot| self.defined(**slot))
        {
            Some(slot) => *slot,
            None => self.unknown(name),
        }
    }

    fn function(&mut self, name: &str) -> Option<SlotId> {
        let slot = self.workspace.main()?.functions.get(name).copied()?;
        self.defined(slot).then_some(slot)
    }
}

impl Workspace {
    /// Returns the value of an expression against the values as they are; the workspace
    /// stays as it is. `locals` are further names with their values; `steps` bounds
    /// the work.
    ///
    /// # Errors
    /// What is wrong; places count from the start of the expression.
    pub fn evaluate(
        &self,
        expression: &str,
        locals: &[(&str, Value)],
        steps: u64,
    ) -> Result<Value, Vec<Diagnostic>> {
        let formula = parse_expression(expression).map_err(|wrong| vec![wrong])?;
        self.evaluate_formula(&formula, locals, steps)
    }

    /// Returns what [`evaluate`](Self::evaluate) does, of an expression that is parsed already.
    ///
    /// # Errors
    /// What is wrong; places count from the start of the expression.
    pub fn evaluate_formula(
        &self,
        formula: &Formula,
        locals: &[(&str, Value)],
        steps: u64,
    ) -> Result<Value, Vec<Diagnostic>> {
        let mut scope = ReadOnlyScope {
            workspace: self,
            unknown: Vec::new(),
        };
        let mut lowering = Lowering::new(&mut scope, SlotId::NONE, true);
        for (name, _) in locals {
            lowering.bind((*name).into());
        }
        let node = lowering.formula(formula);
        let wrong = lowering.finish();
        if !wrong.is_empty() {
            return Err(wrong);
        }
        if !scope.unknown.is_empty() {
            return Err(self.unknown_in(&node, &scope.unknown));
        }
        let still = Deviations::default();
        let mut values: Vec<Value> = locals.iter().map(|(_, value)| value.clone()).collect();
        view(self, &self.values, &self.faces, &still, None, |cells| {
            Evaluator::with_steps(cells, steps)
                .with_locals(&node, &mut values)
                .map_err(|error| vec![self.error(&node, error)])
        })
    }

    /// Returns the limits of a size that stands in no notebook (`12 mm H7`), lower and upper;
    /// nothing for any other expression.
    #[must_use]
    pub fn size_limits(&self, formula: &Formula) -> Option<(Quantity, Quantity)> {
        let mut scope = ReadOnlyScope {
            workspace: self,
            unknown: Vec::new(),
        };
        let mut lowering = Lowering::new(&mut scope, SlotId::NONE, true);
        let node = lowering.formula(formula);
        if !lowering.finish().is_empty() || !scope.unknown.is_empty() {
            return None;
        }
        let ResolvedExpr::Size(size) = &node.code else {
            return None;
        };
        let still = Deviations::default();
        let limits = view(self, &self.values, &self.faces, &still, None, |cells| {
            Evaluator::new(cells).size_limits(size, &mut Vec::new(), 0)
        });
        let (nominal, lower, upper) = limits.ok()?;
        let at = |deviation: f64| Quantity {
            si: nominal.si + deviation,
            ..nominal
        };
        Some((at(lower), at(upper)))
    }

    fn error(&self, node: &Node, error: EvalError) -> Diagnostic {
        let slot = match error {
            EvalError::Wrong(wrong) => return *wrong,
            EvalError::Missing(slot) => slot,
            EvalError::Unmeasured(slot) => {
                let message = format!("`{}` is not measured yet", self.name_of(slot));
                return Diagnostic::error(message, node.span)
                    .advise("`measured name = …` takes a reading");
            }
        };
        let root = match self.outcome(slot) {
            Err(failure) => match **failure {
                Failure::Because(root) => root,
                _ => slot,
            },
            Ok(_) => slot,
        };
        let mut span = node.span;
        node.walk(&mut |inner| {
            if inner.code_is_cell(slot) {
                span = inner.span;
            }
        });
        let wrong = Diagnostic::error(format!("`{}` has no value", self.name_of(slot)), span);
        if root == slot {
            wrong
        } else {
            wrong.advise(format!("it waits for `{}`", self.name_of(root)))
        }
    }

    /// Returns the names that mean nothing, each at its place.
    fn unknown_in(&self, node: &Node, unknown: &[String]) -> Vec<Diagnostic> {
        let mut found: Vec<Diagnostic> = Vec::new();
        node.walk(&mut |inner| {
            let ResolvedExpr::Cell(slot) = inner.code else {
                return;
            };
            let name = unknown.get(slot.undefined_place());
            let Some(name) = name else { return };
            let wrong = Diagnostic::unknown_name(name, inner.span);
            if found.iter().all(|known| known.message != wrong.message) {
                found.push(wrong);
            }
        });
        found
    }

    /// Returns what may be meant by a name that means nothing.
    #[must_use]
    pub fn meant_by(&self, name: &str) -> Option<String> {
        let page = self.main()?;
        let aliases = page.uses.iter().map(|(alias, _)| &**alias);
        let mut known: Vec<&str> = self.defined_names(page).chain(aliases).collect();
        known.sort_unstable();
        did_you_mean(name, known.into_iter().chain(CONSTANTS.iter().copied()))
    }
}

impl Workspace {
    /// Returns the first cells of a page, as advice to write one of them; none where it
    /// has no cells.
    #[must_use]
    pub fn cells_of(&self, page: &super::Page) -> Option<String> {
        /// As many as fit a line.
        const MOST: usize = 6;
        let slots = page.items.iter().filter_map(|item| item.slot);
        let names = slots.filter_map(|slot| Some(&*self.slot(slot)?.name));
        let mut cells: Vec<&str> = Vec::new();
        for name in names.filter(|name| page.names.contains_key(*name)) {
            if !cells.contains(&name) && cells.len() <= MOST {
                cells.push(name);
            }
        }
        let more = if cells.len() > MOST { " …" } else { "" };
        let shown: Vec<String> = cells
            .iter()
            .take(MOST)
            .map(|name| format!("`{name}`"))
            .collect();
        (!shown.is_empty()).then(|| format!("its cells are {}{more}", shown.join(", ")))
    }
}

impl Node {
    fn code_is_cell(&self, slot: SlotId) -> bool {
        matches!(self.code, ResolvedExpr::Cell(cell) if cell == slot)
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::language::STEPS;

    struct Nothing;

    impl super::super::Shelf for Nothing {
        fn text(&self, _: &Path) -> Result<String, String> {
            Err("there is none".to_owned())
        }
        fn beside(&self, _: &Path) -> Vec<String> {
            Vec::new()
        }
    }

    fn workspace() -> Workspace {
        let text =
            "bore = 12 mm ±0.05\nwall(outside) = (outside - bore) / 2\nbroken = bore + 1 deg\n";
        Workspace::of_text(Path::new("lever.job"), text, &Nothing)
    }

    #[test]
    fn an_expression_is_worked_out_and_nothing_is_added() {
        let workspace = workspace();
        let slots = workspace.slots.len();
        let answer = [("answer", Value::from(Quantity::number(2.0)))];
        let value = workspace
            .evaluate("wall(26 mm) * answer", &answer, STEPS)
            .unwrap();
        // (26 - 12) / 2 * 2 mm, worked by hand.
        let metres = value.quantity().unwrap().si;
        assert!((metres - 0.014).abs() < 1e-15, "{metres}");
        let wrong = workspace.evaluate("boore + 1 mm", &[], STEPS).unwrap_err();
        assert_eq!(wrong[0].message, "unknown name `boore`");
        assert_eq!((wrong[0].span.start, wrong[0].span.end), (0, 5));
        assert_eq!(
            workspace.meant_by("boore").as_deref(),
            Some("did you mean `bore`?")
        );
        assert_eq!(workspace.slots.len(), slots);
    }

    #[test]
    fn what_has_no_value_is_named() {
        let wrong = workspace().evaluate("2 * broken", &[], STEPS).unwrap_err();
        assert_eq!(wrong[0].message, "`broken` has no value");
        assert_eq!((wrong[0].span.start, wrong[0].span.end), (4, 10));
    }

    #[test]
    fn work_is_bounded() {
        assert!(
            workspace()
                .evaluate("1 + 2 + 3 + 4 + 5", &[], 3)
                .unwrap_err()[0]
                .message
                .contains("steps")
        );
    }
}
