//! What is computed by steps, what by the ordinary evaluator, and in which order.

use foldhash::{HashMap, HashSet};
use std::cell::Cell;

use super::around::Around;
use super::waiting::Waiting;
use super::{Plan, Stage, trial};
use crate::language::{
    Compiled, FindSides, Interval, Line, Node, Place, Program, Setting, Shape, SlotId, Step, Tape,
    Value, Work, compile_condition, compile_margins, compile_solution, compile_steps, like,
    still_steps,
};
use crate::notebook::definition::TableCode;
use crate::notebook::limits::sources::SourceSize;
use crate::notebook::order::{Group, within};
use crate::notebook::trial::Trial;
use crate::notebook::{Definition, Workspace};

/// The most steps for proving that the equations of a notebook have one solution.
const PROVEN: u64 = 20_000_000;

/// The most steps that are made or looked through in making all programs of a notebook: what
/// is left over is worked out by the ordinary evaluator.
const MADE: usize = 4_000_000;
/// What is kept of a step that is made counts as so many.
const KEPT: usize = 4;

/// Returns a plan; with `steps` false everything is computed by the ordinary evaluator.
pub fn planned<'a>(
    workspace: &'a Workspace,
    sources: &'a [SourceSize],
    wanted: &[SlotId],
    steps: bool,
    aside: Option<SlotId>,
    margins: bool,
) -> Plan<'a> {
    let rest = trial(workspace, aside);
    let mut groups = wanted_groups(workspace, &rest, sources, wanted);
    // A reading stays while sizes move.
    groups.retain(|group| {
        let reads = |slot: &SlotId| workspace.measured.contains(slot) && aside != Some(*slot);
        !group.iter().all(reads)
    });
    let varying: HashSet<SlotId> = groups.iter().flatten().copied().collect();
    let numbers = sources.iter().enumerate();
    let mut own_sources: HashMap<SlotId, Vec<usize>> = HashMap::default();
    for (number, source) in numbers.clone() {
        own_sources
            .entry(source.source.slot)
            .or_default()
            .push(number);
    }
    let mut planner = Planner {
        plan: Plan {
            workspace,
            sources,
            aside,
            margins: HashMap::default(),
            stages: Vec::new(),
            by_steps: steps,
            columns: HashMap::default(),
            count: 0,
            others: HashMap::default(),
            made: HashMap::default(),
            tape: Tape::default(),
        },
        setting: Around {
            workspace,
            rest: &rest,
            sources: numbers.map(|(n, source)| (source.source, n)).collect(),
            varying,
            places: HashMap::default(),
            room: Cell::new(MADE),
        },
        own_sources,
        margins,
        left: PROVEN,
        memory: Work::default(),
        cube: Vec::new(),
    };
    planner.work(groups, steps);
    planner.plan
}

/// Returns what must be computed for the wanted slots when the sources move.
fn wanted_groups(
    workspace: &Workspace,
    rest: &Trial,
    sources: &[SourceSize],
    wanted: &[SlotId],
) -> Vec<Group> {
    let starts: Vec<SlotId> = sources.iter().map(|source| source.source.slot).collect();
    let groups = rest.order(&starts);
    let mut wanted: HashSet<SlotId> = wanted.iter().copied().collect();
    let mut kept: Vec<Group> = Vec::new();
    for group in groups.into_iter().rev() {
        if group.iter().any(|slot| wanted.contains(slot)) {
            let needs = group.iter().filter_map(|slot| workspace.slot(*slot));
            wanted.extend(needs.flat_map(|slot| slot.needs.iter().copied()));
            kept.push(group);
        }
    }
    kept.reverse();
    kept
}

struct Planner<'a, 'b> {
    plan: Plan<'a>,
    setting: Around<'b>,
    /// The numbers of the sources that stand in each slot.
    own_sources: HashMap<SlotId, Vec<usize>>,
    /// Whether the margins of checks are planned too.
    margins: bool,
    /// The steps that are left for proving that equations have one solution.
    left: u64,
    /// Memory for that.
    memory: Work,
    cube: Vec<Interval>,
}

