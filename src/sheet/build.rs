//! From a computed notebook to its sheet.

use std::cell::{OnceCell, RefCell};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::cautions::cautions;
use super::choices::Choices;
use super::formatted_value::{FormattedValue, Writer};
use super::model::{Data, Report, Row, RowKind, RowState, Section, Sheet};
use super::needed;
use crate::diagnostic::{Lines, Severity, one_line};
use crate::language::{Size, SlotId, Value};
use crate::notebook::{Failure, Item, Page, Slot, ToleranceAnalysis, Workspace, problems};
use crate::quantity::Quantity;
use crate::syntax::ItemKind;

impl Sheet {
    /// Returns the sheet of the notebook that was opened, with what other programs get of its
    /// values.
    #[must_use]
    pub fn of(workspace: &Workspace) -> Self {
        Self::with_limits(workspace, ToleranceAnalysis::of(workspace), true)
    }

    /// Returns the sheet of the notebook that was opened as a person reads it.
    #[must_use]
    pub fn to_read(workspace: &Workspace) -> Self {
        Self::with_limits(workspace, ToleranceAnalysis::of(workspace), false)
    }

    /// Returns the sheet of the notebook that was opened, whose limits are worked out already;
    /// with what other programs get of its values where it is for them.
    #[must_use]
    pub fn with_limits(
        workspace: &Workspace,
        limits: ToleranceAnalysis,
        for_programs: bool,
    ) -> Self {
        let Some(page) = workspace.main() else {
            return Self::default();
        };
        let mut builder = Builder::new(workspace, page, limits);
        builder.for_programs = for_programs;
        for (index, item) in page.items.iter().enumerate() {
            builder.item(u32::try_from(index).unwrap_or(u32::MAX), item);
        }
        let sections = builder.sections;
        let mut sheet = Self {
            title: page.settings.title.clone(),
            file: page.name.clone(),
            sections,
            cautions: cautions(workspace),
            errors: reports(workspace),
            to_look_at: Vec::new(),
        };
        sheet.to_look_at = super::summary::to_look_at(&sheet);
        sheet
    }

    /// Returns whether anything is wrong.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.errors.iter().any(|report| report.severity == "error")
    }

    /// Returns all rows.
    pub fn rows(&self) -> impl Iterator<Item = &Row> {
        self.sections.iter().flat_map(|section| &section.rows)
    }
}

/// The most errors and warnings in a page or in JSON.
const REPORTS: usize = 1_000;

/// Returns what is wrong, as other programs get it.
fn reports(workspace: &Workspace) -> Vec<Report> {
    let mut reports = Vec::new();
    let mut lines: Vec<Option<Lines>> = vec![None; workspace.pages.len()];
    for problem in problems(workspace).into_iter().take(REPORTS) {
        let place = problem.page.index();
        let (Some(page), Some(lines)) = (workspace.pages.get(place), lines.get_mut(place)) else {
            continue;
        };
        let start = problem.diagnostic.span.start as usize;
        let tried = problem.text.as_deref().map(Lines::of);
        let (name, lines) = match &tried {
            Some(lines) => ("the new value", lines),
            None => (
                page.name.as_str(),
                &*lines.get_or_insert_with(|| Lines::of(&page.text)),
            ),
        };
        let (line, column) = lines.line_and_column(start);
        reports.push(Report {
            shown: lines.render(name, &problem.diagnostic),
            severity: if problem.diagnostic.severity == Severity::Error {
                "error"
            } else {
                "warning"
            },
            file: page.name.clone(),
            line,
            column,
            message: problem.diagnostic.message,
            advice: problem.diagnostic.advice,
        });
    }
    reports
}

/// Returns the formula of a statement: what stands right of its `=`, or its text.
#[must_use]
pub fn formula_text<'a>(page: &'a Page, item: &Item) -> &'a str {
    let text = page.text_at(item.piece.span);
    match item.kind {
        ItemKind::Draw => text,
        kind => kind.body(text),
    }
}

