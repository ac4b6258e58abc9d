//! The line in colours: names that exist and names that don't, units, texts,
//! remarks. Each differs in weight or underlining too, so that it reads without
//! colour.

use super::analysis::Analysis;
use super::answer::ANSWER;
use super::session::Session;
use crate::language::{CONSTANTS, library};
use crate::notebook::Definition;
use crate::syntax::{Token, TokenKind};

/// How a kind of word looks: with colour, and without.
type Style = [&'static str; 2];

const UNKNOWN: Style = ["4;31", "4"];
const FUNCTION: Style = ["1;34", "1"];
const WORD: Style = ["1", "1"];
const UNIT: Style = ["36", ""];
const TEXT: Style = ["32", ""];
const REMARK: Style = ["2", "2"];
const NAME: Style = ["", ""];

/// Returns the line with the terminal's marks for colours, or for weight alone.
#[must_use]
pub fn highlight(session: &Session, line: &Analysis, colour: bool) -> String {
    let locals = line.locals();
    let mut out = String::with_capacity(line.text.len() * 2);
    let mut at = 0;
    for (index, token) in line.tokens.iter().enumerate() {
        out.push_str(line.text.get(at..token.span.start).unwrap_or(""));
        let [coloured, plain] = style(session, line, index, token, &locals);
        let code = if colour { coloured } else { plain };
        let text = line.text_of(token);
        if code.is_empty() {
            out.push_str(text);
        } else {
            // Marks end with each line, so that rows of a text stay whole.
            for (number, part) in text.split('\n').enumerate() {
                if number > 0 {
                    out.push('\n');
                }
                out.push_str(&format!("\u{1b}[{code}m{part}\u{1b}[0m"));
            }
        }
        at = token.span.end;
    }
    out.push_str(line.text.get(at..).unwrap_or(""));
    out
}

fn style(
    session: &Session,
    line: &Analysis,
    index: usize,
    token: &Token,
    locals: &[&str],
) -> Style {
    let text = line.text_of(token);
    // A word that is still being typed is not unknown yet.
    if token.span.end == line.text.len()
        && matches!(token.kind, TokenKind::Name | TokenKind::Command)
    {
        return NAME;
    }
    match token.kind {
        TokenKind::Command | TokenKind::Word => WORD,
        TokenKind::Unit | TokenKind::Class => UNIT,
        TokenKind::Text => TEXT,
        TokenKind::Remark => REMARK,
        TokenKind::Call if locals.is_empty() || index > 0 => {
            if is_function(session, text) {
                FUNCTION
            } else {
                UNKNOWN
            }
        }
        TokenKind::Name if !line.is_command() && !is_known(session, line, index, text, locals) => {
            UNKNOWN
        }
        _ => NAME,
    }
}

fn is_function(session: &Session, name: &str) -> bool {
    let workspace = session.workspace();
    name == "record"
        || library().get(name).is_some()
        || workspace
            .main()
            .and_then(|page| page.functions.get(name))
            .and_then(|slot| workspace.slot(*slot))
            .is_some_and(|slot| matches!(slot.content, Definition::Function(_)))
}

/// Returns whether a name means something, or is being defined here.
fn is_known(session: &Session, line: &Analysis, index: usize, name: &str, locals: &[&str]) -> bool {
    let near = |index: Option<usize>| {
        index
            .and_then(|index| line.tokens.get(index))
            .map_or("", |token| line.text_of(token))
    };
    let (before, after) = (near(index.checked_sub(1)), near(Some(index + 1)));
    if matches!(before, "table" | "find" | "use" | "as") || after == "=" && before.is_empty() {
        return true;
    }
    let begins = line
        .tokens
        .get(index)
        .and_then(|token| line.text.get(..token.span.start))
        .is_some_and(|before| before.trim_end_matches([' ', '\t']).ends_with('\n'));
    if begins && after == "="
        || locals.contains(&name)
        || CONSTANTS.contains(&name)
        || name == ANSWER && session.answer().is_some()
    {
        return true;
    }
    let workspace = session.workspace();
    workspace.find(name).is_some()
        || workspace
            .main()
            .is_some_and(|page| page.uses.iter().any(|(alias, _)| &**alias == name))
}
