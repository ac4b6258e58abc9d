//! Another text for a page: what stays the same is neither parsed nor computed
//! again.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use foldhash::{HashMap, HashSet};

use super::bounds::is_crowded;
use super::define;
use super::definition::Definition;
use super::load::Shelf;
use super::outcome::Outcome;
use super::page::{Item, Page};
use super::recalculate::changed;
use super::workspace::Workspace;
use crate::diagnostic::Span;
use crate::language::{PageId, SlotId};
use crate::syntax::{
    ItemKind, Role, STATEMENTS, Statement, StatementKind, StatementText, parse_statement, split,
};

/// What an update of a text brought.
#[derive(Clone, Debug, Default)]
pub struct Updated {
    /// The slots that were computed, with what they held before.
    pub computed: Vec<(SlotId, Outcome)>,
    /// Whether everything was loaded afresh, so that slots have other numbers.
    pub afresh: bool,
}

/// Where a statement of the new text comes from.
enum Origin {
    /// The old statement of this number, word for word.
    Kept(usize),
    /// It is new.
    New(Box<StatementKind>),
}

/// The part of a page where the statements differ.
struct Difference {
    old: Range<usize>,
    new: Range<usize>,
    origins: Vec<Origin>,
}

impl Workspace {
    /// Gives a page another text. Statements that stay the same are not parsed or
    /// computed again. Everything is loaded afresh only where names may mean
    /// something else: with other notebooks in use, with functions that come or go,
    /// and where a statement was or is wrong in itself.
    pub fn update_text(&mut self, page: PageId, text: &str, shelf: &dyn Shelf) -> Updated {
        if self.page(page).is_some_and(|known| *known.text == *text) {
            return Updated::default();
        }
        if let Some(computed) = self.update_in_place(page, text) {
            return Updated {
                computed,
                afresh: false,
            };
        }
        self.load_afresh(page, text, shelf);
        Updated {
            computed: Vec::new(),
            afresh: true,
        }
    }

    fn load_afresh(&mut self, page: PageId, text: &str, shelf: &dyn Shelf) {
        let mut texts: HashMap<PathBuf, Arc<str>> = self
            .pages
            .iter()
            .filter(|page| !page.missing)
            .map(|page| (page.path.clone(), page.text.clone()))
            .collect();
        if let Some(page) = self.page(page) {
            texts.insert(page.path.clone(), text.into());
        }
        let Some(main) = self.pages.first().map(|page| page.path.clone()) else {
            return;
        };
        let main_text = texts.get(&main).cloned().unwrap_or_else(|| "".into());
        *self = Self::of_text(&main, &main_text, &Overlay { texts, shelf });
    }

    /// Takes the new text statement by statement; nothing when that won't do, and
    /// the workspace is then to be loaded afresh.
    fn update_in_place(&mut self, number: PageId, text: &str) -> Option<Vec<(SlotId, Outcome)>> {
        let page = self.page(number)?;
        let redefined = |slot: &Arc<super::Slot>| slot.page == number && slot.redefined.is_some();
        // What was refused for want of room may fit now.
        if self.crowded
            || !page.wrong.is_empty()
            || page.missing
            || self.slots.iter().any(redefined)
        {
            return None;
        }
        let pieces = split(text);
        if pieces.len().max(page.items.len()) > STATEMENTS {
            return None;
        }
        let difference = difference(page, text, &pieces)?;
        let old: Vec<ItemKind> = page
            .items
            .get(difference.old.clone())?
            .iter()
            .map(|item| item.kind)
            .collect();
        let has_settings = old.contains(&ItemKind::Setting) || difference.has_new(is_setting);
        let has_readings = old.iter().any(|kind| kind.is_beside())
            || difference.has_new(|parsed| parsed.kind().is_beside());
        let readings = if has_readings {
            self.readings_of(number)
        } else {
            BTreeMap::new()
        };
        let mut touched = self.take_out(number, &difference)?;
        self.put_in(number, text, &pieces, difference, &mut touched)?;
        if has_settings {
            let lengths = self.lengths_of(number);
            self.read_settings(number);
            // What functions give is in the units that the notebook asks for.
            if self.lengths_of(number) != lengths {
                return None;
            }
        }
        if has_readings {
            let now = self.readings_of(number);
            let slots: BTreeSet<SlotId> = readings.keys().chain(now.keys()).copied().collect();
            for slot in slots {
                if readings.get(&slot) != now.get(&slot) {
                    let texts = now.get(&slot).map(Vec::as_slice).unwrap_or_default();
                    self.read_again(number, slot, texts)?;
                    touched.push(slot);
                }
            }
        }
        let orphan = |slot: &SlotId| {
            self.slot(*slot).is_some_and(|slot| {
                matches!(slot.content, Definition::Nothing)
                    && (!slot.measured.is_empty() || slot.aim.is_some())
            })
        };
        let well = self.page(number)?.wrong.is_empty();
        if !well || touched.iter().any(orphan) {
            return None;
        }
        touched.sort_unstable();
        touched.dedup();
        let computed = changed(self, &touched);
        (!self.crowded && !is_crowded(self)).then_some(computed)
    }

