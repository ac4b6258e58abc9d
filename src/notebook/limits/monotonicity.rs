//! How a target behaves between the limits: steady, turning, in steps, or broken.

use foldhash::HashMap;

use super::corners::{Extremes, Set};
use super::perturbation::{Parts, Perturbation};
use super::results::Monotonicity;
use super::sensitivity::{PLACES, Path};
use crate::language::{Body, Callee, Node, ResolvedExpr, UserFunction};
use crate::notebook::order::Group;
use crate::notebook::{Definition, Workspace};

/// How often a stretch with a change is halved to tell a jump from a slope.
const HALVINGS: usize = 16;
/// What is left of a jump after so many halvings, at the least; of a slope it is
/// 2^-16, of a square root at zero 2^-8.
const JUMP: f64 = 0.02;

/// The course of one target.
pub fn course(
    mover: &mut Perturbation,
    set: &Set,
    target: usize,
    paths: &[Path],
    reach: &Extremes,
    may_step: bool,
) -> Monotonicity {
    let gap = |path: &Path| path.seen.contains(&None);
    if reach.gap || paths.iter().any(gap) {
        return Monotonicity::Breaks;
    }
    let Some(found) = mover.targets.get(target) else {
        return Monotonicity::Steady;
    };
    let slack = found.noise + 1e-9 * (reach.high - reach.low);
    let nominal = found.nominal.si;
    let (least, most) = (reach.seen.0.min(nominal), reach.seen.1.max(nominal));
    if least < reach.low - slack || most > reach.high + slack {
        return Monotonicity::Turns;
    }
    if paths.iter().any(|path| turns(path, nominal, slack)) {
        return Monotonicity::Turns;
    }
    if may_step && steps(mover, set, target, paths, reach, slack) {
        Monotonicity::Steps
    } else {
        Monotonicity::Steady
    }
}

/// Returns whether a path rises and falls; `aimed` is the target where everything is aimed.
fn turns(path: &Path, aimed: f64, slack: f64) -> bool {
    let seen: Vec<f64> = path.seen.iter().copied().flatten().collect();
    let rises = seen.windows(2).any(|pair| pair[1] - pair[0] > slack);
    let falls = seen.windows(2).any(|pair| pair[0] - pair[1] > slack);
    let least = seen.iter().copied().fold(f64::INFINITY, f64::min);
    let most = seen.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let outside = |value: f64| value < least - slack || value > most + slack;
    rises && falls || outside(aimed)
}

/// Returns whether a target jumps while one source moves, or on the way from its lowest to
/// its highest corner.
fn steps(
    mover: &mut Perturbation,
    set: &Set,
    target: usize,
    paths: &[Path],
    reach: &Extremes,
    slack: f64,
) -> bool {
    for path in paths {
        let ends = [(path.source, 0.0), (path.source, 1.0)];
        let line = Line {
            from: &ends[..1],
            to: &ends[1..],
        };
        if jumps(mover, set, target, &line, path.seen, slack) {
            return true;
        }
    }
    if reach.high - reach.low <= slack {
        return false;
    }
    let line = Line {
        from: &reach.low_at,
        to: &reach.high_at,
    };
    let seen = PLACES.map(|place| mover.one(&set.groups, target, &line.at(place)));
    jumps(mover, set, target, &line, seen, slack)
}

/// A straight way through the limits, from one place to another.
struct Line<'a> {
    from: &'a Parts,
    to: &'a Parts,
}

impl Line<'_> {
    fn at(&self, place: f64) -> Vec<(usize, f64)> {
        let parts = self.from.iter().zip(self.to);
        let parts = parts.map(|((source, from), (_, to))| (*source, from + place * (to - from)));
        parts.collect()
    }
}

/// Returns whether a target jumps on a line: stretches where it changes are halved, always
/// into the half where it changes more; of a slope next to nothing is left.
fn jumps(
    mover: &mut Perturbation,
    set: &Set,
    target: usize,
    line: &Line,
    seen: [Option<f64>; 5],
    slack: f64,
) -> bool {
    for index in 0..PLACES.len() - 1 {
        let (Some(mut low), Some(mut high)) = (seen[index], seen[index + 1]) else {
            continue;
        };
        let whole = (high - low).abs();
        if whole <= slack {
            continue;
        }
        let (mut from, mut to) = (PLACES[index], PLACES[index + 1]);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(from, to);
            let Some(value) = mover.one(&set.groups, target, &line.at(middle)) else {
                return true;
            };
            if (value - low).abs() > (high - value).abs() {
                (to, high) = (middle, value);
            } else {
                (from, low) = (middle, value);
            }
        }
        if (high - low).abs() > JUMP * whole {
            return true;
        }
    }
    false
}

/// The native functions whose results never jump where their arguments don't.
const SMOOTH: &[&str] = &[
    "abs", "sqrt", "cbrt", "sin", "cos", "tan", "asin", "acos", "atan", "atan2", "exp", "ln",
    "log10", "min", "max", "sum", "mean", "count",
];

/// Which slots can make a result jump: a choice, a pick from a list, a function that
/// looks something up or rounds.
#[derive(Default)]
pub struct Jumpers {
    slots: HashMap<u32, bool>,
    functions: HashMap<*const UserFunction, bool>,
}

impl Jumpers {
    /// Returns whether any of these slots can.
    pub fn any(&mut self, workspace: &Workspace, groups: &[Group]) -> bool {
        groups
            .iter()
            .flatten()
            .any(|slot| self.slot(workspace, *slot))
    }

    fn slot(&mut self, workspace: &Workspace, slot: u32) -> bool {
        if let Some(known) = self.slots.get(&slot) {
            return *known;
        }
        let mut found = false;
        if let Some(filled) = workspace.slot(slot)
            && !matches!(filled.content, Definition::Check(_))
        {
            filled.content.walk(&mut |node| {
                found |= self.node(workspace, node);
            });
        }
        self.slots.insert(slot, found);
        found
    }

    fn node(&mut self, workspace: &Workspace, node: &Node) -> bool {
        let mut found = false;
        node.walk(&mut |node| {
            found = found
                || match &node.code {
                    ResolvedExpr::If(_) | ResolvedExpr::Index(_) => true,
                    ResolvedExpr::Call(call) => match &call.callee {
                        Callee::Library(function) if SMOOTH.contains(&function.name) => false,
                        Callee::Library(function) => match function.ready() {
                            Ok(ready) => self.function(workspace, ready),
                            Err(_) => true,
                        },
                        Callee::Notebook(slot, _) => {
                            match workspace.slot(*slot).map(|slot| &slot.content) {
                                Some(Definition::Function(function)) => {
                                    self.function(workspace, function)
                                }
                                _ => true,
                            }
                        }
                    },
                    _ => false,
                };
        });
        found
    }

    fn function(&mut self, workspace: &Workspace, function: &UserFunction) -> bool {
        let key = std::ptr::from_ref(function);
        if let Some(known) = self.functions.get(&key) {
            return *known;
        }
        // A function that calls itself has a choice somewhere.
        self.functions.insert(key, true);
        let found = match &function.body {
            Body::Native(_) | Body::LookUp(_) => true,
            Body::Language(body) => self.node(workspace, body),
        };
        self.functions.insert(key, found);
        found
    }
}
