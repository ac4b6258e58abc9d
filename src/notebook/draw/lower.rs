//! From a `draw` statement's tree to what it comes to: names resolved, the
//! picture and its arguments found.

use super::FORMS;
use super::form::{DrawCode, Form, Over, Parameter, Subject};
use crate::diagnostic::{Diagnostic, Span, did_you_mean};
use crate::language::RangeCode;
use crate::language::{Lowering, Node, SlotId};
use crate::syntax::{Draw, print_expression};

/// Resolves a `draw` statement; what is wrong goes to `lowering`. `over` is the
/// slot of the varied cell and where it is named.
pub fn lower(
    lowering: &mut Lowering,
    draw: &Draw,
    over: Option<(SlotId, Span)>,
) -> Option<DrawCode> {
    let subjects: Vec<(String, Node)> = draw
        .subjects
        .iter()
        .map(|subject| (print_expression(subject), lowering.expression(subject)))
        .collect();
    let form = match picture(draw) {
        Ok(form) => form,
        Err(wrong) => {
            lowering.report(wrong);
            return None;
        }
    };
    let arguments = arguments(lowering, draw, form);
    for wrong in [subject(draw, form), varied(draw, form)]
        .into_iter()
        .flatten()
    {
        lowering.report(wrong);
    }
    let over = over.map(|(slot, span)| Over {
        slot,
        span,
        steps: draw.steps.as_deref().map(|[from, to, by]| {
            RangeCode::Steps(Box::new(
                [from, to, by].map(|step| lowering.expression(step)),
            ))
        }),
    });
    let mut options: Vec<&'static str> = Vec::new();
    for option in &draw.options {
        let known = form.options.iter().map(String::as_str);
        match known.clone().find(|name| **name == *option.text) {
            Some(name) => options.push(name),
            None => {
                let message = format!("`draw {}` knows no `with {}`", form.name, option.text);
                let all: Vec<String> = known.clone().map(|name| format!("`with {name}`")).collect();
                let advice = did_you_mean(&option.text, known).unwrap_or_else(|| match &*all {
                    [] => "leave it out".to_owned(),
                    all => format!("it knows {}", all.join(" and ")),
                });
                lowering.report(Diagnostic::error(message, option.span).advise(advice));
            }
        }
    }
    Some(DrawCode {
        form,
        subjects,
        arguments,
        over,
        column: None,
        options,
        span: draw.picture.span,
    })
}

fn picture(draw: &Draw) -> Result<&'static Form, Diagnostic> {
    let name = &draw.picture;
    if let Some(form) = FORMS.iter().find(|form| form.name == *name.text) {
        return Ok(form);
    }
    let all: Vec<&str> = FORMS.iter().map(|form| form.name.as_str()).collect();
    let listed = format!("the pictures are: {}", all.join(", "));
    if name.text.is_empty() {
        let wrong = Diagnostic::error("`draw` does not say what to draw", name.span);
        return Err(wrong.advise(listed));
    }
    let advice = did_you_mean(&name.text, all).unwrap_or(listed);
    let message = format!("there is no picture called `{}`", name.text);
    Err(Diagnostic::error(message, name.span).advise(advice))
}

type Arguments = Vec<(usize, String, Node)>;

fn arguments(lowering: &mut Lowering, draw: &Draw, form: &'static Form) -> Arguments {
    let mut found: Arguments = Vec::new();
    for (place, argument) in draw.arguments.iter().enumerate() {
        let value = lowering.expression(&argument.value);
        let (wanted, span) = match &argument.name {
            Some(name) => (
                form.parameters.iter().position(|p| p.name == name.text),
                name.span,
            ),
            None => (
                (place < form.parameters.len()).then_some(place),
                argument.value.span,
            ),
        };
        match (wanted, &argument.name) {
            (Some(wanted), _) if found.iter().any(|known| known.0 == wanted) => {
                let name = form.parameters.get(wanted).map_or("", |p| &*p.name);
                lowering.report(Diagnostic::error(format!("`{name}` is given twice"), span));
            }
            (Some(wanted), _) => {
                found.push((wanted, print_expression(&argument.value), value));
            }
            (None, Some(name)) => {
                let message = format!("`draw {}` has no setting `{}`", form.name, name.text);
                let known = form.parameters.iter().map(|p| &*p.name);
                let advice = did_you_mean(&name.text, known).unwrap_or_else(|| takes(form));
                lowering.report(Diagnostic::error(message, span).advise(advice));
            }
            (None, None) => {
                let message = format!("`draw {}` takes no more values", form.name);
                lowering.report(Diagnostic::error(message, span).advise(takes(form)));
            }
        }
    }
    if found.len() < draw.arguments.len() || !draw.subjects.is_empty() {
        // Something else is wrong; what is missing may only be misnamed.
        return found;
    }
    let missing = form
        .parameters
        .iter()
        .enumerate()
        .find(|(place, p)| p.needed && !found.iter().any(|known| known.0 == *place));
    if let Some((_, Parameter { name, meaning, .. })) = missing {
        let message = format!("`draw {}` needs `{name}`, the {meaning}", form.name);
        let wrong = Diagnostic::error(message, draw.picture.span);
        lowering.report(wrong.advise(as_in(form)));
    }
    found
}

/// Returns what a picture takes in brackets, in words.
fn takes(form: &Form) -> String {
    let names: Vec<&str> = form.parameters.iter().map(|p| &*p.name).collect();
    match names.as_slice() {
        [] => as_in(form),
        names => format!("it takes {}", names.join(", ")),
    }
}

fn as_in(form: &Form) -> String {
    format!("write it as in `{}`", form.example)
}

/// Returns what is wrong with what stands after `of`.
fn subject(draw: &Draw, form: &Form) -> Option<Diagnostic> {
    let first = draw.subjects.first().map(|subject| subject.span);
    let all = first.map(|span| {
        let last = draw.subjects.last().map_or(span, |subject| subject.span);
        span.to(last)
    });
    let (message, span): (String, Span) = match (&form.subject, draw.subjects.len()) {
        (Subject::Nothing | Subject::Zones, 0)
        | (Subject::Table(_), 1)
        | (Subject::Cells, 1..=6) => return None,
        (Subject::Nothing | Subject::Zones, _) => (
            format!("`draw {}` takes its sizes in brackets", form.name),
            all.unwrap_or_default(),
        ),
        (_, 0) => (
            format!("`draw {}` does not say of what", form.name),
            draw.picture.span,
        ),
        (Subject::Table(_), _) => (
            format!("`draw {}` shows one table", form.name),
            all.unwrap_or_default(),
        ),
        (Subject::Cells, _) => (
            format!("`draw {}` shows at most 6 cells", form.name),
            all.unwrap_or_default(),
        ),
    };
    Some(Diagnostic::error(message, span).advise(as_in(form)))
}

/// Returns what is wrong with what stands after `over`.
fn varied(draw: &Draw, form: &Form) -> Option<Diagnostic> {
    let graph = matches!(form.subject, Subject::Cells);
    match (graph, draw.over.first()) {
        (true, None) if !draw.subjects.is_empty() => {
            let message = format!("`draw {}` does not say over which cell", form.name);
            Some(Diagnostic::error(message, draw.picture.span).advise(as_in(form)))
        }
        (false, Some(name)) => {
            let message = format!("`draw {}` varies nothing", form.name);
            Some(Diagnostic::error(message, name.span).advise(as_in(form)))
        }
        _ => None,
    }
}