    /// Empties the slots of the statements that go; gives these slots.
    fn take_out(&mut self, number: PageId, difference: &Difference) -> Option<Vec<SlotId>> {
        let kept: HashSet<usize> = difference.kept().collect();
        let page = self.page(number)?;
        let mut touched = Vec::new();
        let mut gone = Vec::new();
        for index in difference.old.clone() {
            let item = page.items.get(index)?;
            let Some(slot) = item.slot else { continue };
            if !kept.contains(&index) {
                if !item.kind.is_beside() {
                    gone.push(slot);
                }
            } else if self.outcome(slot).is_err() {
                // A ring is told of at the first of its statements.
                touched.push(slot);
            }
        }
        for slot in gone {
            define::connect(self, slot, Definition::Nothing, Vec::new());
            if self.slot(slot)?.name.is_empty() {
                self.free.push(slot);
            }
            touched.push(slot);
        }
        Some(touched)
    }

    /// Puts the statements of the new text in, those that stay with their slots.
    fn put_in(
        &mut self,
        number: PageId,
        text: &str,
        pieces: &[StatementText],
        difference: Difference,
        touched: &mut Vec<SlotId>,
    ) -> Option<()> {
        let page = self.page_mut(number)?;
        page.text = text.into();
        let mut old: Vec<Option<Item>> = std::mem::take(&mut page.items)
            .into_iter()
            .map(Some)
            .collect();
        let mut origins = difference.origins.into_iter();
        for (index, piece) in pieces.iter().enumerate() {
            let origin = if index < difference.new.start {
                Origin::Kept(index)
            } else if index < difference.new.end {
                origins.next()?
            } else {
                Origin::Kept(difference.old.end + (index - difference.new.end))
            };
            let place = u32::try_from(index).unwrap_or(u32::MAX);
            let item = match origin {
                Origin::Kept(from) => {
                    let mut item = old.get_mut(from)?.take()?;
                    item.piece = piece.clone();
                    let own = !item.kind.is_beside();
                    let slot = item.slot.filter(|_| own);
                    if let Some(slot) = slot
                        && self.slot(slot).is_some_and(|slot| slot.item != place)
                        && let Some(slot) = self.slot_mut(slot)
                    {
                        slot.item = place;
                    }
                    item
                }
                Origin::New(parsed) => {
                    let statement = Statement {
                        piece: piece.clone(),
                        parsed: Ok(*parsed),
                    };
                    let item = define::define(self, number, place, statement);
                    let own = !item.kind.is_beside();
                    touched.extend(item.slot.filter(|_| own));
                    item
                }
            };
            self.page_mut(number)?.push(item);
        }
        Some(())
    }

    /// Returns the readings of a page as they are written, in file order, by slot.
    fn readings_of(&self, number: PageId) -> BTreeMap<SlotId, Vec<String>> {
        let mut readings: BTreeMap<SlotId, Vec<String>> = BTreeMap::new();
        let Some(page) = self.page(number) else {
            return readings;
        };
        let measured = page.items.iter().filter(|item| item.kind.is_beside());
        for item in measured {
            if let Some(slot) = item.slot {
                let text = page.text_at(item.piece.span).to_owned();
                readings.entry(slot).or_default().push(text);
            }
        }
        readings
    }

    /// Takes the readings of a slot again, in file order.
    fn read_again(&mut self, number: PageId, slot: SlotId, readings: &[String]) -> Option<()> {
        self.measured.retain(|measured| *measured != slot);
        let filled = self.slot_mut(slot)?;
        filled.measured.clear();
        filled.aim = None;
        let content = std::mem::replace(&mut filled.content, Definition::Nothing);
        let needs = content.needs(slot)?;
        define::connect(self, slot, content, needs);
        for text in readings {
            let parsed = Ok(parse_statement(text).ok()?);
            let piece = split(text).into_iter().next()?;
            define::define(self, number, 0, Statement { piece, parsed });
        }
        Some(())
    }

    /// Takes a page's settings again from its statements.
    fn read_settings(&mut self, number: PageId) {
        let Some(page) = self.page(number) else {
            return;
        };
        let settings = page
            .items
            .iter()
            .filter(|item| item.kind == ItemKind::Setting);
        let statements = settings.map(|item| Statement {
            piece: item.piece.clone(),
            parsed: parse_statement(page.text_at(item.piece.span)),
        });
        let document = crate::syntax::Document {
            statements: statements.collect(),
        };
        self.settings(number, &document);
    }
}

