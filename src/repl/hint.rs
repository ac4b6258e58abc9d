//! Hints behind the cursor: what the function being typed takes, and what the
//! formula comes to so far.

use std::time::{Duration, Instant};

use unicode_width::UnicodeWidthStr;

use super::analysis::{Analysis, OpenCall};
use super::answer::ANSWER;
use super::commands::Takes;
use super::parameters::{about, taken_by};
use super::session::Session;
use crate::language::Value;
use crate::sheet::Writer;
use crate::sheet::reference::Argument;
use crate::syntax::{Formula, Kind, Token, TokenKind, parse_expression};

/// The most steps that working a hint out may take.
const STEPS: u64 = 20_000;

/// A formula that takes longer so many times is no longer worked out for a hint: the
/// functions in it wait for Enter. Once may be their first use, which reads tables.
const PATIENCE: Duration = Duration::from_millis(4);
const STRIKES: u32 = 3;
/// Functions that search, which may take longer than a key press should.
const SEARCHES: &[&str] = &[
    "change_gears",
    "compound_indexing",
    "cutting_list",
    "differential_indexing",
    "gauge_blocks",
];

/// Returns what to show greyed behind the cursor, at most `room` columns wide; nothing where
/// the cursor is not at the end of the line.
#[must_use]
pub fn hint(session: &Session, line: &Analysis, cursor: usize, room: usize) -> Option<String> {
    if cursor < line.text.len() || line.text.trim().is_empty() {
        return None;
    }
    let trial = line
        .command
        .is_some_and(|command| command.takes == Takes::Statement);
    let text = if line.is_command() && !(trial && line.tokens.len() > 1) {
        of_command(line)?
    } else {
        match line.open_calls(cursor).last() {
            Some(call) => of_call(session, call, line)?,
            None => of_value(session, line)?,
        }
    };
    let text = cut(&text, room);
    (!text.trim().is_empty()).then_some(text)
}

/// Returns a text cut to a width.
fn cut(text: &str, room: usize) -> String {
    if text.width() <= room {
        return text.to_owned();
    }
    let mut short = String::new();
    for c in text.chars() {
        if short.width() + 2 > room {
            break;
        }
        short.push(c);
    }
    if room < 4 {
        String::new()
    } else {
        short + "…"
    }
}

fn of_command(line: &Analysis) -> Option<String> {
    let command = line.command?;
    let name = command.name();
    if line.text.trim() != name {
        return None;
    }
    let rest = command.usage.strip_prefix(name).unwrap_or("");
    let gap = if line.text.ends_with(' ') {
        rest.trim_start()
    } else {
        rest
    };
    Some(format!("{gap}   {}", command.does))
}

/// Returns what a call still takes, and what the argument at the cursor may be.
fn of_call(session: &Session, call: &OpenCall, line: &Analysis) -> Option<String> {
    let taken = taken_by(session.workspace(), &call.function)?;
    if call.argument >= taken.len() && !taken.is_empty() && call.named.is_none() {
        return None;
    }
    let here = match &call.named {
        Some(name) => taken.iter().find(|taken| taken.name == *name),
        None => taken.get(call.argument),
    };
    let positional = call.argument.saturating_sub(call.given.len()) + usize::from(call.begun);
    let left: Vec<String> = taken
        .iter()
        .skip(if call.given.is_empty() {
            positional
        } else {
            call.argument + 1
        })
        .filter(|taken| !call.given.contains(&taken.name))
        .map(Argument::written)
        .collect();
    // Inside a text that is still open its end comes first.
    let open_text = line.tokens.last().is_some_and(|last| {
        let text = line.text_of(last);
        last.kind == TokenKind::Text && (text.len() == 1 || !text.ends_with('"'))
    });
    let quote = if open_text { "\"" } else { "" };
    let lead = match (call.begun, left.is_empty()) {
        (true, false) => ", ",
        (false, false) if line.text.ends_with(',') => " ",
        _ => "",
    };
    let about = here.and_then(|here| Some(format!("   {}: {}", here.name, about(here)?)));
    let about = about.unwrap_or_default();
    Some(format!("{quote}{lead}{}){about}", left.join(", ")))
}

