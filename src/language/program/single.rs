//! A formula over single numbers: what a cell is worked out by when it is worked out
//! again.

use std::sync::Arc;

use super::compile::{Compiled, Place, Setting, Shape, compile_condition, compile_scalar};
use super::lanes::alone;
use super::steps::{Line, Operand, Program, Step};
use crate::language::SlotId;
use crate::language::{
    Callee, Cells, Contract, Evaluator, Node, ResolvedExpr, SizeCode, Source, UserFunction, Value,
};
use crate::quantity::Quantity;

/// The most cells that a formula may stand on.
const CELLS: usize = 8;
/// The most registers that it may take.
const REGISTERS: usize = 16;
/// The most steps that it may take; a longer one stays with the evaluator.
const LONGEST: usize = 64;

/// What a cell was like when a formula that stands on it was compiled.
#[derive(Clone, Copy, Debug)]
struct Given {
    slot: SlotId,
    shape: Shape,
    /// Whether it was a size: then it may be a plain quantity too.
    is_size: bool,
}

/// A formula as steps over single numbers. What it gives is what the evaluator gives, to the
/// last bit, as long as the cells that it stands on measure the same in the same units.
#[derive(Clone, Debug)]
pub struct Formula {
    lines: Box<[Line]>,
    result: Operand,
    given: Box<[Given]>,
    shape: Shape,
    decides: bool,
    steps: u64,
}

impl Formula {
    /// Returns the steps of a cell's formula, or of a check's condition, over these cells, with
    /// how many steps the evaluator takes for it and whether it `decided` anything. Nothing
    /// where there are none: the formula is no number, stands on limits or on what else is no
    /// number, or is long.
    #[must_use]
    pub fn new(
        cells: &dyn Cells,
        node: &Node,
        is_check: bool,
        steps: u64,
        decided: bool,
    ) -> Option<Self> {
        if node.code.is_path() || !stands_on_numbers(node) {
            return None;
        }
        let mut over = OverCells {
            cells,
            given: Vec::new(),
            places: Vec::new(),
        };
        let mut known = true;
        node.walk(&mut |node| {
            if let ResolvedExpr::Cell(slot) = node.code {
                known &= over.give(slot).is_some();
            }
        });
        if !known || over.given.is_empty() {
            return None;
        }
        let (program, shape) = if is_check {
            match compile_condition(&over, node)? {
                Compiled::Truth(program) => (program, Shape::Truth),
                _ => return None,
            }
        } else {
            compile_scalar(&over, node)?
        };
        let Program {
            lines,
            result,
            registers,
        } = program;
        // Whether the cells have values is seen when they are looked at.
        let lines: Box<[Line]> = lines
            .into_iter()
            .filter(|line| !matches!(line.step, Step::Need(_)))
            .collect();
        (registers <= REGISTERS && lines.len() <= LONGEST).then(|| Self {
            decides: decided || lines.iter().any(|line| line.step.decides()),
            lines,
            result,
            given: over.given.into(),
            shape,
            steps,
        })
    }

    /// Returns whether the evaluator chooses, compares, rounds or looks up on the way.
    #[must_use]
    pub const fn decides(&self) -> bool {
        self.decides
    }

    /// Returns how many steps the evaluator takes for it, unless it decides.
    #[must_use]
    pub const fn steps(&self) -> u64 {
        self.steps
    }

    /// Returns what it comes to over these cells; nothing where the evaluator must say: a cell
    /// has no value or measures something else, or there is no result.
    #[inline]
    #[must_use]
    pub fn run<'v>(&self, cell: impl Fn(SlotId) -> Option<&'v Value>) -> Option<Value> {
        let mut cells = [0.0; CELLS];
        for (given, to) in self.given.iter().zip(&mut cells) {
            *to = given.number(cell(given.slot)?)?;
        }
        let mut registers = [0.0; REGISTERS];
        let number = |registers: &[f64; REGISTERS], operand| match operand {
            Operand::Constant(value) => value,
            Operand::Register(at) => registers[at as usize % REGISTERS],
            Operand::Column(at) => cells[at % CELLS],
        };
        for line in &self.lines {
            let counts = |registers: &[f64; REGISTERS]| {
                line.guard
                    .is_none_or(|guard| number(registers, guard) != 0.0)
            };
            if let Step::Require(truth) = line.step {
                if number(&registers, truth) == 0.0 && counts(&registers) {
                    return None;
                }
                continue;
            }
            let made = alone(&line.step, |operand| number(&registers, operand), &[]);
            if !made.is_finite() && counts(&registers) {
                return None;
            }
            registers[line.to as usize % REGISTERS] = made;
        }
        let made = number(&registers, self.result);
        Some(match self.shape {
            Shape::Quantity(like) => Value::Quantity(Quantity { si: made, ..like }),
            Shape::Truth => Value::Truth(made != 0.0),
        })
    }
}

