//! Statements that are typed: where they go, and what the session says to them.

use std::collections::HashSet;

use super::answer::{ANSWER, Answer, uses_answer};
use super::place::{self, Entry, replaces};
use super::reply::{Place, Reply};
use super::session::Session;
use super::show::Shown;
use crate::language::STEPS;
use crate::notebook::unit_of;
use crate::quantity::Unit;
use crate::sheet::{Sheet, bare_size, rows_text};
use crate::syntax::{
    Kind, Role, StatementKind, StatementText, parse_expression, parse_statement, split,
};

/// Where in the typed text a statement stands, and whether it stands in the notebook
/// as it was typed.
pub(super) struct Typed {
    pub(super) offset: usize,
    pub(super) statement: String,
}

/// Statements that wait to be added together at the end of a section.
#[derive(Default)]
struct Waiting {
    lines: Vec<(Entry, Typed)>,
    names: HashSet<String>,
}

impl Session {
    /// Takes what was typed: one statement, or several.
    pub fn enter(&mut self, typed: &str) -> Reply {
        self.warned = None;
        let pieces = split(typed);
        match pieces.as_slice() {
            [] => Reply::default(),
            [piece] if is_bare(typed, piece) => self.ask(typed, piece),
            _ => self.statements(typed, &pieces),
        }
    }

    /// Returns whether the last answer has its name: a notebook may use that name itself.
    pub(super) fn answer_is_named(&self) -> bool {
        let own = self.page().and_then(|page| page.names.get(ANSWER));
        own.is_none_or(|slot| !self.workspace.is_defined(*slot))
    }

    /// Returns a statement with the last answer written out in it.
    fn with_answer(&self, statement: &str) -> String {
        let Some(answer) = self.answer.as_ref() else {
            return statement.to_owned();
        };
        if !self.answer_is_named() || !uses_answer(statement) {
            return statement.to_owned();
        }
        let still = !answer.expression.contains(" where ")
            && self
                .workspace
                .evaluate(&answer.expression, &[], STEPS)
                .is_ok_and(|value| value == answer.value);
        answer.put_into(statement, still)
    }

    /// Answers a formula by itself; the notebook stays as it is.
    fn ask(&mut self, typed: &str, piece: &StatementText) -> Reply {
        let offset = piece.span.start as usize;
        let asked = piece.span.of(typed);
        let expression = self.with_answer(asked);
        if let Some(size) = bare_size(&self.workspace, &expression, self.bench.as_ref()) {
            return Reply::said(format!("  {}\n", size.lines.join("\n  ")));
        }
        let mut reply = Reply::default();
        // The words as typed are looked at first, so that places are right.
        let local = self.answer.as_ref().filter(|_| self.answer_is_named());
        let locals: Vec<_> = local
            .map(|answer| (ANSWER, answer.value.clone()))
            .into_iter()
            .collect();
        let formula = match parse_expression(asked) {
            Ok(formula) => formula,
            Err(wrong) => {
                reply.blame(Place::Typed, wrong.shifted(offset));
                return reply;
            }
        };
        match self.workspace.evaluate_formula(&formula, &locals, STEPS) {
            Err(wrong) => {
                for mut wrong in wrong {
                    if wrong.advice.is_none()
                        && let Some(name) = &wrong.unknown
                    {
                        wrong.advice = self.workspace.meant_by(name);
                    }
                    reply.blame(Place::Typed, wrong.shifted(offset));
                }
            }
            Ok(value) => {
                reply.text = self.answer_text(&expression, &value, &mut reply.wrong);
                self.answer = Some(Answer { value, expression });
            }
        }
        reply
    }

    /// Takes statements one by one and says what came of them.
    fn statements(&mut self, typed: &str, pieces: &[StatementText]) -> Reply {
        let before = self.workspace.clone();
        let mut reply = Reply::default();
        let mut shown: Vec<Shown> = Vec::new();
        if let Some(whole) = self.whole_notebook(typed, pieces) {
            self.put_text(&whole);
            self.commit();
            self.new_problems(&before, typed, pieces, &mut reply);
            let items = self.page().map_or(0, |page| page.items.len());
            let items: Vec<u32> = (0..u32::try_from(items).unwrap_or(u32::MAX)).collect();
            let rows = Sheet::rows_of(&self.workspace, &items);
            reply.text = rows_text(rows, self.look);
            return reply;
        }
        let mut waiting = Waiting::default();
        for piece in pieces {
            let offset = piece.span.start as usize;
            let text = piece.span.of(typed);
            let statement = self.with_answer(text);
            let same = statement == text;
            let entry = match Entry::of_piece(typed, piece, statement.clone()) {
                Ok(entry) => entry,
                Err(wrong) => {
                    for wrong in wrong {
                        let (place, wrong) = if same {
                            (Place::Typed, wrong.shifted(offset))
                        } else {
                            (Place::Stored(statement.clone()), wrong)
                        };
                        reply.blame(place, wrong);
                    }
                    continue;
                }
            };
            let typed_as = Typed {
                offset,
                statement: text.to_owned(),
            };
            if self.can_wait(&entry, &waiting) {
                waiting.names.extend(entry.name().map(str::to_owned));
                waiting.lines.push((entry, typed_as));
                continue;
            }
            self.add(std::mem::take(&mut waiting), &mut shown, &mut reply);
            self.put(&entry, &typed_as, &mut shown, &mut reply);
        }
        self.add(waiting, &mut shown, &mut reply);
        self.commit();
        self.new_problems(&before, typed, pieces, &mut reply);
        reply.text = format!("{}{}", reply.text, self.what_came(&before, &shown));
        reply
    }

