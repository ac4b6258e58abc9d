//! Opening a notebook and all that it uses.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::define;
use super::page::{Item, Page, Settings};
use super::recalculate;
use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Span, did_you_mean};
use crate::language::PageId;
use crate::quantity::Quantity;
use crate::syntax::{
    Document, ItemKind, Kind, Name, Statement, StatementKind, StatementText, parse_document,
    parse_expression,
};

/// Where the texts of notebooks come from.
///
/// The command line hands in one that reads files; tests hand in texts.
pub trait Shelf {
    /// Returns the text of a notebook.
    ///
    /// # Errors
    /// Why it can't be read, in the user's words.
    fn text(&self, path: &Path) -> Result<String, String>;

    /// Returns the names, without `.job`, of the notebooks beside `path`.
    fn beside(&self, path: &Path) -> Vec<String>;

    /// Returns what makes two paths the same notebook, whatever links or letters they
    /// are written with.
    fn identity(&self, path: &Path) -> PathBuf {
        path.to_owned()
    }

    /// Returns whether a path is a link to a notebook in another folder, whose words
    /// are not shown.
    fn is_elsewhere(&self, path: &Path) -> bool {
        let _ = path;
        false
    }
}

/// Returns whether a file's name is one of a notebook: it ends in .job, on Windows and
/// other disks that know no case in any letters.
#[must_use]
pub fn is_notebook(path: &Path) -> bool {
    path.extension()
        .is_some_and(|extension| extension.eq_ignore_ascii_case("job"))
}

/// The deepest that notebooks may use one another.
const CHAIN: usize = 64;
/// The most notebooks in one workspace.
const PAGES: usize = 1_000;

impl Workspace {
    /// Opens a notebook and all that it uses, and computes everything.
    ///
    /// # Errors
    /// When the notebook itself can't be read. What is wrong inside is found with
    /// `problems`.
    pub fn open(path: &Path, shelf: &dyn Shelf) -> Result<Self, String> {
        let text = shelf.text(path)?;
        Ok(Self::of_text(path, &text, shelf))
    }

    /// Opens as [`open`](Self::open) does, with a text that need not be on the shelf yet.
    #[must_use]
    pub fn of_text(path: &Path, text: &str, shelf: &dyn Shelf) -> Self {
        let mut workspace = Self::default();
        let mut opening = Vec::new();
        workspace.load(path.to_owned(), text.into(), shelf, &mut opening);
        recalculate::everything(&mut workspace);
        workspace
    }

    /// Returns a workspace whose main page is one expression that sees the names of this
    /// workspace's main notebook: what that defines, uses and sets, and the
    /// expression as its last and only shown statement. Without a notebook, the
    /// expression alone.
    #[must_use]
    pub fn with_expression(&self, expression: &str, shelf: &dyn Shelf) -> Self {
        let (path, before) = match self.main() {
            Some(main) => (main.path.clone(), main.text.trim_end()),
            None => (PathBuf::from("the expression"), ""),
        };
        let gap = if before.is_empty() { "" } else { "\n\n" };
        let text = format!("{before}{gap}{expression}");
        let mut document = parse_document(before);
        // Read as an expression, whatever statement its text would be.
        let start = text.len() - expression.len();
        let line = u32::try_from(text[..start].matches('\n').count() + 1).unwrap_or(u32::MAX);
        document.statements.push(Statement {
            piece: StatementText {
                span: Span::new(start, text.len()),
                note: None,
                documentation: None,
                rows: Vec::new(),
                remarks: Vec::new(),
                line,
                open: false,
            },
            parsed: parse_expression(expression)
                .map(StatementKind::Bare)
                .map_err(|wrong| vec![wrong]),
        });
        let mut workspace = Self::default();
        workspace.load_document(path, text.into(), document, shelf, &mut Vec::new());
        recalculate::everything(&mut workspace);
        if let Some(page) = workspace.pages.first_mut() {
            let last = page.items.len().saturating_sub(1);
            for item in page.items.iter_mut().take(last) {
                item.hidden = true;
            }
        }
        workspace
    }

