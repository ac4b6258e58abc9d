//! Functions: what they are called, what they take, where they come from.

use std::sync::{Arc, OnceLock};

use super::natives::NativeCode;
use super::{Contract, Node};
use crate::diagnostic::Fault;

/// A parameter of a function, as documented.
#[derive(Clone, Debug)]
pub struct ParameterDoc {
    /// Its name.
    pub name: Arc<str>,
    /// What it may be.
    pub contract: Contract,
    /// What it means.
    pub meaning: String,
    /// The text of its value where a call gives none.
    pub default: Option<String>,
}

/// A field of the record, or a column of the table, that a function gives.
#[derive(Clone, Debug)]
pub struct FieldDoc {
    /// Its name.
    pub name: Arc<str>,
    /// What it is, and the unit it is shown in.
    pub kind: String,
    /// What it means.
    pub meaning: String,
}

/// What the documentation of a function says.
#[derive(Clone, Debug, Default)]
pub struct FunctionDoc {
    /// What the function does.
    pub description: String,
    /// Its parameters.
    pub parameters: Vec<ParameterDoc>,
    /// What must hold of the arguments together, with what is wrong otherwise.
    pub requires: Vec<(String, String)>,
    /// What it gives: a kind and the unit it is shown in.
    pub gives: String,
    /// The fields of the record, or the columns of the table, that it gives.
    pub fields: Vec<FieldDoc>,
    /// The field that the record counts as where a number is wanted.
    pub counts_as: Option<Arc<str>>,
    /// The book, standard or practice it comes from.
    pub source: String,
    /// Worked examples: an expression and its value.
    pub examples: Vec<(String, String)>,
    /// What to mind when using it.
    pub cautions: Vec<String>,
}

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
    pub gives: Arc<super::shape::Shape>,
    /// The body.
    pub body: Body,
    /// Whether it asks for drawn figures somewhere, so that its arguments carry theirs.
    pub wants_drawn: bool,
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
    /// What is wrong with an argument of that name.
    pub(super) fn no_parameter(&self, function: &str, name: &str) -> Fault {
        let known = self.parameters.iter().map(|parameter| &**parameter);
        let fault = Fault::new(format!("`{function}` takes no argument called `{name}`"));
        let advice = crate::diagnostic::did_you_mean(name, known);
        fault.advise(advice.unwrap_or_else(|| format!("it takes {}", self.signature())))
    }

    /// What is wrong with one argument too many.
    pub(super) fn too_many(&self, function: &str) -> Fault {
        let takes = crate::quantity::count(self.parameters.len(), "argument");
        Fault::new(format!("`{function}` takes {takes}"))
            .advise(format!("write {function}({})", self.signature()))
    }

    /// The parameters as they are written in a call.
    #[must_use]
    pub fn signature(&self) -> String {
        self.parameters
            .iter()
            .map(|parameter| &**parameter)
            .collect::<Vec<_>>()
            .join(", ")
    }
}