    /// Returns the text of a whole notebook that is typed (or pasted) into an empty session: it
    /// is taken as it stands, remarks and blank lines too.
    fn whole_notebook(&self, typed: &str, pieces: &[StatementText]) -> Option<String> {
        let empty = self.state.text.trim().is_empty() && pieces.len() > 1;
        if !empty || self.answer.is_some() && uses_answer(typed) {
            return None;
        }
        let read = |piece: &StatementText| parse_statement(piece.span.of(typed)).is_ok();
        pieces
            .iter()
            .all(read)
            .then(|| format!("{}\n", typed.trim_end()))
    }

    /// Returns whether an entry is just added at the end of the section, with others.
    fn can_wait(&self, entry: &Entry, waiting: &Waiting) -> bool {
        match entry.kind.role() {
            Role::Defines(name) => {
                let page = self.page();
                let taken = page.and_then(|page| replaces(&self.workspace, page, entry));
                taken.is_none() && !waiting.names.contains(&*name.text)
            }
            Role::Alone => true,
            _ => false,
        }
    }

    /// Adds the statements that waited; those that are wrong in themselves are taken
    /// out again.
    fn add(&mut self, waiting: Waiting, shown: &mut Vec<Shown>, reply: &mut Reply) {
        if waiting.lines.is_empty() {
            return;
        }
        let Some(page) = self.page() else { return };
        let lines: Vec<String> = waiting
            .lines
            .iter()
            .map(|(entry, _)| entry.written())
            .collect();
        let old = page.text.clone();
        let placed = place::append(page, self.section.as_deref(), &lines.join("\n"));
        self.put_text(&placed.text);
        let first = self.item_at(placed.at);
        let mut bad: Vec<usize> = Vec::new();
        for (number, (entry, typed)) in waiting.lines.iter().enumerate() {
            let wrong = self.own_wrong(first + number, 0);
            if wrong.is_empty() {
                shown.push(Shown::of(entry));
            } else {
                bad.push(first + number);
                self.refuse(first + number, typed, wrong, reply);
            }
        }
        if bad.len() == waiting.lines.len() {
            self.put_text(&old);
            return;
        }
        self.take_out(bad);
    }

    /// Returns a reading or an aim of a number without a unit, with that of its cell where the cell
    /// is one literal.
    fn with_unit(&self, entry: &Entry) -> Option<Entry> {
        let (StatementKind::Measured(name, value) | StatementKind::Aim(name, value)) = &entry.kind
        else {
            return None;
        };
        let Kind::Quantity(_, Unit::NONE) = value.kind else {
            return None;
        };
        let unit = unit_of(&self.workspace, self.workspace.find(&name.text)?)?;
        let (before, behind) = entry.statement.split_at_checked(value.span.end as usize)?;
        let statement = format!("{before} {}{behind}", unit.symbol());
        Some(Entry {
            statement,
            ..entry.clone()
        })
    }

    /// Puts one entry in its place, or takes it out again where it is wrong in itself.
    fn put(&mut self, entry: &Entry, typed: &Typed, shown: &mut Vec<Shown>, reply: &mut Reply) {
        let Some(page) = self.page() else { return };
        let (old, known_wrong) = (page.text.clone(), page.wrong.len());
        if let Role::Section(heading) = entry.kind.role() {
            let heading = heading.to_owned();
            let known = place::has_section(page, &heading);
            if !known && let Ok(placed) = place::put(&self.workspace, page, None, entry, false) {
                self.put_text(&placed.text);
            }
            shown.push(Shown::Section(heading.clone(), known));
            self.section = Some(heading);
            return;
        }
        let with_unit = self.with_unit(entry);
        let entry = with_unit.as_ref().unwrap_or(entry);
        let section = self.section.as_deref();
        let section = section.filter(|section| place::has_section(page, section));
        let placed = place::put(&self.workspace, page, section, entry, false);
        let placed = match placed {
            Ok(placed) => placed,
            Err(wrong) => {
                let stored = entry.statement.clone();
                reply.blame(Place::Stored(stored), wrong);
                return;
            }
        };
        self.put_text(&placed.text);
        let index = self.item_at(placed.at);
        let wrong = self.own_wrong(index, known_wrong);
        if wrong.is_empty() {
            shown.push(Shown::of(entry));
        } else {
            self.refuse(index, typed, wrong, reply);
            self.put_text(&old);
        }
    }

    /// Returns the number of the item that begins at a byte of the text, or the next one.
    fn item_at(&self, at: usize) -> usize {
        self.page().map_or(0, |page| {
            page.items
                .partition_point(|item| (item.piece.span.start as usize) < at)
        })
    }
}

/// Returns whether a piece is a formula by itself. What can't be read is looked at as a statement,
/// for its better message.
fn is_bare(text: &str, piece: &StatementText) -> bool {
    matches!(
        parse_statement(piece.span.of(text)),
        Ok(StatementKind::Bare(_))
    )
}