/// Returns the formula of a statement, also where it stands in memory only.
pub(super) fn formula_of<'a>(page: &'a Page, item: &Item, slot: &'a Slot) -> &'a str {
    let redefined = slot.redefined.as_deref();
    let redefined = redefined.filter(|_| item.kind != ItemKind::Measured);
    match redefined.and_then(|text| text.split_once('=')) {
        Some((_, formula)) => formula.trim(),
        None => formula_text(page, item),
    }
}

/// Returns what a `draw` statement draws, on one line.
fn drawn_text(page: &Page, item: &Item) -> String {
    one_line(item.kind.body(page.text_at(item.piece.span)))
}

/// Makes the rows of a sheet one by one.
pub(super) struct Builder<'a> {
    pub(super) workspace: &'a Workspace,
    pub(super) page: &'a Page,
    pub(super) writer: Writer<'a>,
    pub(super) travel: ToleranceAnalysis,
    /// Whether other programs get the values.
    for_programs: bool,
    sections: Vec<Section>,
    /// Whether the section that is being made is working.
    working: bool,
    /// The cautions that stand at an op already, and the slots whose cautions do.
    pub(super) said: RefCell<(Vec<String>, HashSet<SlotId>)>,
    /// The place of each `measured` statement among those of its name.
    reading_places: HashMap<u32, usize>,
    /// What the readings of each name come to.
    pub(super) readings: HashMap<SlotId, Readings>,
    /// The choices that it takes, looked up when the first is asked for.
    pub(super) choices: OnceCell<Choices>,
}

/// The readings of a name taken together, in coherent SI.
pub(super) struct Readings {
    pub(super) count: usize,
    pub(super) least: f64,
    pub(super) most: f64,
    pub(super) latest: f64,
}

impl Readings {
    fn of(readings: &[f64]) -> Option<Self> {
        Some(Self {
            count: readings.len(),
            least: readings.iter().copied().fold(f64::INFINITY, f64::min),
            most: readings.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            latest: *readings.last()?,
        })
    }
}

impl<'a> Builder<'a> {
    pub(super) fn new(workspace: &'a Workspace, page: &'a Page, travel: ToleranceAnalysis) -> Self {
        let mut counts: HashMap<SlotId, usize> = HashMap::new();
        let mut reading_places = HashMap::new();
        for (index, item) in (0..).zip(&page.items) {
            if let (ItemKind::Measured, Some(slot)) = (item.kind, item.slot) {
                let count = counts.entry(slot).or_default();
                reading_places.insert(index, *count);
                *count += 1;
            }
        }
        let readings = counts.keys().filter_map(|slot| {
            let readings = Readings::of(&workspace.readings(*slot))?;
            Some((*slot, readings))
        });
        Self {
            readings: readings.collect(),
            choices: OnceCell::new(),
            reading_places,
            workspace,
            page,
            writer: Writer::new(&page.settings),
            travel,
            for_programs: false,
            sections: Vec::new(),
            said: RefCell::default(),
            working: false,
        }
    }

    /// Returns a value as other programs get it, where they do.
    pub(super) fn data(&self, of: impl FnOnce() -> Data) -> Option<Box<Data>> {
        self.for_programs.then(|| Box::new(of()))
    }

    fn item(&mut self, index: u32, item: &Item) {
        if item.kind == ItemKind::Section {
            let heading = item.kind.body(self.page.text_at(item.piece.span));
            let (heading, working) = needed::heading(heading);
            self.working = working;
            self.sections.push(Section {
                heading: heading.to_owned(),
                rows: Vec::new(),
            });
            return;
        }
        let Some(slot) = item.slot else { return };
        let own = self
            .workspace
            .slot(slot)
            .is_some_and(|filled| filled.item == index);
        let shown = (item.kind == ItemKind::Measured || own) && !item.hidden;
        if !shown || matches!(item.kind, ItemKind::Function | ItemKind::Setting) {
            return;
        }
        let mut rows = self.rows(index, item, slot);
        for row in &mut rows {
            row.hidden = needed::is_kept_off(row, self.working);
        }
        if self.sections.is_empty() {
            self.sections.push(Section {
                heading: String::new(),
                rows: Vec::new(),
            });
        }
        if let Some(section) = self.sections.last_mut() {
            section.rows.extend(rows);
        }
    }

