//! `draw graph of NAME over NAME`: a what-if table as a graph.

use super::form::{Form, Given, Subject};
use crate::diagnostic::Fault;

/// A graph of a what-if table.
pub const FORM: Form = Form {
    name: "graph",
    shows: "how cells move with the varied one, from the `vary` statement that shows them, with the limits that checks set",
    subject: Subject::Cells,
    parameters: &[],
    options: &[],
    example: "draw graph of offset, rpm over cutter",
    derive,
};

fn derive(_: &mut Given) -> Result<(), Fault> {
    Ok(())
}
