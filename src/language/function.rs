//! Functions: what they are called, what they take, where they come from.

use std::sync::{Arc, OnceLock};

use super::arguments::NativeCode;
use super::code::Call;
use super::shape::Shape;
use super::{Contract, EvalError, FunctionDoc, Node};
use crate::diagnostic::Fault;

/// A function with its body, ready to be called.
#[derive(Clone, Debug)]
pub struct UserFunction {
    /// Its parameters' names.
    pub parameters: Vec<Arc<str>>,
    /// Their values where a call gives none.
    pub defaults: Vec<Option<Node>>,
    /// What each may be, where it is documented.
    pub contracts: Vec<Contract>,
    /// What must hold of the arguments together.
    pub requires: Vec<(Node, String)>,
    /// The unit the result is shown in.
    pub shown_in: Option<crate::quantity::Unit>,
    /// What it gives.
    pub gives: Arc<Shape>,
    /// The body.
    pub body: Body,
    /// Whether it asks for drawn figures somewhere itself.
    pub wants_drawn: bool,
    /// Whether its arguments carry their drawn figures: it asks for them, or calls a function
    /// of the notebook that may.
    pub carries_drawn: bool,
}

/// What a function does when it is called.
#[derive(Clone, Debug)]
pub enum Body {
    /// An expression over its parameters.
    Language(Node),
    /// Arithmetic in Rust.
    Native(NativeCode),
    /// A search or a look-up in Rust: its calls are kept.
    LookUp(NativeCode),
}

/// A function of the library.
pub struct Function {
    /// Its name.
    pub name: &'static str,
    /// Its topic.
    pub topic: &'static str,
    /// The file of library/functions it stands in.
    pub file: &'static str,
    /// The line (from 1) its definition begins on.
    pub line: usize,
    /// Its documentation lines.
    pub documentation: &'static str,
    /// Its definition.
    pub definition: &'static str,
    pub(super) doc: OnceLock<Result<FunctionDoc, Fault>>,
    pub(super) ready: OnceLock<Result<UserFunction, Fault>>,
}

impl std::fmt::Debug for Function {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Function({})", self.name)
    }
}

impl UserFunction {
    /// Returns the place of the parameter that takes all arguments that are left.
    #[must_use]
    pub fn several(&self) -> Option<usize> {
        let last = self.contracts.last().filter(|contract| contract.several);
        last.and_then(|_| self.parameters.len().checked_sub(1))
    }

    /// Returns the arguments of a call by parameter: one or none for each, any number for
    /// the one that takes several.
    ///
    /// # Errors
    /// When an argument has a name that no parameter has, or there is one too many.
    pub fn arrange<'a>(
        &self,
        function: &str,
        call: &'a Call,
    ) -> Result<Vec<Vec<&'a Node>>, EvalError> {
        let several = self.several();
        let mut given = vec![Vec::new(); self.parameters.len()];
        let mut unnamed = 0..;
        for (argument, node) in &call.arguments {
            let wrong = |fault| EvalError::at(fault, node.span);
            let place = match argument {
                None => {
                    let next = unnamed.next().unwrap_or(usize::MAX);
                    several.map_or(next, |last| next.min(last))
                }
                Some(argument) => self
                    .parameters
                    .iter()
                    .position(|parameter| parameter == argument)
                    .ok_or_else(|| wrong(self.no_parameter(function, argument)))?,
            };
            let Some(nodes) = given.get_mut(place) else {
                return Err(wrong(self.too_many(function)));
            };
            if !nodes.is_empty() && several != Some(place) {
                let parameter = &self.parameters[place];
                let message = format!("`{parameter}` of `{function}` is given twice");
                return Err(wrong(Fault::new(message)));
            }
            nodes.push(node);
        }
        Ok(given)
    }

    /// Says that no parameter has the name of an argument.
    fn no_parameter(&self, function: &str, name: &str) -> Fault {
        let known = self.parameters.iter().map(|parameter| &**parameter);
        let fault = Fault::new(format!("`{function}` takes no argument called `{name}`"));
        let advice = crate::diagnostic::did_you_mean(name, known);
        fault.advise(advice.unwrap_or_else(|| format!("it takes {}", self.signature())))
    }

    /// Says that there is one argument too many.
    fn too_many(&self, function: &str) -> Fault {
        let takes = crate::quantity::count(self.parameters.len(), "argument");
        Fault::new(format!("`{function}` takes {takes}")).advise(self.spelled_out(function))
    }

    /// Returns the parameters as they are written in a call.
    #[must_use]
    pub fn signature(&self) -> String {
        self.parameters
            .iter()
            .map(|parameter| &**parameter)
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// Returns how a call is written, as advice: `write fit(size, class)`.
    #[must_use]
    pub fn spelled_out(&self, name: &str) -> String {
        format!("write {name}({})", self.signature())
    }
}
