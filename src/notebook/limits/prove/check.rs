//! Whether a check holds for every part.

use std::collections::BTreeSet;

use foldhash::{HashMap, HashSet};

use super::{ONE, Prover};
use crate::language::{Decision, Search, Slice, SlotId, Source, Value};
use crate::notebook::Definition;
use crate::notebook::limits::check::margins;
use crate::notebook::limits::{CheckLimits, Known, Limits};
use crate::notebook::order::Group;
use crate::notebook::view::Deviations;
use crate::quantity::{Quantity, slack};

/// How many steps it counts to compute a slot once more with the ordinary evaluator.
const COMPUTED: u64 = 20;

impl Prover<'_> {
    /// Returns what a check comes to; nothing where it has no program.
    pub fn check(&mut self, slot: SlotId) -> Option<CheckLimits> {
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
    pub fn has(&self, slot: SlotId) -> bool {
        let column = self.plan.column(slot);
        column.is_some_and(|(number, _)| self.tape.slice(number).is_some())
    }

    /// Returns one number of a target with its sources at `parts`, those not named at rest: the
    /// margin of a check at a place among its margins.
    pub fn margin_at(
        &mut self,
        slot: SlotId,
        place: usize,
        parts: &[(Source, f64)],
    ) -> Option<f64> {
        let columns = self.plan.margins(slot).iter().flatten();
        let number = columns.map(|(number, _)| *number).nth(place)?;
        let slice = self.tape.slice(number)?;
        self.put(parts);
        let found = self.tape.at(&slice, &self.parts, &mut self.work);
        self.put_back(parts);
        found
    }

    /// Returns whether a check fails with its sources there, by the ordinary evaluator too.
    fn fails(&mut self, slot: SlotId, truth: &Slice, at: &[(Source, f64)]) -> bool {
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

    /// Returns what a slot follows from among what depends on any source, the slot itself last, in
    /// the order in which it is computed.
    fn upstream(&mut self, slot: SlotId) -> Vec<Group> {
        let (affected, places) = self.affected.get_or_insert_with(|| {
            let starts: HashSet<SlotId> =
                self.sources.iter().map(|size| size.source.slot).collect();
            let mut starts: Vec<SlotId> = starts.into_iter().collect();
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
