//! Limits with a proof: what has a program is searched by intervals.

use foldhash::HashMap;

mod check;
mod monotonicity;
mod shares;

use super::results::{Known, Limits, Monotonicity};
use super::sources::SourceSize;
use crate::language::{
    CLOSE, Compositions, Interval, Place, SHARES, Scratch, Search, Slice, SlotId, Source, Tape,
    Value, Work,
};
use crate::notebook::columns::{Block, Plan};
use crate::notebook::order::Group;
use crate::notebook::{Trial, Workspace};
use crate::quantity::{Quantity, System};

/// The most steps that the limits of one result may take.
const ONE: u64 = 4_000_000;
/// The longest list that is given limits value by value.
const LONGEST_LIST: usize = 100;
/// The most steps that all limits of a notebook may take together.
const ALL: u64 = 50_000_000;

/// What has programs in a workspace, ready to be searched.
pub struct Prover<'a> {
    workspace: &'a Workspace,
    sources: &'a [SourceSize],
    plan: Plan<'a>,
    tape: Tape,
    work: Work,
    scratch: Scratch,
    cube: Vec<Interval>,
    slopes: Vec<Interval>,
    /// The number of each source.
    numbers: HashMap<Source, usize>,
    /// Where each source stands at rest.
    rest: Vec<f64>,
    /// Where it stands now: at rest, but for what puts it somewhere and then back.
    parts: Vec<f64>,
    trial: Trial<'a>,
    left: u64,
    /// What depends on any source, in the order in which it is computed, and the place of
    /// each slot there; made when it is asked for first.
    affected: Option<(Vec<Group>, HashMap<SlotId, usize>)>,
    /// Long chains, put together when the first is met.
    compositions: Option<Compositions>,
    /// All results with one source after the other at its limits.
    block: Option<Block>,
}

impl<'a> Prover<'a> {
    /// Returns a prover for some slots; the readings of `aside` are set aside.
    pub fn new(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        wanted: &[SlotId],
        aside: Option<SlotId>,
    ) -> Self {
        let mut plan = Plan::with_margins(workspace, sources, wanted, aside);
        let tape = plan.take_tape();
        let rest: Vec<f64> = sources
            .iter()
            .map(|size| at_rest(workspace, size))
            .collect();
        Self {
            work: tape.work(),
            trial: plan.trial(),
            workspace,
            sources,
            plan,
            tape,
            scratch: Scratch::of(sources.len()),
            cube: vec![Interval::new(0.0, 1.0); sources.len()],
            slopes: vec![Interval::ZERO; sources.len()],
            numbers: sources.iter().map(|size| size.source).zip(0..).collect(),
            parts: rest.clone(),
            rest,
            left: ALL,
            affected: None,
            compositions: None,
            block: None,
        }
    }

    /// Returns the limits of a slot's value; nothing where it has no program.
    pub fn limits(&mut self, slot: SlotId) -> Option<Limits> {
        let (column, _) = self.plan.column(slot)?;
        let nominal = self.trial.value(slot)?.quantity().ok()?;
        let mut limits = self.of(column, nominal, false)?.0;
        if limits.course != Monotonicity::Turns {
            // Where else the ends are reached is asked for by nobody.
            (limits.low_at, limits.high_at) = (Vec::new(), Vec::new());
        }
        Some(limits)
    }

    /// Returns the limits of each value of a list; nothing where it is none, is too long, or has no
    /// program. Of a list that doesn't move all are nothing.
    pub fn items(&mut self, slot: SlotId) -> Option<Vec<Option<Limits>>> {
        let Some((Place::List(places), Value::List(values))) = self.plan.made(slot) else {
            return None;
        };
        if places.len() > LONGEST_LIST {
            return None;
        }
        let pairs: Vec<Option<(usize, Quantity)>> = places
            .iter()
            .zip(values.iter())
            .map(|(place, value)| match place {
                Place::Column(number, _) => Some((*number, value.quantity().ok()?)),
                _ => None,
            })
            .collect();
        let limits = pairs.into_iter().map(|pair| {
            let (number, nominal) = pair?;
            Some(self.of(number, nominal, false)?.0)
        });
        Some(limits.collect())
    }

    /// Returns whether a slot has a number that may lie between limits, or an answer.
    pub fn counts(&self, slot: SlotId) -> bool {
        let number = |value: &Value| matches!(value, Value::Truth(_)) || value.quantity().is_ok();
        self.trial.value(slot).is_some_and(number)
    }

    /// Returns the steps of a column; they count.
    fn slice(&mut self, column: usize) -> Option<Slice> {
        let slice = self.tape.slice(column)?;
        self.left = self.left.saturating_sub(slice.steps as u64);
        Some(slice)
    }

    /// Returns a slice with the sources where they stand now; its steps count.
    fn at(&mut self, slice: &Slice) -> Option<f64> {
        self.left = self.left.saturating_sub(slice.steps as u64);
        self.tape.at(slice, &self.parts, &mut self.work)
    }

    /// Puts sources somewhere, all others at rest.
    fn put(&mut self, at: &[(Source, f64)]) {
        for (source, part) in at {
            let number = self.numbers.get(source);
            if let Some(place) = number.and_then(|number| self.parts.get_mut(*number)) {
                *place = *part;
            }
        }
    }

    /// Puts sources back at rest.
    fn put_back(&mut self, at: &[(Source, f64)]) {
        for (source, _) in at {
            if let Some(number) = self.numbers.get(source).copied() {
                self.put_to_rest(&[number]);
            }
        }
    }

