//! What is wrong with statements that are typed: in themselves, and in the notebook once
//! they stand there.

use super::enter::Typed;
use super::reply::{Place, Reply, Wrong};
use super::session::Session;
use super::show::is_ring;
use crate::diagnostic::{Diagnostic, SHOWN, Severity, Span};
use crate::notebook::{Definition, Failure, PageId, Workspace, arisen, range_problems};
use crate::syntax::StatementText;

impl Session {
    /// Says why a statement is not taken; places count from its first byte.
    pub(super) fn refuse(
        &self,
        index: usize,
        typed: &Typed,
        wrong: Vec<Diagnostic>,
        reply: &mut Reply,
    ) {
        let stored = self
            .page()
            .and_then(|page| Some(page.text_at(page.items.get(index)?.piece.span)))
            .unwrap_or("");
        for wrong in wrong {
            if stored == typed.statement {
                reply.blame(Place::Typed, wrong.shifted(typed.offset));
            } else {
                reply.blame(Place::Stored(stored.to_owned()), wrong);
            }
        }
    }

    /// Returns what is wrong with a statement in itself; places count from its first byte.
    pub(super) fn own_wrong(&self, index: usize, known_wrong: usize) -> Vec<Diagnostic> {
        let Some(page) = self.page() else {
            return Vec::new();
        };
        let Some(item) = page.items.get(index) else {
            return Vec::new();
        };
        let span = item.piece.span;
        let within =
            |wrong: &&Diagnostic| wrong.span.start >= span.start && wrong.span.start <= span.end;
        let back = |wrong: &Diagnostic| Diagnostic {
            span: Span {
                start: wrong.span.start.saturating_sub(span.start),
                end: wrong.span.end.saturating_sub(span.start),
            },
            ..wrong.clone()
        };
        let mut found: Vec<Diagnostic> = if page.wrong.len() >= known_wrong {
            page.wrong.iter().filter(within).map(back).collect()
        } else {
            Vec::new()
        };
        let Some(slot) = item.slot else { return found };
        match self
            .workspace
            .outcome(slot)
            .as_ref()
            .map_err(|failure| &**failure)
        {
            Err(Failure::Wrong(wrong)) => found.extend(wrong.iter().cloned()),
            Err(Failure::Because(root)) if is_ring(&self.workspace, slot, *root) => {
                if let Err(failure) = self.workspace.outcome(*root)
                    && let Failure::Wrong(wrong) = &**failure
                {
                    found.extend(wrong.iter().map(|wrong| Diagnostic {
                        span: Span::new(0, page.text_at(span).len()),
                        ..wrong.clone()
                    }));
                }
            }
            _ => {}
        }
        let varies = matches!(
            self.workspace.slot(slot).map(|slot| &slot.content),
            Some(Definition::Vary(_))
        );
        if found.is_empty() && varies {
            found.extend(range_problems(&self.workspace, slot));
        }
        found
    }

    /// Says what is wrong in the notebook now that was not before.
    pub(super) fn new_problems(
        &self,
        before: &Workspace,
        typed: &str,
        pieces: &[StatementText],
        reply: &mut Reply,
    ) {
        let mut sure = 0;
        for problem in arisen(before, &self.workspace) {
            let Some(page) = self.workspace.page(problem.page) else {
                continue;
            };
            let mut diagnostic = problem.diagnostic;
            let waits = diagnostic.unknown.is_some();
            sure += usize::from(!waits);
            if !waits && sure > SHOWN {
                continue;
            }
            if let Some(name) = &diagnostic.unknown {
                diagnostic.severity = Severity::Warning;
                diagnostic.message = format!("nothing defines `{name}` yet");
            }
            // Shown in what was typed, where the same statement stands there.
            let item = page.items.iter().find(|item| {
                item.piece.span.start <= diagnostic.span.start
                    && diagnostic.span.start <= item.piece.span.end
            });
            let stored = item.map_or("", |item| page.text_at(item.piece.span));
            let here = pieces
                .iter()
                .find(|piece| problem.page == PageId::MAIN && piece.span.of(typed) == stored);
            let place = match (here, item) {
                (Some(piece), Some(item)) => {
                    let moved = i64::from(piece.span.start) - i64::from(item.piece.span.start);
                    let to = |at: u32| usize::try_from(i64::from(at) + moved).unwrap_or(0);
                    let Span { start, end } = diagnostic.span;
                    diagnostic.span = Span::new(to(start), to(end));
                    Place::Typed
                }
                _ => Place::Notebook(page.name.clone(), page.text.clone()),
            };
            reply.wrong.push(Wrong {
                place,
                diagnostic,
                waits,
            });
        }
        if sure > SHOWN {
            let more = format!("and {} more", sure - SHOWN);
            let more = Diagnostic::error(more, Span::default());
            reply.blame(Place::Nowhere, more);
        }
    }
}