    /// Loads one page with all that it uses; gives its number.
    fn load(
        &mut self,
        path: PathBuf,
        text: Arc<str>,
        shelf: &dyn Shelf,
        opening: &mut Vec<PageId>,
    ) -> PageId {
        let document = parse_document(&text);
        self.load_document(path, text, document, shelf, opening)
    }

    /// Loads as [`load`](Self::load) does, with the text parsed.
    fn load_document(
        &mut self,
        path: PathBuf,
        text: Arc<str>,
        document: Document,
        shelf: &dyn Shelf,
        opening: &mut Vec<PageId>,
    ) -> PageId {
        let number = PageId::at(self.pages.len());
        self.pages.push(Page::new(path, text));
        opening.push(number);
        self.settings(number, &document);
        self.uses(number, &document, shelf, opening);
        opening.pop();
        define::announce_functions(self, number, &document.statements);
        let mut items: Vec<Item> = Vec::with_capacity(document.statements.len());
        for (index, statement) in document.statements.into_iter().enumerate() {
            let item = define::define(
                self,
                number,
                u32::try_from(index).unwrap_or(u32::MAX),
                statement,
            );
            items.push(item.clone());
            // A later statement that fills the same name looks the line up.
            if let Some(page) = self.page_mut(number) {
                page.push(item);
            }
        }
        self.orphan_readings(number);
        number
    }

    /// Readings of names that nothing defines.
    fn orphan_readings(&mut self, number: PageId) {
        let Some(page) = self.page(number) else {
            return;
        };
        let mut wrong = Vec::new();
        for item in page.items.iter().filter(|item| item.kind.is_beside()) {
            let undefined = item.slot.filter(|slot| !self.is_defined(*slot));
            let Some(slot) = undefined.and_then(|slot| self.slot(slot)) else {
                continue;
            };
            let text = page.text_at(item.piece.span);
            let start = text.find(&*slot.name).unwrap_or(0);
            let span = Span::new(start, start + slot.name.len());
            let what = match item.kind {
                ItemKind::Aim => "has an aim",
                _ => "is measured",
            };
            let message = format!("`{}` {what}, but nothing defines it", slot.name);
            let mut diagnostic = Diagnostic::error(message, span);
            diagnostic.advice = did_you_mean(&slot.name, self.defined_names(page)).or_else(|| {
                Some(format!(
                    "write its drawing size, such as `{} = 12 mm H7`",
                    slot.name
                ))
            });
            wrong.push(diagnostic.shifted(item.piece.span.start as usize));
        }
        if let Some(page) = self.page_mut(number) {
            page.wrong.extend(wrong);
        }
    }

    /// Takes a page's settings.
    pub(super) fn settings(&mut self, number: PageId, document: &Document) {
        let Some(page) = self.page_mut(number) else {
            return;
        };
        page.settings = Settings::default();
        for statement in &document.statements {
            match &statement.parsed {
                Ok(StatementKind::Title(title)) => page.settings.title = Some(title.clone()),
                Ok(StatementKind::Lengths(systems)) => page.settings.lengths.clone_from(systems),
                Ok(StatementKind::Angles(style)) => page.settings.angles = *style,
                Ok(StatementKind::Readout(step)) => {
                    let Kind::Quantity(number, unit) = &step.kind else {
                        continue;
                    };
                    let quantity = Quantity::new(number.value(), *unit);
                    if quantity.dimension == crate::quantity::Dimension::LENGTH && quantity.si > 0.0
                    {
                        page.settings.readout = Some(quantity.si);
                    } else {
                        let wrong = Diagnostic::error(
                            format!("the readout's step must be a length, not {quantity}"),
                            step.span,
                        )
                        .advise("write `readout 0.005 mm`");
                        page.wrong
                            .push(wrong.shifted(statement.piece.span.start as usize));
                    }
                }
                _ => {}
            }
        }
    }

