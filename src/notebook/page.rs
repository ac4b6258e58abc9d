//! One notebook of a workspace: its text, its settings and what stands in it.

use std::path::PathBuf;
use std::sync::Arc;

use foldhash::HashMap;

use crate::diagnostic::{Diagnostic, Span};
use crate::language::{PageId, SlotId};
use crate::quantity::{Style, System};
use crate::syntax::{ItemKind, StatementText};

/// How a notebook's values are shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// The heading of the sheet.
    pub title: Option<String>,
    /// The systems that lengths are shown in, the first leading; none where the notebook
    /// does not say.
    pub lengths: Vec<System>,
    /// How angles are shown.
    pub angles: Style,
    /// The step of the readout, in metres.
    pub readout: Option<f64>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            title: None,
            lengths: Vec::new(),
            angles: Style::Decimal,
            readout: None,
        }
    }
}

/// A statement of a notebook.
#[derive(Clone, Debug)]
pub struct Item {
    /// What kind of statement it is.
    pub kind: ItemKind,
    /// Where it stands.
    pub piece: StatementText,
    /// The slot it fills, where it has one.
    pub slot: Option<SlotId>,
    /// Whether the sheet leaves it out.
    pub hidden: bool,
    /// How many ops there are up to it, itself counted: the number of an op.
    pub op: u32,
}

/// A notebook of a workspace.
#[derive(Clone, Debug)]
pub struct Page {
    /// The file.
    pub path: PathBuf,
    /// The file's name as it is shown.
    pub name: String,
    /// Its text.
    pub text: Arc<str>,
    /// How its values are shown.
    pub settings: Settings,
    /// Its statements, in file order.
    pub items: Vec<Item>,
    /// The slots of its cells, tables and finds, and of names not defined yet.
    pub names: HashMap<Arc<str>, SlotId>,
    /// The slots of its functions, and of functions not defined yet.
    pub functions: HashMap<Arc<str>, SlotId>,
    /// The notebooks it uses: alias and page.
    pub uses: Vec<(Arc<str>, PageId)>,
    /// What is wrong with statements that fill no slot; places count from the
    /// start of the file.
    pub wrong: Vec<Diagnostic>,
    /// Whether the file could not be read; its names then have no value.
    pub missing: bool,
    /// Whether the file is in another folder, reached by a link: no words of it are
    /// shown in errors.
    pub elsewhere: bool,
}

impl Page {
    /// Appends a statement.
    pub(super) fn push(&mut self, mut item: Item) {
        let before = self.items.last().map_or(0, |item| item.op);
        item.op = before + u32::from(item.kind == ItemKind::Op);
        self.items.push(item);
    }

    /// Returns a page without statements.
    #[must_use]
    pub fn new(path: PathBuf, text: Arc<str>) -> Self {
        let name = path.display().to_string();
        Self {
            path,
            name,
            text,
            settings: Settings::default(),
            items: Vec::new(),
            names: HashMap::default(),
            functions: HashMap::default(),
            uses: Vec::new(),
            wrong: Vec::new(),
            missing: false,
            elsewhere: false,
        }
    }

    /// Returns the text at a span.
    #[must_use]
    pub fn text_at(&self, span: Span) -> &str {
        self.text
            .get(span.start as usize..span.end as usize)
            .unwrap_or("")
    }

    /// Returns the remark behind a statement.
    #[must_use]
    pub fn note(&self, item: &Item) -> &str {
        item.piece.note.map_or("", |note| self.text_at(note))
    }
}
