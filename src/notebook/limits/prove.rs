//! Limits with a proof: what has a program is searched by intervals.

use std::collections::BTreeSet;

use foldhash::{HashMap, HashSet};

mod monotonicity;
mod shares;

use super::results::{CheckLimits, Known, Limits, Monotonicity};
use super::sources::SourceSize;
use crate::language::{
    CLOSE, Compositions, Decision, Interval, Place, SHARES, Scratch, Search, Slice, Source, Tape,
    Value, Work,
};
use crate::notebook::columns::{Block, Plan};
use crate::notebook::limits::check::margins;
use crate::notebook::order::Group;
use crate::notebook::view::Deviations;
use crate::notebook::{Definition, Trial, Workspace};
use crate::quantity::{Quantity, System, slack};

/// The most steps that the limits of one result may take.
const ONE: u64 = 4_000_000;
/// The longest list that is given limits value by value.
const LONGEST_LIST: usize = 100;
/// The most steps that all limits of a notebook may take together.
const ALL: u64 = 100_000_000;
/// How many steps it counts to compute a slot once more with the ordinary evaluator.
const COMPUTED: u64 = 20;

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
    affected: Option<(Vec<Group>, HashMap<u32, usize>)>,
    /// Long chains, put together when the first is met.
    compositions: Option<Compositions>,
    /// All results with one source after the other at its limits.
    block: Option<Block>,
}