    /// Returns the reading of one `measured` statement among those of its name.
    fn reading(&self, index: u32, slot: SlotId, latest: &Value) -> Option<Value> {
        let place = *self.reading_places.get(&index)?;
        let si = self.workspace.reading(slot, place)?;
        let quantity = latest.quantity().ok()?;
        Some(match latest {
            Value::Size(size) => Value::Size(Arc::new(Size {
                value: size.like(si),
                ..(**size).clone()
            })),
            _ => Value::Quantity(Quantity { si, ..quantity }),
        })
    }

    /// Returns the rows of a statement: several of an op for each row of a table.
    pub(super) fn rows(&mut self, index: u32, item: &Item, slot: SlotId) -> Vec<Row> {
        let row = self.row(index, item, slot);
        if item.kind == ItemKind::Op {
            self.op_rows(row, slot)
        } else {
            vec![row]
        }
    }

    fn row(&mut self, index: u32, item: &Item, slot: SlotId) -> Row {
        let filled = self.workspace.slot(slot);
        let own = filled.map_or("", |slot| &slot.name);
        let name = match item.kind {
            ItemKind::Op => item.op.to_string(),
            ItemKind::Bare => String::new(),
            ItemKind::Check => formula_text(self.page, item).to_owned(),
            ItemKind::Draw => drawn_text(self.page, item),
            ItemKind::Vary if own.is_empty() => self.page.text_at(item.piece.span).to_owned(),
            _ => own.to_owned(),
        };
        let kind = match item.kind {
            ItemKind::Check => RowKind::Check,
            ItemKind::Op => RowKind::Op,
            ItemKind::Table => RowKind::Table,
            ItemKind::Vary => RowKind::Vary,
            ItemKind::Find => RowKind::Find,
            ItemKind::Draw => RowKind::Draw,
            ItemKind::Measured => RowKind::Measured,
            _ => RowKind::Cell,
        };
        let mut row = Row {
            name,
            kind,
            data: self.data(Data::default),
            line: item.piece.line,
            formula: filled
                .map_or("", |slot| formula_of(self.page, item, slot))
                .to_owned(),
            note: self.page.note(item).to_owned(),
            status: "computed".to_owned(),
            cautions: match kind {
                RowKind::Op => self.op_cautions(slot),
                _ => Vec::new(),
            },
            ..Row::default()
        };
        match self.workspace.outcome(slot) {
            Ok(value) if kind == RowKind::Measured => {
                let count = self
                    .readings
                    .get(&slot)
                    .map_or(1, |readings| readings.count);
                row.last_reading = self.reading_places.get(&index) == Some(&(count - 1));
                let reading = self.reading(index, slot, value);
                self.value(&mut row, slot, reading.as_ref().unwrap_or(value));
            }
            Ok(value) => self.value(&mut row, slot, value),
            Err(failure) => {
                (row.state, row.status) = match &**failure {
                    Failure::Because(root) => (
                        RowState::Waiting,
                        format!("waiting: needs {}", self.workspace.name_of(*root)),
                    ),
                    Failure::Unmeasured(of) => {
                        row.written = FormattedValue::text("not measured yet");
                        let name = self.workspace.name_of(*of);
                        let status = if name.is_empty() || *of == slot {
                            "not measured yet".to_owned()
                        } else {
                            format!("not measured yet: {name}")
                        };
                        (RowState::NotMeasured, status)
                    }
                    Failure::Undefined => (RowState::Wrong, "wrong: nothing defines it".to_owned()),
                    Failure::Wrong(_) => (RowState::Wrong, "wrong: see the errors".to_owned()),
                };
                if row.state != RowState::NotMeasured {
                    row.written = FormattedValue::text("?");
                }
            }
        }
        row
    }
}