impl<'a> Planner<'a, '_> {
    /// Plans groups, each after what it needs: all that can be by steps, then what has been
    /// waiting for the ordinary evaluator together, and so on with what waited for that.
    fn work(&mut self, groups: Vec<Group>, steps: bool) {
        let mut waiting = Waiting::new(self.plan.workspace, &groups);
        let mut groups: Vec<Option<Group>> = groups.into_iter().map(Some).collect();
        loop {
            let mut left: Vec<(usize, Group)> = Vec::new();
            while let Some(number) = waiting.next() {
                let Some(group) = groups.get_mut(number).and_then(Option::take) else {
                    continue;
                };
                if self.functions(&group) || steps && self.steps(&group) {
                    waiting.done(number);
                } else {
                    left.push((number, group));
                }
            }
            if left.is_empty() {
                return;
            }
            let (numbers, left): (Vec<usize>, Vec<Group>) = left.into_iter().unzip();
            self.ordinary(left);
            numbers.into_iter().for_each(|number| waiting.done(number));
        }
    }

    /// Functions have no values of their own.
    fn functions(&self, group: &Group) -> bool {
        group.iter().all(|slot| {
            matches!(
                self.setting.workspace.slot(*slot).map(|slot| &slot.content),
                Some(Definition::Function(_))
            )
        })
    }

    /// Plans slots by steps, where they have them.
    fn steps(&mut self, group: &Group) -> bool {
        let content = |slot: &SlotId| Some(&self.setting.workspace.slot(*slot)?.content);
        let find = group.iter().copied();
        let mut find = find.filter(|slot| matches!(content(slot), Some(Definition::Find(_))));
        match (find.next(), find.next(), &**group) {
            (Some(find), None, _) => self.solution(find, group),
            (None, None, [slot]) => self.formula(*slot),
            _ => false,
        }
    }

    /// Returns what fills a slot, unless a reading stays there while sizes move.
    fn moving(&self, slot: SlotId) -> Option<&'a Definition> {
        let filled = self.plan.workspace.slot(slot)?;
        let reads = !filled.measured.is_empty() && self.plan.aside != Some(slot);
        (!reads).then_some(&filled.content)
    }

    /// Plans a cell, a check or a table by steps.
    fn formula(&mut self, slot: SlotId) -> bool {
        let (node, compiled) = match self.moving(slot) {
            Some(Definition::Cell(node) | Definition::Bare(node)) => {
                (node, compile_steps(&self.setting, node, &[]))
            }
            Some(Definition::Check(node)) => (node, compile_condition(&self.setting, node)),
            Some(Definition::Table(table)) => return self.table(slot, table),
            _ => return false,
        };
        let Some(compiled) = compiled else {
            return false;
        };
        match compiled {
            Compiled::Known(value) => {
                if let Some((program, shape)) = still_steps(&value) {
                    self.add(slot, program, shape);
                }
                self.setting.varying.remove(&slot);
            }
            Compiled::Column(program, like) => {
                if !self.add(slot, program, Shape::Quantity(like)) {
                    return false;
                }
            }
            Compiled::Truth(program) => {
                if !self.add(slot, program, Shape::Truth) {
                    return false;
                }
            }
            made => {
                return self
                    .staged(&made)
                    .is_some_and(|place| self.put(slot, place));
            }
        }
        let is_check = matches!(self.moving(slot), Some(Definition::Check(_)));
        if is_check && self.margins {
            let margins = compile_margins(&self.setting, node).into_iter();
            let margins = margins.map(|margin| {
                let (program, like) = margin?;
                let number = self.stage(program, Shape::Quantity(like))?;
                Some((number, like))
            });
            let margins = margins.collect();
            self.plan.margins.insert(slot, margins);
        }
        true
    }

    /// Plans a table, each cell that moves as a column.
    fn table(&mut self, slot: SlotId, table: &TableCode) -> bool {
        let rows = table.rows.iter().map(|row| self.row(table, row));
        let rows: Option<Vec<Vec<Place>>> = rows.collect();
        rows.is_some_and(|rows| self.put(slot, Place::Table(table.columns.clone(), rows)))
    }

    /// Plans one row of a table; its computed cells stand on those before them.
    fn row(&mut self, table: &TableCode, row: &[Option<Node>]) -> Option<Vec<Place>> {
        let mut cells: Vec<Place> = Vec::with_capacity(row.len());
        for cell in row {
            cells.push(match cell {
                Some(node) => self.cell(node, &[])?,
                None => Place::Known(Value::None),
            });
        }
        for (place, formula) in &table.computed {
            *cells.get_mut(*place)? = self.cell(formula, &cells)?;
        }
        Some(cells)
    }

    fn cell(&mut self, node: &Node, row: &[Place]) -> Option<Place> {
        match compile_steps(&self.setting, node, row)? {
            Compiled::Known(value) => Some(Place::Known(value.settled())),
            compiled => self.staged(&compiled),
        }
    }

    /// Plans each part that moves as a column.
    fn staged(&mut self, compiled: &Compiled) -> Option<Place> {
        compiled.try_map(&mut |program, shape| self.stage(program.clone(), shape))
    }

    /// Puts a list, a record or a table made of columns in its place.
    fn put(&mut self, slot: SlotId, place: Place) -> bool {
        let Some(at_rest) = self.setting.rest.value(slot).cloned() else {
            return false;
        };
        if place.count() == 0 {
            return false;
        }
        let lead = match place.lead() {
            Some(Place::Column(number, like)) => Some((*number, Shape::Quantity(*like))),
            Some(Place::Known(value)) => match still_steps(value) {
                Some((program, shape)) => {
                    let Some(number) = self.stage(program, shape) else {
                        return false;
                    };
                    Some((number, shape))
                }
                None => return false,
            },
            _ => None,
        };
        self.plan.columns.extend(lead.map(|lead| (slot, lead)));
        self.setting.places.insert(slot, place.clone());
        self.plan.made.insert(slot, (place, at_rest));
        true
    }

    /// Plans a cell that is solved for, with the cells between it and its condition.
    fn solution(&mut self, slot: SlotId, group: &Group) -> bool {
        let Some(Definition::Find(find)) = self.moving(slot) else {
            return false;
        };
        let others: Vec<SlotId> = group.iter().copied().filter(|own| *own != slot).collect();
        let mut members: Vec<(SlotId, &Node)> = Vec::new();
        for group in within(self.plan.workspace, &others) {
            let [member] = *group else { return false };
            let Some(Definition::Cell(node)) = self.moving(member) else {
                return false;
            };
            members.push((member, node));
        }
        let sides = FindSides {
            local: None,
            low: &find.low,
            high: &find.high,
            left: &find.left,
            right: &find.right,
        };
        let Some((program, shape)) = compile_solution(&self.setting, slot, sides, &members) else {
            return false;
        };
        if !self.add(slot, program, shape) {
            return false;
        }
        for (member, _) in members {
            if !self.formula(member) {
                self.ordinary(vec![Group::One(member)]);
            }
        }
        true
    }

    /// Plans a slot as one column; tells whether it could.
    fn add(&mut self, slot: SlotId, program: Program, shape: Shape) -> bool {
        let Some(number) = self.stage(program, shape) else {
            return false;
        };
        self.column(slot, number, shape);
        true
    }

    fn column(&mut self, slot: SlotId, number: usize, shape: Shape) {
        self.plan.columns.insert(slot, (number, shape));
        let place = match shape {
            Shape::Quantity(like) => Place::Column(number, like),
            Shape::Truth => Place::Truth(number),
        };
        self.setting.places.insert(slot, place);
    }

    /// Plans one more column by steps; nothing where a `find` in it is not proven to have
    /// one solution wherever the sizes stand.
    fn stage(&mut self, mut program: Program, shape: Shape) -> Option<usize> {
        if !self.setting.allows(KEPT * (1 + program.lines.len())) {
            return None;
        }
        let number = self.plan.count;
        let truth = shape == Shape::Truth;
        let finds = |line: &Line| matches!(line.step, Step::Trial(..));
        let on_tape = self.plan.tape.push(number, &program, truth);
        if program.lines.iter().any(finds) {
            let found = on_tape.then(|| self.stretches(number)).flatten();
            let Some(found) = found else {
                if on_tape {
                    self.plan.tape.pop(number);
                }
                return None;
            };
            let finds = program.lines.iter_mut().filter(|line| finds(line));
            for (line, (low, high)) in finds.zip(found) {
                if let Step::Trial(_, from, to) = &mut line.step {
                    (*from, *to) = (low, high);
                }
            }
        }
        self.plan.count += 1;
        let stage = Stage::Steps(number, program, on_tape);
        self.plan.stages.push(stage);
        Some(number)
    }

    /// Returns the stretches in which the solutions of the `find`s of a column lie.
    fn stretches(&mut self, number: usize) -> Option<Vec<(f64, f64)>> {
        let slice = self.plan.tape.slice(number)?;
        self.left = self.left.saturating_sub(2 * slice.steps as u64);
        if self.left == 0 {
            return None;
        }
        let sources = self.plan.sources.len();
        self.cube.resize(sources, Interval::new(0.0, 1.0));
        self.plan.tape.make_room(&mut self.memory);
        let tape = &mut self.plan.tape;
        tape.stretches(&slice, &self.cube, &mut self.memory)
    }

    fn new_column(&mut self, slot: SlotId, shape: Shape) {
        let number = self.plan.count;
        self.plan.count += 1;
        self.column(slot, number, shape);
    }

    /// Plans groups, all of whose needs are done, for the ordinary evaluator.
    fn ordinary(&mut self, groups: Vec<Group>) {
        let slots: Vec<SlotId> = groups.iter().flatten().copied().collect();
        let inside: HashSet<SlotId> = slots.iter().copied().collect();
        let workspace = self.setting.workspace;
        let mut needs: Vec<SlotId> = slots
            .iter()
            .filter_map(|slot| workspace.slot(*slot))
            .flat_map(|slot| self.through_functions(&slot.needs))
            .filter(|need| self.setting.varying.contains(need) && !inside.contains(need))
            .collect();
        needs.sort_unstable();
        needs.dedup();
        let sources = slots.iter().filter_map(|slot| self.own_sources.get(slot));
        let sources = sources.flatten().copied().collect();
        for slot in &slots {
            let shape = match self.setting.rest.value(*slot) {
                Some(Value::Quantity(value)) => Some(Shape::Quantity(like(*value))),
                Some(Value::Size(size)) => Some(Shape::Quantity(like(size.value))),
                Some(Value::Truth(_)) => Some(Shape::Truth),
                _ => None,
            };
            match shape {
                Some(shape) => self.new_column(*slot, shape),
                None => {
                    let place = self.plan.others.len();
                    self.plan.others.insert(*slot, place);
                }
            }
        }
        self.plan.stages.push(Stage::Ordinary {
            groups,
            needs,
            sources,
            slots,
        });
    }

    /// Needs with those of the functions among them.
    fn through_functions(&self, needs: &[SlotId]) -> Vec<SlotId> {
        let workspace = self.setting.workspace;
        let mut found: Vec<SlotId> = needs.to_vec();
        let mut seen: HashSet<SlotId> = needs.iter().copied().collect();
        let mut next = 0;
        while let Some(need) = found.get(next).copied() {
            next += 1;
            if let Some(slot) = workspace.slot(need)
                && matches!(slot.content, Definition::Function(_))
            {
                for need in &slot.needs {
                    if seen.insert(*need) {
                        found.push(*need);
                    }
                }
            }
        }
        found
    }
}