impl Difference {
    /// Returns the numbers of the old statements that stay.
    fn kept(&self) -> impl Iterator<Item = usize> {
        self.origins.iter().filter_map(|origin| match origin {
            Origin::Kept(index) => Some(*index),
            Origin::New(_) => None,
        })
    }

    fn has_new(&self, like: impl Fn(&StatementKind) -> bool) -> bool {
        self.origins.iter().any(|origin| match origin {
            Origin::Kept(_) => false,
            Origin::New(parsed) => like(parsed),
        })
    }
}

fn is_setting(parsed: &StatementKind) -> bool {
    matches!(parsed.role(), Role::Setting(_))
}

/// Returns what differs between a page and a new text; nothing where the difference may
/// change what names mean.
fn difference(page: &Page, text: &str, pieces: &[StatementText]) -> Option<Difference> {
    let items = &page.items;
    let same = |(item, piece): &(&Item, &StatementText)| {
        wording(&page.text, &item.piece) == wording(text, piece)
    };
    let first = items.iter().zip(pieces).take_while(same).count();
    let room = items.len().min(pieces.len()) - first;
    let behind = items.iter().rev().zip(pieces.iter().rev());
    let last = behind.take(room).take_while(same).count();
    let (old, new) = (first..items.len() - last, first..pieces.len() - last);
    let mut known: HashMap<_, VecDeque<usize>> = HashMap::default();
    for index in old.clone() {
        let item = items.get(index)?;
        if item.kind == ItemKind::Unreadable {
            return None;
        }
        known
            .entry(wording(&page.text, &item.piece))
            .or_default()
            .push_back(index);
    }
    let mut origins = Vec::with_capacity(new.len());
    for piece in pieces.get(new.clone())? {
        let kept = known
            .get_mut(&wording(text, piece))
            .and_then(VecDeque::pop_front);
        origins.push(match kept {
            Some(index) => Origin::Kept(index),
            None => Origin::New(Box::new(parse_statement(at(text, piece.span)).ok()?)),
        });
    }
    let gone: Vec<usize> = known.into_values().flatten().collect();
    let difference = Difference { old, new, origins };
    names_stay(page, &difference, &gone).then_some(difference)
}

/// Returns whether functions and notebooks in use keep their names.
fn names_stay(page: &Page, difference: &Difference, gone: &[usize]) -> bool {
    let mut functions: Vec<Arc<str>> = Vec::new();
    for index in gone {
        let Some(item) = page.items.get(*index) else {
            return false;
        };
        if !matches!(item.kind, ItemKind::Setting | ItemKind::Function) {
            continue;
        }
        match parse_statement(page.text_at(item.piece.span)) {
            Ok(StatementKind::Function(name, ..)) => functions.push(name.text),
            Ok(parsed) if is_setting(&parsed) => {}
            _ => return false,
        }
    }
    for origin in &difference.origins {
        let Origin::New(parsed) = origin else {
            continue;
        };
        match &**parsed {
            StatementKind::Use { .. } => return false,
            StatementKind::Function(name, ..) => {
                match functions.iter().position(|known| *known == name.text) {
                    Some(place) => drop(functions.swap_remove(place)),
                    None => return false,
                }
            }
            _ => {}
        }
    }
    // The order in which notebooks are in use stays too.
    let uses = |index: &usize| {
        page.items
            .get(*index)
            .is_some_and(|item| item.kind == ItemKind::Setting)
    };
    let kept: Vec<usize> = difference.kept().filter(uses).collect();
    functions.is_empty() && kept.is_sorted()
}

/// Returns what a statement says: its text, with the documentation above it.
fn wording<'a>(text: &'a str, piece: &StatementText) -> (&'a str, Option<&'a str>) {
    (
        at(text, piece.span),
        piece.documentation.map(|span| at(text, span)),
    )
}

fn at(text: &str, span: Span) -> &str {
    text.get(span.start as usize..span.end as usize)
        .unwrap_or("")
}

/// Texts in memory before those on a shelf.
struct Overlay<'a> {
    texts: HashMap<PathBuf, Arc<str>>,
    shelf: &'a dyn Shelf,
}

impl Shelf for Overlay<'_> {
    fn text(&self, path: &Path) -> Result<String, String> {
        match self.texts.get(path) {
            Some(text) => Ok(text.to_string()),
            None => self.shelf.text(path),
        }
    }

    fn beside(&self, path: &Path) -> Vec<String> {
        self.shelf.beside(path)
    }

    fn identity(&self, path: &Path) -> PathBuf {
        self.shelf.identity(path)
    }

    fn is_elsewhere(&self, path: &Path) -> bool {
        self.shelf.is_elsewhere(path)
    }
}