/// Returns what the formula of the last statement comes to.
fn of_value(session: &Session, line: &Analysis) -> Option<String> {
    let formula_text = formula_of(line)?;
    let open = formula_text.matches('(').count();
    let closed = formula_text.matches(')').count();
    let text = format!(
        "{formula_text}{}",
        ")".repeat(open.saturating_sub(closed).min(8))
    );
    let formula = parse_expression(&text).ok()?;
    let workspace = session.workspace();
    let page = workspace.main()?;
    let writer = Writer::new(&page.settings);
    if let Some((low, high)) = workspace.size_limits(&formula) {
        let unit = writer.unit(high);
        let low = writer.in_unit(low, unit).number;
        return Some(format!("  {low} to {}", writer.in_unit(high, unit).line()));
    }
    if says_itself(&formula) {
        return None;
    }
    let answer = session.answer().filter(|_| session.answer_is_named());
    let locals: Vec<(&str, Value)> = answer
        .map(|answer| (ANSWER, answer.value.clone()))
        .into_iter()
        .collect();
    let calls: Vec<&str> = line
        .tokens
        .iter()
        .filter(|token| token.kind == TokenKind::Call)
        .map(|token| line.text_of(token))
        .collect();
    let strikes = |name: &str| session.slow.borrow().get(name).copied().unwrap_or(0);
    let too_slow = |name: &&str| SEARCHES.contains(name) || strikes(name) >= STRIKES;
    if calls.iter().any(too_slow) {
        return None;
    }
    let start = Instant::now();
    let value = workspace.evaluate_formula(&formula, &locals, STEPS);
    if start.elapsed() > PATIENCE {
        let mut slow = session.slow.borrow_mut();
        for call in calls {
            *slow.entry(call.to_owned()).or_default() += 1;
        }
    }
    let value = value.ok()?;
    let shown = match &value {
        Value::Table(table) => crate::quantity::count(table.rows.len(), "row"),
        Value::Truth(true) => "holds".to_owned(),
        Value::Truth(false) => "does not hold".to_owned(),
        value => writer.value(value).line(),
    };
    (!shown.is_empty()).then(|| format!("  = {shown}"))
}

/// Returns whether a formula's value would only repeat it.
fn says_itself(formula: &Formula) -> bool {
    matches!(
        &formula.expression.kind,
        Kind::Quantity(..) | Kind::Text(_) | Kind::Size(..)
    )
}

/// Returns the formula of the last statement: what stands behind `=` or `check`, or all of a
/// formula by itself.
fn formula_of(line: &Analysis) -> Option<&str> {
    let last_break =
        |at: usize| matches!(line.text.get(..at), Some(t) if t.is_empty() || t.ends_with('\n'));
    let first = line
        .tokens
        .iter()
        .rposition(|token| last_break(token.span.start))
        .unwrap_or(0);
    let tokens = line.tokens.get(first..)?;
    let head = tokens.first()?;
    let last = tokens.last()?;
    if tokens
        .iter()
        .any(|token| matches!(token.kind, TokenKind::Remark | TokenKind::Prose))
    {
        return None;
    }
    let text_at = |index: usize| tokens.get(index).map_or("", |token| line.text_of(token));
    let from = match head.kind {
        TokenKind::Word => match line.text_of(head) {
            "check" => head.span.end,
            "measured" | "aim" if text_at(2) == "=" => tokens.get(2)?.span.end,
            "if" | "not" => head.span.start,
            _ => return None,
        },
        TokenKind::Name if text_at(1) == "=" => tokens.get(1)?.span.end,
        TokenKind::Call if is_definition(line, tokens) => return None,
        _ => head.span.start,
    };
    let text = line.text.get(from..last.span.end)?;
    (!text.trim().is_empty()).then_some(text)
}

/// Returns whether a statement that begins with a call defines a function.
fn is_definition(line: &Analysis, tokens: &[Token]) -> bool {
    tokens
        .windows(2)
        .any(|pair| line.text_of(&pair[0]) == ")" && line.text_of(&pair[1]) == "=")
}