    /// Puts sources back at rest, by their numbers.
    fn put_to_rest(&mut self, numbers: &[usize]) {
        for number in numbers {
            if let (Some(place), Some(rest)) = (self.parts.get_mut(*number), self.rest.get(*number))
            {
                *place = *rest;
            }
        }
    }

    /// Places of a slice's sources with their names.
    fn named(&self, slice: &Slice, at: &[f64]) -> Vec<(Source, f64)> {
        let name =
            |(number, part): (&usize, &f64)| Some((self.sources.get(*number)?.source, *part));
        slice.sources.iter().zip(at).filter_map(name).collect()
    }

    /// Returns the limits of a column whose number is `nominal` at rest, with what no value lies
    /// below; nothing where it has no program.
    /// `corners` asks where they are reached.
    fn of(&mut self, column: usize, nominal: Quantity, corners: bool) -> Option<(Limits, f64)> {
        if let Some(found) = self.composed(column, nominal, corners) {
            return Some(found);
        }
        if self.left == 0 {
            // A part of it would say no more.
            return self
                .tape
                .makes(column)
                .then(|| (untold(nominal), nominal.si));
        }
        let slice = &self.slice(column)?;
        let unit = nominal.shown_unit(System::Metric);
        let noise = 1e-13 * nominal.si.abs() + 1e-12 * unit.factor().abs();
        let allowed = self.left.min(ONE);
        let search = Search::new(
            &self.tape,
            slice,
            &mut self.work,
            &mut self.scratch,
            allowed,
        );
        let mut range = search.range(noise);
        self.left = self.left.saturating_sub(range.steps);
        let slack = noise + CLOSE * (range.high.found - range.low.found).abs();
        self.settle(slice, &mut range.low, slack);
        self.settle(slice, &mut range.high, slack);
        let (shares, others, bends) = self.shares(column, slice, nominal.si, noise);
        let known = match (range.whole, range.low.proven && range.high.proven) {
            (true, true) => Known::Proven,
            (true, false) if range.low.bound.is_finite() && range.high.bound.is_finite() => {
                Known::Enclosed
            }
            _ => Known::Unknown,
        };
        let course = self.course(slice, &range);
        let (mut low, mut high) = (range.low.bound, range.high.bound);
        if known != Known::Enclosed {
            (low, high) = (range.low.found, range.high.found);
        }
        let mut course = course;
        // What stands still wherever it was tried, between bounds that no figure shows.
        let found = range.high.found - range.low.found;
        if known == Known::Enclosed && found <= noise && high - low <= 1e-8 * nominal.si.abs() {
            (low, high) = (nominal.si, nominal.si);
            course = Monotonicity::Steady;
        }
        if low > high || high - low <= noise {
            (low, high) = (nominal.si, nominal.si);
            if known == Known::Proven {
                course = Monotonicity::Steady;
            }
        }
        let mut limits = Limits {
            nominal: nominal.si,
            low,
            high,
            low_at: self.named(slice, &range.low.at),
            high_at: self.named(slice, &range.high.at),
            shares,
            others,
            course,
            known,
            bends,
        };
        limits.bends |= limits.is_no_sum();
        Some((limits, range.low.bound))
    }

    /// Returns the limits of what many sizes act on, put together from those of its inputs; nothing
    /// where they have sizes in common, or it is no straight line.
    fn composed(
        &mut self,
        column: usize,
        nominal: Quantity,
        corners: bool,
    ) -> Option<(Limits, f64)> {
        if self.sources.len() <= SHARES || corners && self.left == 0 {
            return None;
        }
        if self.compositions.is_none() {
            self.compositions = Some(self.tape.compositions(&self.rest, &mut self.work));
        }
        let all = self.compositions.as_ref()?;
        let found = all.of(&self.tape, column);
        let found = found.filter(|found| found.sources > SHARES)?;
        let (shares, others) = found.shares.as_ref()?;
        let at = |most| {
            if !corners {
                return Vec::new();
            }
            let corner = all.corner(&self.tape, column, most).into_iter();
            let name =
                |(number, part): (usize, f64)| Some((self.sources.get(number)?.source, part));
            corner.filter_map(name).collect()
        };
        let met = if corners { 4 * found.sources as u64 } else { 0 };
        self.left = self.left.saturating_sub(SHARES as u64 + met);
        let limits = Limits {
            nominal: nominal.si,
            low: found.low,
            high: found.high,
            low_at: at(false),
            high_at: at(true),
            shares: self.named_shares(shares),
            others: *others,
            known: Known::Proven,
            course: Monotonicity::Steady,
            bends: false,
        };
        Some((limits, found.low))
    }
}

/// Returns what can be said when the steps have run out.
pub(super) fn untold(nominal: Quantity) -> Limits {
    Limits {
        course: Monotonicity::Untold,
        known: Known::Unknown,
        ..Limits::still(nominal.si)
    }
}

/// Returns the part of the way between its limits at which a size is aimed.
fn at_rest(workspace: &Workspace, size: &SourceSize) -> f64 {
    let value = workspace
        .value(size.source.slot)
        .and_then(Value::size_faces);
    match value.filter(|value| value.aim_set) {
        Some(value) => {
            let width = size.upper - size.lower;
            ((value.aim - value.drawn.si - size.lower) / width).clamp(0.0, 1.0)
        }
        None => 0.5,
    }
}