    /// Opens the notebooks that a page uses.
    fn uses(
        &mut self,
        number: PageId,
        document: &Document,
        shelf: &dyn Shelf,
        opening: &mut Vec<PageId>,
    ) {
        for statement in &document.statements {
            let Ok(StatementKind::Use { file, alias }) = &statement.parsed else {
                continue;
            };
            if let Err(wrong) = self.use_one(number, file, alias, shelf, opening)
                && let Some(page) = self.page_mut(number)
            {
                page.wrong
                    .push(wrong.shifted(statement.piece.span.start as usize));
            }
        }
    }

    fn use_one(
        &mut self,
        number: PageId,
        file: &Name,
        alias: &Name,
        shelf: &dyn Shelf,
        opening: &mut Vec<PageId>,
    ) -> Result<(), Diagnostic> {
        let Some(page) = self.page(number) else {
            return Ok(());
        };
        if page.uses.len() + 1 >= PAGES {
            let message = format!("a notebook uses at most {PAGES} others");
            return Err(Diagnostic::error(message, file.span));
        }
        if page.uses.iter().any(|(known, _)| *known == alias.text) {
            let message = format!("two notebooks in use are called `{}`", alias.text);
            return Err(Diagnostic::error(message, alias.span)
                .advise("give one of them another name with `as`"));
        }
        let path = page.path.with_file_name(format!("{}.job", file.text));
        let same = shelf.identity(&path);
        let loaded = self.pages.iter().position(|page| {
            page.path == path || !page.missing && shelf.identity(&page.path) == same
        });
        if let Some(loaded) = loaded {
            let loaded = PageId::at(loaded);
            if let Some(start) = opening.iter().position(|page| *page == loaded) {
                // The name is known, so that what uses it is marked as missing and
                // not called unknown.
                let stem = |page: &PageId| {
                    let page = self.page(*page);
                    page.and_then(|page| page.path.file_stem())
                        .unwrap_or_default()
                        .to_string_lossy()
                        .into_owned()
                };
                let ring: Vec<String> =
                    opening[start..].iter().chain([&loaded]).map(stem).collect();
                let message = format!("these notebooks use one another: {}", ring.join(" → "));
                return Err(Diagnostic::error(message, file.span)
                    .advise("move what both need into a third notebook"));
            }
            return self.remember(number, alias, loaded);
        }
        if opening.len() >= CHAIN || self.pages.len() >= PAGES {
            let message = format!(
                "notebooks use one another more than {CHAIN} deep, or more than {PAGES} in all"
            );
            return Err(Diagnostic::error(message, file.span));
        }
        match shelf.text(&path) {
            Ok(text) => {
                let elsewhere = shelf.is_elsewhere(&path);
                let loaded = self.load(path, text.into(), shelf, opening);
                if let Some(page) = self.page_mut(loaded) {
                    page.elsewhere = elsewhere;
                }
                self.remember(number, alias, loaded)
            }
            Err(why) => {
                let mut wrong = Diagnostic::error(
                    format!("the notebook `{}` can't be read: {why}", file.text),
                    file.span,
                );
                let beside = shelf.beside(&path);
                wrong.advice = did_you_mean(&file.text, beside.iter().map(String::as_str));
                // An empty page stands for it, so that what uses it is marked.
                let empty = PageId::at(self.pages.len());
                let mut page = Page::new(path, "".into());
                page.missing = true;
                self.pages.push(page);
                self.remember(number, alias, empty)?;
                Err(wrong)
            }
        }
    }

    fn remember(&mut self, number: PageId, alias: &Name, loaded: PageId) -> Result<(), Diagnostic> {
        if let Some(page) = self.page_mut(number) {
            page.uses.push((alias.text.clone(), loaded));
        }
        Ok(())
    }
}