impl Given {
    /// Returns the number of a cell; nothing where it is not what it was.
    #[inline]
    fn number(&self, value: &Value) -> Option<f64> {
        let quantity = match value {
            Value::Quantity(quantity) => quantity,
            Value::Size(size) if self.is_size => &size.value,
            Value::Truth(truth) => {
                return (self.shape == Shape::Truth).then_some(f64::from(u8::from(*truth)));
            }
            _ => return None,
        };
        let Shape::Quantity(like) = self.shape else {
            return None;
        };
        (quantity.dimension == like.dimension && quantity.unit == like.unit).then_some(quantity.si)
    }
}

/// Returns whether a formula takes nothing but numbers from its cells: no tolerance stands in
/// it, nothing is solved for, and no function wants limits or what the drawing says.
fn stands_on_numbers(node: &Node) -> bool {
    let mut numbers = true;
    node.walk(&mut |node| {
        numbers &= match &node.code {
            ResolvedExpr::Size(_) | ResolvedExpr::Find(_) | ResolvedExpr::Rows(_) => false,
            ResolvedExpr::Call(call) => match &call.callee {
                Callee::Library(found) => found.ready().is_ok_and(|function| {
                    let wants = |one: &Contract| one.drawn || one.wants_limits();
                    !function.wants_drawn && !function.contracts.iter().any(wants)
                }),
                Callee::Notebook(..) => false,
            },
            _ => true,
        };
    });
    numbers
}

/// A formula among the cells that it stands on, all of which move.
struct OverCells<'a> {
    cells: &'a dyn Cells,
    given: Vec<Given>,
    places: Vec<Place>,
}

impl OverCells<'_> {
    /// Takes a cell among those that are given; nothing where it is no number.
    fn give(&mut self, slot: SlotId) -> Option<()> {
        if self.given.iter().any(|given| given.slot == slot) {
            return Some(());
        }
        let number = self.given.len();
        if number == CELLS {
            return None;
        }
        let value = self.cells.value(slot)?;
        let (shape, place) = match value {
            Value::Truth(_) => (Shape::Truth, Place::Truth(number)),
            Value::Quantity(_) | Value::Size(_) => {
                let like = super::like(value.quantity().ok()?);
                (Shape::Quantity(like), Place::Column(number, like))
            }
            _ => return None,
        };
        self.given.push(Given {
            slot,
            shape,
            is_size: matches!(value, Value::Size(_)),
        });
        self.places.push(place);
        Some(())
    }
}

impl Setting for OverCells<'_> {
    fn value(&self, node: &Node, locals: &mut Vec<Value>) -> Option<Value> {
        // The face of a cell is asked for here too; all of them move.
        let mut still = true;
        node.walk(&mut |node| still &= !matches!(node.code, ResolvedExpr::Cell(_)));
        if !still {
            return None;
        }
        Evaluator::new(self.cells).with_locals(node, locals).ok()
    }

    fn drawn(&self, _: &Node) -> Option<Value> {
        None
    }

    fn moves(&self, _: SlotId) -> bool {
        true
    }

    fn place(&self, slot: SlotId) -> Option<&Place> {
        let number = self.given.iter().position(|given| given.slot == slot)?;
        self.places.get(number)
    }

    fn source(&self, _: Source) -> Option<usize> {
        None
    }

    fn limits(&self, _: &SizeCode) -> Option<(Quantity, f64, f64)> {
        None
    }

    fn function(&self, _: SlotId) -> Option<Arc<UserFunction>> {
        None
    }
}