impl<'a> Prover<'a> {
    /// A prover for some slots; the readings of `aside` are set aside.
    pub fn new(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        wanted: &[u32],
        aside: Option<u32>,
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

    /// The limits of a slot's value; nothing where it has no program.
    pub fn limits(&mut self, slot: u32) -> Option<Limits> {
        let (column, _) = self.plan.column(slot)?;
        let nominal = self.trial.value(slot)?.quantity().ok()?;
        let mut limits = self.of(column, nominal, false)?.0;
        if limits.course != Monotonicity::Turns {
            // Where else the ends are reached is asked for by nobody.
            (limits.low_at, limits.high_at) = (Vec::new(), Vec::new());
        }
        Some(limits)
    }

    /// The limits of each value of a list; nothing where it is none, is too long, or has no
    /// program. Of a list that doesn't move all are nothing.
    pub fn items(&mut self, slot: u32) -> Option<Vec<Option<Limits>>> {
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
    pub fn counts(&self, slot: u32) -> bool {
        let number = |value: &Value| matches!(value, Value::Truth(_)) || value.quantity().is_ok();
        self.trial.value(slot).is_some_and(number)
    }

    /// Returns what a check comes to; nothing where it has no program.
    pub fn check(&mut self, slot: u32) -> Option<CheckLimits> {
        let (column, _) = self.plan.column(slot)?;
        let Some(Value::Truth(holds)) = self.trial.value(slot).cloned() else {
            return None;
        };
        if self.left == 0 {
            return Some(CheckLimits {
                holds,
                holds_at_limits: false,
                known: if holds { Known::Unknown } else { Known::Proven },
                counterexample: (!holds).then(Vec::new),
                margins: Vec::new(),
            });
        }
        let truth = self.slice(column)?;
        let Some(Definition::Check(condition)) =
            self.workspace.slot(slot).map(|slot| &slot.content)
        else {
            return None;
        };
        let still = Deviations::default();
        let at_rest = self
            .trial
            .with_view(&still, |cells| margins(cells, condition));
        let columns = self.plan.margins(slot).to_vec();
        let mut found: Vec<(Limits, Quantity)> = Vec::new();
        let mut all = columns.len() == at_rest.len() && !columns.is_empty();
        let mut above = true;
        for (column, nominal) in columns.iter().zip(at_rest) {
            let limits = column.zip(nominal);
            let limits = limits.and_then(|((number, _), like)| self.of(number, like, true));
            match limits.zip(nominal) {
                Some(((limits, bound), nominal)) => {
                    above &= limits.known == Known::Proven && bound >= -slack(nominal);
                    found.push((limits, nominal));
                }
                None => all = false,
            }
        }
        let mut check = CheckLimits {
            holds,
            holds_at_limits: false,
            known: Known::Unknown,
            counterexample: None,
            margins: found,
        };
        // One margin's worst place is a part to be tried.
        let seen = check.margins.iter();
        let missing = seen.filter(|(limits, like)| limits.low < -slack(*like));
        let tried: Vec<Vec<(Source, f64)>> =
            missing.map(|(limits, _)| limits.low_at.clone()).collect();
        if !holds {
            check.known = Known::Proven;
            check.counterexample = Some(Vec::new());
            return Some(check);
        }
        for at in tried {
            if self.fails(slot, &truth, &at) {
                check.known = Known::Proven;
                check.counterexample = Some(at);
                return Some(check);
            }
        }
        if all && above && strict(condition) {
            check.known = Known::Proven;
            check.holds_at_limits = true;
            return Some(check);
        }
        let allowed = self.left.min(ONE);
        let search = Search::new(
            &self.tape,
            &truth,
            &mut self.work,
            &mut self.scratch,
            allowed,
        );
        let (decision, steps) = search.decide();
        self.left = self.left.saturating_sub(steps);
        match decision {
            Decision::Holds => {
                check.known = Known::Proven;
                check.holds_at_limits = true;
            }
            Decision::Fails(at) => {
                let at = self.named(&truth, &at);
                if self.fails(slot, &truth, &at) {
                    check.known = Known::Proven;
                    check.counterexample = Some(at);
                }
            }
            Decision::Gap(_) | Decision::Open => {}
        }
        Some(check)
    }

    /// Returns whether a check has a program.
    pub fn has(&self, slot: u32) -> bool {
        let column = self.plan.column(slot);
        column.is_some_and(|(number, _)| self.tape.slice(number).is_some())
    }

    /// One number of a target with its sources at `parts`, those not named at rest: the
    /// margin of a check at a place among its margins.
    pub fn margin_at(&mut self, slot: u32, place: usize, parts: &[(Source, f64)]) -> Option<f64> {
        let columns = self.plan.margins(slot).iter().flatten();
        let number = columns.map(|(number, _)| *number).nth(place)?;
        let slice = self.tape.slice(number)?;
        self.put(parts);
        let found = self.tape.at(&slice, &self.parts, &mut self.work);
        self.put_back(parts);
        found
    }

    /// The steps of a column; they count.
    fn slice(&mut self, column: usize) -> Option<Slice> {
        let slice = self.tape.slice(column)?;
        self.left = self.left.saturating_sub(slice.steps as u64);
        Some(slice)
    }

    /// A slice with the sources where they stand now; its steps count.
    fn at(&mut self, slice: &Slice) -> Option<f64> {
        self.left = self.left.saturating_sub(slice.steps as u64);
        self.tape.at(slice, &self.parts, &mut self.work)
    }

    /// Returns whether a check fails with its sources there, by the ordinary evaluator too.
    fn fails(&mut self, slot: u32, truth: &Slice, at: &[(Source, f64)]) -> bool {
        self.put(at);
        let found = self.at(truth);
        self.put_back(at);
        if found != Some(0.0) || self.left == 0 {
            return false;
        }
        let groups = self.upstream(slot);
        let deviations = Deviations {
            parts: at.iter().copied().collect::<HashMap<_, _>>(),
        };
        self.trial.compute(&groups, &deviations);
        let fails = matches!(self.trial.value(slot), Some(Value::Truth(false)));
        self.trial.reset();
        fails
    }

    /// What a slot follows from among what depends on any source, the slot itself last, in
    /// the order in which it is computed.
    fn upstream(&mut self, slot: u32) -> Vec<Group> {
        let (affected, places) = self.affected.get_or_insert_with(|| {
            let starts: HashSet<u32> = self.sources.iter().map(|size| size.source.slot).collect();
            let mut starts: Vec<u32> = starts.into_iter().collect();
            starts.sort_unstable();
            let affected = self.trial.order(&starts);
            let mut places = HashMap::default();
            for (place, group) in affected.iter().enumerate() {
                places.extend(group.iter().map(|slot| (*slot, place)));
            }
            (affected, places)
        });
        let mut upstream: BTreeSet<usize> = BTreeSet::new();
        let mut next = vec![slot];
        while let Some(slot) = next.pop() {
            let Some(place) = places.get(&slot) else {
                continue;
            };
            if upstream.insert(*place)
                && let Some(group) = affected.get(*place)
            {
                let filled = group.iter().filter_map(|slot| self.workspace.slot(*slot));
                next.extend(filled.flat_map(|slot| slot.needs.iter().copied()));
            }
        }
        self.left = self.left.saturating_sub(COMPUTED * upstream.len() as u64);
        let groups = upstream.iter().filter_map(|place| affected.get(*place));
        groups.cloned().collect()
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

    /// The limits of a column whose number is `nominal` at rest, with what no value lies
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

    /// The limits of what many sizes act on, put together from those of its inputs; nothing
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
fn untold(nominal: Quantity) -> Limits {
    Limits {
        course: Monotonicity::Untold,
        known: Known::Unknown,
        ..Limits::still(nominal.si)
    }
}

/// Returns whether a condition holds exactly where all its margins are at least 0.
fn strict(condition: &crate::language::Node) -> bool {
    use crate::language::ResolvedExpr;
    use crate::syntax::Operator;
    let ResolvedExpr::Chain(first, rest) = &condition.code else {
        return false;
    };
    match rest.first().map(|(operator, _)| *operator) {
        Some(Operator::And) => strict(first) && rest.iter().all(|(_, node)| strict(node)),
        _ => rest
            .iter()
            .all(|(operator, _)| matches!(operator, Operator::AtMost | Operator::AtLeast)),
    }
}

/// The part of the way between its limits at which a size is aimed.
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
